"""What Vosk needs of a grammar: sentences that hold every pair of words, and another spelling for strange words."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache

from pocketsphinx import get_model_path

from assistant.hearing.recogniser import Acceptor, Phones

MOST_WORDS = 4
"""A word spelt anew with more words than this is heard for nothing but noise."""
Steps = dict[int, list[tuple[str, int]]]


def covering_sentences(acceptor: Acceptor) -> list[str]:
    """Whole sentences that together hold every two words that may follow each other.

    Vosk makes a model of word pairs from them, so more sentences would add nothing.
    """
    after: Steps = {}
    before: Steps = {}
    for state, word, following in sorted(acceptor.arcs()):
        after.setdefault(state, []).append((word, following))
        before.setdefault(following, []).append((word, state))
    begin = _nearest(after, [acceptor.start])
    finish = _nearest(before, sorted(acceptor.finals))
    seen: set[tuple[str, str]] = set()
    found: list[str] = []
    for state in sorted(after):
        for word, middle in after[state]:
            if state not in begin or middle not in finish:
                continue
            new = any((word, second) not in seen for second, _ in after.get(middle, ()))
            ends = middle in acceptor.finals and (word, "") not in seen
            while new or ends:
                words = [*begin[state], word]
                if not ends:
                    words += _onward(word, middle, after, finish, seen)
                seen |= set(zip(["", *words], [*words, ""], strict=True))
                found.append(" ".join(words))
                new = any((word, second) not in seen for second, _ in after.get(middle, ()))
                ends = False
    return found


def _onward(
    word: str, state: int, after: Steps, finish: dict[int, list[str]], seen: set[tuple[str, str]]
) -> list[str]:
    """From `state`, reached by `word`, to an end: by pairs not yet seen as long as there are any."""
    words: list[str] = []
    used: set[tuple[str, str]] = set()
    while True:
        fresh = [
            (second, following)
            for second, following in after.get(state, ())
            if (word, second) not in seen and (word, second) not in used
        ]
        if not fresh:
            return [*words, *reversed(finish[state])]
        second, following = fresh[0]
        used.add((word, second))
        words.append(second)
        word, state = second, following


def _nearest(steps: Steps, starts: Sequence[int]) -> dict[int, list[str]]:
    """The fewest words from one of `starts` to each state, in the order in which they are met."""
    paths: dict[int, list[str]] = {state: [] for state in starts}
    waiting = deque(starts)
    while waiting:
        state = waiting.popleft()
        for word, following in steps.get(state, ()):
            if following not in paths:
                paths[following] = [*paths[state], word]
                waiting.append(following)
    return paths


def respelt(
    words: Iterable[str],
    pronunciations: Phones,
    unknown: Callable[[list[str]], Iterable[str]],
) -> dict[str, str]:
    """Each word for which there is one -> words that the model knows and that sound the same.

    words          : that the model does not know
    pronunciations : word -> its pronunciations (ARPAbet)
    unknown        : tells which of some words the model does not know

    'tailstock' is said as 'tail stock', 'tpi' as its three letters.
    """
    found = {}
    for word in words:
        forms = [*pronunciations.get(word, ()), *_spoken_forms().get(word, ())]
        for form in forms:
            pieces = _pieces(tuple(form.split()))
            strange = set(unknown(sorted({each for _, _, each in pieces})))
            spelling = _fewest(
                len(form.split()), [piece for piece in pieces if piece[2] not in strange]
            )
            if spelling:
                found[word] = spelling
                break
    return found


Piece = tuple[int, int, str]


def _pieces(phones: tuple[str, ...]) -> list[Piece]:
    """Every known word that sounds like a part of `phones`: where it begins, where it ends, the word."""
    table = _words_by_sound()
    return [
        (start, end, word)
        for start in range(len(phones))
        for end in range(start + 1, len(phones) + 1)
        for word in table.get(" ".join(phones[start:end]), ())
    ]


def _fewest(length: int, pieces: Sequence[Piece]) -> str | None:
    """The fewest of `pieces` that make up the whole; of as many, the one with the longest first."""
    best: dict[int, list[str]] = {0: []}
    for start, end, word in sorted(pieces, key=lambda piece: (piece[0], -piece[1])):
        if start in best and len(best[start]) < MOST_WORDS:
            now = best.get(end)
            if now is None or len(best[start]) + 1 < len(now):
                best[end] = [*best[start], word]
    return " ".join(best[length]) if best.get(length) else None


@cache
def _spoken_forms() -> dict[str, list[str]]:
    """The English dictionary that comes with pocketsphinx: word -> its pronunciations."""
    found: dict[str, list[str]] = {}
    with open(get_model_path("en-us/cmudict-en-us.dict"), encoding="utf-8") as file:
        for line in file:
            word, _, phones = line.strip().partition(" ")
            found.setdefault(word.split("(")[0], []).append(phones.strip())
    return found


@cache
def _words_by_sound() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for word, forms in _spoken_forms().items():
        if word.isalpha():
            for form in forms:
                found.setdefault(form, []).append(word)
    return found


def as_said(text: str, spellings: Mapping[str, str]) -> str:
    """`text` with the other spellings taken back, the longest first.

    >>> as_said("thirteen t p i", {"tpi": "t p i"})
    'thirteen tpi'
    """
    padded = f" {text} "
    for word, spelling in sorted(spellings.items(), key=lambda each: -len(each[1])):
        padded = padded.replace(f" {spelling} ", f" {word} ")
    return padded.strip()
