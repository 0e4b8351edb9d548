"""A loud 'stop' while the own voice speaks: heard only where the microphone gets clearly more than that voice."""

from __future__ import annotations

from collections import deque

import numpy as np

from assistant.hearing.end_of_speech import FRAME_SECONDS
from assistant.hearing.recogniser import Samples
from assistant.hearing.stop_words import StopWords

THRESHOLD = 2.0
"""How much worse per frame (natural logarithm) a stop word may fit than free phones: generous, because
the own voice speaks underneath, and because a word too many only silences the voice."""

LOUDER = 2.5
"""The operator must be so many times as loud at the microphone as the own voice usually is (8 dB)."""
USUAL = 90
"""Percentile of the loudness so far that is the own voice's usual one: its own peaks and words of others lie above."""
SMOOTH = 5
"""Frames over which loudness is taken: a bang is shorter, a word is longer."""
LAG = round(0.6 / FRAME_SECONDS)
"""Frames after which loudness counts as the own voice's: a word that just begins is not yet its own measure."""
LEARN = round(0.6 / FRAME_SECONDS)
"""Frames of the first sentence that only teach how loud the own voice is."""
REMEMBER = round(20 / FRAME_SECONDS)
"""Frames of the own voice by which its loudness is judged: the operator may turn it up or down."""
LEAST = 0.01
"""Of full scale; below it nobody is loud."""
MASK = 1.25
"""Frames below so many times the own voice are put down around the loud word."""
DOWN = 0.05
"""By so much."""
BEFORE = round(0.3 / FRAME_SECONDS)
"""Frames kept from before it grew loud."""
SHORTEST = round(0.18 / FRAME_SECONDS)
"""Frames that must be loud in themselves: a bang dies away sooner."""
AFTER = round(0.24 / FRAME_SECONDS)
"""Frames no longer loud after which the word is over."""
LONGEST = round(1.8 / FRAME_SECONDS)


class CutIn:
    """Listens while the own voice speaks."""

    def __init__(self, stop_words: StopWords) -> None:
        """stop_words : what may be called out."""
        self._stop_words = stop_words
        self._levels: deque[float] = deque(maxlen=SMOOTH)
        self._late: deque[float] = deque()
        self._past: deque[float] = deque(maxlen=REMEMBER)
        self._before: deque[Samples] = deque(maxlen=BEFORE)
        self._loud: list[Samples] = []
        self._quiet = 0

    @property
    def own(self) -> float:
        """How loud the own voice usually is at the microphone, as a share of full scale."""
        return float(np.percentile(self._past, USUAL)) if self._past else 0.0

    def begin(self) -> None:
        """The own voice begins a sentence."""
        self._levels.clear()
        self._late.clear()
        self._before.clear()
        self._loud, self._quiet = [], 0

    def feed(self, frame: Samples) -> str | None:
        """The next frame while it speaks: the words, where somebody loudly said some of them."""
        self._levels.append(float(np.mean((frame / 32_768.0) ** 2)))
        level = float(np.sqrt(sum(self._levels) / SMOOTH))
        loud = len(self._past) >= LEARN and level > max(LOUDER * self.own, LEAST)
        self._late.append(level)
        if len(self._late) > LAG:
            self._past.append(self._late.popleft())
        if not self._loud:
            self._before.append(frame)
            if loud:
                self._loud, self._quiet = list(self._before), 0
            return None
        self._loud.append(frame)
        self._quiet = 0 if loud else self._quiet + 1
        if self._quiet < AFTER and len(self._loud) < LONGEST:
            return None
        said, self._loud = np.array(self._loud), []
        loud_frames = np.sqrt(np.mean((said / 32_768.0) ** 2, axis=1)) > MASK * self.own
        if np.count_nonzero(loud_frames) < SHORTEST:
            return None
        gain = np.where(loud_frames, 1.0, DOWN)
        masked = np.round(said * gain[:, None]).astype(np.int16).ravel()
        return self._stop_words.find(masked, THRESHOLD)
