"""A whole utterance as both ears read it: the strong one searches, the quick one weighs what it found."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from assistant.hearing.look_alikes import look_alikes
from assistant.hearing.neural.judging import (
    CLEAR_LEAD,
    FAR,
    PLAIN,
    WITHIN,
    asked_anyway,
    confidence,
    in_order,
    is_close,
)
from assistant.hearing.neural.meanings import Meanings
from assistant.hearing.neural.quick_ear import QuickEar, Utterance
from assistant.hearing.neural.search import NOBODY, Reading, SentenceSearch
from assistant.hearing.recogniser import Acceptor, Samples

LOOKED_AT = 6
"""So many of the strong ear's meanings count, at most."""
DOUBTFUL = 0.5
"""Strain from which the strong ear is not sure. At 10 dB it heard 18 of 48 tuning sentences as they were,
19 behind the noise reduction, and 21 one way or the other."""
WEIGHED = 2
"""So many of them and their look-alikes, the best by its own hearing, the quick ear weighs at least."""

Followed = Mapping[str, float]
"""What the quick ear found on its way, one whole sentence or none, and how well it fits (Reading.fit)."""
Dropped = Callable[[], bool]
"""Asked now and then; True where the result is wanted no more."""


@dataclass(frozen=True)
class Read:
    """What both ears make of an utterance."""

    spoken: Utterance
    followed: Followed
    readings: tuple[Reading, ...]
    """The strong ear's, best first; never none."""
    first: Reading
    """The one that stands first, or the strong ear's own first where it has none of these words."""
    order: tuple[tuple[str, float], ...]
    """The words of all readings that count, no two of one meaning, best first as both ears weigh
    them, and how far behind the first, nats."""
    agrees: bool
    """True where both ears heard the first."""
    fit: float | None = None
    """The quick ear's, of the first; None where it was not asked, or finds no way through the sound."""
    compared: Compared | None = None
    """What the quick ear was asked about; None where it was not asked."""

    @property
    def nobody(self) -> bool:
        """True where all of it is noise."""
        return self.first is NOBODY

    @property
    def sure(self) -> float:
        """0 to 1: how likely it is that a sentence was said that is meant for the grammar."""
        if self.nobody:
            return 0.0
        return confidence(self.first, self.agrees, self.fit, self.spoken.ratio)


@dataclass
class Compared:
    """What the quick ear makes of some rivals, so far."""

    rivals: tuple[str, ...]
    meanings: Meanings
    scores: dict[str, float] = field(default_factory=dict)
    """Of those that stand for their meaning."""

    def more(self, ear: QuickEar, spoken: Utterance, words: str | None = None) -> bool:
        """Adds what fits best of all that have no score yet, or `words`; False where there are none."""
        left = [
            each
            for each in self.rivals
            if (stand := self.meanings.stands_for(each)) not in self.scores
            and (words is None or stand == words)
        ]
        if not left:
            return False
        found = ear.best(self.rivals, left, spoken)
        if found is not None:
            self.scores[self.meanings.stands_for(found[0])] = found[1]
        elif words is not None:
            self.scores[words] = max(self.scores.values(), default=0.0) - FAR
        return found is not None


CRIED = 3.5
"""Strain up to which an emergency word found by a search of its own was cried out. On the tuning split
133 of 134 real ones, clean, in noise and clipped, had at most 2.8, talk taken for one at least 4.5."""


