"""Two readings of one sound: the question back that tells them apart, and the one that was meant."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher
from functools import cache

from assistant.answer import Ask, Phrase
from assistant.query import Query
from assistant.query_following import ChooseReading
from grammar.spelling import digit_words, whole_words

Reading = tuple[Query, str]
"""A Query and the words that were read as it."""
LARGEST = 999
"""Numbers that are told apart digit by digit."""


@cache
def _numbers() -> dict[str, int]:
    return {whole_words(number): number for number in range(LARGEST + 1)}


def read_back(words: str) -> Ask:
    """Asks whether `words` were said: nobody usually says so, or they could be off by ten.

    >>> read_back("metric forty by two").question.values
    {'said': 'metric forty by two'}
    """
    return Ask(Phrase("is-that-right", {"said": words}))


def question_back(first: str, second: str) -> Ask:
    """Asks which of two sentences was said, by the words in which they differ.

    >>> question_back("metric thirteen", "metric thirty").question.values
    {'first': 'one three', 'second': 'three zero'}
    """
    one, other = difference(first, second)
    return Ask(Phrase("which-reading", {"first": _apart(one), "second": _apart(other)}))


def difference(first: str, second: str) -> tuple[str, str]:
    """The parts of two sentences from their first to their last differing word; whole numbers stay whole.

    >>> difference("metric forty two by three", "metric forty by three")
    ('forty two', 'forty')
    """
    one, other = first.split(), second.split()
    matching = SequenceMatcher(None, one, other, autojunk=False).get_opcodes()
    changed = [each for each in matching if each[0] != "equal"]
    if not changed:
        return first, second
    start, end = changed[0][1], changed[-1][2]
    start_other, end_other = changed[0][3], changed[-1][4]
    while start and one[start - 1] in _number_words():
        start, start_other = start - 1, start_other - 1
    while end < len(one) and one[end] in _number_words():
        end, end_other = end + 1, end_other + 1
    mine, theirs = " ".join(one[start:end]), " ".join(other[start_other:end_other])
    return (mine, theirs) if mine and theirs else (first, second)


@cache
def _number_words() -> frozenset[str]:
    return frozenset(word for words in _numbers() for word in words.split()) | {"point", "oh"}


def _apart(words: str) -> str:
    """A number digit by digit, so that thirteen and thirty cannot be mistaken; other words as they are."""
    number = _numbers().get(words)
    return words if number is None else digit_words(str(number)).replace("oh", "zero")


def chosen(query: ChooseReading, readings: Sequence[Reading]) -> Reading | None:
    """The reading that was meant; None where the choice fits none, or more than one."""
    if query.place is not None:
        return readings[query.place - 1] if query.place <= len(readings) else None
    if query.digits is None or len(readings) < 2:
        return None
    parts = difference(readings[0][1], readings[1][1])
    fitting = [
        reading
        for reading, words in zip(readings, parts, strict=False)
        if str(_numbers().get(words, "")) == query.digits
    ]
    return fitting[0] if len(fitting) == 1 else None
