"""The sentences of a grammar, piece by piece: which pieces may come next, and where they lead."""

from __future__ import annotations

import contextlib
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from assistant.hearing.neural.pieces import Pieces
from assistant.hearing.neural.written_forms import WrittenForms, written_forms
from assistant.hearing.recogniser import Acceptor


@dataclass(frozen=True)
class Words:
    """One or several words, written together, and the state after them."""

    said: tuple[str, ...]
    after: int
    unusual: int
    """How many of them no usual sentence has here."""


@dataclass
class Spelling:
    """A place within the words that may follow a state."""

    next: dict[int, Spelling] = field(default_factory=dict)
    """Piece -> the place after it."""
    whole: list[Words] = field(default_factory=list)
    """The words that end here."""
    within: set[tuple[str, ...]] = field(default_factory=set)
    """All words that end here or later."""


class Spelled:
    """An acceptor, spelled: each state's words when they are first asked for."""

    def __init__(self, acceptor: Acceptor, pieces: Pieces) -> None:
        """acceptor: what may be said. Words with letters that the model lacks are never proposed."""
        self._acceptor, self._pieces = acceptor, pieces
        self._steps: dict[int, dict[str, int]] = defaultdict(dict)
        for state, word, after in acceptor.arcs():
            self._steps[state][word] = after
        self._known: dict[int, Spelling] = {}
        self._forms: WrittenForms = written_forms()
        self._written: dict[tuple[str, ...], list[tuple[int, ...]]] = {}

    def after(self, state: int) -> Spelling:
        """What may follow `state`."""
        found = self._known.get(state)
        if found is None:
            # Known only once it is whole: another thread may ask meanwhile.
            found = Spelling()
            self._add(found, (), state, 0)
            self._known[state] = found
        return found

    def _add(self, root: Spelling, said: tuple[str, ...], state: int, unusual: int) -> None:
        for word, after in self._steps[state].items():
            words = (*said, word)
            count = unusual + ((state, word) in self._acceptor.unusual)
            made = Words(words, after, count)
            for spelled in self._spellings(words):
                _spell(root, spelled, made)
            if self._forms.longer(words):
                self._add(root, words, after, count)

    def _spellings(self, words: tuple[str, ...]) -> list[tuple[int, ...]]:
        """The ways to write `words`, in pieces."""
        found = self._written.get(words)
        if found is None:
            found = []
            for form in self._forms.of(words):
                with contextlib.suppress(KeyError):
                    found.append(self._pieces.of(form))
            self._written[words] = found
        return found


def _spell(root: Spelling, spelled: Iterable[int], words: Words) -> None:
    place = root
    for piece in spelled:
        following = place.next.get(piece)
        if following is None:
            following = place.next[piece] = Spelling()
        place = following
        place.within.add(words.said)
    place.whole.append(words)
