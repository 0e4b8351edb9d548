"""Readings of what is said to an answer, and of what goes on over many questions."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from assistant.units import Quantity, quantity
from grammar.said import Said

Pair = tuple[str, Any]


class FollowingReading:
    """Methods named for their rules; the fields below belong to the whole reading."""

    assumed: list[str]
    length: Callable[[list[Any]], Quantity]

    def digits_said(self, children: list[Any]) -> list[Pair]:
        """'one three': the digits of a number, one by one."""
        return [("digits", "".join(str(child) for child in children))]

    def digits_of_job(self, children: list[Any]) -> list[Pair]:
        """'four one two': the number of a job."""
        return [("number", "".join(str(child) for child in children))]

    def wanted_near(self, children: list[Any]) -> list[Pair]:
        """A size with its zone, as the size that is wanted."""
        pairs = [pair for child in children if isinstance(child, list) for pair in child]
        return [("wanted" if name == "size" else name, value) for name, value in pairs]

    def wanted_measured(self, children: list[Any]) -> list[Pair]:
        """A size with its unit, as the size that is wanted."""
        return [("wanted", self._measure(children))]

    def wanted_bare(self, children: list[Any]) -> list[Pair]:
        """A size without a unit, as the size that is wanted."""
        return [("wanted", self.length(children))]

    def _measure(self, children: list[Any]) -> Quantity:
        said: Said = children[0]
        return quantity(said.value, children[1])

    def reading_said(self, children: list[Any]) -> list[Pair]:
        """Divisions on a dial."""
        return [("reading", Fraction(children[0]))]

    def half_more(self, children: list[Any]) -> Fraction:
        """'eighteen and a half'."""
        return Fraction(children[0]) + Fraction(1, 2)
