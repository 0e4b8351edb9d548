"""Turns the parser's tree into a Query.

Three conventions do almost all of it, so that a new question needs no code here:
- an alias FIELD__VALUE sets a field to a constant ('tool__hss');
- a rule with one value in it sets the field of its own name ('diameter: length');
- a rule with the name of a Query makes that Query from the fields below it.
"""

from __future__ import annotations

from dataclasses import fields
from fractions import Fraction
from typing import Any

from lark import Token, Transformer, Tree

from assistant.query import KINDS, Query, ThreadNamed
from assistant.units import Quantity, quantity
from grammar.aliases import of_alias
from grammar.reading_cutting import CuttingReading
from grammar.reading_following import FollowingReading
from grammar.reading_levers import LeverReading
from grammar.reading_sizing import SizingReading
from grammar.said import Said

Pair = tuple[str, Any]

_UNITS = {
    "unit_mm": "mm",
    "unit_inch": "inch",
    "unit_thou": "thou",
    "unit_m": "meter",
    "unit_foot": "foot",
}


def _flat(children: list[Any]) -> list[Any]:
    found: list[Any] = []
    for child in children:
        if isinstance(child, list):
            found.extend(child)
        elif child is not None:
            found.append(child)
    return found


def _constant(text: str) -> Any:
    if text == "true":
        return True
    if text == "none":
        return None
    return int(text) if text.isdigit() else text


