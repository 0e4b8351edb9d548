"""What a number may be before it is taken for a slip: zero, negative, absurd and not-a-number are refused by name."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.errors import OutOfRange, TableError
from assistant.tables import parsed

Number = Fraction | float | int
"""Exact or approximate plain number."""


@dataclass(frozen=True)
class Bound:
    """Limits of one quantity."""

    unit: str
    smallest: Fraction
    smallest_itself: bool
    """True where `smallest` is allowed, False where the value must be more."""
    largest: Fraction


@cache
def _bounds() -> dict[str, Bound]:
    def parse(row: dict[str, str]) -> tuple[str, Bound]:
        smallest = row["smallest"]
        return row["quantity"], Bound(
            row["unit"],
            Fraction(smallest.removeprefix("above ")),
            not smallest.startswith("above "),
            Fraction(row["largest"]),
        )

    return dict(parsed("bounds.csv", parse))


def with_unit(value: Number, unit: str) -> str:
    """`value` and `unit` as a message shows them, up to six figures.

    value   : any plain number
    unit    : its unit, '' for none
    Returns : text
    Raises  : nothing
    Valid   : messages only; answers are rounded elsewhere
    Source  : none

    >>> with_unit(Fraction(5, 2), "mm")
    '2.5 mm'
    """
    named = "degrees" if unit == "degree" and value != 1 else unit
    # Above six figures 'g' would write powers of ten.
    number = f"{float(value):g}" if abs(float(value)) < 1_000_000 else f"{float(value):.0f}"
    return f"{number} {named}".strip()


def check(quantity: str, value: Number, largest: Number | None = None) -> None:
    """Refuse `value` unless it lies within the bounds of `quantity`.

    quantity : a row of tables/bounds.csv
    value    : in the unit of that row
    largest  : a tighter upper limit, same unit; None for the table's
    Returns  : nothing
    Raises   : OutOfRange naming the limit that was passed and the nearest value allowed
    Valid    : every quantity in the table
    Source   : tables/bounds.csv

    >>> check("work diameter", Fraction(25))
    """
    if quantity not in _bounds():
        raise TableError("bounds.csv", f"has no row '{quantity}'")
    bound = _bounds()[quantity]
    given = with_unit(value, bound.unit)
    if isinstance(value, float) and not math.isfinite(value):
        raise OutOfRange(quantity, given, "must be a finite number")
    if value < bound.smallest or (value == bound.smallest and not bound.smallest_itself):
        smallest = with_unit(bound.smallest, bound.unit)
        if bound.smallest_itself:
            raise OutOfRange(quantity, given, f"must be at least {smallest}", smallest)
        raise OutOfRange(quantity, given, f"must be more than {smallest}")
    most = bound.largest if largest is None else largest
    if value > most:
        text = with_unit(most, bound.unit)
        raise OutOfRange(quantity, given, f"must be at most {text}", text)
