"""Readings of the cutting questions that the conventions do not cover: roughness, surface speed, a metre."""

from __future__ import annotations

from typing import Any

from assistant.units import Quantity, quantity
from grammar.said import Said

_SURFACE = {"metres_a_minute": "meter/minute", "feet_a_minute": "foot/minute"}
_ROUGHNESS = {"mm": "micrometer", "inch": "microinch"}


class CuttingReading:
    """Methods named for their rules; the fields below belong to the whole reading."""

    _units: str
    assumed: list[str]
    _bare: list[Quantity]

    def roughness(self, children: list[Any]) -> Quantity:
        """A roughness; without a unit in micrometres, for an operator in inches in microinches."""
        said: Said = children[0]
        if len(children) == 2:
            return quantity(said.value, children[1])
        made = quantity(said.value, _ROUGHNESS[self._units])
        self._bare.append(made)
        return made

    def in_micrometres(self, children: list[Any]) -> str:
        """The unit's name."""
        return "micrometer"

    def in_microinches(self, children: list[Any]) -> str:
        """The unit's name."""
        return "microinch"

    def surface_speed(self, children: list[Any]) -> list[tuple[str, Any]]:
        """'thirty metres a minute'."""
        said: Said = children[0]
        return [("surface_speed", quantity(said.value, children[1]))]

    def metres_a_minute(self, children: list[Any]) -> str:
        """The unit's name."""
        return _SURFACE["metres_a_minute"]

    def feet_a_minute(self, children: list[Any]) -> str:
        """The unit's name."""
        return _SURFACE["feet_a_minute"]

    def a_metre(self, children: list[Any]) -> Quantity:
        """'a metre'."""
        return quantity(1, "meter")

    def a_foot(self, children: list[Any]) -> Quantity:
        """'a foot'."""
        return quantity(1, "foot")

    def approach_angle(self, children: list[Any]) -> list[tuple[str, Any]]:
        """'approach angle seventy five degrees'."""
        return [("approach_angle", children[0].value)]

    def rake_angle(self, children: list[Any]) -> list[tuple[str, Any]]:
        """'rake six degrees'."""
        return [("rake_angle", children[0].value)]

    def negative_rake(self, children: list[Any]) -> list[tuple[str, Any]]:
        """'rake minus six degrees'."""
        return [("rake_angle", -children[0].value)]

    def degrees_named(self, children: list[Any]) -> Said:
        """A number of degrees, the unit said or not."""
        said: Said = children[0]
        return said

    def roughness_grade(self, children: list[Any]) -> list[tuple[str, Any]]:
        """'n seven'."""
        return [("roughness_grade", f"N{children[0]}")]
