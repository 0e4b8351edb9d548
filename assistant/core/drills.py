"""Drills by name and by size: number, letter, fractional and metric drills, and the nearest of each."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.threads import inch_sizes
from assistant.core.threads.listed_sizes import nearest
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed
from assistant.units import inches

NUMBERS_AND_LETTERS = "drills_number_letter.csv"
STEPPED = "drill_sets.csv"
KINDS = ("number", "letter", "fraction", "metric")


@dataclass(frozen=True)
class Drill:
    """One drill of a set."""

    name: str
    """'#7', 'F', '27/64', '2 inch', '5.2 mm'."""
    kind: str
    """'number', 'letter', 'fraction' or 'metric'."""
    diameter: Fraction
    """mm."""
    source: str


@dataclass(frozen=True)
class NearDrill:
    """A drill near a wanted diameter."""

    drill: Drill
    difference: Fraction
    """Diameter of the drill less the wanted one, mm; negative where the drill is smaller."""


def _named(row: dict[str, str]) -> Drill:
    kind = row["kind"]
    mark = {"number": "#", "letter": ""}[kind]
    diameter = inches(Fraction(row["diameter"]))
    return Drill(f"{mark}{row['name']}", kind, diameter, row["source"])


def _stepped(row: dict[str, str]) -> tuple[Drill, ...]:
    first, last, step = (Fraction(row[column]) for column in ("first", "last", "step"))
    unit = {"inch": inches(1), "mm": Fraction(1)}[row["unit"]]
    name = {"fraction": _fraction_name, "metric": _metric_name}[row["kind"]]
    count = int((last - first) / step) + 1
    sizes = [(first + place * step) * unit for place in range(count)]
    return tuple(Drill(name(size), row["kind"], size, row["source"]) for size in sizes)


def _fraction_name(diameter: Fraction) -> str:
    text = inch_sizes.written(diameter)
    # A bare 2 might be a number drill or millimetres.
    return f"{text} inch" if text.isdecimal() else text


def _metric_name(diameter: Fraction) -> str:
    return f"{float(diameter):g} mm"


@cache
def _set(kind: str) -> tuple[Drill, ...]:
    """The drills of one kind, rising in diameter, each once."""
    if kind in ("number", "letter"):
        found = [one for one in parsed(NUMBERS_AND_LETTERS, _named) if one.kind == kind]
    else:
        found = [one for row in parsed(STEPPED, _stepped) for one in row if one.kind == kind]
    once = {one.diameter: one for one in reversed(found)}
    return tuple(once[diameter] for diameter in sorted(once))


def drills(kinds: Iterable[str] = KINDS) -> tuple[Drill, ...]:
    """Every drill of the named sets.

    kinds   : of 'number', 'letter', 'fraction', 'metric'
    Returns : drills, rising in diameter within each set; diameters in mm, exact
    Raises  : NoSuchSize if a kind is not one of these, or none is named
    Valid   : the sets of the tables
    Source  : tables/drills_number_letter.csv and drill_sets.csv, a source in every row

    >>> drills(["letter"])[0].name
    'A'
    """
    wanted = tuple(kinds)
    unknown = [kind for kind in wanted if kind not in KINDS]
    if unknown or not wanted:
        given = ", ".join(repr(kind) for kind in unknown) or "none"
        raise NoSuchSize("drill set", given, f"the sets are {', '.join(KINDS)}")
    return tuple(one for kind in wanted for one in _set(kind))


def _number_drill(number: int) -> Drill:
    by_name = {int(one.name[1:]): one for one in _set("number")}
    if number not in by_name:
        close = min(by_name) if number < min(by_name) else max(by_name)
        raise OutOfRange(
            "drill",
            f"#{number}",
            f"number drills go from #{min(by_name)} to #{max(by_name)}",
            f"#{close}",
        )
    return by_name[number]


def _letter_drill(text: str) -> Drill:
    by_name = {one.name: one for one in _set("letter")}
    letter = text.upper()
    if letter not in by_name:
        raise NoSuchSize(
            "drill",
            repr(text),
            "letter drills are single letters A to Z",
            letter[0] if letter[0] in by_name else None,
        )
    return by_name[letter]


def _sized_drill(diameter: Fraction, kind: str) -> Drill:
    by_size = {one.diameter: one for one in _set(kind)}
    if diameter in by_size:
        return by_size[diameter]
    given = _metric_name(diameter) if kind == "metric" else f"{inch_sizes.written(diameter)} inch"
    close = " or ".join(by_size[one].name for one in nearest(by_size, diameter))
    first, last = _set(kind)[0].name, _set(kind)[-1].name
    if by_size and min(by_size) < diameter < max(by_size):
        raise NoSuchSize("drill", given, f"is no size of the {kind} set", close)
    raise OutOfRange("drill", given, f"the {kind} set goes from {first} to {last}", close)


def drill(text: str) -> Drill:
    """The drill of a name.

    text    : '#7', 'number 7', 'F', 'letter F', '27/64', '1 1/4 inch', '5.2 mm'
    Returns : Drill, its diameter in mm, exact
    Raises  : NoSuchSize for a name that no set has, OutOfRange past the end of a set, with the
              nearest drill; NoSuchSize for a bare number, which may be a number drill or mm
    Valid   : #1 to #97, A to Z, 64ths to 3 1/2 inch, metric 0.3 to 50 mm in steps
    Source  : tables/drills_number_letter.csv and drill_sets.csv

    >>> drill("#7").diameter
    Fraction(25527, 5000)
    """
    plain = " ".join(text.strip().split())
    lower = plain.lower()
    if match := re.fullmatch(r"(?:#|no\.? ?|number )\s*(\d+)", lower):
        return _number_drill(int(match[1]))
    if match := re.fullmatch(r"(?:letter )?([a-z]+)", lower):
        return _letter_drill(match[1].upper())
    if match := re.fullmatch(r"(\d*\.?\d+) ?mm", lower):
        return _sized_drill(Fraction(match[1]), "metric")
    if re.fullmatch(r"\d+", lower):
        raise NoSuchSize(
            "drill", repr(text), "may be a number drill or millimetres", f"#{plain} or {plain} mm"
        )
    return _sized_drill(inch_sizes.value(plain), "fraction")


@cache
def _rising(kinds: tuple[str, ...]) -> tuple[tuple[Fraction, ...], tuple[Drill, ...]]:
    """Diameters and drills of these sets together, rising; of two with one diameter that of the set named first."""
    by_size: dict[Fraction, Drill] = {}
    for one in drills(kinds):
        by_size.setdefault(one.diameter, one)
    sizes = tuple(sorted(by_size))
    return sizes, tuple(by_size[size] for size in sizes)


def nearest_drill(diameter: Fraction | float, kinds: Iterable[str] = KINDS) -> Drill:
    """The drill nearest to a diameter in the named sets: least |drill - wanted|, the larger in a tie.

    diameter : mm, greater than zero
    kinds    : sets to look through; where two have the same size, the first named
    Returns  : Drill
    Raises   : OutOfRange for a diameter of zero or less, NoSuchSize for an unknown set
    Valid    : any diameter; how far off the drill is, the caller must look at
    Source   : definition

    >>> nearest_drill(Fraction(51, 10), ["number"]).name
    '#7'
    """
    if diameter <= 0:
        raise OutOfRange("drill diameter", f"{float(diameter):g} mm", "must be more than 0 mm")
    sizes, rising = _rising(tuple(kinds))
    place = bisect_left(sizes, diameter)
    # Larger in a tie: a hole that is a little large spares the tap.
    return min(
        rising[max(0, place - 1) : place + 1],
        key=lambda one: (abs(one.diameter - diameter), -one.diameter),
    )


def nearest_drills(
    diameter: Fraction | float, kinds: Iterable[str] = KINDS
) -> tuple[NearDrill, ...]:
    """The drill nearest to a diameter in each set, with the difference: drill - wanted.

    diameter : mm, greater than zero
    kinds    : sets to look through
    Returns  : one NearDrill for each set that reaches from its smallest to its largest drill that
               far, nearest first; differences in mm, exact
    Raises   : OutOfRange for a diameter below the smallest or above the largest drill of all sets;
               NoSuchSize for an unknown set
    Valid    : diameters within the sets
    Source   : definition

    >>> [near.drill.name for near in nearest_drills(Fraction(26, 5))]
    ['5.2 mm', '#6', '13/64']
    """
    wanted = Fraction(diameter)
    kinds = tuple(kinds)
    nearest_drill(wanted, kinds)
    first, *_, last = _rising(kinds)[1]
    if not first.diameter <= wanted <= last.diameter:
        raise OutOfRange(
            "drill diameter",
            f"{float(wanted):g} mm",
            f"these drills go from {first.name} to {last.name}",
            (first if wanted < first.diameter else last).name,
        )
    reaching = [
        kind for kind in kinds if _set(kind)[0].diameter <= wanted <= _set(kind)[-1].diameter
    ]
    found = [nearest_drill(wanted, [kind]) for kind in reaching]
    near = [NearDrill(one, one.diameter - wanted) for one in found]
    return tuple(sorted(near, key=lambda one: abs(one.difference)))
