"""What every answer about settings needs of the lathe's levers."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from assistant.core.levers import Setting
from profiles.lathe import Lathe


def settings_for(settings: Iterable[Setting], wanted: Fraction) -> tuple[Setting, ...]:
    """The settings that give exactly `wanted` (turns/min or mm per turn)."""
    return tuple(each for each in settings if each.gives == wanted)


def lever_words(lathe: Lathe) -> dict[tuple[str, str], str]:
    """(lever, position) -> how it is said, where the profile gives a spoken form."""
    words: dict[tuple[str, str], str] = {}
    for lever in lathe.levers:
        if lever.spoken:
            words[lever.name, ""] = lever.spoken
        for position, spoken in lever.spoken_positions.items():
            words[lever.name, position] = spoken
    return words
