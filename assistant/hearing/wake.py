"""The wake phrase: words of our own that open the ear for one question."""

from __future__ import annotations

from collections import deque

import numpy as np
from pocketsphinx import Decoder, get_model_path

from assistant.hearing.end_of_speech import FRAME_SECONDS, Speech, SpeechDetector
from assistant.hearing.listening import PRE_ROLL
from assistant.hearing.noise import NoiseReducer
from assistant.hearing.recogniser import Samples
from assistant.hearing.sphinx_search import USUAL_MEAN

PHRASE = "shop assistant"
"""Of the phrases tried it had the fewest false alarms; one of two syllables alarms all day."""
THRESHOLD = 1e-35
"""The greater, the less is taken for the phrase. What is missed and what else wakes: tests.bench wake."""
FLOOR = 0.5
"""Least gain of the noise reduction: a stronger one cost more calls."""


class WakePhrase:
    """Hears the phrase in frames of sound: behind the speech detector and the noise reduction."""

    def __init__(self, phrase: str = PHRASE, threshold: float = THRESHOLD) -> None:
        """Load the model (0.2 s)."""
        self.phrase = phrase
        self._reducer = NoiseReducer(FLOOR)
        self._spotter = Decoder(
            hmm=get_model_path("en-us/en-us"),
            dict=get_model_path("en-us/cmudict-en-us.dict"),
            lm=None,
            keyphrase=phrase,
            kws_threshold=threshold,
            loglevel="FATAL",
        )
        self._detector = SpeechDetector()
        self._before: deque[Samples] = deque(maxlen=round(PRE_ROLL / FRAME_SECONDS))
        self._searching = False

    def feed(self, frame: Samples) -> bool:
        """The next frame; True where the phrase has just been said."""
        event = self._detector.feed(frame)
        if event is Speech.QUIET:
            self._before.append(frame)
            return False
        if event is Speech.STARTED:
            # The running mean of the talk before, perhaps of somebody else, made it miss calls.
            self._spotter.set_cmn(USUAL_MEAN)
            self._spotter.start_utt()
            self._reducer.start()
            self._searching = True
            frame = np.concatenate([*self._before, frame])
            self._before.clear()
        reduced = self._reducer.feed(frame)
        if reduced.size:
            self._spotter.process_raw(reduced.tobytes())
        found = self._spotter.hyp() is not None
        if found or event is Speech.ENDED:
            self.reset()
        return found

    def reset(self) -> None:
        """Forget what was heard so far."""
        if self._searching:
            self._spotter.end_utt()
            self._searching = False
        self._detector.rule.reset()
        self._before.clear()
