"""General tolerances of ISO 2768-1: what a dimension may be off when the drawing gives no tolerance."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.fits import SizeLimits
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed

CLASSES = {"f": "fine", "m": "medium", "c": "coarse", "v": "very coarse"}
"""Tolerance classes of ISO 2768-1 and their names."""


@dataclass(frozen=True)
class GeneralTolerance:
    """A general tolerance, plus and minus."""

    plus_minus: Fraction
    """mm, or degrees for an angle; exact."""
    tolerance_class: str
    """'f', 'm', 'c' or 'v'."""
    source: str


@dataclass(frozen=True)
class _Row:
    """One class in one step of sizes."""

    what: str
    tolerance_class: str
    over: Fraction
    up_to: Fraction | None
    """None where the table has no upper end."""
    plus_minus: Fraction
    source: str


def _row(cells: dict[str, str]) -> _Row:
    return _Row(
        what=cells["what"],
        tolerance_class=cells["class"],
        over=Fraction(cells["over_mm"]),
        up_to=Fraction(cells["up_to_mm"]) if cells["up_to_mm"] else None,
        plus_minus=Fraction(cells["plus_minus"]),
        source=cells["source"],
    )


@cache
def _rows(what: str, tolerance_class: str) -> tuple[_Row, ...]:
    every = parsed("iso2768.csv", _row)
    return tuple(row for row in every if (row.what, row.tolerance_class) == (what, tolerance_class))


def _look_up(
    what: str, size: Fraction, tolerance_class: str, starts: Callable[[Fraction], bool]
) -> GeneralTolerance:
    """The row for a size; `starts` says whether the very first row reaches down to the size."""
    if tolerance_class not in CLASSES:
        listed = ", ".join(f"{letter} ({name})" for letter, name in CLASSES.items())
        allowed = "ISO 2768-1 has no such class"
        raise NoSuchSize("tolerance class", f"'{tolerance_class}'", allowed, listed)
    rows = _rows(what, tolerance_class)
    first, last = rows[0], rows[-1]
    given = f"{float(size):g} mm"
    if size <= 0:
        raise OutOfRange(what, given, "must be more than 0 mm")
    if not starts(first.over):
        allowed = f"class {tolerance_class} of ISO 2768-1 begins at {float(first.over):g} mm"
        edge = f"{float(first.over):g} mm"
        # Table 1 begins at 0.5 mm inclusive; a later first step begins above its lower end.
        raise OutOfRange(what, given, allowed, edge if first.over < 1 else f"just over {edge}")
    if last.up_to is not None and size > last.up_to:
        allowed = f"class {tolerance_class} of ISO 2768-1 ends at {float(last.up_to):g} mm"
        raise OutOfRange(what, given, allowed, f"{float(last.up_to):g} mm")
    row = next(row for row in rows if row.up_to is None or size <= row.up_to)
    return GeneralTolerance(row.plus_minus, tolerance_class, row.source)


def general_tolerance(size: Fraction | int, tolerance_class: str) -> GeneralTolerance:
    """General tolerance of a length or diameter: a look-up by size and class.

    size            : mm, nominal
    tolerance_class : 'f' fine, 'm' medium, 'c' coarse, 'v' very coarse
    Returns         : GeneralTolerance in mm, exact
    Raises          : NoSuchSize for another class; OutOfRange below 0.5 mm (v: 3 mm or less) and
                      above 4000 mm (f: 2000 mm)
    Valid           : where the drawing's title block names ISO 2768 and its class
    Source          : ISO 2768-1:1989 Table 1

    >>> general_tolerance(25, "m").plus_minus
    Fraction(1, 5)
    """
    size = Fraction(size)

    def starts(first: Fraction) -> bool:
        # Table 1 begins at 0.5 mm inclusive; class v begins above 3 mm, which belongs to the step before.
        return size >= first if first < 1 else size > first

    return _look_up("length", size, tolerance_class, starts)


def general_limits(size: Fraction | int, tolerance_class: str) -> SizeLimits:
    """Limits of size of a length or diameter without a tolerance of its own: size +- tolerance.

    size            : mm, nominal
    tolerance_class : 'f', 'm', 'c' or 'v'
    Returns         : SizeLimits in mm, exact
    Raises          : as `general_tolerance`
    Valid           : as `general_tolerance`
    Source          : ISO 2768-1:1989 Table 1

    >>> general_limits(25, "m").maximum
    Fraction(126, 5)
    """
    found = general_tolerance(size, tolerance_class)
    deviation = found.plus_minus
    zone = f"ISO 2768-{tolerance_class}"
    return SizeLimits(Fraction(size), zone, deviation, -deviation, (found.source,))


def edge_tolerance(size: Fraction | int, tolerance_class: str) -> GeneralTolerance:
    """General tolerance of an external radius or a chamfer's height: a look-up by size and class.

    size            : mm, nominal
    tolerance_class : 'f', 'm', 'c' or 'v'
    Returns         : GeneralTolerance in mm, exact
    Raises          : NoSuchSize for another class; OutOfRange below 0.5 mm
    Valid           : as `general_tolerance`
    Source          : ISO 2768-1:1989 Table 2

    >>> edge_tolerance(2, "m").plus_minus
    Fraction(1, 5)
    """
    return _look_up("edge", Fraction(size), tolerance_class, lambda first: size >= first)


def angle_tolerance(shorter_leg: Fraction | int, tolerance_class: str) -> GeneralTolerance:
    """General tolerance of an angle: a look-up by the length of its shorter leg.

    shorter_leg     : mm, more than 0
    tolerance_class : 'f', 'm', 'c' or 'v'
    Returns         : GeneralTolerance in degrees, exact
    Raises          : NoSuchSize for another class; OutOfRange for a leg of zero or less
    Valid           : as `general_tolerance`
    Source          : ISO 2768-1:1989 Table 3

    >>> angle_tolerance(100, "m").plus_minus
    Fraction(1, 3)
    """
    return _look_up("angle", Fraction(shorter_leg), tolerance_class, lambda first: True)
