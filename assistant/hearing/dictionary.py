"""Which words the bundled recogniser's own dictionary can say."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path

FILE = "en-us/cmudict-en-us.dict"


@cache
def _words() -> frozenset[str]:
    from pocketsphinx import get_model_path

    lines = Path(get_model_path(FILE)).read_text(encoding="utf-8").splitlines()
    return frozenset(line.partition(" ")[0] for line in lines)


def can_say(words: Iterable[str]) -> bool:
    """True where every word is in the dictionary.

    >>> can_say(["robin"]), can_say(["xqzt"])
    (True, False)
    """
    return all(word in _words() for word in words)
