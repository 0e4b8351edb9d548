"""Earcons: short, quiet tones for what the ear does, for eyes that are on the work."""

from __future__ import annotations

import threading
from itertools import pairwise

import numpy as np

from assistant.errors import DeviceError
from assistant.speaking.playback import Loudspeaker
from assistant.speaking.voice import PEAK, Sound

RATE = 22_050
LOUDNESS = 0.12
"""Of full scale: well below the voice."""
FADE = 0.008
"""Seconds in which a tone swells and dies away, so that it does not click."""
TONES: dict[str, tuple[tuple[float, float], ...]] = {
    "listening": ((523.25, 0.05), (783.99, 0.07)),
    "heard": ((659.26, 0.06),),
    "not understood": ((392.0, 0.09), (293.66, 0.13)),
}
"""Each earcon: its tones, Hz and seconds: a fifth up, one tone, a fourth down and longer."""


def earcon(name: str) -> Sound:
    """The sound of this one of TONES.

    >>> round(earcon("heard").duration, 2)
    0.06
    """
    return Sound(np.concatenate([_tone(*each) for each in TONES[name]]), RATE)


def _tone(frequency: float, seconds: float) -> np.ndarray[tuple[int], np.dtype[np.int16]]:
    time = np.arange(round(seconds * RATE)) / RATE
    fade = np.minimum(1.0, np.minimum(time, time[::-1]) / FADE)
    wave = np.sin(2 * np.pi * frequency * time) * fade
    return np.round(wave * LOUDNESS * PEAK).astype(np.int16)


def steps(name: str) -> tuple[float, ...]:
    """The steps between the tones of an earcon as ratios of frequency: above 1 it rises.

    >>> steps("heard")
    ()
    """
    return tuple(after / before for (before, _), (after, _) in pairwise(TONES[name]))


class Earcons:
    """Plays them through the machine's output; where there is none, or switched off, nothing sounds."""

    def __init__(self, on: bool = True, loudspeaker: Loudspeaker | None = None) -> None:
        self.on = on
        self._loudspeaker = loudspeaker or Loudspeaker()
        self._playing: threading.Thread | None = None

    def play(self, name: str) -> None:
        """Sound it and wait for its end."""
        self.start(name)
        self.wait()

    def start(self, name: str) -> None:
        """Sound it meanwhile."""
        self.wait()
        if self.on:
            self._playing = threading.Thread(target=self._sound, args=(name,), daemon=True)
            self._playing.start()

    def wait(self) -> None:
        """Until nothing sounds: an output that only one may open is free for the voice then."""
        if self._playing is not None:
            self._playing.join()
            self._playing = None

    def _sound(self, name: str) -> None:
        try:
            self._loudspeaker.play(earcon(name))
        except DeviceError:
            # The voice tells of a missing loudspeaker, once and in words.
            return
