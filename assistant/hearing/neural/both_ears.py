"""A whole utterance as both ears read it: the strong one searches, the quick one weighs what it found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from assistant.hearing.look_alikes import Sentences, look_alikes
from assistant.hearing.neural.judging import (
    CLEAR_LEAD,
    CLOSE_LEAD,
    PLAIN,
    WITHIN,
    Weighed,
    in_order,
)
from assistant.hearing.neural.search import NOBODY, Reading, SentenceSearch
from assistant.hearing.recogniser import Acceptor, Meaning, Samples
from assistant.hearing.sphinx_search import UNUSUAL_COST, Search
from assistant.hearing.sphinx_search import Reading as Found
from assistant.hearing.transform import Transform

LOOKED_AT = 6
"""So many of the strong ear's meanings count, at most."""
DOUBTFUL = 0.5
"""Strain from which the strong ear is not sure. At 10 dB it heard 18 of 48 tuning sentences as they were,
19 behind the noise reduction, and 21 one way or the other."""
WEIGHED = 2
"""So many of them and their look-alikes, the best by its own hearing, the quick ear weighs at least."""


@dataclass(frozen=True)
class Utterance:
    """The same moments, as they are and with less noise."""

    sound: Samples
    quiet: Samples
    mean: str
    """The cepstral mean with which the quick ear looks at it: readings compared must be given the same."""
    acceptor: Acceptor
    """What could be said."""
    meaning: Meaning
    """What a sentence of it means."""


