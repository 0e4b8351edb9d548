"""pocketsphinx with its bundled English model as a Recogniser."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from assistant.hearing.end_of_speech import spoken_slice
from assistant.hearing.look_alikes import Sentences, look_alikes
from assistant.hearing.noise import NoiseReducer, reduced
from assistant.hearing.recogniser import SAMPLE_RATE, Acceptor, Heard, Meaning, Phones, Samples
from assistant.hearing.sphinx_search import UNUSUAL_COST, USUAL_MEAN, Reading, Search
from assistant.hearing.transform import Transform

SECOND_BELOW = 24.0
"""Speech to noise, dB, below which a second front end listens too: what both hear alike is seldom wrong."""
GOOD_FIT = -4.8
"""A reading found on the way that fits worse is decoded once more with its own cepstral mean."""
LEAST_FIT = ((13.0, -5.35), (18.0, -5.75), (30.0, -5.8))
"""(speech to noise, dB; fit): below this fit it is more likely other talk; between these by a straight line."""
CERTAIN_FIT = ((13.0, -5.2), (18.0, -5.5), (30.0, -5.7))
"""The same for a reading that is acted on without asking."""
SCALE = 0.1
CLOSE = 12.0
"""A reading whose score is less than this below the best one's could as well be meant. Of 72 tuning
sentences none was heard wrong with more, clean, and one in ten that were right had less."""
ROUNDS = 2
"""How often a reading that turns out better takes the place of the best."""
UNSURE = 0.4
"""Confidence of what may not be acted on, however well it fits."""
LEAST_FRAMES, FEW_WORDS = 40, 100
"""Hundredths of a second that a sentence lasts at least: coughs were heard as 'done'. In a grammar
of fewer words (a choice was asked back) short answers are expected."""
SHORT = 1.3
"""Seconds of sound that are too few to take a cepstral mean from: half of it may be silence."""
USUAL_PEAK = 16_000
"""Highest sample of the sound that USUAL_MEAN was taken from."""
DRIFT, TERMS = 6.0, 4
"""If one of so many terms of the running cepstral mean moves so far in one utterance, it did not fit
it, as after a change of speaker: decode again, with its own mean."""


class SphinxRecogniser:
    """Recogniser for one grammar at a time: noise reduction, two front ends in noise, look-alikes compared."""

    def __init__(self) -> None:
        """Load the model (0.5 s)."""
        self._main = Search(own_reduction=False)
        self._second = Search(own_reduction=True)
        self.fit(None, None)
        self._reducer = NoiseReducer()
        self._acceptor: Acceptor | None = None
        self._listening = False
        self._mean = ""
        self._pieces: list[Samples] = []

    def use(self, acceptor: Acceptor, pronunciations: Phones, meaning: Meaning = str) -> None:
        """Listen for the sentences of `acceptor` from the next utterance on; see Recogniser."""
        if self._listening:
            raise RuntimeError("a grammar cannot change in the middle of an utterance")
        for search in (self._main, self._second):
            search.use(acceptor, pronunciations)
        self._acceptor = acceptor

    def fit(self, mean: str | None, transform: Transform | None) -> None:
        """Both front ends for one voice; see Fittable."""
        for search in (self._main, self._second):
            search.adapt(transform)
            search.set_mean(mean or USUAL_MEAN)

    def hear(self, samples: Samples) -> Heard | None:
        """The words of a whole sound, or None; see Recogniser."""
        self._ready()
        place = spoken_slice(samples)
        if place is None:
            return None
        quiet, ratio = reduced(samples)
        return self._heard_whole(quiet[place], ratio)

    def start(self) -> None:
        """Begin an utterance that arrives in pieces."""
        self._ready()
        self._listening = True
        self._pieces = []
        self._reducer.start()
        self._mean = self._main.mean()
        self._main.start()

    def feed(self, samples: Samples) -> None:
        """The next piece of the utterance."""
        self._pieces.append(samples)
        self._main.feed(self._reducer.feed(samples))

    def partial(self) -> str:
        """The words so far."""
        return self._main.partial()

    def pause(self) -> None:
        """Nothing can be done ahead."""

    def settled(self) -> bool:
        """False: only the quiet tells."""
        return False

    def nobody(self) -> bool:
        """False: speech is not told from noise before the end."""
        return False

    def end(self) -> Heard | None:
        """End the utterance: its words, or None.

        What was decoded on the way counts where the sound was clear and its cepstral mean as
        expected; else the whole is decoded once more, with its own mean and both front ends.
        """
        self._main.feed(self._reducer.end())
        first = self._main.end()
        self._listening = False
        ratio, after = self._reducer.ratio(), self._main.mean()
        sound = np.concatenate(self._pieces) if self._pieces else np.zeros(0, np.int16)
        doubtful = first is None or first.fit < GOOD_FIT
        if doubtful or ratio < SECOND_BELOW or _moved(self._mean, after) > DRIFT:
            return self.hear(sound)
        return self._judged(first, None, ratio, reduced(sound)[0], (self._mean, after))

    @property
    def cepstral_mean(self) -> str:
        """What the next utterance in pieces begins with: kept over utterances, learnt from each."""
        return self._main.mean()

    def _ready(self) -> None:
        if self._acceptor is None:
            raise RuntimeError("no grammar: call use() first")

    def _heard_whole(self, quiet: Samples, ratio: float) -> Heard | None:
        """What is said in `quiet`, with its own cepstral mean, or the usual one where it is short."""
        means = None
        if quiet.size < SHORT * SAMPLE_RATE:
            quiet = _at_peak(quiet)
            means = (USUAL_MEAN, self._main.mean())
        first = self._main.whole(quiet, means)
        second = self._second.whole(quiet, means) if ratio < SECOND_BELOW else None
        return self._judged(first, second, ratio, quiet, means)

    def _judged(
        self,
        first: Reading | None,
        second: Reading | None,
        ratio: float,
        sound: Samples,
        means: tuple[str, str] | None,
    ) -> Heard | None:
        """The readings weighed against each other and against what sounds like them.

        means : cepstral mean with which `first` was found, and the one to go on with; None for its own
        """
        assert self._acceptor is not None
        if first is None:
            return None
        sure = confidence(first.fit, ratio)
        if first.frames < LEAST_FRAMES and len(self._acceptor.words()) > FEW_WORDS:
            sure = min(sure, UNSURE)
        two = ratio < SECOND_BELOW
        whole = self._acceptor.accepts(first.words.split())
        if not whole or (two and not self._whole(second)):
            # In noise a second front end that makes no sentence of it is a no.
            return Heard(first.words, sure if whole else min(sure, UNSURE), False, ratio=ratio)
        first, best, lead = self._compared(first, second if two else None, sound, means)
        certain = first.fit >= _at(CERTAIN_FIT, ratio)
        if best is None:
            return Heard(first.words, sure if certain else min(sure, UNSURE), True, ratio=ratio)
        differs = two and second is not None and second.words != first.words
        close = differs or abs(lead) < CLOSE or not certain
        readings = (first.words, best.words) if lead >= 0 else (best.words, first.words)
        alone = " " not in min(readings, key=len) and len(self._acceptor.words()) > FEW_WORDS
        if close and alone:
            # A single word that could as well be another is a scrap of talk, nothing to ask about.
            sure = min(sure, UNSURE)
        return Heard(readings[0], sure, True, readings[1:], int(close), ratio)

    def _compared(
        self,
        first: Reading,
        second: Reading | None,
        sound: Samples,
        means: tuple[str, str] | None,
    ) -> tuple[Reading, Reading | None, float]:
        """The best reading, the best of what sounds like it or of `second`, and the lead over that."""
        assert self._acceptor is not None
        best, lead = None, 0.0
        for _ in range(ROUNDS):
            rivals = look_alikes(first.words, self._acceptor)
            if second is not None and second.words not in (first.words, *rivals):
                rivals.append(second.words)
            if not rivals:
                return first, None, 0.0
            best = self._main.best_of(Sentences.of(rivals), sound, means)
            if best is None:
                return first, None, 0.0
            lead = self._weighed(first) - self._weighed(best)
            if lead > -CLOSE:
                break
            # The search had lost a better one on its way: what sounds like that one counts.
            first, best, lead = best, first, -lead
        return first, best, lead

    def _weighed(self, reading: Reading) -> float:
        """The score, less what its unusual steps cost in the search."""
        assert self._acceptor is not None
        return reading.score - UNUSUAL_COST * self._acceptor.unusual_steps(reading.words.split())

    def _whole(self, reading: Reading | None) -> bool:
        assert self._acceptor is not None
        return reading is not None and self._acceptor.accepts(reading.words.split())


def confidence(fit: float, ratio: float) -> float:
    """0 to 1: 0.5 where `fit` is the least that a sentence of the grammar has at this `ratio` (dB)."""
    return 1 / (1 + math.exp(min((_at(LEAST_FIT, ratio) - fit) / SCALE, 500)))


def _at(line: Sequence[tuple[float, float]], ratio: float) -> float:
    """The height of `line` at `ratio`."""
    ratios, heights = zip(*line, strict=True)
    return float(np.interp(ratio, ratios, heights))


def _at_peak(sound: Samples) -> Samples:
    """`sound` with its highest sample at USUAL_PEAK."""
    peak = int(np.abs(sound.astype(np.int32)).max(initial=1))
    return np.round(sound * (USUAL_PEAK / peak)).astype(np.int16)


def _moved(before: str, after: str) -> float:
    """How far the first terms of a cepstral mean, loudness and colour of the sound, moved at most."""
    pairs = zip(before.split(",")[:TERMS], after.split(",")[:TERMS], strict=True)
    return max(abs(float(one) - float(other)) for one, other in pairs)
