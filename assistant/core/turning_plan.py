"""The cuts from a measured size to a wanted one: roughing in whole divisions, then finishing cuts of one depth.

Sizes are diameters; in facing they are lengths. Outside work and lengths get smaller, a bore gets
larger. Amounts 'on the size' come off the diameter or the length; depths are per side, as the tool
goes in.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import ceil, floor

from assistant.core.bounds import check, with_unit
from assistant.core.cut_depths import Finishing
from assistant.core.dial_types import SlideDial
from assistant.core.dial_walk import travel_of_division
from assistant.core.to_size import Target
from assistant.errors import OutOfRange


class Work(Enum):
    """What is cut; the values are keys of the tables of practice."""

    TURN = "turn"
    BORE = "bore"
    FACE = "face"

    @property
    def sides(self) -> int:
        """What one millimetre of depth takes off the size: 2 on a diameter, 1 on a length."""
        return 1 if self is Work.FACE else 2


class CutKind(Enum):
    """What a cut is for."""

    ROUGH = "rough"
    FINISH = "finish"


@dataclass(frozen=True)
class PlannedCut:
    """One cut of a plan; mm, exact."""

    kind: CutKind
    size: Fraction
    """Diameter (length) after it."""
    depth: Fraction
    """Per side."""


def metal_between(size: Fraction, aim: Fraction, work: Work) -> Fraction:
    """What is still to come off the size: size - aim outside and in facing, aim - size in a bore.

    size    : mm, now
    aim     : mm, wanted
    work    : what is cut
    Returns : mm on the size, exact; negative where too much is off already
    Raises  : nothing
    Valid   : both at one temperature
    Source  : arithmetic

    >>> metal_between(Fraction(49), Fraction(50), Work.BORE)
    Fraction(1, 1)
    """
    return aim - size if work is Work.BORE else size - aim


def size_after(size: Fraction, amount: Fraction, work: Work) -> Fraction:
    """The size after an amount has come off it: smaller, or larger for a bore.

    size    : mm, before
    amount  : mm on the size
    work    : what is cut
    Returns : mm, exact
    Raises  : nothing
    Valid   : both at one temperature
    Source  : arithmetic

    >>> size_after(Fraction(49), Fraction(1), Work.BORE)
    Fraction(50, 1)
    """
    return size + amount if work is Work.BORE else size - amount


def size_of_division(work: Work, dial: SlideDial) -> Fraction:
    """What one division of the collar takes off the size: its travel, twice over on a diameter.

    work    : what is cut
    dial    : collar of the slide that is fed
    Returns : mm on the size, exact
    Raises  : OutOfRange for a collar that cannot be
    Valid   : the slide square to the axis, in facing along it
    Source  : arithmetic of the collar

    >>> size_of_division(Work.TURN, SlideDial(Fraction(1, 20), 160, "diameter"))
    Fraction(1, 20)
    """
    return work.sides * travel_of_division(dial)


def divisions_to_aim(size: Fraction, aim: Fraction, work: Work, dial: SlideDial) -> Fraction:
    """What is left to the aim in divisions of the collar: metal / size of a division.

    size    : mm, measured now
    aim     : mm, wanted
    work    : what is cut
    dial    : collar of the slide that is fed
    Returns : divisions, exact, seldom whole; what to judge by eye where no whole one stands within limits
    Raises  : OutOfRange for a collar that cannot be
    Valid   : the slide square to the axis, in facing along it
    Source  : arithmetic of the collar

    >>> divisions_to_aim(Fraction(5003, 100), Fraction(50), Work.TURN, SlideDial(Fraction(1, 20), 160, "diameter"))
    Fraction(3, 5)
    """
    return metal_between(size, aim, work) / size_of_division(work, dial)


def plain_limits(size: Fraction, work: Work, dial: SlideDial) -> Target:
    """Limits for a size that has none: one division of the dial to either side.

    size    : mm, wanted
    work    : what is cut
    dial    : collar of the slide that is fed
    Returns : Target, exact
    Raises  : OutOfRange for a size not above one division
    Valid   : where the drawing gives no tolerance; general tolerances go first
    Source  : ours: a dial cannot promise more

    >>> plain_limits(Fraction(50), Work.TURN, SlideDial(Fraction(1, 20), 160, "diameter")).maximum
    Fraction(1001, 20)
    """
    each = size_of_division(work, dial)
    if size <= each:
        raise OutOfRange("wanted size", with_unit(size, "mm"), f"must be above {float(each):g} mm")
    return Target(size - each, size + each, size)


def _roughing(amount: Fraction, each: Fraction, most: Fraction) -> list[int]:
    """Whole divisions of each roughing cut: as few cuts as `most` allows, alike to within a division."""
    divisions = floor(amount / each)
    if divisions < 1:
        return []
    most_divisions = floor(most / each)
    if most_divisions < 1:
        raise OutOfRange(
            "depth of cut",
            f"{float(most):g} mm on the size",
            f"is less than one division of the dial, {float(each):g} mm",
        )
    count = ceil(Fraction(divisions, most_divisions))
    check("number of cuts", count)
    share, more = divmod(divisions, count)
    return [share + 1] * more + [share] * (count - more)


def _finishing_count(
    amount: Fraction, cuts: int, least: Fraction, most: Fraction, each: Fraction
) -> int:
    """As many of `cuts` as are neither thinner than `least` nor than a division; more if `most` asks for them."""
    thinnest = max(least, each)
    return max(1, min(cuts, floor(amount / thinnest)), ceil(amount / most))


def planned_cuts(
    size: Fraction,
    target: Target,
    work: Work,
    dial: SlideDial,
    most: Fraction,
    finish: Finishing,
    finish_cuts: int | None = None,
) -> tuple[PlannedCut, ...]:
    """Roughing cuts of whole divisions, alike to within one, then finishing cuts of one depth to the aim.

    size        : mm, measured now
    target      : limits and aim, mm
    work        : what is cut
    dial        : collar of the slide that is fed
    most        : deepest cut, mm per side
    finish      : what is left for finishing
    finish_cuts : finishing cuts still to take; None takes all of `finish`
    Returns     : PlannedCuts, exact; the last ends on the aim and none goes past it; empty if none is needed
    Raises      : OutOfRange for bad sizes, a deepest cut below a division, or more than 1000 cuts
    Valid       : spring and the dial's error are not in it: `cuts_in_hand` corrects for them
    Source      : common practice, no source; allowance from tables/finishing_allowances.csv

    >>> from assistant.core.cut_depths import finishing
    >>> from assistant.core.to_size import plain_target
    >>> dial = SlideDial(Fraction(1, 20), 160, "diameter")
    >>> cuts = planned_cuts(Fraction(53), plain_target(50), Work.TURN, dial, Fraction(1), finishing("turn"))
    >>> [float(cut.size) for cut in cuts]
    [51.75, 50.5, 50.25, 50.0]
    """
    _check_sizes(size, target, work)
    if not most > 0:
        raise OutOfRange("depth of cut", with_unit(most, "mm"), "must be more than 0 mm")
    amount = metal_between(size, target.aim, work)
    if amount <= 0:
        return ()
    each, most_on_size = size_of_division(work, dial), work.sides * most
    least = work.sides * finish.least
    cuts: list[PlannedCut] = []
    # A roughing cut that would be thinner than a finishing cut is left to the finishing cuts.
    if amount - finish.allowance >= least:
        for divisions in _roughing(amount - finish.allowance, each, most_on_size):
            size = size_after(size, divisions * each, work)
            cuts.append(PlannedCut(CutKind.ROUGH, size, divisions * each / work.sides))
    rest = metal_between(size, target.aim, work)
    count = _finishing_count(rest, finish_cuts or finish.cuts, least, most_on_size, each)
    for number in range(1, count + 1):
        after = size_after(size, rest * number / count, work)
        cuts.append(PlannedCut(CutKind.FINISH, after, rest / count / work.sides))
    return tuple(cuts)


def _check_sizes(size: Fraction, target: Target, work: Work) -> None:
    quantity = {Work.TURN: "work diameter", Work.BORE: "bore diameter", Work.FACE: "length"}[work]
    check(quantity, size)
    check(quantity, target.aim)
    if not target.minimum <= target.aim <= target.maximum:
        raise OutOfRange(
            "limits of size",
            f"{float(target.minimum):g} to {float(target.maximum):g} mm",
            f"must hold {float(target.aim):g} mm between them",
        )
