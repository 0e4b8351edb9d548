"""The size in a standard's list that lies nearest to a wanted one."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction


def nearest(listed: Iterable[Fraction], wanted: Fraction) -> tuple[Fraction, ...]:
    """The listed length or, in a tie, lengths nearest to a wanted one: least |listed - wanted|.

    listed  : lengths in mm, at least one
    wanted  : mm
    Returns : one or two lengths, mm, exact, rising
    Raises  : nothing
    Valid   : any lengths
    Source  : definition

    >>> nearest([Fraction(12), Fraction(14)], Fraction(13))
    (Fraction(12, 1), Fraction(14, 1))
    """
    ordered = sorted(set(listed))
    gap = min(abs(one - wanted) for one in ordered)
    return tuple(one for one in ordered if abs(one - wanted) == gap)


def nearest_text(listed: Iterable[Fraction], wanted: Fraction) -> str:
    """The nearest listed number as text, the smaller in a tie.

    listed  : numbers, at least one
    wanted  : the number that was asked for
    Returns : text, to six figures
    Raises  : nothing
    Valid   : any numbers
    Source  : definition

    >>> nearest_text([Fraction(3, 2), Fraction(7, 4)], Fraction(2))
    '1.75'
    """
    return f"{float(nearest(listed, wanted)[0]):g}"


def listing(listed: Iterable[Fraction]) -> str:
    """Listed numbers as text, rising, each once, with commas between.

    listed  : numbers
    Returns : text, each to six figures
    Raises  : nothing
    Valid   : any numbers
    Source  : definition

    >>> listing([Fraction(2), Fraction(3, 2)])
    '1.5, 2'
    """
    return ", ".join(f"{float(one):g}" for one in sorted(set(listed)))
