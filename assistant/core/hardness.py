"""Hardness of steel from one scale to another, by ASTM E140, inside its tables only.

A conversion is never exact: the scales test different things. Between two rows the figure is taken
in proportion; outside the rows there is no figure.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.errors import NoSuchSize, OutOfRange, nearest_names
from assistant.tables import parsed

SCALES = {"HRC": "Rockwell C", "HRB": "Rockwell B", "HV": "Vickers", "HB": "Brinell"}
"""Scales that are stored; HB is HBW, carbide ball and 3000 kgf."""


@dataclass(frozen=True)
class Hardness:
    """A converted hardness; approximate."""

    number: float
    scale: str
    other: float | None
    """The figure of the second table where both cover the given hardness and disagree; else None."""
    source: str


@dataclass(frozen=True)
class _Row:
    """One line of a table: scale -> hardness."""

    values: dict[str, Fraction]
    source: str


def _row(cells: dict[str, str]) -> _Row:
    columns = {
        f"HR{cells['rockwell_scale']}": "rockwell",
        "HV": "vickers",
        "HB": "brinell",
    }
    values = {scale: Fraction(cells[name]) for scale, name in columns.items() if cells[name]}
    return _Row(values, cells["source"])


@cache
def _tables() -> tuple[tuple[_Row, ...], ...]:
    """Table 1 (with Rockwell C), then Table 2 (with Rockwell B), softest row first."""
    rows = tuple(parsed("hardness_e140.csv", _row))
    return tuple(tuple(row for row in rows if name in row.values) for name in ("HRC", "HRB"))


def _check_scale(scale: str) -> None:
    if scale not in SCALES:
        near = ", ".join(nearest_names(scale, list(SCALES)) or SCALES)
        raise NoSuchSize("hardness scale", f"'{scale}'", "is not stored", near)


def _pairs(scale: str, into: str) -> list[tuple[list[tuple[Fraction, Fraction]], str]]:
    """For each table that has both scales: its pairs of hardness, rising, and its source."""
    found = []
    for table in _tables():
        both = [row for row in table if scale in row.values and into in row.values]
        if both:
            pairs = [(row.values[scale], row.values[into]) for row in both]
            found.append((pairs, both[0].source))
    return found


def _between(pairs: list[tuple[Fraction, Fraction]], number: Fraction) -> float | None:
    """The figure in proportion between two rows; None outside the table."""
    if not pairs[0][0] <= number <= pairs[-1][0]:
        return None
    above = next(place for place, (given, _) in enumerate(pairs) if given >= number)
    high, high_into = pairs[above]
    if high == number:
        return float(high_into)
    low, low_into = pairs[above - 1]
    return float(low_into + (high_into - low_into) * (number - low) / (high - low))


def convert_hardness(number: Fraction | int, scale: str, into: str) -> Hardness:
    """Hardness on another scale: the table's figure, in proportion between two rows.

    number  : hardness on `scale`
    scale   : 'HRC', 'HRB', 'HV' or 'HB'
    into    : the scale that is wanted
    Returns : Hardness, approximate
    Raises  : NoSuchSize for another scale; OutOfRange where no table covers it, with the range
    Valid   : carbon and alloy steels that are not austenitic, as forged, annealed, normalized or
              quenched and tempered; not a substitute for a test on the scale that is called for
    Source  : ASTM E140 Tables 1 and 2, from memory

    >>> convert_hardness(50, "HRC", "HV").number
    513.0
    """
    _check_scale(scale)
    _check_scale(into)
    given = f"{float(number):g} {scale}"
    if scale == into:
        raise OutOfRange("hardness", given, f"is already on the {SCALES[into]} scale")
    tables = _pairs(scale, into)
    if not tables:
        allowed = f"ASTM E140 has no table from {SCALES[scale]} straight to {SCALES[into]}"
        raise OutOfRange("hardness", given, allowed, "HV or HB")
    found = [(_between(pairs, Fraction(number)), source) for pairs, source in tables]
    inside = [(figure, source) for figure, source in found if figure is not None]
    if not inside:
        low = float(min(pairs[0][0] for pairs, _ in tables))
        high = float(max(pairs[-1][0] for pairs, _ in tables))
        allowed = f"ASTM E140 covers {low:g} to {high:g} {scale} into {into}"
        nearest = f"{low:g} {scale}" if number < low else f"{high:g} {scale}"
        raise OutOfRange("hardness", given, allowed, nearest)
    figure, source = inside[0]
    other = inside[1][0] if len(inside) > 1 else None
    return Hardness(figure, into, other, source)
