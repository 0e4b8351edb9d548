"""What a voice is, and how it is made slower, faster, louder and quieter."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

RATES = (90, 280)
"""Slowest and fastest, words per minute."""
DEFAULT_RATE = 160
VOLUMES = (0.05, 1.0)
"""Quietest and loudest."""
DEFAULT_VOLUME = 0.7
RATE_STEP = 1.15
VOLUME_STEP = 1.41
"""3 dB."""
PEAK = 32_000
"""Highest sample at volume 1; just below what 16 bit can hold."""


@dataclass(frozen=True)
class Sound:
    """A spoken sentence."""

    samples: NDArray[np.int16]
    """One channel."""
    rate: int
    """Samples per second."""

    @property
    def duration(self) -> float:
        """Seconds."""
        return float(self.samples.size / self.rate)


class Voice(Protocol):
    """Words to sound. The text is words already: numbers and units are spelled out."""

    rate: int
    """Words per minute."""
    volume: float
    """0 (silent) to 1 (as loud as it goes without distortion)."""

    def say(self, text: str) -> bool:
        """Speak and wait for the end; True if spoken to the end, False if stopped."""

    def save(self, text: str, path: str | Path) -> None:
        """Write what `say` would speak to WAV file `path`."""

    def stop(self) -> None:
        """Fall silent at once; may be called from any thread."""


def scaled(samples: NDArray[np.int16], volume: float) -> NDArray[np.int16]:
    """`samples` with the highest at `volume` times PEAK, so nothing is clipped; volume 0 to 1.

    >>> scaled(np.array([100, -200], dtype=np.int16), 0.5).tolist()
    [8000, -16000]
    """
    if not 0 <= volume <= 1:
        raise ValueError(f"volume {volume}: 0 to 1")
    highest = int(np.abs(samples.astype(np.int32)).max(initial=0))
    if highest == 0:
        return samples
    return np.round(samples * (volume * PEAK / highest)).astype(np.int16)


def slower(voice: Voice) -> bool:
    """One step slower; False if it is at its slowest already."""
    return _set_rate(voice, voice.rate / RATE_STEP)


def faster(voice: Voice) -> bool:
    """One step faster; False if it is at its fastest already."""
    return _set_rate(voice, voice.rate * RATE_STEP)


def louder(voice: Voice) -> bool:
    """One step (3 dB) louder; False if it is at its loudest already."""
    return _set_volume(voice, voice.volume * VOLUME_STEP)


def quieter(voice: Voice) -> bool:
    """One step (3 dB) quieter; False if it is at its quietest already."""
    return _set_volume(voice, voice.volume / VOLUME_STEP)


def _set_rate(voice: Voice, wanted: float) -> bool:
    before = voice.rate
    voice.rate = min(max(round(wanted), RATES[0]), RATES[1])
    return voice.rate != before


def _set_volume(voice: Voice, wanted: float) -> bool:
    before = voice.volume
    voice.volume = min(max(wanted, VOLUMES[0]), VOLUMES[1])
    return voice.volume != before
