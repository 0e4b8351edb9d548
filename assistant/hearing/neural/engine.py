"""Two ears that listen at once: a quick one on the way, a strong one to the whole utterance.

The quick one (pocketsphinx) follows the words as they come, which tells when the sentence is over;
the strong one (the neural model) reads the whole. They err differently, so what both hear is
seldom wrong, and where they differ the readings are weighed by both.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from assistant.hearing.end_of_speech import MARGIN, voiced_slice
from assistant.hearing.look_alikes import Sentences, look_alikes
from assistant.hearing.neural.judging import (
    CLEAR_LEAD,
    WITHIN,
    Weighed,
    confidence,
    in_order,
    judged,
    lead,
)
from assistant.hearing.neural.model import SpeechModel
from assistant.hearing.neural.search import Reading, SentenceSearch
from assistant.hearing.noise import NoiseReducer
from assistant.hearing.recogniser import SAMPLE_RATE, Acceptor, Heard, Samples
from assistant.hearing.sphinx_search import UNUSUAL_COST, USUAL_MEAN, Search
from assistant.hearing.sphinx_search import Reading as Found
from assistant.hearing.transform import Transform

MARGIN_SAMPLES = round(MARGIN * SAMPLE_RATE)
LOOKED_AT = 6
"""So many of the strong ear's readings count, at most."""
SHORTEST, FEW_WORDS = 0.55, 100
"""Seconds that a sentence lasts at least, with 0.2 s of quiet on either side of it: less is a cough
or a bang. In a grammar of fewer words (a choice was asked back) short answers are expected."""


@dataclass
class _Ahead:
    """What is read while it is not yet sure that the utterance is over."""

    spoken: int
    """Samples to the end of the speech in it."""
    dropped: threading.Event
    found: Future[list[Reading]]


