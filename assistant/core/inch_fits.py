"""Inch fits of ANSI B4.1 (RC, LC, LT, LN, FN): a class and a size to the limits of hole and shaft."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.fits import Fit, SizeLimits
from assistant.errors import NoSuchSize, OutOfRange, nearest_names
from assistant.tables import parsed
from assistant.units import MM_PER_INCH

_THOU = MM_PER_INCH / 1000


@dataclass(frozen=True)
class _Row:
    """One class in one step of sizes; all mm."""

    fit_class: str
    over: Fraction
    up_to: Fraction
    hole: tuple[Fraction, Fraction]
    """Upper and lower deviation."""
    shaft: tuple[Fraction, Fraction]
    """Upper and lower deviation."""
    source: str


def _row(cells: dict[str, str]) -> _Row:
    def pair(part: str) -> tuple[Fraction, Fraction]:
        upper, lower = (Fraction(cells[f"{part}_{side}"]) for side in ("upper", "lower"))
        return upper * _THOU, lower * _THOU

    return _Row(
        fit_class=cells["class"],
        over=Fraction(cells["over_inch"]) * MM_PER_INCH,
        up_to=Fraction(cells["up_to_inch"]) * MM_PER_INCH,
        hole=pair("hole"),
        shaft=pair("shaft"),
        source=cells["source"],
    )


@cache
def _rows() -> tuple[_Row, ...]:
    return tuple(parsed("ansi_b41.csv", _row))


@cache
def inch_fit_classes() -> tuple[str, ...]:
    """Classes of fit that are stored, as written: a look-up.

    Returns : 'RC1', …, 'FN5' in the table's order
    Raises  : TableError if the table is broken
    Source  : tables/ansi_b41.csv, which says what was left out

    >>> inch_fit_classes()[0]
    'RC1'
    """
    return tuple(dict.fromkeys(row.fit_class for row in _rows()))


def inch_fit(size: Fraction | int, fit_class: str) -> Fit:
    """Limits of hole and shaft in a class of fit: basic hole, deviations in thou times 0.0254.

    size      : mm, nominal (1 inch = 25.4 mm), more than 0
    fit_class : 'RC4', 'LC2', 'LT3', 'LN2', 'FN2', …
    Returns   : Fit, all mm, exact; the zone of each part is the class
    Raises    : NoSuchSize for a class that is not stored; OutOfRange for a size beyond its rows
    Valid     : up to 9.85 inch, some classes to 12.41 inch, at 68 degrees Fahrenheit
    Source    : ANSI B4.1-1967, tables of RC, LC, LT, LN and FN fits, all from memory

    >>> inch_fit(Fraction(127, 5), "RC4").hole.upper_deviation * 1000 / Fraction(254, 10)
    Fraction(6, 5)
    """
    size = Fraction(size)
    wanted = fit_class.strip().upper().replace(" ", "")
    rows = [row for row in _rows() if row.fit_class == wanted]
    if not rows:
        same_kind = [name for name in inch_fit_classes() if name[:2] == wanted[:2]]
        allowed = "is not among the classes of ANSI B4.1 that are stored here"
        nearest = ", ".join(same_kind or nearest_names(wanted, inch_fit_classes()))
        raise NoSuchSize("class of fit", f"'{fit_class}'", allowed, nearest or None)
    row = next((row for row in rows if row.over < size <= row.up_to), None)
    if row is None:
        raise _beyond(size, wanted, rows)
    sources = (row.source,)
    return Fit(
        SizeLimits(size, wanted, *row.hole, sources),
        SizeLimits(size, wanted, *row.shaft, sources),
    )


def _beyond(size: Fraction, wanted: str, rows: list[_Row]) -> OutOfRange:
    given = f"{float(size / MM_PER_INCH):g} inch"
    if size <= 0:
        return OutOfRange("nominal size", given, "must be more than 0 inch")
    if rows[0].over < size <= rows[-1].up_to:
        above = next(row for row in rows if row.over >= size)
        below = [row for row in rows if row.up_to < size][-1]
        gap = (
            f"over {float(below.up_to / MM_PER_INCH):g} to {float(above.over / MM_PER_INCH):g} inch"
        )
        return OutOfRange(
            "nominal size", given, f"the table of {wanted} has no certain row for {gap}"
        )
    first, last = (float(edge / MM_PER_INCH) for edge in (rows[0].over, rows[-1].up_to))
    allowed = f"the table of {wanted} goes from {first:g} to {last:g} inch"
    nearest = f"{last:g} inch" if size > rows[-1].up_to else f"just over {first:g} inch"
    return OutOfRange("nominal size", given, allowed, nearest)
