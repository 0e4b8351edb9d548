"""Numbers said without a unit.

They follow the units that were named in the same question, else the operator's; unless only the other
units make sense of them all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.answer import Phrase
from assistant.query import Query
from assistant.tables import parsed
from assistant.units import Quantity, magnitude_in, quantity

_METRIC = frozenset({"millimeter", "meter", "micrometer"})
_UNITS = {"mm": ("mm", "micrometer"), "inch": ("inch", "microinch")}
"""System -> its unit of length and of roughness."""


@dataclass(frozen=True)
class Settled:
    """The sizes of a question and what was assumed about them."""

    sizes: Mapping[str, Fraction]
    """Field -> mm (micrometres for a roughness); fields that were not named are absent."""
    assumed: tuple[Phrase, ...]

    def in_inches(self, amount: Quantity) -> bool:
        """True where `amount`, one of the question's, was named or taken in inches."""
        if self.assumed:
            return self.assumed[0].key.endswith("inch")
        return _system(amount) == "inch"

    def get(self, field: str) -> Fraction | None:
        """The size of `field`, or None where it was not named."""
        return self.sizes.get(field)


@cache
def _plausible() -> dict[str, tuple[str, Fraction, Fraction]]:
    return dict(
        parsed(
            "plausible.csv",
            lambda row: (row["field"], (row["unit"], Fraction(row["low"]), Fraction(row["high"]))),
        )
    )


def settled(query: Query) -> Settled:
    """The sizes of `query` in mm or micrometres, bare numbers in the units that make sense of them all."""
    table = _plausible()
    given = {name: getattr(query, name, None) for name in (*table, "bar_size")}
    own = {
        name: magnitude_in(amount, table[name][0] if name in table else "mm")
        for name, amount in given.items()
        if amount is not None
    }
    bare = [name for name in query.bare if name in table]
    keys = [each for each in query.assumed if each.startswith("unit-")]
    if not bare:
        return Settled(own, tuple(Phrase(f"taken-{key}") for key in keys))
    operators = _system(given[bare[0]])
    named = {
        _system(amount) for name, amount in given.items() if amount is not None and name not in bare
    }
    first = named.pop() if len(named) == 1 else operators
    for system in (first, "inch" if first == "mm" else "mm"):
        sizes = {**own, **{name: _in_system(given[name], system, table[name][0]) for name in bare}}
        if _fit(sizes, bare):
            key = "unit" if system == first else "other"
            return Settled(sizes, (Phrase(f"taken-{key}-{_called(system, bare)}"),))
    # Nothing makes sense of them: the operator's units, and the calculation names the limit.
    return Settled(own, (Phrase(f"taken-unit-{_called(operators, bare)}"),))


def _system(amount: Quantity) -> str:
    return "mm" if str(amount.units) in _METRIC else "inch"


def _called(system: str, bare: list[str]) -> str:
    """The system as its phrase is keyed: by lengths, or by roughness where nothing else was bare."""
    if set(bare) <= {"ra", "rz"}:
        return {"mm": "um", "inch": "uin"}[system]
    return system


def _in_system(amount: Quantity, system: str, unit: str) -> Fraction:
    length, roughness = _UNITS[system]
    return magnitude_in(
        quantity(amount.magnitude, roughness if unit == "micrometer" else length), unit
    )


def _fit(sizes: Mapping[str, Fraction], names: list[str]) -> bool:
    # Zero makes sense in no units, so it tells nothing about them; the calculation refuses it.
    return all(
        sizes[name] == 0 or _plausible()[name][1] <= sizes[name] <= _plausible()[name][2]
        for name in names
    )
