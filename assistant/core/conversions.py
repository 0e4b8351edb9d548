"""One unit into another, exactly, and a length as the nearest fraction of an inch.

Every unit of tables/unit_factors.csv is defined by a whole-number quotient of its base unit; so a
conversion is exact, and only what goes through pi (radians) is not.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.errors import NoSuchSize, OutOfRange, nearest_names
from assistant.tables import parsed
from assistant.units import MM_PER_INCH

LARGEST_NUMBER = 1_000_000_000
"""Larger numbers than this are mishearings, not measurements."""


@dataclass(frozen=True)
class Unit:
    """One unit of measurement, a row of tables/unit_factors.csv."""

    key: str
    """Identifier for the grammar: 'ft_per_min'."""
    name: str
    """As written: 'ft/min'."""
    kind: str
    """What it measures; only units of one kind convert into each other."""
    factor: Fraction | float
    """Base units of its kind in one of it; float where it goes through pi."""
    offset: Fraction
    """Taken off the number first: 32 for degrees Fahrenheit."""
    inverse: bool
    """True where the base is the factor divided by the number: threads per inch."""
    lowest: str
    """'any', '>0', or the least number that makes sense."""
    spoken: tuple[str, ...]
    basis: str
    """What it is by definition, one clause for the answer."""
    source: str


@dataclass(frozen=True)
class Converted:
    """A number in another unit, and how exact it is."""

    number: Fraction | float
    """Fraction where exact, float where it went through pi."""
    unit: str
    basis: str
    """The definition it rests on."""
    source: str

    @property
    def exact(self) -> bool:
        """True where no digit was lost in the conversion itself."""
        return isinstance(self.number, Fraction)


@dataclass(frozen=True)
class InchFraction:
    """A length as the nearest fraction of an inch on a rule."""

    inches: Fraction
    """inch, the fraction itself, exact."""
    finest: int
    """Denominator of the finest fraction that was allowed: 64 for sixty-fourths."""
    error: Fraction
    """mm, the fraction minus the true length, exact; 0 where the length is that fraction."""

    @property
    def whole(self) -> int:
        """Whole inches, towards zero.

        >>> nearest_inch_fraction(Fraction(40)).whole
        1
        """
        return int(self.inches)

    @property
    def remainder(self) -> Fraction:
        """The part beside the whole inches, in lowest terms; takes the sign of a negative length.

        >>> nearest_inch_fraction(Fraction(40)).remainder
        Fraction(37, 64)
        """
        return self.inches - self.whole

    @property
    def length(self) -> Fraction:
        """The fraction in mm, exact."""
        return self.inches * MM_PER_INCH


def _factor(text: str) -> Fraction | float:
    if text.endswith("/pi"):
        return float(Fraction(text.removesuffix("/pi"))) / math.pi
    return Fraction(text)


def _unit(row: dict[str, str]) -> Unit:
    return Unit(
        key=row["key"],
        name=row["unit"],
        kind=row["kind"],
        factor=_factor(row["factor"]),
        offset=Fraction(row["offset"]),
        inverse={"yes": True, "no": False}[row["inverse"]],
        lowest=row["lowest"],
        spoken=tuple(row["spoken"].split("|")),
        basis=row["basis"],
        source=row["source"],
    )


@cache
def units() -> dict[str, Unit]:
    """Every unit that can be converted, by name: u -> one row of the table.

    Returns : name -> Unit, in the table's order; factors exact except radian
    Raises  : TableError if the table is broken
    Source  : tables/unit_factors.csv, a source in every row

    >>> units()["inch"].factor
    Fraction(127, 5)
    """
    return {unit.name: unit for unit in parsed("unit_factors.csv", _unit)}


def unit_named(name: str) -> Unit:
    """The unit called `name` as written, by its key or as spoken: u = table[name].

    name    : 'mm', 'ft/min', 'ft_per_min', 'threads per inch', …
    Returns : Unit
    Raises  : NoSuchSize with the nearest names where there is none
    Source  : tables/unit_factors.csv

    >>> unit_named("threads per inch").name
    '1/inch'
    """
    if name in units():
        return units()[name]
    for unit in units().values():
        if name == unit.key or name in unit.spoken:
            return unit
    near = nearest_names(name, list(units()))
    allowed = "is not in the table of units"
    raise NoSuchSize("unit", f"'{name}'", allowed, ", ".join(near) or None)


def _check_number(number: Fraction, unit: Unit) -> None:
    given = f"{float(number):g} {unit.name}"
    if abs(number) > LARGEST_NUMBER:
        raise OutOfRange(unit.kind, given, f"must be at most {LARGEST_NUMBER}")
    if unit.lowest == ">0" and number <= 0:
        raise OutOfRange(unit.kind, given, f"must be more than 0 {unit.name}")
    if unit.lowest not in ("any", ">0") and number < Fraction(unit.lowest):
        raise OutOfRange(unit.kind, given, f"must be at least {unit.lowest} {unit.name}")


def convert(number: Fraction | int, unit: str, into: str) -> Converted:
    """`number` of `unit` in the unit `into`: y = (x - offset) factor / factor' + offset'.

    number  : in `unit`; threads per inch more than 0, speeds, feeds and masses not negative,
              temperatures not below absolute zero, none beyond 1e9
    unit    : name of the unit it is in ('inch', 'thou', '1/inch', 'psi', …)
    into    : name of the unit that is wanted, of the same kind
    Returns : Converted, exact (Fraction) unless one of the two is the radian
    Raises  : NoSuchSize for a unit that is not in the table; OutOfRange for two units of
              different kinds and for a number that makes no sense
    Valid   : definitions, no rounding; 1/inch and a length convert as pitch and threads per inch
    Source  : tables/unit_factors.csv: SI Brochure, NIST SP 811, agreement of 1959

    >>> convert(Fraction(7, 16), "inch", "mm").number
    Fraction(889, 80)
    """
    source, target = unit_named(unit), unit_named(into)
    if source.kind != target.kind:
        kin = ", ".join(name for name, other in units().items() if other.kind == source.kind)
        quantity = f"{source.name} ({source.kind})"
        allowed = f"cannot become a {target.kind}; {source.kind} converts into {kin}"
        raise OutOfRange(quantity, f"into {target.name}", allowed)
    _check_number(Fraction(number), source)
    base: Fraction | float
    if source.inverse:
        base = source.factor / Fraction(number)
    else:
        base = (Fraction(number) - source.offset) * source.factor
    if source.name == target.name:
        result: Fraction | float = Fraction(number)
    elif target.inverse:
        if base <= 0:
            given = f"{float(number):g} {source.name}"
            raise OutOfRange("pitch", given, f"must be more than 0 {source.name}")
        result = target.factor / base
    else:
        result = base / target.factor + target.offset
    telling = [each for each in (source.basis, target.basis) if "=" in each]
    basis = "; ".join(dict.fromkeys(telling or (source.basis,)))
    return Converted(result, target.name, basis, _both(source.source, target.source))


def _both(first: str, second: str) -> str:
    return first if first == second else f"{first}; {second}"


def inches_of(length: Fraction | int) -> Fraction:
    """A length in inches: mm / 25.4.

    length  : mm, any sign
    Returns : inch, exact
    Raises  : nothing
    Source  : international yard and pound agreement (1959): 1 inch = 25.4 mm

    >>> inches_of(Fraction(127, 40))
    Fraction(1, 8)
    """
    return Fraction(length) / MM_PER_INCH


def thou_of(length: Fraction | int) -> Fraction:
    """A length in thousandths of an inch: 1000 mm / 25.4.

    length  : mm, any sign
    Returns : thou, exact
    Raises  : nothing
    Source  : international yard and pound agreement (1959): 1 inch = 25.4 mm

    >>> thou_of(Fraction(254, 1000))
    Fraction(10, 1)
    """
    return inches_of(length) * 1000


def nearest_inch_fraction(length: Fraction | int, finest: int = 64) -> InchFraction:
    """The fraction of an inch nearest to a length: round(finest mm / 25.4) / finest.

    length  : mm, any sign
    finest  : denominator of the finest fraction allowed: 2, 4, 8, 16, 32, 64 or 128
    Returns : InchFraction with its error in mm, exact; a length just half-way between two goes to
              the coarser fraction
    Raises  : OutOfRange for a denominator that is not on an inch rule, or a length beyond 1e9 mm
    Source  : arithmetic; 1 inch = 25.4 mm (1959)

    >>> nearest_inch_fraction(Fraction(10)).inches
    Fraction(25, 64)
    """
    allowed = (2, 4, 8, 16, 32, 64, 128)
    if finest not in allowed:
        nearest = min(allowed, key=lambda one: abs(one - finest))
        raise OutOfRange("fraction of an inch", f"1/{finest}", "is not on a rule", f"1/{nearest}")
    if abs(Fraction(length)) > LARGEST_NUMBER:
        raise OutOfRange("length", f"{float(length):g} mm", f"must be at most {LARGEST_NUMBER} mm")
    # Half to even keeps the even numerator, which is the coarser fraction.
    inches = Fraction(round(inches_of(length) * finest), finest)
    return InchFraction(inches, finest, inches * MM_PER_INCH - length)
