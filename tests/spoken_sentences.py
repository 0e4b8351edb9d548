"""The sentences of the conversations that are also spoken, and the files of their sounds."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from grammar.written import words_of

CONVERSATIONS = Path(__file__).parent / "conversations"


def aloud() -> Iterator[dict[str, Any]]:
    """The conversations with `aloud: true`."""
    for file in sorted(CONVERSATIONS.glob("*.yaml")):
        for conversation in yaml.safe_load(file.read_text(encoding="utf-8")):
            if conversation.get("aloud"):
                yield conversation


def aloud_sentences() -> list[str]:
    """Their sentences in words, each once."""
    said = (words_of(turn["say"]) for conversation in aloud() for turn in conversation["turns"])
    return list(dict.fromkeys(said))


def file_of(words: str) -> str:
    """The file of a sentence's sound.

    >>> file_of("I'm at eighteen")
    'im_at_eighteen.wav'
    """
    return f"{words.lower().replace(chr(39), '').replace(' ', '_')}.wav"
