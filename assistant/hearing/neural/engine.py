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
from assistant.hearing.neural.both_ears import BothEars, Read, Utterance
from assistant.hearing.neural.judging import SURE, confidence, judged
from assistant.hearing.neural.model import SpeechModel
from assistant.hearing.neural.search import SentenceSearch
from assistant.hearing.noise import NoiseReducer
from assistant.hearing.recogniser import SAMPLE_RATE, Acceptor, Heard, Samples
from assistant.hearing.sphinx_search import USUAL_MEAN, Search
from assistant.hearing.transform import Transform

MARGIN_SAMPLES = round(MARGIN * SAMPLE_RATE)
SHORTEST, FEW_WORDS = 0.55, 100
"""Seconds that a sentence lasts at least, with 0.2 s of quiet on either side of it: less is a cough
or a bang. In a grammar of fewer words (a choice was asked back) short answers are expected."""


@dataclass(frozen=True)
class _Ahead:
    """What is read while it is not yet sure that the utterance is over."""

    spoken: int
    """Samples to the end of the speech in it."""
    ratio: float
    dropped: threading.Event
    found: Future[Read | None]


class NeuralRecogniser:
    """Recogniser for one grammar at a time: see the module."""

    def __init__(self, model: Callable[[], SpeechModel]) -> None:
        """Load the quick ear (0.3 s), and the model meanwhile.

        model : loads it (some seconds); what it raises is raised by the first utterance
        """
        self._worker = ThreadPoolExecutor(1, "strong ear")
        self._loading = self._worker.submit(lambda: BothEars(SentenceSearch(model())))
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
        words = acceptor.words()
        self._worker.submit(lambda: self._both.know(words, pronunciations))
        self._acceptor = acceptor

    def fit(self, mean: str | None, transform: Transform | None) -> None:
        """The quick ear for one voice; see Fittable."""
        self._quick.adapt(transform)
        self._quick.set_mean(mean or USUAL_MEAN)
        self._worker.submit(lambda: self._both.adapt(transform))

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
        """The words so far: the strong ear's where it has read them and is sure, else the quick ear's."""
        ahead = self._ahead
        if ahead is not None and ahead.found.done() and ahead.found.exception() is None:
            read = ahead.found.result()
            if read is not None and read.weighed and _sure(read, read.fit, ahead.ratio) >= SURE:
                return read.order[0][0]
        return self._quick.partial()

    def pause(self) -> None:
        """Whoever speaks has fallen silent: the strong ear begins to read what was said so far."""
        self._drop()
        if not self._loading.done():
            return
        spoken, end = self._spoken()
        acceptor = self._acceptor
        if spoken is None or acceptor is None:
            return
        followed, dropped = self._followed(self._quick.partial()), threading.Event()
        found = self._worker.submit(
            lambda: self._both.read(spoken, acceptor, followed, dropped.is_set)
        )
        self._ahead = _Ahead(end, self._reducer.ratio(), dropped, found)

    def end(self) -> Heard | None:
        """End the utterance: its words, or None."""
        self._quiet.append(self._reducer.end())
        self._quick.feed(self._quiet[-1])
        quick = self._quick.end()
        self._listening = False
        spoken, end = self._spoken()
        if spoken is None or self._acceptor is None:
            self._drop()
            return None
        read = self._read(spoken, end, self._followed("" if quick is None else quick.words))
        if read is None:
            return None
        fit = quick.fit if quick is not None and not read.weighed else read.fit
        ratio = self._reducer.ratio()
        few = len(self._acceptor.words()) <= FEW_WORDS
        short = not few and spoken.sound.size < SHORTEST * SAMPLE_RATE
        return judged(read.order, _sure(read, fit, ratio), read.agrees, short, ratio)

    @property
    def cepstral_mean(self) -> str:
        """What the quick ear's next utterance begins with: kept over utterances, learnt from each."""
        return self._quick.mean()

    @property
    def _both(self) -> BothEars:
        """Waits for the model where it is still loading."""
        return self._loading.result()

    def _spoken(self) -> tuple[Utterance | None, int]:
        """What was said so far, and where the speech in it ends; None where nobody spoke."""
        quiet = np.concatenate(self._quiet) if self._quiet else np.zeros(0, np.int16)
        place = voiced_slice(quiet)
        if place is None:
            return None, 0
        sound = np.concatenate(self._sound)[place]
        return Utterance(sound, quiet[place], self._quick.mean()), place.stop - MARGIN_SAMPLES

    def _followed(self, words: str) -> tuple[str, ...]:
        """What the quick ear found, if it is a whole sentence."""
        whole = self._acceptor is not None and self._acceptor.accepts(words.split())
        return (words,) if whole else ()

    def _drop(self) -> None:
        """What was read ahead is of no use: somebody speaks on, or another utterance begins."""
        if self._ahead is not None:
            self._ahead.dropped.set()
            self._ahead = None

    def _read(self, spoken: Utterance, end: int, followed: tuple[str, ...]) -> Read | None:
        """The utterance as both ears read it: what was read ahead if nothing was said since."""
        acceptor = self._acceptor
        assert acceptor is not None
        ahead, self._ahead = self._ahead, None
        if ahead is not None and end <= ahead.spoken:
            read = ahead.found.result()
            if read is None:
                return None
            if read.followed == followed:
                return read
            return self._worker.submit(
                lambda: self._both.again(read, spoken, acceptor, followed)
            ).result()
        if ahead is not None:
            ahead.dropped.set()
        return self._worker.submit(lambda: self._both.read(spoken, acceptor, followed)).result()


def _sure(read: Read, fit: float | None, ratio: float) -> float:
    return confidence(read.first, read.agrees, fit, ratio)
