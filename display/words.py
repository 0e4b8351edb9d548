"""The words that the screen adds of its own, from their one catalogue."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import yaml


@cache
def section(name: str) -> dict[str, str]:
    """All words of a part of words.yaml by their keys.

    >>> section("short_when")["by-hand"]
    'by hand'
    """
    return {str(key): str(words) for key, words in _catalogue()[name].items()}


def word(name: str, key: str, /, **figures: object) -> str:
    """The words under `key` in the part `name`, with `figures` filled in.

    >>> word("foot", "page", number=1, count=3)
    '1 of 3'
    """
    return section(name)[key].format(**figures)


@cache
def _catalogue() -> dict[str, dict[str, str]]:
    text = files("display").joinpath("words.yaml").read_text(encoding="utf-8")
    found: dict[str, dict[str, str]] = yaml.safe_load(text)
    return found