@dataclass(frozen=True)
class Read:
    """What both ears make of an utterance."""

    spoken: Utterance
    followed: tuple[str, ...]
    """What the quick ear had found on its way: one whole sentence, or none."""
    readings: tuple[Reading, ...]
    """The strong ear's, best first; never none."""
    first: Reading
    """The one that stands first, or the strong ear's own first where it has none of these words."""
    order: tuple[tuple[str, float], ...]
    """The words of all readings that count, no two of one meaning, best first as both ears weigh
    them, and how far behind the first, nats."""
    agrees: bool
    """True where both ears heard the first."""
    weighed: Mapping[str, Weighed]
    """What the quick ear made of those that it weighed."""

    @property
    def nobody(self) -> bool:
        """True where all of it is noise."""
        return self.first is NOBODY

    @property
    def fit(self) -> float | None:
        """The quick ear's, of the first; None where it need not be asked, or finds no way through the sound."""
        fits = self.weighed.get(self.order[0][0])
        return None if fits is None else fits.fit


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
        followed: tuple[str, ...],
        dropped: Callable[[], bool] = lambda: False,
        thorough: bool = True,
    ) -> Read | None:
        """The utterance, read and weighed; None where no sentence of its acceptor is in it.

        followed : what the quick ear found on its way
        dropped  : asked now and then; True where the result is wanted no more
        thorough : True to look at it with less noise too, where the sound as it is leaves a doubt
        """
        found = self._strong.readings(spoken.sound, spoken.acceptor, followed, dropped)
        if found == [NOBODY]:
            order = ((NOBODY.words, 0.0),)
            return Read(spoken, followed, (NOBODY,), NOBODY, order, agrees=False, weighed={})
        if thorough and found and found[0].strain > DOUBTFUL and not dropped():
            other = self._strong.readings(spoken.quiet, spoken.acceptor, followed, dropped)
            if other != [NOBODY]:
                found = min(found, other or found, key=lambda each: each[0].strain)
        return self._weighed(found, spoken, followed) if found and not dropped() else None

    def again(self, read: Read, followed: tuple[str, ...]) -> Read | None:
        """The same where the quick ear in the end found something else on its way."""
        if set(followed) <= {each.words for each in read.readings}:
            return self._weighed(read.readings, read.spoken, followed, read.weighed)
        return self.read(read.spoken, followed)

    def _weighed(
        self,
        found: Sequence[Reading],
        spoken: Utterance,
        followed: tuple[str, ...],
        before: Mapping[str, Weighed] | None = None,
    ) -> Read:
        """`found` in order as both ears weigh them; `before` is what was weighed already.

        What looks like the first is weighed too: the search may have lost it on the way.
        """
        meanings = _Meanings(spoken.meaning)
        merged, near = meanings.merged(found), found[0].score - WITHIN
        hints = tuple(meanings.stands_for(words) for words in followed)
        kept = [
            each
            for number, each in enumerate(merged)
            if each.words in hints or (number < LOOKED_AT and each.score > near)
        ]
        first = kept[0]
        alone = in_order(kept, {}, hints)
        clear = first.words in hints and (len(alone) < 2 or alone[1][1] >= CLEAR_LEAD)
        weighed = dict(before or {})
        if clear:
            order = alone
            # Where nothing is in doubt a decoding for nothing would hold up the answer by 0.1 s.
            if first.strain > PLAIN and first.words not in weighed:
                self._weigh([first.words], spoken, meanings, weighed)
        else:
            stand = {each.words for each in kept}
            rivals = [each.words for each in found if meanings.stands_for(each.words) in stand]
            rivals += look_alikes(first.words, spoken.acceptor)
            if len(weighed) < WEIGHED:
                for _ in range(WEIGHED):
                    # The second decoding tells by how much the first one leads.
                    self._weigh(rivals, spoken, meanings, weighed)
            order = in_order(kept, weighed, hints)
            if len(order) > 1 and order[1][1] < CLOSE_LEAD:
                for words, _ in order[:2]:
                    if words not in weighed:
                        self._weigh([words], spoken, meanings, weighed)
                order = in_order(kept, weighed, hints)
            if order[0][0] not in weighed:
                self._weigh([order[0][0]], spoken, meanings, weighed)
        leader = order[0][0]
        stands = next((each for each in kept if each.words == leader), found[0])
        return Read(spoken, followed, tuple(found), stands, tuple(order), leader in hints, weighed)

    def _weigh(
        self,
        rivals: Iterable[str],
        spoken: Utterance,
        meanings: _Meanings,
        weighed: dict[str, Weighed],
    ) -> None:
        """Adds to `weighed` the quick ear's best of `rivals`, without what is in it already."""
        left = [words for words in rivals if meanings.stands_for(words) not in weighed]
        if not left:
            return
        means = (spoken.mean, spoken.mean)
        best = self._weigher.best_of(Sentences.of(left), spoken.quiet, means)
        if best is not None:
            weighed[meanings.stands_for(best.words)] = _scored(best, spoken.acceptor)


class _Meanings:
    """One sentence stands for all that mean the same, as 'ten millimetre' and 'ten millimetres'."""

    def __init__(self, meaning: Meaning) -> None:
        self._meaning = meaning
        self._stand: list[tuple[object, str]] = []
        self._known: dict[str, str] = {}

    def stands_for(self, words: str) -> str:
        """The first sentence of this meaning that was asked about."""
        if words not in self._known:
            meant = self._meaning(words)
            same = (stand for each, stand in self._stand if each == meant)
            self._known[words] = next(same, words)
            if self._known[words] == words:
                self._stand.append((meant, words))
        return self._known[words]

    def merged(self, readings: Iterable[Reading]) -> list[Reading]:
        """One reading for each meaning, best first: the probabilities of all of its words add up."""
        made: dict[str, Reading] = {}
        for each in readings:
            stand = self.stands_for(each.words)
            if stand in made:
                score = float(np.logaddexp(made[stand].score, each.score))
                made[stand] = replace(made[stand], score=score)
            else:
                made[stand] = each
        return sorted(made.values(), key=lambda reading: -reading.score)


def _scored(found: Found, acceptor: Acceptor) -> Weighed:
    steps = acceptor.unusual_steps(found.words.split())
    return Weighed(found.score - UNUSUAL_COST * steps, found.fit)
