"""What every view of the answers can do: the screen, the terminal, and none at all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from threading import Event
from typing import Final, Protocol

from assistant.answer import Answer, Shown

EAR_STATES: Final = (
    "asleep",
    "listening",
    "thinking",
    "speaking",
    "muted",
    "no microphone",
)
"""What the ear may be doing; each is told by a word, a shape and a colour."""

OnKey = Callable[[str], None]
"""Called with the name of a key ('spacebar', 'f1', 'b', …) or 'touch'; a pedal types a key."""


class View(Protocol):
    """Where answers are shown; every method but `run` may be called from any thread."""

    on_key: OnKey | None
    """Hook for keys, a pedal and touch; called on the thread that runs the view."""

    def show(self, shown: Shown, answer: Answer | None = None) -> None:
        """Show an outcome; `answer` brings the pictures of the thread dial and the levers."""

    def set_ear(self, state: str) -> None:
        """Tell what the ear is doing, one of EAR_STATES."""

    def fault(self, sentence: str, remedy: str) -> None:
        """Show what does not work and what to do about it."""

    def welcome(self, lines: Sequence[str]) -> None:
        """Show the lines to read before the work starts."""

    def suggest(self, phrases: Sequence[str], place: str = "") -> None:
        """Keep `phrases`, which can be said now, to be shown when nothing is asked for a while.

        place : lathe and units, as told in the foot
        """

    def run(self) -> None:
        """Show until closed; call it on the main thread."""

    def close(self) -> None:
        """End `run`."""


def known_ear_state(state: str) -> str:
    """`state` itself, if it is one of EAR_STATES; ValueError otherwise.

    >>> known_ear_state("muted")
    'muted'
    """
    if state not in EAR_STATES:
        raise ValueError(f"ear state {state!r}: expected one of {', '.join(EAR_STATES)}")
    return state


class NoView:
    """`--display none`: shows nothing and waits."""

    def __init__(self) -> None:
        self.on_key: OnKey | None = None
        self._closed = Event()

    def show(self, shown: Shown, answer: Answer | None = None) -> None:
        """Nothing to do."""

    def set_ear(self, state: str) -> None:
        """Check `state` only."""
        known_ear_state(state)

    def fault(self, sentence: str, remedy: str) -> None:
        """Nothing to do."""

    def welcome(self, lines: Sequence[str]) -> None:
        """Nothing to do."""

    def suggest(self, phrases: Sequence[str], place: str = "") -> None:
        """Nothing to do."""

    def run(self) -> None:
        """Wait until closed."""
        self._closed.wait()

    def close(self) -> None:
        """End `run`."""
        self._closed.set()
