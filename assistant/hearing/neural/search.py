"""The sentences of a grammar that the model hears in an utterance, best first.

The search goes on piece by piece, all beginnings equally long, as the model does; what is no
beginning of a sentence is not looked at.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import NamedTuple

import numpy as np

from assistant.hearing.neural.model import Scores, SpeechModel
from assistant.hearing.neural.pieces import END, START
from assistant.hearing.neural.spelled import Spelled, Spelling, Words
from assistant.hearing.recogniser import SAMPLE_RATE, Acceptor, Samples

WIDTH, DEPTH = 8, 10.0
"""Beginnings that are followed at once; and how far below the best one they may lie, nats."""
BEHIND = 6.0
"""If the best beginning is so far below the best sentence, nats, nothing better will come."""
FAVOURED = 3
"""Beginnings of a favoured sentence that are followed whatever their score: ways of writing it."""
WORD_BONUS = 1.2
"""Nats for each word: the model would rather end too early than too late."""
UNUSUAL_COST = 1.5
"""Nats for each step that no usual sentence takes."""
PIECES_A_SECOND, MORE_PIECES = 6.5, 6
"""How many pieces are looked for at most."""
MARKS = (",", ".", "?", "!", "..", ";")
"""What may stand after words without a meaning."""
NOTHING = math.log(0.98)
"""Log probability of the end at the very beginning from which nobody speaks in it: of 307 sentences of
the tuning split that were read right none had it, of 217 other sounds 56."""
LEAST_SAMPLES = SAMPLE_RATE // 5


@dataclass(frozen=True)
class Reading:
    """One sentence."""

    words: str
    score: float
    """Nats: log probability with WORD_BONUS and UNUSUAL_COST."""
    strain: float
    """Nats for each piece that the likeliest free writing is above this one: small where it is what
    anybody would have written down, large where only the grammar made it so."""


NOBODY = Reading("", 0.0, 0.0)
"""What is read where nobody speaks."""


@dataclass(frozen=True)
class _Beginning:
    """The beginning of a sentence."""

    score: float
    said: tuple[str, ...] = ()
    state: int = 0
    """The grammar's state after the last whole word."""
    inside: Spelling | None = None
    """Where in a word, or None after one."""
    marked: bool = False
    """True after one of MARKS: no other follows, nor what is joined to the words before."""
    strain: float = 0.0
    unusual: int = 0
    last: int = START
    row: int = 0

    @property
    def cut(self) -> float:
        """The score less what unusual steps cost."""
        return self.score - UNUSUAL_COST * self.unusual

    def with_step(self, step: _Step, score: float, top: float) -> _Beginning:
        """This and one more piece, whose log probability is `score` where that of the likeliest is `top`."""
        longer = replace(
            self,
            score=self.score + score,
            strain=self.strain + top - score,
            last=step.piece,
            row=step.row,
        )
        if isinstance(step.to, Words):
            said = (*self.said, *step.to.said)
            unusual = self.unusual + step.to.unusual
            return replace(
                longer, said=said, state=step.to.after, inside=None, unusual=unusual, marked=False
            )
        if isinstance(step.to, Spelling):
            return replace(longer, inside=step.to, marked=False)
        return replace(longer, marked=True)


class _Step(NamedTuple):
    """One more piece after one of the beginnings."""

    score: float
    """Of the whole, less what unusual steps cost."""
    row: int
    piece: int
    to: Words | Spelling | None
    """What it ends, or the place in a word; None for a mark."""


@dataclass
class _Ended:
    score: float = -math.inf
    best: float = -math.inf
    strain: float = 0.0


