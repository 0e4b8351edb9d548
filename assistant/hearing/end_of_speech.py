"""When somebody begins to speak and when the sentence is over: a rule on frames marked voiced or quiet."""

from __future__ import annotations

from collections import deque
from enum import Enum

import numpy as np
from pocketsphinx import Vad

from assistant.hearing.noise import NoiseReducer, reduced
from assistant.hearing.recogniser import SAMPLE_RATE, Samples

FRAME_SECONDS = 0.03
FRAME = round(SAMPLE_RATE * FRAME_SECONDS)
"""Samples in one frame."""
STRICTNESS = 2
"""Of the detector, 0 to 3; the higher, the less passes for speech."""
START_SECONDS, START_VOICED = 0.3, 0.6
END_SECONDS, WHOLE_END_SECONDS, SHORT_END_SECONDS, END_QUIET = 1.2, 0.66, 0.45, 0.85
"""The usual wait, the wait after a whole sentence, the wait once it can go no further, and how much of
it must be quiet: a pause of half a second ends none that can go on. At 0.9 s such a pause, with the quiet
that words have around them, cut every fourth tuning sentence that was not yet whole."""
PAUSE_SECONDS = 0.15
"""Quiet after which a sentence may be over: what takes time can begin."""
DETECTOR_FLOOR = 0.1
"""Least gain of the noise reduction before the detector."""
FAR, LOUD_SHARE, LEVELS_SECONDS = 10 ** (-22 / 20), 5, 4.0
"""Once somebody speaks, what is 22 dB below the louder frames (one in five, of the last 4 s) is no
more speech of the same person: bangs and chatter of the machine would else hold the sentence open."""
MARGIN = 0.2
"""Seconds of quiet kept on either side of speech."""
LONGEST = 12.0
"""Seconds after which a sentence is taken as it is: in steady noise the quiet never comes."""


class Speech(Enum):
    """What a frame does to the utterance."""

    QUIET = "quiet"
    STARTED = "started"
    GOES_ON = "goes on"
    ENDED = "ended"


class SpeechRule:
    """The rule alone, on one mark a frame; knows nothing of sound."""

    def __init__(self) -> None:
        self._recent: deque[bool] = deque(maxlen=round(END_SECONDS / FRAME_SECONDS))
        self._frames: int | None = None

    def mark(self, voiced: bool, *, wait: float = END_SECONDS) -> Speech:
        """The next frame. `wait` is how long it must be quiet for the end, by the words so far; seconds."""
        self._recent.append(voiced)
        if self._frames is None:
            if self._share(START_SECONDS) < START_VOICED:
                return Speech.QUIET
            self._frames = 0
            # The quiet before somebody spoke is not the quiet after it.
            started = list(self._recent)[-round(START_SECONDS / FRAME_SECONDS) :]
            self._recent.clear()
            self._recent.extend(started)
            return Speech.STARTED
        self._frames += 1
        quiet = 1 - self._share(wait)
        if quiet >= END_QUIET or self._frames * FRAME_SECONDS >= LONGEST:
            self.reset()
            return Speech.ENDED
        return Speech.GOES_ON

    @property
    def pausing(self) -> bool:
        """True where somebody spoke and has just fallen silent."""
        return self._frames is not None and self._share(PAUSE_SECONDS) == 0

    def go_on(self) -> None:
        """All until now was noise: LONGEST counts from here."""
        self._frames = 0

    def reset(self) -> None:
        """Forget everything: nobody is speaking."""
        self._recent.clear()
        self._frames = None

    def _share(self, seconds: float) -> float:
        """The voiced share of the last `seconds`; frames that were not yet count as quiet at the start."""
        count = round(seconds / FRAME_SECONDS)
        last = list(self._recent)[-count:]
        missing = count - len(last)
        voiced = sum(last) + (missing if self._frames is not None else 0)
        return voiced / count


class SpeechDetector:
    """The rule on sound, with the WebRTC detector that comes with pocketsphinx, behind noise reduction.

    On the sound as it is, the detector takes steady noise for speech and finds no end (at 15 dB in
    20 of 36 sentences); on reduced noise it found every end.
    """

    def __init__(self) -> None:
        self.rule = SpeechRule()
        self._vad = Vad(STRICTNESS, SAMPLE_RATE, FRAME_SECONDS)
        self._reducer = NoiseReducer(DETECTOR_FLOOR)
        self._reduced: Samples = np.zeros(0, np.int16)
        self._levels: deque[float] = deque(maxlen=round(LEVELS_SECONDS / FRAME_SECONDS))

    def feed(self, frame: Samples, *, wait: float = END_SECONDS) -> Speech:
        """The next frame of FRAME samples; `wait` as in SpeechRule.mark."""
        self._reduced = np.concatenate([self._reduced, self._reducer.feed(frame)])
        # The first frames come out late, and all at once: only the last of them is now.
        waiting = self._reduced.size // FRAME
        self._reduced = self._reduced[max(0, waiting - 1) * FRAME :]
        now, self._reduced = self._reduced[:FRAME], self._reduced[FRAME:]
        voiced = now.size == FRAME and bool(self._vad.is_speech(now.tobytes()))
        event = self.rule.mark(voiced and self._near(now), wait=wait)
        if event in (Speech.QUIET, Speech.ENDED):
            self._levels.clear()
        return event

    def _near(self, frame: Samples) -> bool:
        """True unless `frame` is so much quieter than the speech before it that it must be from farther away."""
        level = float(np.sqrt(np.square(frame, dtype=np.float64).mean()))
        self._levels.append(level)
        loud = sorted(self._levels)[-max(1, len(self._levels) // LOUD_SHARE) :][0]
        return level > loud * FAR


def spoken_slice(samples: Samples) -> slice | None:
    """Where somebody speaks in `samples`, with a margin; None if nobody does."""
    return voiced_slice(reduced(samples, DETECTOR_FLOOR)[0])


def voiced_slice(heard: Samples) -> slice | None:
    """The same in a sound whose noise was reduced before."""
    detector = Vad(STRICTNESS, SAMPLE_RATE, FRAME_SECONDS)
    starts = range(0, heard.size - FRAME + 1, FRAME)
    voiced = [at for at in starts if detector.is_speech(heard[at : at + FRAME].tobytes())]
    if not voiced:
        return None
    margin = round(MARGIN * SAMPLE_RATE)
    return slice(max(0, voiced[0] - margin), voiced[-1] + FRAME + margin)


def spoken_part(samples: Samples) -> Samples | None:
    """`samples` without the quiet before and after the speech, which only takes time; None if nobody speaks."""
    place = spoken_slice(samples)
    return None if place is None else samples[place]
