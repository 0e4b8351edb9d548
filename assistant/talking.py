"""Ways to talk: an open ear, a pedal or key, a wake phrase; whether what is said now is meant for us."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from enum import StrEnum


class Way(StrEnum):
    """How the operator says that a question comes."""

    OPEN = "open"
    """Not at all: every whole sentence counts."""
    PEDAL = "pedal"
    """A pedal, a switch on a GPIO line, any key or a touch, held while speaking or tapped before."""
    WAKE = "wake"
    """The wake phrase, then the question."""


USUAL_KEYS = ("spacebar", "enter")
"""What opens the ear where no key was named; a pedal types one of them."""
TOUCH = "touch"
"""A touch of the screen. It is a tap, having no release."""
LINE = "line"
"""The switch on a GPIO line; it has a release."""
ALWAYS = (TOUCH, LINE)
"""Open the ear whichever key was named: they have no key to be confused with."""
TAP = 0.4
"""Seconds; a key let go sooner was tapped, and the ear stays open for one question."""
WINDOW = 8.0
"""Seconds in which the question must begin after a tap or the wake phrase."""


class Talking:
    """Whether the ear is open; told of keys from any thread."""

    def __init__(
        self,
        way: Way = Way.OPEN,
        key: str | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        """key : name of the one key that opens the ear, beside ALWAYS; None for the usual keys."""
        self._lock = threading.Lock()
        self._clock = clock
        self._keys = (*(USUAL_KEYS if key is None else (key,)), *ALWAYS)
        self._way = way
        self._pressed_at: float | None = None
        self._down = False
        self._open_until: float | None = None

    @property
    def way(self) -> Way:
        """The way in use."""
        return self._way

    def talk_by(self, way: Way) -> None:
        """Another way from now on; nothing pressed before counts."""
        with self._lock:
            self._way = way
            self._down, self._pressed_at, self._open_until = False, None, None

    def press(self, key: str) -> bool:
        """A key goes down, or the screen is touched; True if it is one that opens the ear.

        It does so in every way of talking: a pedal helps where the wake phrase is not heard.
        """
        if key not in self._keys:
            return False
        with self._lock:
            self._pressed_at = self._clock()
            self._down = key != TOUCH
            self._open_until = self._pressed_at + WINDOW
        return True

    def release(self, key: str) -> None:
        """A key goes up."""
        if key in self._keys:
            with self._lock:
                self._down = False

    def wake(self) -> None:
        """The wake phrase was heard."""
        with self._lock:
            self._open_until = self._clock() + WINDOW

    def close(self) -> None:
        """The question was heard, or nobody spoke: back to sleep, unless a key went down meanwhile."""
        with self._lock:
            if self._pressed_at is None:
                self._open_until = None

    def take_press(self) -> float | None:
        """When a key went down, once for each press; None if none did since."""
        with self._lock:
            pressed, self._pressed_at = self._pressed_at, None
            return pressed

    @property
    def pressed(self) -> bool:
        """True if a press waits to be taken."""
        return self._pressed_at is not None

    @property
    def down(self) -> bool:
        """True while the key is down."""
        return self._down

    @property
    def called(self) -> bool:
        """True if the ear was opened on purpose and a question may still begin."""
        until = self._open_until
        return until is not None and self._clock() < until

    @property
    def was_called(self) -> bool:
        """True if it was opened on purpose and is not closed yet, in time or not."""
        return self._open_until is not None
