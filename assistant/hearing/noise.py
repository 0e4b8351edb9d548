"""Less noise before recognition: a gain for each band that follows the noise from frame to frame.

The noise under the speech is estimated from how likely each band holds speech at all (its mean
square error made least, with a fixed ratio assumed where there is speech); the gain is Wiener's,
with the ratio of speech to noise smoothed over time, and never below a floor: the floor is the
share of the untouched sound that stays, and what full-strength reduction takes away costs words.
"""

from __future__ import annotations

import math
from collections import deque

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.recogniser import SAMPLE_RATE, Samples

Sound = NDArray[np.float64]

WINDOW, HOP = 512, 128
"""Samples of one analysis frame and from one to the next: 32 and 8 ms."""
SPEECH_RATIO = 10**1.5
"""Ratio of speech to noise, as power, assumed in a band that holds speech."""
NOISE_MEMORY, PRESENCE_MEMORY, RATIO_MEMORY = 0.8, 0.9, 0.96
LEAST_RATIO = 10**-2.5
FIRST = 0.2
"""Seconds at the start of an utterance that are taken for noise: the room before somebody speaks."""
FLOOR = 0.2
"""Smallest gain; 0.1 to 0.4 were tried."""
LONGEST = 15.0
"""Seconds over which the ratio of speech to noise is told: longer than any sentence, shorter than a shift."""
LOUDEST = 10
"""The speech level is that of this share (1 in so many) of the loudest frames."""
VOICE_BAND = slice(round(150 * WINDOW / SAMPLE_RATE), round(6500 * WINDOW / SAMPLE_RATE))
"""Bands in which the ratio of speech to noise is told."""
_SHAPE: Sound = np.hanning(WINDOW + 1)[:WINDOW]
_NORM = float((_SHAPE**2).sum()) / HOP
"""What overlapping frames, shaped on the way in and on the way out, add up to."""
TINY = 1e-3


class NoiseReducer:
    """One utterance at a time, in pieces of any length; what comes out lags DELAY samples behind."""

    DELAY = WINDOW - HOP

    def __init__(self, floor: float = FLOOR) -> None:
        """floor: least gain."""
        self._floor = floor
        self.start()

    def start(self) -> None:
        """Begin an utterance; its first FIRST seconds should be the room without speech."""
        self._waiting: Sound = np.zeros(0)
        self._tail: Sound = np.zeros(WINDOW)
        self._noise: Sound | None = None
        self._presence: Sound = np.full(WINDOW // 2 + 1, 0.5)
        self._speech: Sound = np.zeros(WINDOW // 2 + 1)
        self._levels: deque[tuple[float, float]] = deque(maxlen=round(LONGEST * SAMPLE_RATE / HOP))

    def feed(self, samples: Samples) -> Samples:
        """The next piece, with less noise."""
        self._waiting = np.concatenate([self._waiting, samples.astype(float)])
        if self._noise is None:
            needed = round(FIRST * SAMPLE_RATE)
            if self._waiting.size < needed:
                return np.zeros(0, np.int16)
            self._begin(needed)
        return self._reduced()

    def forget(self, kept: int) -> None:
        """The ratio is that of the last `kept` samples and what comes: before them nobody spoke."""
        while len(self._levels) > kept // HOP:
            self._levels.popleft()

    def end(self) -> Samples:
        """What is still to come out."""
        if self._noise is None:
            if self._waiting.size < WINDOW:
                return np.zeros(0, np.int16)
            self._begin(self._waiting.size)
        self._waiting = np.concatenate([self._waiting, np.zeros(WINDOW)])
        return self._reduced()

    def ratio(self) -> float:
        """Speech to noise so far, dB: of the louder frames; infinite where there is no noise."""
        if len(self._levels) < LOUDEST:
            return math.inf
        levels = np.array(self._levels)
        loud = levels[levels[:, 0].argsort()[-max(1, len(levels) // LOUDEST) :]]
        noise = float(np.median(levels[:, 1]))
        speech = float(loud[:, 0].mean()) - noise
        return 10 * math.log10(max(speech, TINY) / max(noise, TINY))

    def _begin(self, count: int) -> None:
        first = self._waiting[:count]
        frames = np.lib.stride_tricks.sliding_window_view(first, WINDOW)[::HOP]
        self._noise = (np.abs(np.fft.rfft(frames * _SHAPE, axis=1)) ** 2).mean(axis=0) + TINY
        # The first frames hang over the beginning: mirrored, so that they find the same noise there.
        self._waiting = np.concatenate([first[: WINDOW - HOP][::-1], self._waiting])
        self._skip = WINDOW - HOP

    def _reduced(self) -> Samples:
        count = (self._waiting.size - WINDOW) // HOP + 1
        if count <= 0:
            return np.zeros(0, np.int16)
        out = np.zeros(count * HOP + WINDOW)
        out[:WINDOW] = self._tail
        for number in range(count):
            start = number * HOP
            spectrum = np.fft.rfft(self._waiting[start : start + WINDOW] * _SHAPE)
            sound = np.fft.irfft(spectrum * self._gain(np.abs(spectrum) ** 2 + TINY), WINDOW)
            out[start : start + WINDOW] += sound * _SHAPE
        self._waiting = self._waiting[count * HOP :]
        self._tail = out[count * HOP : count * HOP + WINDOW]
        done = out[: count * HOP] / _NORM
        done, self._skip = done[self._skip :], max(0, self._skip - done.size)
        return np.clip(np.round(done), -32768, 32767).astype(np.int16)

    def _gain(self, power: Sound) -> Sound:
        """The gain of one frame; its noise is learnt on the way."""
        assert self._noise is not None
        likeness = np.minimum(power / self._noise * SPEECH_RATIO / (1 + SPEECH_RATIO), 200)
        presence = 1 / (1 + (1 + SPEECH_RATIO) * np.exp(-likeness))
        self._presence += (1 - PRESENCE_MEMORY) * (presence - self._presence)
        # A band that seems to hold speech for long holds louder noise.
        presence = np.where(self._presence > 0.99, np.minimum(presence, 0.99), presence)
        guess = (1 - presence) * power + presence * self._noise
        self._noise = NOISE_MEMORY * self._noise + (1 - NOISE_MEMORY) * guess
        now = np.maximum(power / self._noise - 1, 0)
        ratio = RATIO_MEMORY * self._speech / self._noise + (1 - RATIO_MEMORY) * now
        ratio = np.maximum(ratio, LEAST_RATIO)
        gain: Sound = ratio / (1 + ratio)
        self._speech = gain**2 * power
        self._levels.append(
            (float(power[VOICE_BAND].mean()), float(self._noise[VOICE_BAND].mean()))
        )
        return np.maximum(gain, self._floor)


def reduced(samples: Samples, floor: float = FLOOR) -> tuple[Samples, float]:
    """A whole sound with less noise, of the same length, and its ratio of speech to noise, dB."""
    reducer = NoiseReducer(floor)
    made = np.concatenate([reducer.feed(samples), reducer.end()])[: samples.size]
    return np.pad(made, (0, samples.size - made.size)), reducer.ratio()
