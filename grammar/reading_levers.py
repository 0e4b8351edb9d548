"""Readings of lever positions and of marks on the thread dial."""

from __future__ import annotations

from typing import Any

from grammar.aliases import of_alias

Pair = tuple[str, Any]

SECOND_PLAIN = "second plain after "
PLAIN = "plain after "


class LeverReading:
    """Methods named for their rules."""

    def places(self, children: list[Any]) -> list[Pair]:
        """'range low, collar red': lever and position, in the order in which they were said."""
        found = []
        for child in children:
            for name, value in child or ():
                if name == "place":
                    lever, _, position = value.partition("__")
                    found.append((of_alias(lever), of_alias(position)))
        return [("places", tuple(found))]

    def numbered_mark(self, children: list[Any]) -> list[Pair]:
        """'number two'."""
        return [("first_mark", _label(children))]

    def plain_mark(self, children: list[Any]) -> list[Pair]:
        """'the plain line after one'."""
        return [("first_mark", f"{PLAIN}{_label(children)}")]

    def second_plain_mark(self, children: list[Any]) -> list[Pair]:
        """'the second plain line after one'."""
        return [("first_mark", f"{SECOND_PLAIN}{_label(children)}")]


def _label(children: list[Any]) -> str:
    """The label said, below any number of rules that pass it on."""
    while isinstance(children, list):
        children = children[-1]
    name, value = children
    assert name == "mark"
    return of_alias(value)
