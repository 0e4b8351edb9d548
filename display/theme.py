"""Colours, kept apart by light as well as by hue, for a dark and for a light scheme."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Final

LEAST_CONTRAST: Final = 7.0
"""Of words against what lies behind them (WCAG 2 level AAA)."""


@dataclass(frozen=True)
class Scheme:
    """One set of colours, each '#RRGGBB'."""

    name: str
    ground: str
    """Behind everything."""
    ink: str
    """Headline and values."""
    quiet: str
    """Labels and what was heard."""
    rule: str
    """Thin lines between rows, and the rim of the dial; carries no words."""
    accent: str
    """What to use: the marks of the dial that serve, the place a lever goes to."""
    on_accent: str
    caution: str
    on_caution: str
    alarm: str
    on_alarm: str
    listening: str
    on_listening: str
    thinking: str
    on_thinking: str
    speaking: str
    on_speaking: str
    asleep: str
    on_asleep: str
    muted: str
    on_muted: str
    deaf: str
    on_deaf: str

    def colour(self, name: str) -> str:
        """The colour called `name`, or `name` itself where it is one already."""
        return name if name.startswith("#") else str(getattr(self, name))

    def in_alarm(self) -> Scheme:
        """The same scheme with everything on the colour of an alarm."""
        words = dict.fromkeys(("ink", "quiet", "rule"), self.on_alarm)
        return replace(self, ground=self.alarm, **words)

    def calm(self) -> Scheme:
        """The same scheme with headline and values no brighter than labels."""
        return replace(self, ink=self.quiet)


DARK: Final = Scheme(
    name="dark",
    ground="#101418",
    ink="#F6F3EA",
    quiet="#B9C4CD",
    rule="#3A4650",
    accent="#6FD3F2",
    on_accent="#101418",
    caution="#FFC400",
    on_caution="#101418",
    alarm="#9C0F1B",
    on_alarm="#FFFFFF",
    listening="#8BE28B",
    on_listening="#101418",
    thinking="#F6F3EA",
    on_thinking="#101418",
    speaking="#1C4FA0",
    on_speaking="#FFFFFF",
    asleep="#2A333B",
    on_asleep="#F6F3EA",
    muted="#CC88FF",
    on_muted="#101418",
    deaf="#9C0F1B",
    on_deaf="#FFFFFF",
)

LIGHT: Final = Scheme(
    name="light",
    ground="#F7F5EF",
    ink="#12171C",
    quiet="#3C4751",
    rule="#B4BAC0",
    accent="#0A4FA3",
    on_accent="#FFFFFF",
    caution="#FFC400",
    on_caution="#101418",
    alarm="#9C0F1B",
    on_alarm="#FFFFFF",
    listening="#7ED97E",
    on_listening="#101418",
    thinking="#12171C",
    on_thinking="#FFFFFF",
    speaking="#1C4FA0",
    on_speaking="#FFFFFF",
    asleep="#DAD8D1",
    on_asleep="#12171C",
    muted="#CC88FF",
    on_muted="#101418",
    deaf="#9C0F1B",
    on_deaf="#FFFFFF",
)

SCHEMES: Final = {scheme.name: scheme for scheme in (DARK, LIGHT)}


def channels(colour: str) -> tuple[float, float, float]:
    """Red, green and blue of '#RRGGBB', each 0 to 1.

    >>> channels("#FF0000")
    (1.0, 0.0, 0.0)
    """
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue


def colours(scheme: Scheme) -> dict[str, str]:
    """Every colour of `scheme` by its name."""
    return {
        field.name: getattr(scheme, field.name) for field in fields(scheme) if field.name != "name"
    }