class SentenceSearch:
    """One grammar at a time."""

    def __init__(self, model: SpeechModel) -> None:
        self._model = model
        self._marks = [model.pieces.of(mark)[0] for mark in MARKS]
        self._known: list[tuple[Acceptor, Spelled]] = []

    def readings(
        self,
        samples: Samples,
        acceptor: Acceptor,
        also: Sequence[str] = (),
        dropped: Callable[[], bool] = lambda: False,
    ) -> list[Reading]:
        """The sentences of `acceptor` in an utterance, best first; [] where there are none, [NOBODY] in noise.

        also    : sentences of it that are followed to their end even where others are likelier
        dropped : asked between pieces; True ends the search with what it has
        """
        if samples.size < LEAST_SAMPLES:
            return []
        spelled = self._spelled(acceptor)
        sound = self._model.sound(samples)
        favoured = [tuple(each.split()) for each in also]
        ended: dict[tuple[str, ...], _Ended] = {}
        beginnings = [_Beginning(0.0, state=acceptor.start)]
        past = self._model.before_the_first()
        longest = round(samples.size / SAMPLE_RATE * PIECES_A_SECOND) + MORE_PIECES
        for count in range(1, longest + 1):
            scores, past = self._model.next([each.last for each in beginnings], past, sound)
            if count == 1 and scores[0, END] > NOTHING:
                return [NOBODY]
            best = scores.max(axis=1)
            steps: list[_Step] = []
            for row, begun in enumerate(beginnings):
                if begun.inside is None and begun.state in acceptor.finals:
                    end = float(scores[row, END])
                    self._end(ended, begun, acceptor, end, float(best[row]), count)
                steps += self._steps(begun, spelled, acceptor, scores[row], row)
            beginnings = [
                beginnings[step.row].with_step(
                    step, float(scores[step.row, step.piece]), float(best[step.row])
                )
                for step in _kept(steps, beginnings, favoured)
            ]
            over = max((each.best for each in ended.values()), default=-math.inf) - BEHIND
            done = all(each in ended for each in favoured)
            if not beginnings or (done and beginnings[0].score < over) or dropped():
                break
            past = past.rows([each.row for each in beginnings])
        found = [
            Reading(" ".join(said), each.score + WORD_BONUS * len(said), each.strain)
            for said, each in ended.items()
        ]
        return sorted(found, key=lambda reading: -reading.score)

    def _spelled(self, acceptor: Acceptor) -> Spelled:
        for each, spelled in self._known:
            if each is acceptor:
                return spelled
        made = Spelled(acceptor, self._model.pieces)
        self._known = [*self._known[-4:], (acceptor, made)]
        return made

    def _end(
        self,
        ended: dict[tuple[str, ...], _Ended],
        begun: _Beginning,
        acceptor: Acceptor,
        end: float,
        top: float,
        count: int,
    ) -> None:
        """The same words written in several ways: their probabilities add up."""
        unusual = begun.unusual + (begun.state in acceptor.unusual_ends)
        score = begun.score + end - UNUSUAL_COST * unusual
        found = ended.setdefault(begun.said, _Ended())
        if score > found.best:
            found.best, found.strain = score, (begun.strain + top - end) / count
        found.score = float(np.logaddexp(found.score, score))

    def _steps(
        self, begun: _Beginning, spelled: Spelled, acceptor: Acceptor, line: Scores, row: int
    ) -> Iterator[_Step]:
        """Every piece that may come after `begun`."""
        place = begun.inside
        if place is None:
            if begun.said and not begun.marked:
                yield from (_Step(begun.cut + line[mark], row, mark, None) for mark in self._marks)
            place = spelled.after(begun.state)
        for piece, after in place.next.items():
            if begun.marked and not self._model.pieces.stands_apart(piece):
                continue
            score = begun.cut + line[piece]
            for words in after.whole:
                yield _Step(score - UNUSUAL_COST * words.unusual, row, piece, words)
            if after.next:
                yield _Step(score, row, piece, after)


def _kept(
    steps: list[_Step], beginnings: Sequence[_Beginning], favoured: Sequence[tuple[str, ...]]
) -> list[_Step]:
    """The best steps, and some on the way to each favoured sentence."""
    if not steps:
        return []
    steps.sort(key=lambda step: -step.score)
    least = steps[0].score - DEPTH
    kept = [step for step in steps[:WIDTH] if step.score > least]
    for sentence in favoured:
        missing = FAVOURED - sum(_leads_to(step, beginnings, sentence) for step in kept)
        rest = (step for step in steps[len(kept) :] if _leads_to(step, beginnings, sentence))
        kept += islice(rest, max(0, missing))
    return kept


def _leads_to(step: _Step, beginnings: Sequence[_Beginning], sentence: tuple[str, ...]) -> bool:
    said = beginnings[step.row].said
    if sentence[: len(said)] != said:
        return False
    rest = sentence[len(said) :]
    if isinstance(step.to, Words):
        return rest[: len(step.to.said)] == step.to.said
    if isinstance(step.to, Spelling):
        return any(rest[: len(words)] == words for words in step.to.within)
    return not rest or step.to is None