class Reading(
    CuttingReading, FollowingReading, LeverReading, SizingReading, Transformer[Token, Any]
):
    """One reading of one sentence; `units` are those of the operator."""

    def __init__(self, units: str) -> None:
        super().__init__(visit_tokens=False)
        self._units = units
        self.assumed: list[str] = []
        self._bare: list[Quantity] = []

    def query(self, tree: Tree[Token], kind: type[Query]) -> Query:
        """The Query of this tree; `kind` is that of its start rule."""
        made = self.transform(tree)
        # An alias that stands on the start rule itself hides the rule's name: its fields come bare.
        return made if isinstance(made, Query) else self._made(kind, made)

    def __default__(self, data: Any, children: list[Any], meta: Any) -> Any:
        """The conventions above, for every rule without a method of its own."""
        name = str(data)
        children = _flat(children)
        stem = name.partition("__")[0]
        if stem in KINDS:
            return self._made(KINDS[stem], children)
        if name.startswith("n_"):
            return int(name[2:])
        if name.startswith("over_"):
            return int(name[5:])
        if name in _UNITS:
            return _UNITS[name]
        if "__" in name:
            field, _, value = name.partition("__")
            return [self._pair(field, value)]
        if len(children) == 1 and not _is_pair(children[0]):
            return children[0] if name in _PASSED_ON else [(name, children[0])]
        return children or None

    def _pair(self, field: str, value: str) -> Pair:
        if field == "loose_material":
            self.assumed.append("loose-material")
            return ("material", value)
        if field in ("procedure", "landmark", "operator"):
            return (field, of_alias(value))
        if field in _HYPHENED:
            value = value.replace("_", "-")
        return (field, _constant(value))

    def _made(self, cls: type[Query], children: list[Any]) -> Query:
        known = {each.name for each in fields(cls)}
        pairs = dict(child for child in children if _is_pair(child))
        unknown = set(pairs) - known
        if unknown:
            raise TypeError(f"grammar gives {sorted(unknown)}, which {cls.__name__} does not have")
        bare = (name for name, value in pairs.items() if any(value is each for each in self._bare))
        return cls(**pairs, assumed=tuple(dict.fromkeys(self.assumed)), bare=tuple(bare))

    def total(self, children: list[Any]) -> Any:
        """The sum of the parts of a number; 'one and three quarters'."""
        parts = _flat(children)
        return sum(parts[1:], start=parts[0])

    def times_hundred(self, children: list[int]) -> int:
        """'five hundred'."""
        return children[0] * 100

    def times_thousand(self, children: list[int]) -> int:
        """'two thousand'."""
        return children[0] * 1000

    def pair_of_digits(self, children: list[int]) -> list[int]:
        """'point twenty five': two places."""
        return [int(digit) for digit in f"{sum(children):02d}"]

    def decimals(self, children: list[Any]) -> Fraction:
        """The digits behind the point, as their fraction."""
        digits = _flat(children)
        return Fraction(int("".join(map(str, digits))), 10 ** len(digits))

    def decimal(self, children: list[Any]) -> Fraction:
        """'one point seven five', 'point oh six'."""
        return Fraction(sum(children))

    def one_over(self, children: list[int]) -> Fraction:
        """'half', 'a quarter'."""
        return Fraction(1, children[-1])

    def some_over(self, children: list[int]) -> Fraction:
        """'three quarters'."""
        return Fraction(children[0], children[1])

    def plain_number(self, children: list[Any]) -> Said:
        """A whole number or a decimal."""
        return Said(Fraction(children[0]), shop_fraction=False)

    def shop_fraction(self, children: list[Any]) -> Said:
        """Halves to 64ths, with or without a whole number."""
        return Said(Fraction(children[0]), shop_fraction=True)

    def length(self, children: list[Any]) -> Quantity:
        """A length; without a unit, fractions are inches and the rest is in the operator's units."""
        said: Said = children[0]
        if len(children) == 2:
            return quantity(said.value, children[1])
        unit = "inch" if said.shop_fraction else self._units
        self.assumed.append(f"unit-{unit}")
        made = quantity(said.value, unit)
        if not said.shop_fraction:
            self._bare.append(made)
        return made

    def feed(self, children: list[Any]) -> list[Pair]:
        """A feed: length per turn."""
        return [("feed", self.length(children))]

    def threads_per_inch(self, children: list[Any]) -> list[Pair]:
        """A number of threads per inch."""
        return [("threads_per_inch", Fraction(children[0]))]

    def size_mm(self, children: list[Said]) -> list[Pair]:
        """A nominal size in mm."""
        return [("size", quantity(children[0].value, "mm"))]

    def pitch_mm(self, children: list[Any]) -> list[Pair]:
        """A pitch in mm."""
        return [("pitch", quantity(children[0].value, "mm"))]

    def lead_mm(self, children: list[Any]) -> list[Pair]:
        """A lead in mm."""
        return [("lead", quantity(children[0].value, "mm"))]

    def size_inch(self, children: list[Any]) -> list[Pair]:
        """A nominal size in inches."""
        return [("size", quantity(Fraction(children[0]), "inch"))]

    def letter(self, children: list[Any]) -> str:
        """A letter that stands for itself."""
        return str(children[0])

    def tolerance_class(self, children: list[Any]) -> list[Pair]:
        """'six g'."""
        return [
            ("tolerance_class", "".join(str(child).removeprefix("letter_") for child in children))
        ]

    def internal_class(self, children: list[Any]) -> list[Pair]:
        """'internal six h'."""
        [(name, text)] = self.tolerance_class(children)
        return [(name, text.upper())]

    def thread_named(self, children: list[Any]) -> list[Pair]:
        """A thread, from the fields below it."""
        pairs = dict(child for child in _flat(children) if _is_pair(child))
        return [("thread", ThreadNamed(**pairs))]

    def rate_alone(self, children: list[Any]) -> list[Any]:
        """'thirteen threads', short for threads per inch."""
        return _flat(children)


def _letter(text: str) -> Any:
    return lambda self, children: text


for _each in "abcdefghjkmnprstuvxyz":
    setattr(Reading, f"letter_{_each}", _letter(_each))

_HYPHENED = frozenset(("tool", "slide", "need"))
"""Fields whose values are written with hyphens: an alias cannot hold one."""

_PASSED_ON = frozenset(
    """count whole number decimal fraction mixed below_hundred to_999 hundreds thousands any_digit
    digit teen tens zero nought written_hundreds written_thousands written_millimetre written_inch half quarters eighths sixteenths thirty_seconds sixty_fourths
    of_4 of_8 of_16 above_16 odd_digit millimetre inch thou length_unit measured_length
    whole_gauge teen_gauge grade_number position pair written_decimals metric_pitch
    bar_extent measured_extent long_unit""".split()
)
"""Rules whose one value goes up as it is."""


def _is_pair(child: Any) -> bool:
    return isinstance(child, tuple) and len(child) == 2 and isinstance(child[0], str)
