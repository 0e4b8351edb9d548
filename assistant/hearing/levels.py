"""How loud it is: level, noise floor and clipping, and what of it is wrong."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from assistant.hearing.end_of_speech import FRAME, spoken_part
from assistant.hearing.recogniser import Samples

FULL = 32_768
CLIPPED = 32_700
"""From here a sample counts as clipped."""
CLIPPED_SHARE = 0.02
"""Of the frames of an utterance with clipped samples: more harms its words."""
RUINED = 0.2
"""Of the same: from here words are not trusted, however sure the recogniser is."""
FAINT_DB = -45.0
"""Speech below it (of full scale) is too faint to be told from the device's own noise."""
NOISY_DB = 15.0
"""Speech less than this above the noise is heard badly, with any setting tried."""
MODEST_DB = 22.0
"""Speech less than this above the noise is heard less well."""


def decibels(samples: Samples) -> float:
    """Level of `samples`, dB of full scale, root mean square; -100 for plain zeros.

    >>> round(decibels(np.full(480, 3277, dtype=np.int16)))
    -20
    """
    power = float(np.mean(samples.astype(np.float64) ** 2)) if samples.size else 0.0
    return 10 * math.log10(power / FULL**2) if power > 0 else -100.0


def clipped_share(samples: Samples) -> float:
    """Share of the frames of `samples` that reach full scale, 0 to 1."""
    frames = _frames(samples)
    if not len(frames):
        return 0.0
    return float(np.mean(np.abs(frames.astype(np.int32)).max(axis=1) >= CLIPPED))


def _frames(samples: Samples) -> Samples:
    return samples[: samples.size // FRAME * FRAME].reshape(-1, FRAME)


@dataclass(frozen=True)
class Levels:
    """What a microphone gave while somebody spoke into it."""

    speech: float | None
    """Level of the speech, dB of full scale; None if nobody spoke."""
    noise: float
    """Level of what was there without speech, dB of full scale."""
    clipped: float
    """Share of frames that reached full scale."""

    @property
    def above_noise(self) -> float | None:
        """By how many dB the speech stands above the noise."""
        return None if self.speech is None else self.speech - self.noise


def levels(samples: Samples) -> Levels:
    """Levels of a sound with some speech in it and some quiet around.

    The noise is that of the quietest tenth of the frames, the speech that of the loudest third
    of the spoken part.
    """
    each = sorted(decibels(frame) for frame in _frames(samples))
    noise = float(np.mean(each[: max(1, len(each) // 10)])) if each else -100.0
    spoken = spoken_part(samples)
    if spoken is None:
        return Levels(None, noise, clipped_share(samples))
    loud = sorted(decibels(frame) for frame in _frames(spoken))
    speech = float(np.mean(loud[-max(1, len(loud) // 3) :]))
    return Levels(speech, noise, clipped_share(samples))


def troubles(measured: Levels) -> list[str]:
    """What is wrong, a sentence each, with what to do; none where all is well."""
    found = []
    if measured.noise <= -99 and measured.speech is None:
        return ["The microphone gives plain silence: switch it on, unmute it, or choose another."]
    if measured.clipped > CLIPPED_SHARE:
        found.append(
            "The microphone is overdriven: turn its gain down, or speak from farther away."
        )
    if measured.speech is None:
        found.append("Nobody was heard: speak up, come nearer, or turn the gain up.")
        return found
    if measured.speech < FAINT_DB:
        found.append("Speech arrives too faint: turn the gain up, or come nearer.")
    above = measured.speech - measured.noise
    if above < NOISY_DB:
        found.append(
            f"Speech stands only {above:.0f} dB above the noise: come nearer, or use a headset."
        )
    return found


def remark(measured: Levels) -> str:
    """How well one may expect to be heard where nothing is wrong."""
    above = measured.above_noise
    if above is not None and above < MODEST_DB:
        return f"Speech stands {above:.0f} dB above the noise: it will do, nearer would be better."
    return "Nothing is wrong."
