"""The ways in which the model may write the words of a sentence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files

import yaml

HUNDRED, AND = "hundred", "and"


@dataclass(frozen=True)
class WrittenForms:
    """The table beside this file."""

    units: dict[str, int]
    teens: dict[str, int]
    tens: dict[str, int]
    words: dict[str, list[str]]
    together: dict[str, list[str]]
    """Several words -> how they may be written as one."""

    def of(self, words: Sequence[str]) -> tuple[str, ...]:
        """How `words`, one or several of them together, may be written; () where they stand apart only.

        >>> written_forms().of(("twelve",))
        (' twelve', '-twelve', ' Twelve', ' 12', '12')
        >>> written_forms().of(("forty", "two"))
        (' 42', '42')
        >>> written_forms().of(("feed", "two"))
        ()
        """
        if len(words) == 1:
            (word,) = words
            plain = (f" {word}", f"-{word}", f" {word.capitalize()}")
            # The letter that a size or a fit is called by.
            letter = (word.upper(),) if len(word) == 1 else ()
            return (*plain, *letter, *self.words.get(word, ()), *_figures(self._single(word)))
        return (*self.together.get(" ".join(words), ()), *_figures(self._joined(words)))

    def longer(self, words: Sequence[str]) -> bool:
        """True where more words may be written together with `words`.

        >>> written_forms().longer(("forty",)), written_forms().longer(("feed",))
        (True, False)
        """
        if tuple(words) in self._beginnings:
            return True
        last = words[-1]
        if len(words) == 1:
            return last in self.tens or (last in self.units and last != "zero")
        return last in (HUNDRED, AND) or (HUNDRED in words[:-1] and last in self.tens)

    @cached_property
    def _beginnings(self) -> frozenset[tuple[str, ...]]:
        split = [tuple(each.split()) for each in self.together]
        return frozenset(each[:count] for each in split for count in range(1, len(each)))

    def _single(self, word: str) -> int | None:
        for table in (self.units, self.teens, self.tens):
            if word in table:
                return table[word]
        return None

    def _joined(self, words: Sequence[str]) -> int | None:
        """The number that two words and more make: tens and units, hundreds with or without a rest."""
        first, *rest = words
        if first in self.tens:
            ends = len(rest) == 1 and rest[0] in self.units and rest[0] != "zero"
            return self.tens[first] + self.units[rest[0]] if ends else None
        if first not in self.units or rest[0] != HUNDRED:
            return None
        rest = rest[1:]
        if rest[:1] == [AND]:
            rest = rest[1:]
            if not rest:
                return None
        more = 0 if not rest else self._single(rest[0]) if len(rest) == 1 else self._joined(rest)
        return None if more is None or more >= 100 else 100 * self.units[first] + more


def _figures(number: int | None) -> Iterator[str]:
    """With a blank before, and joined to what stands before: the figures after a point."""
    if number is not None:
        yield f" {number}"
        yield str(number)


@cache
def written_forms() -> WrittenForms:
    """The table, read once."""
    text = files("assistant.hearing.neural").joinpath("written_forms.yaml").read_text("utf-8")
    return WrittenForms(**yaml.safe_load(text))
