"""Telling an answer while the ear listens only for a loud 'stop': the own voice is no question."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator

from assistant.hearing.cut_in import CutIn
from assistant.hearing.microphone import Microphone
from assistant.hearing.recogniser import Samples
from assistant.speaking.voice import Voice

ECHO = 0.25
"""Seconds after the last word in which it may still be in the room or on its way in."""


class Telling:
    """One answer after another, each cut short by a loud word."""

    def __init__(self, voice: Voice, cut_in: CutIn | None = None) -> None:
        """cut_in : None where only a key cuts in."""
        self._voice = voice
        self._cut_in = cut_in
        self.cut_short = False
        """True if the last answer was cut short by a loud word."""

    def tell(self, act: Callable[[], None], frames: Iterator[Samples]) -> Exception | None:
        """Does `act`, which shows and speaks, while the microphone's `frames` are watched.

        Returns what `act` raised, if anything; raises DeviceError where the microphone fails.
        """
        raised: list[Exception] = []

        def acting() -> None:
            try:
                act()
            except Exception as fault:
                raised.append(fault)

        self.cut_short = False
        if self._cut_in is not None:
            self._cut_in.begin()
        worker = threading.Thread(target=acting, name="telling", daemon=True)
        worker.start()
        try:
            while worker.is_alive():
                frame = next(frames)
                if self._cut_in is not None and self._cut_in.feed(frame) is not None:
                    self.cut_short = True
                    self._voice.stop()
        finally:
            worker.join()
        return raised[0] if raised else None

    def settle(self, microphone: Microphone) -> None:
        """Lets the last words die away and throws away what the microphone got of them."""
        time.sleep(ECHO)
        microphone.drain()
