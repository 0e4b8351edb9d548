"""What stands on a screen that nobody asks: the answer for as long as a cut runs, hints, the clock."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

from display.content import Content

LASTING: Final = ("alarm", "fault")
"""Kinds that stand until something else is to be told."""


class Rest(Enum):
    """What to show now."""

    CONTENT = "content"
    """What was shown last."""
    HINTS = "hints"
    SLEEP = "sleep"
    UNHEARD = "unheard"
    """Nothing can be asked: the ear is muted or there is no microphone."""


@dataclass(frozen=True)
class Patience:
    """How long each thing stands, seconds."""

    welcome: float = 20.0
    answer: float = 240.0
    """As long as a cut may run: the operator comes back to what was answered."""
    sleep: float = 1200.0
    """From the last question."""
    turn: float = 15.0
    """Each few phrases."""


def rest(content: Content, quiet: float, ear: str, phrases: int, patience: Patience) -> Rest:
    """What to show after `quiet` seconds without anything new.

    content : what was shown last
    ear     : what the ear is doing
    phrases : how many there are to suggest

    >>> rest(Content("answered", "380 rpm"), 30, "listening", 9, Patience())
    <Rest.CONTENT: 'content'>
    """
    # A sequence waits for the operator, however long the step takes.
    if content.kind in LASTING or content.step is not None:
        return Rest.CONTENT
    if ear in ("thinking", "speaking"):
        return Rest.CONTENT
    stands = patience.welcome if content.kind == "welcome" else patience.answer
    if quiet < stands:
        return Rest.CONTENT
    if ear in ("muted", "no microphone"):
        return Rest.UNHEARD
    if quiet >= patience.sleep:
        return Rest.SLEEP
    return Rest.HINTS if phrases else Rest.CONTENT


def turned(phrases: tuple[str, ...], turn: int, count: int) -> tuple[str, ...]:
    """The `count` phrases of the turn with that number, going round.

    >>> turned(("a", "b", "c"), 1, 2)
    ('c', 'a')
    """
    if len(phrases) <= count:
        return phrases
    start = turn * count
    return tuple(phrases[(start + at) % len(phrases)] for at in range(count))
