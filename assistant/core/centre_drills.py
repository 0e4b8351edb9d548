"""Centre drills: which one for a work diameter, and how deep."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.errors import NoSuchSize, OutOfRange, nearest_names
from assistant.tables import parsed
from assistant.units import MM_PER_INCH

SERIES = ("ISO", "ASME")
"""Series that are stored: ISO 866 type A, ASME B94.11M plain type."""

LARGEST_WORK = 1000
"""mm; larger work is not centred from this table."""

_HALF_CONE = math.radians(30)


@dataclass(frozen=True)
class CentreDrill:
    """A centre drill with a 60 degree countersink; sizes in mm, exact."""

    series: str
    size: str
    """As written on it: pilot diameter in mm (ISO) or number (ASME)."""
    pilot: Fraction
    body: Fraction
    pilot_length_min: Fraction
    """From the tip of the pilot to the cone."""
    pilot_length_max: Fraction
    countersink: Fraction
    """Usual large diameter of the centre hole."""
    source: str


@dataclass(frozen=True)
class CentreDepth:
    """How deep to feed from the touch of the pilot's tip; mm, approximate."""

    countersink: Fraction
    """Large diameter of the hole that results."""
    cone: float
    """Depth of the cone alone: what to feed after the cone touches."""
    least: float
    """With the shortest pilot that the standard allows."""
    most: float
    """With the longest."""


def _drill(cells: dict[str, str]) -> CentreDrill:
    unit = {"inch": MM_PER_INCH, "mm": Fraction(1)}[cells["unit"]]

    def size(column: str) -> Fraction:
        return Fraction(cells[column]) * unit

    return CentreDrill(
        series=cells["series"],
        size=cells["size"],
        pilot=size("pilot"),
        body=size("body"),
        pilot_length_min=size("pilot_min"),
        pilot_length_max=size("pilot_max"),
        countersink=size("countersink"),
        source=cells["source"],
    )


def _check_series(series: str) -> None:
    if series not in SERIES:
        near = ", ".join(nearest_names(series, SERIES) or SERIES)
        raise NoSuchSize("series of centre drills", f"'{series}'", "is not stored", near)


@cache
def centre_drills(series: str) -> tuple[CentreDrill, ...]:
    """The centre drills of one series, smallest first: a look-up.

    series  : 'ISO' or 'ASME'
    Returns : CentreDrill each, mm, exact
    Raises  : NoSuchSize for another series
    Source  : tables/centre_drills.csv, a source in every row

    >>> centre_drills("ISO")[0].size
    '1'
    """
    _check_series(series)
    return tuple(drill for drill in parsed("centre_drills.csv", _drill) if drill.series == series)


def centre_drill_named(size: str, series: str) -> CentreDrill:
    """The centre drill of a size: a look-up.

    size    : pilot diameter in mm as text (ISO: '2.5') or number (ASME: '4')
    series  : 'ISO' or 'ASME'
    Returns : CentreDrill, mm, exact
    Raises  : NoSuchSize with the sizes that are stored
    Source  : tables/centre_drills.csv

    >>> centre_drill_named("4", "ASME").body
    Fraction(127, 16)
    """
    for drill in centre_drills(series):
        if drill.size == size:
            return drill
    listed = ", ".join(drill.size for drill in centre_drills(series))
    raise NoSuchSize(f"{series} centre drill", f"'{size}'", "is not stored", listed)


@cache
def _countersinks() -> tuple[tuple[Fraction, Fraction], ...]:
    """Work diameter from which, countersink; mm."""

    def pair(cells: dict[str, str]) -> tuple[Fraction, Fraction]:
        columns = ("from_inch", "countersink_inch")
        start, countersink = (Fraction(cells[column]) * MM_PER_INCH for column in columns)
        return start, countersink

    return tuple(parsed("centre_holes.csv", pair))


def centre_drill_for(work_diameter: Fraction | int, series: str) -> CentreDrill:
    """The centre drill for a work diameter: the one whose countersink is nearest to the usual one.

    work_diameter : mm, 4.76 (3/16 inch) to 1000
    series        : 'ISO' or 'ASME'
    Returns       : CentreDrill; of two as near the smaller
    Raises        : OutOfRange outside those diameters; NoSuchSize for another series
    Valid         : a starting value; heavy work or heavy cuts need a larger centre
    Source        : textbook table of centre holes, common practice, from memory

    >>> centre_drill_for(25, "ISO").size
    '2'
    """
    smallest = _countersinks()[0][0]
    given = f"{float(work_diameter):g} mm"
    if work_diameter <= 0:
        raise OutOfRange("work diameter", given, "must be more than 0 mm")
    if work_diameter < smallest:
        allowed = f"the table of centre holes begins at {float(smallest):g} mm (3/16 inch)"
        raise OutOfRange("work diameter", given, allowed, f"{float(smallest):g} mm")
    if work_diameter > LARGEST_WORK:
        raise OutOfRange("work diameter", given, f"must be at most {LARGEST_WORK} mm")
    wanted = [hole for start, hole in _countersinks() if start <= work_diameter][-1]
    return min(centre_drills(series), key=lambda drill: abs(drill.countersink - wanted))


def centre_depth(drill: CentreDrill, countersink: Fraction | None = None) -> CentreDepth:
    """How deep to feed for a countersink: L = pilot length + (C - d) / (2 tan 30).

    drill       : which centre drill
    countersink : C, mm, large diameter wanted, between pilot and body; None for the usual one
    Returns     : CentreDepth, mm, approximate
    Raises      : OutOfRange where the countersink is not between pilot and body
    Valid       : 60 degree cone; the face turned true; counted from the touch of the pilot's tip
    Source      : geometry of the cone; pilot lengths as the drill's row says

    >>> round(centre_depth(centre_drill_named("2", "ISO")).cone, 2)
    1.95
    """
    wanted = drill.countersink if countersink is None else Fraction(countersink)
    if not drill.pilot < wanted <= drill.body:
        given = f"{float(wanted):g} mm"
        low, high = float(drill.pilot), float(drill.body)
        allowed = f"this drill cuts from more than {low:g} to {high:g} mm"
        raise OutOfRange("countersink diameter", given, allowed)
    cone = float(wanted - drill.pilot) / (2 * math.tan(_HALF_CONE))
    least, most = float(drill.pilot_length_min), float(drill.pilot_length_max)
    return CentreDepth(wanted, cone, least + cone, most + cone)
