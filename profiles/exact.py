"""Exact quantities as a profile writes them: a number, a space, a unit, all in quotes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from assistant.core.levers import GearTrain
from assistant.units import MM_PER_INCH
from profiles.placard import shown

NUMBER = r"(?:(?:[0-9]{1,6} )?[0-9]{1,6}/[0-9]{1,6}|[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9})"
"""Whole number, decimal, fraction or whole number and fraction; short enough to stay quick."""

_QUANTITY = re.compile(rf"({NUMBER}) ?([a-zA-Z][a-zA-Z/ ]*)")
_PLAIN_NUMBER = re.compile(NUMBER)
_PAIR = re.compile(r"([0-9]{1,4})/([0-9]{1,4})")

MOST_PAIRS = 6
TEETH = range(1, 1001)
"""A single-start worm counts as one tooth."""


@dataclass(frozen=True)
class Printed:
    """A figure as it stands in the profile, and what it is worth."""

    text: str
    """As written: '0.35 mm'."""
    value: Fraction
    """Exact, in the core's unit."""
    half_digit: Fraction
    """Half of the last written decimal, in the core's unit; 0 for a fraction and for 'per inch'."""


@dataclass(frozen=True)
class Unit:
    """One unit that a field may be written in."""

    factor: Fraction
    """Core units in one of it."""
    per: bool = False
    """True where the figure counts how many go into `factor`: '8 per inch'."""


@dataclass(frozen=True)
class Measure:
    """What a field measures: the units it may be written in."""

    example: str
    units: Mapping[str, Unit]


LENGTH = Measure(
    '"0.1 mm" or "1/8 inch"',
    {
        "mm": Unit(Fraction(1)),
        "m": Unit(Fraction(1000)),
        "inch": Unit(MM_PER_INCH),
        "thou": Unit(MM_PER_INCH / 1000),
    },
)
LEAD = Measure(
    '"1.5 mm" or "11 1/2 per inch"',
    {
        "mm": Unit(Fraction(1)),
        "inch": Unit(MM_PER_INCH),
        "per inch": Unit(MM_PER_INCH, per=True),
    },
)
FEED = Measure(
    '"0.1 mm/turn" or "0.004 inch/turn"',
    {
        "mm/turn": Unit(Fraction(1)),
        "inch/turn": Unit(MM_PER_INCH),
        "thou/turn": Unit(MM_PER_INCH / 1000),
    },
)
SPEED = Measure('"210 rpm"', {"rpm": Unit(Fraction(1))})
# 550 foot pounds-force a second; foot and pound-force are exact by definition.
_HORSEPOWER = 550 * Fraction("0.3048") * Fraction("4.4482216152605") / 1000
POWER = Measure(
    '"2.2 kW"',
    {"kW": Unit(Fraction(1)), "W": Unit(Fraction(1, 1000)), "hp": Unit(_HORSEPOWER)},
)
SHARE_EXAMPLE = '"10 %"'


def number(text: str) -> Fraction:
    """The number written as a whole number, decimal, fraction, or whole number and fraction, exact.

    Raises ValueError for anything else and for a zero under the line.

    >>> number("11 1/2")
    Fraction(23, 2)
    """
    if not _PLAIN_NUMBER.fullmatch(text):
        raise ValueError(f'"{shown(text)}" is not a number such as 12, 0.35, 7/16 or 11 1/2')
    whole, _, rest = text.rpartition(" ")
    if "/" in rest and int(rest.partition("/")[2]) == 0:
        raise ValueError(f'"{shown(text)}" has a zero under the line')
    return Fraction(rest) + (Fraction(whole) if whole else 0)


def printed(text: str, measure: Measure) -> Printed:
    """The figure `text` in one of the units of `measure`, exact and more than zero.

    Raises ValueError with one sentence that says what would be right.

    >>> printed("8 per inch", LEAD).value
    Fraction(127, 40)
    """
    example, units = measure.example, measure.units
    match = _QUANTITY.fullmatch(text.strip())
    if match is None or match[2] not in units:
        raise ValueError(f'"{shown(text)}" is not a figure with its unit such as {example}')
    amount = number(match[1])
    if amount == 0:
        raise ValueError(f'"{shown(text)}" must be more than zero, such as {example}')
    unit = units[match[2]]
    if unit.per:
        return Printed(text, unit.factor / amount, Fraction(0))
    decimals = len(match[1].partition(".")[2])
    half = Fraction(0) if "/" in match[1] else Fraction(1, 2 * 10**decimals)
    return Printed(text, amount * unit.factor, half * unit.factor)


def ratio(text: str) -> Fraction:
    """A bare ratio such as '1/2' or '2.5', exact and more than zero. Raises ValueError.

    >>> ratio("2/5")
    Fraction(2, 5)
    """
    value = number(text)
    if value == 0:
        raise ValueError(f'"{shown(text)}" must be more than zero, such as "1/2"')
    return value


def share(text: str) -> Fraction:
    """A share such as '10 %', exact, 0 % to 100 %. Raises ValueError.

    >>> share("10 %")
    Fraction(1, 10)
    """
    digits, _, rest = text.partition("%")
    if rest or digits == text or not _PLAIN_NUMBER.fullmatch(digits.rstrip(" ")):
        raise ValueError(f'"{shown(text)}" is not a share such as {SHARE_EXAMPLE}')
    value = number(digits.rstrip(" ")) / 100
    if value > 1:
        raise ValueError(f'"{shown(text)}" is over 100 %')
    return value


def train(text: str) -> GearTrain:
    """Gear pairs as 'driver/driven x driver/driven', spindle side first. Raises ValueError.

    >>> train("40/127 x 120/60").ratio
    Fraction(80, 127)
    """
    example = '"40/60" or "30/60 x 24/72" (driver over driven)'
    pairs = [_PAIR.fullmatch(part.strip()) for part in text.split("x")]
    drivers = [int(pair[1]) for pair in pairs if pair is not None]
    driven = [int(pair[2]) for pair in pairs if pair is not None]
    if len(drivers) != len(pairs):
        raise ValueError(f'"{shown(text)}" is not a gear train such as {example}')
    if len(pairs) > MOST_PAIRS:
        raise ValueError(f'"{shown(text)}" has more than {MOST_PAIRS} pairs')
    odd = [teeth for teeth in (*drivers, *driven) if teeth not in TEETH]
    if odd:
        raise ValueError(f'"{shown(text)}" has a gear of {odd[0]} teeth; expected 1 to {TEETH[-1]}')
    return GearTrain(tuple(drivers), tuple(driven))
