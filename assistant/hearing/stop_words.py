"""The words of an emergency, found in a sound by a small search of their own.

A single short word is lost among the thousands of sentences of a whole grammar. Here it only has to be
told from any other speech.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

import numpy as np
from pocketsphinx import get_model_path

from assistant.hearing.end_of_speech import spoken_part
from assistant.hearing.levels import RUINED, clipped_share
from assistant.hearing.look_alikes import Sentences
from assistant.hearing.recogniser import (
    SAMPLE_RATE,
    Acceptor,
    Confirming,
    Heard,
    Meaning,
    Phones,
    Recogniser,
    Samples,
)
from assistant.hearing.sphinx_search import new_decoder
from assistant.hearing.warped import WarpedRecogniser, stretched

NATS = 1024
"""The engine divides its scores by this."""
ALONE = 0.5
"""How much worse per frame (natural logarithm) a stop word may fit than free phones where nothing else
sounds. Words much like them (shop, top) pass too: to answer them for nothing costs little."""
PROPOSED = 1.0
"""The same where a better ear is asked about what was found. At 10 dB it finds 32 of 41 tuning sounds, ALONE 18."""
LONGEST = 3.0
"""Seconds of speech; longer speech is none of these words."""


def sentences_of(acceptor: Acceptor) -> list[str]:
    """Every sentence of a small `acceptor`."""
    after: dict[int, list[tuple[str, int]]] = {}
    for state, word, following in acceptor.arcs():
        after.setdefault(state, []).append((word, following))
    found, open_ends = [], [(acceptor.start, "")]
    while open_ends:
        state, said = open_ends.pop()
        if state in acceptor.finals:
            found.append(said.strip())
        open_ends += [(following, f"{said} {word}") for word, following in after.get(state, ())]
    return sorted(found)


class StopWords:
    """Finds one of a few short sentences in a loud sound, or nothing."""

    def __init__(self, sentences: Iterable[str]) -> None:
        """sentences : of words in the engine's dictionary; loads in 0.3 s."""
        self._words = new_decoder(own_reduction=True, compallsen=True)
        words = tuple(sentences)
        self.acceptor = Sentences.of(words)
        """Of the same sentences; the same one each time, as what is made of it is kept."""
        choice = " | ".join(words)
        self._words.add_jsgf_string(
            "words", f"#JSGF V1.0; grammar words; public <words> = {choice};"
        )
        self._words.activate_search("words")
        self._phones = new_decoder(
            own_reduction=True,
            compallsen=True,
            allphone=get_model_path("en-us/en-us-phone.lm.bin"),
        )

    def find(self, sound: Samples, threshold: float = ALONE) -> str | None:
        """The sentence in `sound`; None where it is more like any other speech; see ALONE."""
        for decoder in (self._words, self._phones):
            # Else the noise of the last sound would be taken out of this one.
            decoder.reinit_feat()
            decoder.start_utt()
            decoder.process_raw(sound.tobytes(), full_utt=True)
            decoder.end_utt()
        words, phones = self._words.hyp(), self._phones.hyp()
        frames = self._words.n_frames()
        if words is None or not words.hypstr or phones is None or not frames:
            return None
        if min(words.score, phones.score) <= 0:
            return None
        worse = NATS * (math.log(phones.score) - math.log(words.score)) / frames
        return str(words.hypstr) if worse < threshold else None


class OnlyStopWords:
    """A recogniser that hears nothing but them: for an ear that sleeps."""

    def __init__(
        self, stop_words: StopWords, better: Callable[[], Recogniser] | None = None
    ) -> None:
        """better : tells which ear is awake at present; where it is Confirming, it must agree to what is found."""
        self.stop_words = stop_words
        self._better = better
        self._pieces: list[Samples] = []
        self._nothing = False

    def use(self, acceptor: Acceptor, pronunciations: Phones, meaning: Meaning = str) -> None:
        """It has its own words."""

    def hear(self, samples: Samples) -> Heard | None:
        """The words in a whole sound; see Recogniser."""
        spoken = spoken_part(samples)
        found = None
        if spoken is not None and spoken.size <= LONGEST * SAMPLE_RATE:
            found = self._cried_out(samples, spoken)
        self._nothing = found is None
        return None if found is None else Heard(found, 1.0, complete=True)

    def _cried_out(self, samples: Samples, spoken: Samples) -> str | None:
        """The words in `spoken`, a part of `samples`: the search alone is easily fooled."""
        better = None if self._better is None else self._better()
        ear = better.inner if isinstance(better, WarpedRecogniser) else better
        if not isinstance(ear, Confirming):
            return self.stop_words.find(spoken)
        found = self.stop_words.find(spoken, PROPOSED)
        # What is overdriven beyond recognition sounds like nothing to a better ear.
        if found is None or clipped_share(samples) >= RUINED:
            return found
        if isinstance(better, WarpedRecogniser):
            samples = stretched(samples, better.warp)
        return found if ear.says(samples, self.stop_words.acceptor) else None

    def start(self) -> None:
        """Begin an utterance."""
        self._pieces, self._nothing = [], False

    def feed(self, samples: Samples) -> None:
        """The next piece."""
        self._pieces.append(samples)

    def partial(self) -> str:
        """Nothing before the end."""
        return ""

    def pause(self) -> None:
        """Nothing can be done ahead."""

    def settled(self) -> bool:
        """False: only the quiet tells."""
        return False

    def nobody(self) -> bool:
        """True where the utterance that ended last held none of its words; False before the end."""
        return self._nothing

    def end(self) -> Heard | None:
        """The words, or None."""
        pieces, self._pieces = self._pieces, []
        return self.hear(np.concatenate(pieces)) if pieces else None
