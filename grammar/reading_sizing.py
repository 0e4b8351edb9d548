"""Readings of fits, tapers, sizes and geometry that the conventions do not cover."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from assistant.units import Quantity, quantity
from grammar.said import Said

Pairs = list[tuple[str, Any]]

_PREFIX = {
    "family_mt": "MT",
    "family_jt": "JT",
    "family_bs": "B&S ",
    "family_jarno": "Jarno ",
    "family_metric": "metric ",
    "family_milling": "7/24 ",
}
_CONSTANTS = {
    **{f"zone_letters_{each}": each for each in ("js", "cd", "ef", "fg", "za", "zb", "zc")},
    **{f"zone_letters_{each}": each for each in "iloqw"},
    **{f"inch_fit_{each}": each.upper() for each in ("rc", "lc", "lt", "ln", "fn")},
    **{f"scale_{each}": each.upper() for each in ("hrc", "hrb", "hv", "hb")},
    "grade_01": "01",
    **_PREFIX,
}
"""Aliases that stand for a text."""


def _only(self: Any, children: list[Any]) -> Any:
    """Passes the one value below on."""
    return children[0]


class SizingReading:
    """Methods named for their rules; the fields below belong to the whole reading."""

    _units: str
    assumed: list[str]
    _bare: list[Quantity]

    zone_letters = written_zone_letters = unit_word = _only

    def zone_grade(self, children: list[Any]) -> str:
        """'seven', 'oh one'."""
        return str(children[0])

    def iso_zone(self, children: list[str]) -> str:
        """'h seven', in small letters."""
        return "".join(children)

    def hole_zone(self, children: list[str]) -> Pairs:
        """A zone that belongs to a hole."""
        return [("hole", children[0].upper())]

    def shaft_zone(self, children: list[str]) -> Pairs:
        """A zone that belongs to a shaft."""
        return [("shaft", children[0])]

    def either_zone(self, children: list[str]) -> Pairs:
        """A zone that was said without hole or shaft."""
        return [("zone", children[0])]

    def fit_size(self, children: list[Any]) -> Pairs:
        """A nominal size; without a unit in millimetres, in which the standard is written."""
        return [("size", self._nominal(children, "mm"))]

    def inch_fit_size(self, children: list[Any]) -> Pairs:
        """A nominal size; without a unit in inches, in which the standard is written."""
        return [("size", self._nominal(children, "inch"))]

    def _nominal(self, children: list[Any], usual: str) -> Quantity:
        said: Said = children[0]
        if len(children) == 2:
            return quantity(said.value, children[1])
        unit = "inch" if said.shop_fraction else usual
        self.assumed.append(f"unit-{unit}")
        return quantity(said.value, unit)

    def wanted_in_zone(self, children: list[Any]) -> Pairs:
        """A size with its zone, as the size that is wanted."""
        pairs = [pair for child in children if isinstance(child, list) for pair in child]
        return [("wanted" if name == "size" else name, value) for name, value in pairs]

    def inch_fit_class(self, children: list[Any]) -> Pairs:
        """'r c four'."""
        return [("fit_class", f"{children[0]}{children[1]}")]

    def hole_word(self, children: list[Any]) -> None:
        """'hole', 'bore': the zone beside it says the same."""

    def taper_number(self, children: list[int]) -> str:
        """'three'."""
        return str(children[0])

    def and_a_half(self, children: list[int]) -> str:
        """'four and a half', as its name has it."""
        return f"{children[0]}-1/2"

    def taper_of_family(self, children: list[Any]) -> Pairs:
        """'morse three'."""
        return [("taper_name", f"{children[0]}{children[1]}")]

    def taper_number_first(self, children: list[Any]) -> Pairs:
        """'number three morse'."""
        return [("taper_name", f"MT{children[0]}")]

    def ratio_length(self, children: list[Said]) -> Pairs:
        """The second figure of a ratio."""
        return [("ratio_length", children[0].value)]

    def ratio_diameter(self, children: list[int]) -> Pairs:
        """The first figure of a ratio."""
        return [("ratio_diameter", Fraction(children[0]))]

    def inch_per_foot(self, children: list[Any]) -> Pairs:
        """'three quarters of an inch per foot'."""
        return [("per_foot", quantity(children[0].value, "inch"))]

    def minutes_part(self, children: list[Any]) -> Fraction:
        """Minutes and seconds of arc as part of a degree."""
        counts = [child for child in children if isinstance(child, int)]
        return sum(
            (Fraction(each, 60 ** (place + 1)) for place, each in enumerate(counts)), Fraction(0)
        )

    def hundredths_of_mm(self, children: list[Any]) -> Any:
        """'four hundredths of a millimetre'."""
        return quantity(Fraction(children[0], 100), "mm")

    def angle(self, children: list[Any]) -> Pairs:
        """Degrees, with or without minutes and seconds."""
        whole: Said = children[0]
        parts = [child for child in children if isinstance(child, Fraction)]
        return [("angle", sum(parts, whole.value))]

    def _renamed(self, children: list[Any], name: str) -> Pairs:
        [(_, value)] = [pair for child in children if isinstance(child, list) for pair in child]
        return [(name, value)]

    def included_angle(self, children: list[Any]) -> Pairs:
        """An angle between the two sides."""
        return self._renamed(children, "included_angle")

    def half_angle(self, children: list[Any]) -> Pairs:
        """An angle between a side and the axis."""
        return self._renamed(children, "half_angle")

    def start_angle(self, children: list[Any]) -> Pairs:
        """Where the first hole lies."""
        return self._renamed(children, "start_angle")

    def temperature(self, children: list[int]) -> Pairs:
        """Degrees of temperature."""
        return [("temperature", Fraction(children[0]))]

    def diametral_knurl(self, children: list[int]) -> Pairs:
        """'ninety six diametral'."""
        return [("knurl_name", f"{children[0]} DP")]

    def unit_number(self, children: list[Said]) -> Pairs:
        """An amount of whatever unit follows."""
        return [("number", children[0].value)]

    def from_unit(self, children: list[Any]) -> Pairs:
        """The unit that it is in."""
        return self._renamed(children, "from_unit")

    def to_unit(self, children: list[Any]) -> Pairs:
        """The unit that is wanted."""
        return self._renamed(children, "to_unit")

    def hardness(self, children: list[Said]) -> Pairs:
        """A hardness number."""
        return [("hardness", children[0].value)]


def _constant(text: str) -> Any:
    return lambda self, children: text


for _name, _text in _CONSTANTS.items():
    setattr(SizingReading, _name, _constant(_text))
