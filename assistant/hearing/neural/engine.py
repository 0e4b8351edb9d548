"""Two ears that listen at once: a quick one on the way, a strong one to the whole utterance.

The quick one (pocketsphinx) follows the words as they come, which tells when the sentence is over;
the strong one (the neural model) reads the whole. They err differently, so what both hear is
seldom wrong, and where they differ the readings are weighed by both.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from assistant.hearing.end_of_speech import MARGIN, spoken_part, voiced_slice
from assistant.hearing.neural.both_ears import BothEars, Followed, Read
from assistant.hearing.neural.judging import SURE, judged
from assistant.hearing.neural.looks import Looks
from assistant.hearing.neural.model import SpeechModel
from assistant.hearing.neural.quick_ear import QuickEar, Utterance
from assistant.hearing.neural.search import SentenceSearch
from assistant.hearing.noise import NoiseReducer
from assistant.hearing.recogniser import SAMPLE_RATE, Acceptor, Heard, Meaning, Phones, Samples
from assistant.hearing.sphinx_search import USUAL_MEAN, Search
from assistant.hearing.sphinx_search import Reading as Found
from assistant.hearing.transform import Transform

MARGIN_SAMPLES = round(MARGIN * SAMPLE_RATE)
LOOK_SAMPLES, NOISY = round(0.6 * SAMPLE_RATE), 28.0
"""In noise, below so many dB of speech to noise, the quiet after a sentence may never come: it is read
again and again meanwhile."""
KEPT = round(1.5 * SAMPLE_RATE)
"""Samples of noise without speech that are kept: who has just begun to speak is in them."""
SHORTEST, FEW_WORDS = 0.55, 100
"""Seconds that a sentence lasts at least, with 0.2 s of quiet on either side of it: less is a cough
or a bang. In a grammar of fewer words (a choice was asked back) short answers are expected."""


@dataclass(frozen=True)
class _Ahead:
    """What is read while it is not yet sure that the utterance is over."""

    spoken: int
    """Samples to the end of the speech in it."""
    dropped: threading.Event
    found: Future[Read | None]
    pause: bool
    """False where it is never quiet."""


class NeuralRecogniser:
    """Recogniser for one grammar at a time: see the module."""

    def __init__(self, model: Callable[[], SpeechModel]) -> None:
        """Load the quick ear (0.3 s), and the model meanwhile.

        model : loads it (some seconds); what it raises is raised by the first utterance
        """
        self._worker = ThreadPoolExecutor(1, "strong ear")
        self._loading = self._worker.submit(lambda: BothEars(SentenceSearch(model()), QuickEar()))
        self._prepared: list[Future[None]] = []
        """What readies the strong ear's thread for the next utterance."""
        self._quick = Search(own_reduction=False)
        self._quick.set_mean(USUAL_MEAN)
        self._reducer = NoiseReducer()
        self._acceptor: Acceptor | None = None
        self._meaning: Meaning = str
        self._listening = False
        self._sound: list[Samples] = []
        self._quiet: list[Samples] = []
        self._ahead: _Ahead | None = None
        self._unread = 0
        """Samples since it was last read in noise."""
        self._looks = Looks()
        self._nobody = self._somebody = False
        """What the strong ear's last look found, if there was one."""
        self._unfollowed: list[Samples] = []
        """What the quick ear has not been given: to follow noise costs more than all else."""

    def use(self, acceptor: Acceptor, pronunciations: Phones, meaning: Meaning = str) -> None:
        """Listen for the sentences of `acceptor` from the next utterance on; see Recogniser."""
        if self._listening:
            raise RuntimeError("a grammar cannot change in the middle of an utterance")
        self._quick.use(acceptor, pronunciations)
        words = acceptor.words()
        self._prepare(lambda: self._both.quick.know(words, pronunciations))
        self._acceptor, self._meaning = acceptor, meaning

    def fit(self, mean: str | None, transform: Transform | None) -> None:
        """The quick ear for one voice; see Fittable."""
        self._quick.adapt(transform)
        self._quick.set_mean(mean or USUAL_MEAN)
        self._prepare(lambda: self._both.quick.adapt(transform))

    def _prepare(self, work: Callable[[], None]) -> None:
        self._prepared.append(self._worker.submit(work))

    def hear(self, samples: Samples) -> Heard | None:
        """The words of a whole sound, or None; see Recogniser."""
        self.start()
        self._take_in(samples)
        return self.end()

    def says(self, samples: Samples, acceptor: Acceptor) -> bool:
        """True where a sentence of the small `acceptor` was said; see Confirming."""
        spoken = spoken_part(samples)
        if spoken is None:
            return False
        return self._worker.submit(lambda: self._both.says(spoken, acceptor)).result()

    def start(self) -> None:
        """Begin an utterance that arrives in pieces."""
        if self._acceptor is None:
            raise RuntimeError("no grammar: call use() first")
        self._listening = True
        self._sound, self._quiet = [], []
        self._drop()
        self._unread, self._looks = 0, Looks()
        self._nobody = self._somebody = False
        self._unfollowed = []
        self._reducer.start()
        self._quick.start()

    def feed(self, samples: Samples) -> None:
        """The next piece of the utterance."""
        self._take_in(samples)
        self._unread += samples.size
        if self._ahead is not None and self._free():
            if self._ahead.pause:
                self._somebody = self._somebody or not _is_nobody(self._found(self._ahead))
            else:
                self._take_look()
        if self._unread >= LOOK_SAMPLES and (self._nobody or self._noisy) and self._free():
            if self._ahead is not None:
                self._take_look()
            self._begin(pause=False)

    def _take_in(self, samples: Samples) -> None:
        self._sound.append(samples)
        self._hand_on(self._reducer.feed(samples))

    def _hand_on(self, quiet: Samples) -> None:
        self._quiet.append(quiet)
        self._unfollowed.append(quiet)
        if self._somebody or not self._noisy or not self._loading.done():
            self._follow()

    def _follow(self) -> None:
        """The quick ear follows what it has not been given yet."""
        pieces, self._unfollowed = self._unfollowed, []
        for each in pieces:
            self._quick.feed(each)

    def partial(self) -> str:
        """The words so far: the quick ear's, in noise the strong one's where it is sure.

        Not what the strong one read at a pause: it makes a whole sentence of half of one, which would
        be cut off.
        """
        best = self._looks.best
        return best.order[0][0] if best is not None else self._quick.partial()

    def settled(self) -> bool:
        """True where a sentence is over, though it is never quiet; see Recogniser."""
        last = self._looks.last
        if last is None or self._acceptor is None:
            return False
        return self._looks.over(self._acceptor.can_continue(last.order[0][0].split()))

    def nobody(self) -> bool:
        """True where the strong ear found nothing but noise; see Recogniser."""
        return self._nobody

    def pause(self) -> None:
        """Whoever speaks has fallen silent: the strong ear begins to read what was said so far."""
        self._begin(pause=True)

    @property
    def _noisy(self) -> bool:
        return self._reducer.ratio() < NOISY

    def _free(self) -> bool:
        """True where the strong ear is not reading."""
        return self._ahead is None or self._ahead.found.done()

    def _take_look(self) -> None:
        """What was read ahead in noise that hides pauses, compared with the time before."""
        ahead, self._ahead = self._ahead, None
        assert ahead is not None
        read = self._found(ahead)
        self._looks.add(read)
        self._nobody = _is_nobody(read)
        self._somebody = not self._nobody
        if self._nobody:
            self._forget()
        else:
            self._follow()

    def _forget(self) -> None:
        """All but the last of the noise: to read it again costs time, and a sentence would be lost in it."""
        sound, quiet = np.concatenate(self._sound), np.concatenate(self._quiet)
        old = max(0, quiet.size - KEPT)
        self._sound, self._quiet = [sound[old:]], [quiet[old:]]
        self._reducer.forget(KEPT)
        self._quick.end()
        self._quick.start()
        self._unfollowed = [quiet[old:]]

    def _begin(self, pause: bool) -> None:
        """The strong ear begins to read what was said so far."""
        self._drop()
        self._unread = 0
        if not self._loading.done():
            return
        spoken, end = self._spoken()
        if spoken is None:
            return
        followed, dropped = self._followed(self._quick.so_far()), threading.Event()
        found = self._worker.submit(
            lambda: self._both.read(spoken, followed, dropped.is_set, thorough=pause)
        )
        self._ahead = _Ahead(end, dropped, found, pause)

    @staticmethod
    def _found(ahead: _Ahead) -> Read | None:
        """What was read ahead, once it is there."""
        if not ahead.found.done() or ahead.found.exception() is not None:
            return None
        return ahead.found.result()

    def end(self) -> Heard | None:
        """End the utterance: its words, or None. Raises what kept the strong ear from being ready."""
        self._hand_on(self._reducer.end())
        noise = bool(self._unfollowed) and self._was_noise()
        if not noise:
            self._follow()
        quick = self._quick.end()
        self._listening = False
        spoken, end = self._spoken()
        if noise or spoken is None or self._acceptor is None:
            self._drop()
            self._nobody = noise
            return None
        prepared, self._prepared = self._prepared, []
        for each in prepared:
            each.result()
        looks = self._looks
        if self.settled() and looks.best is not None:
            self._drop()
            read: Read | None = looks.best
        else:
            read = self._read(spoken, end, self._followed(quick))
        if looks.best is not None and (read is None or read.sure < SURE):
            # What the machine went on with after the words spoils them.
            read = looks.best
        self._nobody = read is not None and read.nobody
        if self._nobody:
            return None
        if read is None:
            return Heard("", 0.0, complete=False, ratio=spoken.ratio)
        few = len(self._acceptor.words()) <= FEW_WORDS
        short = not few and spoken.sound.size < SHORTEST * SAMPLE_RATE
        return judged(read.order, read.sure, short, spoken.ratio)

    def _was_noise(self) -> bool:
        """True where the strong ear finds nobody in the whole utterance: the quick one need not hear it."""
        _, end = self._spoken()
        if self._ahead is None or not self._ahead.pause or end > self._ahead.spoken:
            self._begin(pause=True)
        return self._ahead is not None and _is_nobody(self._ahead.found.result())

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
        if place is None or self._acceptor is None:
            return None, 0
        sound, mean = np.concatenate(self._sound)[place], self._quick.mean()
        spoken = Utterance(
            sound, quiet[place], mean, self._reducer.ratio(), self._acceptor, self._meaning
        )
        return spoken, place.stop - MARGIN_SAMPLES

    def _followed(self, quick: Found | None) -> Followed:
        """What the quick ear found, if it is a whole sentence."""
        if (
            quick is None
            or self._acceptor is None
            or not self._acceptor.accepts(quick.words.split())
        ):
            return {}
        return {quick.words: quick.fit}

    def _drop(self) -> None:
        """What was read ahead is of no use: somebody speaks on, or another utterance begins."""
        if self._ahead is not None:
            self._ahead.dropped.set()
            self._ahead = None

    def _read(self, spoken: Utterance, end: int, followed: Followed) -> Read | None:
        """The utterance as both ears read it: what was read ahead if nothing was said since."""
        ahead, self._ahead = self._ahead, None
        if ahead is not None and ahead.pause and end <= ahead.spoken:
            read = ahead.found.result()
            if read is None or read.nobody or set(read.followed) == set(followed):
                return read
            return self._worker.submit(lambda: self._both.again(read, followed)).result()
        if ahead is not None:
            ahead.dropped.set()
        return self._worker.submit(lambda: self._both.read(spoken, followed)).result()


def _is_nobody(read: Read | None) -> bool:
    return read is not None and read.nobody
