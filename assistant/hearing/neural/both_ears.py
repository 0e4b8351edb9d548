"""A whole utterance as both ears read it: the strong one searches, the quick one weighs what it found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from assistant.hearing.look_alikes import Sentences, look_alikes
from assistant.hearing.neural.judging import CLEAR_LEAD, PLAIN, WITHIN, Weighed, in_order
from assistant.hearing.neural.search import Reading, SentenceSearch
from assistant.hearing.recogniser import Acceptor, Samples
from assistant.hearing.sphinx_search import UNUSUAL_COST, Search
from assistant.hearing.sphinx_search import Reading as Found
from assistant.hearing.transform import Transform

LOOKED_AT = 6
"""So many of the strong ear's readings count, at most."""
DOUBTFUL = 0.5
"""Strain from which the strong ear is not sure. At 10 dB it heard 18 of 48 tuning sentences as they were,
19 behind the noise reduction, and 21 one way or the other."""
WEIGHED = 2
"""So many of them and their look-alikes, the best by its own hearing, the quick ear weighs."""


@dataclass(frozen=True)
class Utterance:
    """The same moments, as they are and with less noise."""

    sound: Samples
    quiet: Samples
    mean: str
    """The cepstral mean with which the quick ear looks at it: readings compared must be given the same."""


@dataclass(frozen=True)
class Read:
    """What both ears make of an utterance."""

    followed: tuple[str, ...]
    """What the quick ear had found on its way: one whole sentence, or none."""
    readings: tuple[Reading, ...]
    """The strong ear's, best first; never none."""
    order: tuple[tuple[str, float], ...]
    """The words of all readings that count, best first as both ears weigh them, and how far behind
    the first, nats."""
    fit: float | None
    """The quick ear's, of the first; None where it need not be asked, or finds no way through the sound."""

    @property
    def first(self) -> Reading:
        """The strong ear's reading that stands first, or its own first where it has none of these words."""
        same = (each for each in self.readings if each.words == self.order[0][0])
        return next(same, self.readings[0])

    @property
    def agrees(self) -> bool:
        """True where both ears heard the first."""
        return self.first.words in self.followed


class BothEars:
    """One utterance at a time, of one grammar at a time; nothing of it is streamed."""

    def __init__(self, strong: SentenceSearch) -> None:
        """Load a decoder that weighs, beside the one that streams (0.3 s)."""
        self._strong = strong
        self._weigher = Search(own_reduction=False)

    def know(self, words: frozenset[str], pronunciations: Mapping[str, Sequence[str]]) -> None:
        """Take in the words of a grammar. Raises DeviceError for one without pronunciation."""
        self._weigher.know(words, pronunciations)

    def adapt(self, transform: Transform | None) -> None:
        """Weigh for one voice; see Search."""
        self._weigher.adapt(transform)

    def read(
        self,
        spoken: Utterance,
        acceptor: Acceptor,
        followed: tuple[str, ...],
        dropped: Callable[[], bool] = lambda: False,
        thorough: bool = True,
    ) -> Read | None:
        """The utterance, read and weighed; None where no sentence of `acceptor` is in it.

        followed : what the quick ear found on its way
        dropped  : asked now and then; True where the result is wanted no more
        thorough : True to look at it with less noise too, where the sound as it is leaves a doubt
        """
        found = self._strong.readings(spoken.sound, acceptor, followed, dropped)
        if thorough and found and found[0].strain > DOUBTFUL and not dropped():
            other = self._strong.readings(spoken.quiet, acceptor, followed, dropped)
            found = min(found, other or found, key=lambda each: each[0].strain)
        return self._weighed(found, spoken, acceptor, followed) if found and not dropped() else None

    def again(
        self, read: Read, spoken: Utterance, acceptor: Acceptor, followed: tuple[str, ...]
    ) -> Read | None:
        """The same where the quick ear in the end found something else on its way."""
        if set(followed) <= {each.words for each in read.readings}:
            return self._weighed(read.readings, spoken, acceptor, followed)
        return self.read(spoken, acceptor, followed)

    def _weighed(
        self,
        found: Sequence[Reading],
        spoken: Utterance,
        acceptor: Acceptor,
        followed: tuple[str, ...],
    ) -> Read:
        """`found` in order as both ears weigh them.

        What looks like the first is weighed too: the search may have lost it on the way.
        """
        near = found[0].score - WITHIN
        kept = [
            each
            for number, each in enumerate(found)
            if each.words in followed or (number < LOOKED_AT and each.score > near)
        ]
        first = kept[0].words
        alone = in_order(kept, {}, followed)
        clear = first in followed and (len(alone) < 2 or alone[1][1] >= CLEAR_LEAD)
        if clear and kept[0].strain <= PLAIN:
            # Nothing is in doubt: a decoding for nothing would hold up the answer by 0.2 s.
            return Read(followed, tuple(found), tuple(alone), None)
        words = [each.words for each in kept]
        rivals = dict.fromkeys([first] if clear else [*words, *look_alikes(first, acceptor)])
        weighed: dict[str, Weighed] = {}
        # The second decoding tells by how much the first one leads.
        while rivals and len(weighed) < WEIGHED:
            best = self._best(rivals, spoken)
            if best is None:
                break
            weighed[best.words] = _scored(best, acceptor)
            del rivals[best.words]
        order = alone if clear else in_order(kept, weighed, followed)
        leader = order[0][0]
        fits = weighed[leader] if leader in weighed else self._best([leader], spoken)
        return Read(followed, tuple(found), tuple(order), None if fits is None else fits.fit)

    def _best(self, sentences: Iterable[str], spoken: Utterance) -> Found | None:
        means = (spoken.mean, spoken.mean)
        return self._weigher.best_of(Sentences.of(sentences), spoken.quiet, means)


def _scored(found: Found, acceptor: Acceptor) -> Weighed:
    steps = acceptor.unusual_steps(found.words.split())
    return Weighed(found.score - UNUSUAL_COST * steps, found.fit)
