"""Tapers by name: Morse, Jarno, Brown and Sharpe, metric, 7/24, Jacobs, pipe and a few more."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.angles import decimal_degrees
from assistant.core.tapers import (
    Taper,
    taper_by_foot,
    taper_by_included_angle,
    taper_by_ratio,
)
from assistant.errors import NoSuchSize, nearest_names
from assistant.tables import parsed
from assistant.units import MM_PER_INCH


@dataclass(frozen=True)
class NamedTaper:
    """A taper of a standard or a series; sizes in mm, exact."""

    name: str
    family: str
    taper: Taper
    large_diameter: Fraction | None
    """At the large end or gauge plane; None where there is none or it is not certain."""
    small_diameter: Fraction | None
    """At the small end of the plug."""
    length: Fraction | None
    """Between the two."""
    source: str


def _taper(kind: str, figure: str) -> Taper:
    if kind == "per foot":
        return taper_by_foot(Fraction(figure))
    if kind == "ratio":
        diameter, length = figure.split(":")
        return taper_by_ratio(Fraction(length), Fraction(diameter))
    if kind == "included":
        degrees, minutes = figure.split()
        return taper_by_included_angle(decimal_degrees(int(degrees), int(minutes)))
    raise ValueError(f"kind '{kind}' is not per foot, ratio or included")


def _named(cells: dict[str, str]) -> NamedTaper:
    unit = {"inch": MM_PER_INCH, "mm": Fraction(1)}[cells["unit"]]

    def size(column: str) -> Fraction | None:
        return Fraction(cells[column]) * unit if cells[column] else None

    return NamedTaper(
        name=cells["name"],
        family=cells["family"],
        taper=_taper(cells["kind"], cells["taper"]),
        large_diameter=size("large"),
        small_diameter=size("small"),
        length=size("length"),
        source=cells["source"],
    )


@cache
def named_tapers() -> tuple[NamedTaper, ...]:
    """Every taper that is stored by name, in the table's order: a look-up.

    Returns : NamedTaper each, exact but for those that are defined by an angle
    Raises  : TableError if the table is broken
    Source  : tables/tapers.csv, a source in every row

    >>> named_tapers()[0].name
    'MT0'
    """
    return tuple(parsed("tapers.csv", _named))


def _squeezed(name: str) -> str:
    """Name without what people write differently: case, blanks, 'no', 'taper' spelt out."""
    text = re.sub(r"morse( taper)?", "mt", name.lower())
    text = re.sub(r"jacobs( taper)?", "jt", text)
    text = re.sub(r"(brown (and|&) sharpe|b ?& ?s)( taper)?", "bs", text)
    return re.sub(r"\bno\b|[ .#]", "", text)


def named_taper(name: str) -> NamedTaper:
    """The taper called `name`: a look-up by its written name.

    name    : 'MT3', 'Morse 3', 'Jarno 7', 'B&S 9', 'metric 80', '7/24 40', 'JT33', 'R8', …
    Returns : NamedTaper
    Raises  : NoSuchSize with the nearest names where there is no such taper
    Source  : tables/tapers.csv

    >>> named_taper("MT3").taper.per_foot
    Fraction(12047, 20000)
    """
    wanted = _squeezed(name)
    for known in named_tapers():
        if _squeezed(known.name) == wanted:
            return known
    by_name = {_squeezed(known.name): known.name for known in named_tapers()}
    family = re.sub(r"[-0-9/]+$", "", wanted)
    kin = [known for squeezed, known in by_name.items() if family and squeezed.startswith(family)]
    near = kin or [by_name[found] for found in nearest_names(wanted, list(by_name))]
    hint = f"{near[0]} to {near[-1]}" if len(near) > 3 else ", ".join(near)
    raise NoSuchSize("taper", f"'{name}'", "no taper of that name is stored", hint or None)
