"""Sentences that sound like another one: a number word taken for its neighbour, a nought lost."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files

import yaml

from assistant.hearing.recogniser import Acceptor

NOUGHTS = ("oh", "zero", "nought")
THOUSANDTHS = ("thou", "thousandth", "thousandths")


@cache
def pairs() -> tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]:
    """What is taken for what, each way; from the table beside this file."""
    text = files("assistant.hearing").joinpath("look_alikes.yaml").read_text(encoding="utf-8")
    found = []
    for one, other in yaml.safe_load(text):
        here, there = tuple(one.split()), tuple(other.split())
        found += [(here, there), (there, here)]
    return tuple(found)


def tenfold(one: str, other: str) -> bool:
    """True for two sentences that differ by noughts, or thousand for thousandths, only: such a number
    is ten times the other, or more.

    >>> tenfold("feed point oh five", "feed point zero zero five")
    True
    >>> tenfold("nearest drill to five thousand", "nearest drill to five thou")
    True
    >>> tenfold("feed point oh five", "feed point oh nine")
    False
    """
    return one != other and _without_power(one) == _without_power(other)


def _without_power(sentence: str) -> list[str]:
    left = (word for word in sentence.split() if word not in NOUGHTS)
    return ["thousand" if word in THOUSANDTHS else word for word in left]


def look_alikes(words: str, acceptor: Acceptor) -> list[str]:
    """The whole sentences of `acceptor` that differ from `words` in one place by a row of the table."""
    said = tuple(words.split())
    found = dict.fromkeys(
        " ".join(changed) for changed in _changed(said) if acceptor.accepts(changed)
    )
    found.pop(words, None)
    return list(found)


def _changed(said: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    # A word heard twice that was said once: 'four one two two'.
    for place in range(1, len(said)):
        if said[place] == said[place - 1]:
            yield (*said[:place], *said[place + 1 :])
    for here, there in pairs():
        # A word can be lost anywhere; to try it everywhere would cost more than the rest.
        if not here:
            yield from (
                (*said[:place], *there, *said[place:])
                for place in range(1, len(said) + 1)
                if said[place - 1] in _BESIDE_LOST or said[place : place + 1] == there
            )
            continue
        for place in range(len(said) - len(here) + 1):
            if said[place : place + len(here)] == here:
                yield (*said[:place], *there, *said[place + len(here) :])


_BESIDE_LOST = frozenset(("point", *NOUGHTS))
"""Words after which a nought is easily lost."""


@dataclass(frozen=True)
class Sentences:
    """A few whole sentences as an acceptor, each word after its beginning: a tree."""

    steps: tuple[tuple[int, str, int], ...]
    finals: frozenset[int]
    start: int = 0
    unusual: frozenset[tuple[int, str]] = frozenset()
    unusual_ends: frozenset[int] = frozenset()

    @classmethod
    def of(cls, sentences: Iterable[str]) -> Sentences:
        """The tree of `sentences`."""
        known: dict[tuple[int, str], int] = {}
        finals = set()
        for sentence in sentences:
            state = 0
            for word in sentence.split():
                state = known.setdefault((state, word), len(known) + 1)
            finals.add(state)
        steps = tuple((state, word, after) for (state, word), after in known.items())
        return cls(steps, frozenset(finals))

    def ending(self, sentences: Iterable[str]) -> Sentences:
        """The same tree, in which only `sentences` of it are whole ones."""
        ends = (self._after(sentence.split()) for sentence in sentences)
        return replace(self, finals=frozenset(end for end in ends if end is not None))

    def words(self) -> frozenset[str]:
        """Every word."""
        return frozenset(word for _, word, _ in self.steps)

    def arcs(self) -> Iterable[tuple[int, str, int]]:
        """Every step: state, word, next state."""
        return self.steps

    def accepts(self, words: Sequence[str]) -> bool:
        """True for one of the sentences."""
        return self._after(words) in self.finals

    def unusual_steps(self, words: Sequence[str]) -> int:
        """None is unusual."""
        return 0

    def can_continue(self, words: Sequence[str]) -> bool:
        """True where a word may follow."""
        state = self._after(words)
        return state is not None and any(before == state for before, _, _ in self.steps)

    def _after(self, words: Sequence[str]) -> int | None:
        following = {(state, word): after for state, word, after in self.steps}
        state: int | None = self.start
        for word in words:
            state = following.get((state, word)) if state is not None else None
        return state