class BothEars:
    """One utterance at a time, of one grammar at a time; nothing of it is streamed."""

    def __init__(self, strong: SentenceSearch, quick: QuickEar) -> None:
        self._strong = strong
        self.quick = quick

    def says(self, sound: Samples, acceptor: Acceptor) -> bool:
        """True where a sentence of the small `acceptor` is about what the strong ear would write down."""
        found = self._strong.readings(sound, acceptor)
        return bool(found) and found[0] is not NOBODY and found[0].strain <= CRIED

    def read(
        self,
        spoken: Utterance,
        followed: Followed,
        dropped: Dropped = lambda: False,
        thorough: bool = True,
    ) -> Read | None:
        """The utterance, read and weighed; None where no sentence of its acceptor is in it.

        thorough : True to look at it with less noise too, where the sound as it is leaves a doubt
        """
        found = self._strong.readings(spoken.sound, spoken.acceptor, tuple(followed), dropped)
        if found == [NOBODY]:
            order = ((NOBODY.words, 0.0),)
            return Read(spoken, followed, (NOBODY,), NOBODY, order, agrees=False)
        if thorough and not dropped() and (not found or found[0].strain > DOUBTFUL):
            other = self._strong.readings(spoken.quiet, spoken.acceptor, tuple(followed), dropped)
            if other and other != [NOBODY]:
                found = min(found or other, other, key=lambda each: each[0].strain)
        return self._weighed(found, spoken, followed, dropped) if found else None

    def again(self, read: Read, followed: Followed) -> Read | None:
        """The same where the quick ear in the end found something else on its way."""
        if set(followed) <= {each.words for each in read.readings}:
            return self._weighed(read.readings, read.spoken, followed, before=read.compared)
        return self.read(read.spoken, followed)

    def _weighed(
        self,
        found: Sequence[Reading],
        spoken: Utterance,
        followed: Followed,
        dropped: Dropped = lambda: False,
        before: Compared | None = None,
    ) -> Read | None:
        """`found` in order as both ears weigh them; None where dropped.

        What looks like the first is weighed too: the search may have lost it on the way.
        """
        meanings = Meanings(spoken.meaning) if before is None else before.meanings
        merged, near = meanings.merged(found), found[0].score - WITHIN
        hints = tuple(meanings.stands_for(words) for words in followed)
        kept = [
            each
            for number, each in enumerate(merged)
            if each.words in hints or (number < LOOKED_AT and each.score > near)
        ]
        order, compared = in_order(kept, {}, hints), before
        if kept[0].strain > PLAIN or not _clear(order, hints):
            stand = {each.words for each in kept}
            rivals = [each.words for each in found if meanings.stands_for(each.words) in stand]
            rivals += look_alikes(kept[0].words, spoken.acceptor)
            compared = before or Compared(tuple(dict.fromkeys(rivals)), meanings)
            order = self._compared(kept, compared, spoken, hints, dropped)
        leader = order[0][0]
        order = asked_anyway(order, (*hints, merged[0].words), merged[0].words)
        first = next((each for each in kept if each.words == leader), found[0])
        fit = next(
            (followed[words] for words in followed if meanings.stands_for(words) == leader), None
        )
        # What anybody would have written down need not fit; and to ask takes 0.1 s.
        if fit is None and first.strain > PLAIN and not dropped():
            fit = self.quick.fit(leader, spoken)
        if dropped():
            return None
        agrees = leader in hints
        return Read(spoken, followed, tuple(found), first, tuple(order), agrees, fit, compared)

    def _compared(
        self,
        kept: Sequence[Reading],
        compared: Compared,
        spoken: Utterance,
        hints: Sequence[str],
        dropped: Dropped,
    ) -> list[tuple[str, float]]:
        """The order once the quick ear was asked: for its own best two, and what else is close to the first."""
        # The second tells by how much its first leads.
        while len(compared.scores) < WEIGHED and not dropped():
            if not compared.more(self.quick, spoken):
                break
        order = in_order(kept, compared.scores, hints)
        for words, behind in order[:2]:
            if (
                is_close(order[0][0], words, behind)
                and words not in compared.scores
                and not dropped()
            ):
                compared.more(self.quick, spoken, words)
        return in_order(kept, compared.scores, hints)


def _clear(order: Sequence[tuple[str, float]], hints: Sequence[str]) -> bool:
    """True where the strong ear's first leads so far, and the quick one heard the same, that it need not be asked."""
    return order[0][0] in hints and (len(order) < 2 or order[1][1] >= CLEAR_LEAD)
