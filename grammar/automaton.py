"""Minimal acceptors for what can be said: a finite set of sentences as a graph without loops.

Nodes are made once for each set of outgoing arcs, so equal futures share one node and every
graph built here is deterministic and minimal by construction.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

Expansions = Mapping[str, Sequence[Sequence[tuple[str, bool]]]]
"""Rule name -> its alternatives; each a row of (symbol, is a word)."""

_Arcs = tuple[tuple[str, int], ...]


class Nodes:
    """A shared store of nodes; `dead` accepts nothing, `end` accepts the empty rest."""

    def __init__(self) -> None:
        self._keys: list[tuple[bool, _Arcs]] = []
        self._index: dict[tuple[bool, _Arcs], int] = {}
        self._unions: dict[tuple[int, int], int] = {}
        self._arcs: list[dict[str, int]] = []
        self.dead = self.node(False, {})
        self.end = self.node(True, {})

    def node(self, final: bool, arcs: Mapping[str, int]) -> int:
        """The one node with these arcs; `final` where a sentence may end here."""
        key = (final, tuple(sorted(arcs.items())))
        found = self._index.get(key)
        if found is None:
            found = len(self._keys)
            self._index[key] = found
            self._keys.append(key)
            self._arcs.append(dict(key[1]))
        return found

    def union(self, one: int, other: int) -> int:
        """The node that accepts what either accepts."""
        if one == other or other == self.dead:
            return one
        if one == self.dead:
            return other
        pair = (one, other) if one < other else (other, one)
        found = self._unions.get(pair)
        if found is None:
            arcs = dict(self._arcs[one])
            for word, target in self._arcs[other].items():
                arcs[word] = self.union(arcs[word], target) if word in arcs else target
            found = self.node(self.is_final(one) or self.is_final(other), arcs)
            self._unions[pair] = found
        return found

    def arcs(self, node: int) -> Mapping[str, int]:
        """Word -> next node."""
        return self._arcs[node]

    def is_final(self, node: int) -> bool:
        """True where a sentence may end."""
        return self._keys[node][0]


class Builder:
    """Turns grammar rules without recursion into nodes: each rule once, then set in where it is used."""

    def __init__(self, rules: Expansions, nodes: Nodes) -> None:
        self._rules = rules
        self._nodes = nodes
        self._alone: dict[str, int] = {}
        self._followed: dict[tuple[int, int], int] = {}

    def rule(self, name: str) -> int:
        """The node that accepts what rule `name` accepts."""
        found = self._alone.get(name)
        if found is None:
            found = self._nodes.dead
            for expansion in self._rules[name]:
                found = self._nodes.union(found, self._sequence(expansion))
            self._alone[name] = found
        return found

    def _sequence(self, expansion: Sequence[tuple[str, bool]]) -> int:
        rest = self._nodes.end
        for symbol, is_word in reversed(expansion):
            if is_word:
                rest = self._nodes.node(False, {symbol: rest})
            else:
                rest = self._then(self.rule(symbol), rest)
        return rest

    def _then(self, node: int, rest: int) -> int:
        """The node that accepts what `node` accepts followed by what `rest` accepts."""
        if node == self._nodes.end:
            return rest
        key = (node, rest)
        found = self._followed.get(key)
        if found is None:
            arcs = {
                word: self._then(target, rest) for word, target in self._nodes.arcs(node).items()
            }
            found = self._nodes.node(False, arcs)
            if self._nodes.is_final(node):
                found = self._nodes.union(found, rest)
            self._followed[key] = found
        return found


@dataclass(frozen=True)
class Acceptor:
    """A deterministic, minimal, loop-free acceptor with states numbered from 0 (the start)."""

    transitions: tuple[Mapping[str, int], ...]
    """For each state: word -> next state."""
    finals: frozenset[int]
    start: int = 0
    unusual: frozenset[tuple[int, str]] = frozenset()
    """Steps (state, word) that no usual sentence takes."""
    unusual_ends: frozenset[int] = frozenset()
    """Final states in which no usual sentence ends."""

    @classmethod
    def from_node(cls, nodes: Nodes, root: int) -> Acceptor:
        """The acceptor that begins at node `root`."""
        numbers = {root: 0}
        order = [root]
        for node in order:
            for target in nodes.arcs(node).values():
                if target not in numbers:
                    numbers[target] = len(order)
                    order.append(target)
        transitions = tuple(
            {word: numbers[target] for word, target in nodes.arcs(node).items()} for node in order
        )
        finals = frozenset(numbers[node] for node in order if nodes.is_final(node))
        return cls(transitions, finals)

    def words(self) -> frozenset[str]:
        """Every word on an arc."""
        return frozenset(word for arcs in self.transitions for word in arcs)

    def arcs(self) -> Iterator[tuple[int, str, int]]:
        """(state, word, next state), in order of the states."""
        for state, arcs in enumerate(self.transitions):
            for word, target in arcs.items():
                yield state, word, target

    def _after(self, words: Iterable[str]) -> int | None:
        state = self.start
        for word in words:
            following = self.transitions[state].get(word)
            if following is None:
                return None
            state = following
        return state

    def accepts(self, words: Sequence[str]) -> bool:
        """True for a complete sentence."""
        return self._after(words) in self.finals

    def unusual_steps(self, words: Sequence[str]) -> int:
        """How many steps of a complete sentence no usual one takes, its end among them.

        Raises ValueError where `words` are no complete sentence.
        """
        state, count = self.start, 0
        for word in words:
            count += (state, word) in self.unusual
            if word not in self.transitions[state]:
                raise ValueError(f"no sentence begins with {' '.join(words)!r}")
            state = self.transitions[state][word]
        if state not in self.finals:
            raise ValueError(f"{' '.join(words)!r} is no complete sentence")
        return count + (state in self.unusual_ends)

    def can_continue(self, words: Sequence[str]) -> bool:
        """True where at least one more word may follow."""
        state = self._after(words)
        return state is not None and bool(self.transitions[state])

    def count(self) -> int:
        """How many sentences there are."""
        totals: dict[int, int] = {}

        def total(state: int) -> int:
            if state not in totals:
                totals[state] = (state in self.finals) + sum(
                    total(target) for target in self.transitions[state].values()
                )
            return totals[state]

        return total(self.start)

    def sample(self, chance: random.Random) -> tuple[str, ...]:
        """A random sentence: at each state the end and every arc are equally likely."""
        state, words = self.start, list[str]()
        while True:
            choices: list[str | None] = [*sorted(self.transitions[state])]
            if state in self.finals:
                choices.append(None)
            word = chance.choice(choices)
            if word is None:
                return tuple(words)
            words.append(word)
            state = self.transitions[state][word]


def with_usual(whole: Acceptor, usual: Acceptor) -> Acceptor:
    """`whole` with the steps marked that no sentence of `usual` takes.

    A step is usual if it is so after any beginning that leads to its state: the graph stays as it is.
    """
    taken: set[tuple[int, str]] = set()
    ends: set[int] = set()
    waiting = [(whole.start, usual.start)]
    seen = set(waiting)
    while waiting:
        state, twin = waiting.pop()
        if twin in usual.finals:
            ends.add(state)
        for word, twin_after in usual.transitions[twin].items():
            after = whole.transitions[state].get(word)
            if after is None:
                continue
            taken.add((state, word))
            if (after, twin_after) not in seen:
                seen.add((after, twin_after))
                waiting.append((after, twin_after))
    unusual = frozenset((state, word) for state, word, _ in whole.arcs()) - taken
    return Acceptor(whole.transitions, whole.finals, whole.start, unusual, whole.finals - ends)


def overlap(one: Acceptor, other: Acceptor) -> tuple[str, ...] | None:
    """A sentence that both accept, or None: walks the two graphs together."""
    waiting: list[tuple[int, int, tuple[str, ...]]] = [(one.start, other.start, ())]
    seen = {(one.start, other.start)}
    while waiting:
        left, right, words = waiting.pop()
        if left in one.finals and right in other.finals:
            return words
        for word, target in one.transitions[left].items():
            twin = other.transitions[right].get(word)
            if twin is not None and (target, twin) not in seen:
                seen.add((target, twin))
                waiting.append((target, twin, (*words, word)))
    return None