class NeuralRecogniser:
    """Recogniser for one grammar at a time: see the module."""

    def __init__(self, model: Callable[[], SpeechModel]) -> None:
        """Load the quick ear (0.3 s), and the model meanwhile.

        model : loads it (some seconds); what it raises is raised by the first utterance
        """
        self._worker = ThreadPoolExecutor(1, "strong ear")
        self._loading = self._worker.submit(lambda: SentenceSearch(model()))
        self._quick = Search(own_reduction=False)
        self._quick.set_mean(USUAL_MEAN)
        self._reducer = NoiseReducer()
        self._acceptor: Acceptor | None = None
        self._listening = False
        self._sound: list[Samples] = []
        self._quiet: list[Samples] = []
        self._ahead: _Ahead | None = None

    def use(self, acceptor: Acceptor, pronunciations: Mapping[str, Sequence[str]]) -> None:
        """Listen for the sentences of `acceptor` from the next utterance on; see Recogniser."""
        if self._listening:
            raise RuntimeError("a grammar cannot change in the middle of an utterance")
        self._quick.use(acceptor, pronunciations)
        self._acceptor = acceptor

    def fit(self, mean: str | None, transform: Transform | None) -> None:
        """The quick ear for one voice; see Fittable."""
        self._quick.adapt(transform)
        self._quick.set_mean(mean or USUAL_MEAN)

    def hear(self, samples: Samples) -> Heard | None:
        """The words of a whole sound, or None; see Recogniser."""
        self.start()
        self.feed(samples)
        return self.end()

    def start(self) -> None:
        """Begin an utterance that arrives in pieces."""
        if self._acceptor is None:
            raise RuntimeError("no grammar: call use() first")
        self._listening = True
        self._sound, self._quiet = [], []
        self._drop()
        self._reducer.start()
        self._quick.start()

    def feed(self, samples: Samples) -> None:
        """The next piece of the utterance."""
        self._sound.append(samples)
        self._quiet.append(self._reducer.feed(samples))
        self._quick.feed(self._quiet[-1])

    def partial(self) -> str:
        """The words so far, as the quick ear has them."""
        return self._quick.partial()

    def pause(self) -> None:
        """Whoever speaks has fallen silent: the strong ear begins to read what was said so far."""
        self._drop()
        place = voiced_slice(np.concatenate(self._quiet)) if self._quiet else None
        if place is None or self._acceptor is None or not self._loading.done():
            return
        words = self._quick.partial()
        also = [words] if self._acceptor.accepts(words.split()) else []
        dropped = threading.Event()
        sound = np.concatenate(self._sound)[place]
        found = self._worker.submit(
            self._strong.readings, sound, self._acceptor, also, dropped.is_set
        )
        self._ahead = _Ahead(place.stop - MARGIN_SAMPLES, dropped, found)

    def _drop(self) -> None:
        """What was read ahead is of no use: somebody speaks on, or another utterance begins."""
        if self._ahead is not None:
            self._ahead.dropped.set()
            self._ahead = None

    def _readings(self, sound: Samples, place: slice, also: list[str]) -> list[Reading]:
        """The strong ear's readings: those that were read ahead if nothing was said since."""
        assert self._acceptor is not None
        ahead, self._ahead = self._ahead, None
        if ahead is not None and place.stop - MARGIN_SAMPLES <= ahead.spoken:
            found = ahead.found.result()
            if set(also) <= {each.words for each in found}:
                return found
        elif ahead is not None:
            ahead.dropped.set()
        return self._strong.readings(sound[place], self._acceptor, also)

    def end(self) -> Heard | None:
        """End the utterance: its words, or None."""
        self._quiet.append(self._reducer.end())
        self._quick.feed(self._quiet[-1])
        quick = self._quick.end()
        self._listening = False
        sound = np.concatenate(self._sound) if self._sound else np.zeros(0, np.int16)
        quiet = np.concatenate(self._quiet)
        place = voiced_slice(quiet)
        if place is None or self._acceptor is None:
            return None
        also = []
        if quick is not None and self._acceptor.accepts(quick.words.split()):
            also = [quick.words]
        readings = self._readings(sound, place, also)
        if not readings:
            return None
        near = readings[0].score - WITHIN
        kept = [
            each
            for number, each in enumerate(readings)
            if each.words in also or (number < LOOKED_AT and each.score > near)
        ]
        ratio = self._reducer.ratio()
        order, ahead = [each.words for each in kept], lead(kept)
        fit = quick.fit if quick is not None else None
        if order[0] not in also or ahead < CLEAR_LEAD:
            order, ahead, fit = self._weighed(kept, quiet[place], also)
        first = next((each for each in kept if each.words == order[0]), kept[0])
        agrees = first.words in also
        few = len(self._acceptor.words()) <= FEW_WORDS
        short = not few and sound[place].size < SHORTEST * SAMPLE_RATE
        return judged(order, ahead, confidence(first, agrees, fit, ratio), agrees, short, ratio)

    @property
    def _strong(self) -> SentenceSearch:
        """The strong ear; waits for it where it is still loading."""
        return self._loading.result()

    @property
    def cepstral_mean(self) -> str:
        """What the quick ear's next utterance begins with: kept over utterances, learnt from each."""
        return self._quick.mean()

    def _weighed(
        self, readings: Sequence[Reading], quiet: Samples, followed: Sequence[str]
    ) -> tuple[list[str], float, float | None]:
        """The readings in order as both ears weigh them, the lead of the first, and its fit.

        What looks like the first reading is weighed too: the search may have lost it on the way.
        """
        assert self._acceptor is not None
        mean = self._quick.mean()
        first = readings[0].words
        rivals = [each.words for each in readings] + look_alikes(first, self._acceptor)
        best = self._quick.best_of(Sentences.of(rivals), quiet, None)
        weighed = {} if best is None else {best.words: self._scored(best)}
        preferred = first if best is None else best.words
        if preferred != first:
            mine = self._quick.best_of(Sentences.of([first]), quiet, None)
            if mine is not None:
                weighed[first] = self._scored(mine)
        self._quick.set_mean(mean)
        order, ahead = in_order(readings, preferred, weighed, followed)
        found = weighed.get(order[0])
        return order, ahead, found.fit if found is not None else None

    def _scored(self, found: Found) -> Weighed:
        assert self._acceptor is not None
        steps = self._acceptor.unusual_steps(found.words.split())
        return Weighed(found.score - UNUSUAL_COST * steps, found.fit)
