"""The quick ear asked about a few sentences: which of them fits an utterance better, and how well one fits at all."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from assistant.hearing.look_alikes import Sentences
from assistant.hearing.recogniser import Acceptor, Meaning, Phones, Samples
from assistant.hearing.sphinx_search import UNUSUAL_COST, Search
from assistant.hearing.transform import Transform


@dataclass(frozen=True)
class Utterance:
    """The same moments, as they are and with less noise."""

    sound: Samples
    quiet: Samples
    mean: str
    """The cepstral mean with which the quick ear looks at it: readings compared must be given the same."""
    ratio: float
    """Speech to noise, dB."""
    acceptor: Acceptor
    """What could be said."""
    meaning: Meaning
    """What a sentence of it means."""


class QuickEar:
    """Two decoders beside the one that streams.

    To compare sentences only the sounds in them need be scored, which takes a quarter of the time; how
    well one fits is told against the best of all sounds.
    """

    def __init__(self) -> None:
        """Load them (0.6 s)."""
        self._comparing = Search(own_reduction=False, all_sounds=False)
        self._fitting = Search(own_reduction=False)

    def know(self, words: frozenset[str], pronunciations: Phones) -> None:
        """Take in the words of a grammar. Raises DeviceError for one without pronunciation."""
        for search in (self._comparing, self._fitting):
            search.know(words, pronunciations)

    def adapt(self, transform: Transform | None) -> None:
        """Hear for one voice; see Search."""
        for search in (self._comparing, self._fitting):
            search.adapt(transform)

    def best(
        self, rivals: Collection[str], among: Collection[str], spoken: Utterance
    ) -> tuple[str, float] | None:
        """The sentence of `among` that fits best, and its score; None where all lie far behind the best of `rivals`.

        Scores for the same `rivals` may be compared, and no others: all of them are searched each time,
        so that each moment is told against the same sounds.
        """
        sentences = Sentences.of(rivals).ending(among)
        found = self._comparing.best_of(sentences, spoken.quiet, (spoken.mean, spoken.mean))
        if found is None:
            return None
        steps = spoken.acceptor.unusual_steps(found.words.split())
        return found.words, found.score - UNUSUAL_COST * steps

    def fit(self, words: str, spoken: Utterance) -> float | None:
        """How well `words` fit for each hundredth of a second; None where they find no way through the sound."""
        one = Sentences.of([words])
        found = self._fitting.best_of(one, spoken.quiet, (spoken.mean, spoken.mean))
        return None if found is None else found.fit
