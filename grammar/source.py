"""The grammar's one source: the Lark files of this folder, and word lists that tables give."""

from __future__ import annotations

import gc
import hashlib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib.metadata import version
from importlib.resources import files
from typing import Any

from lark import Lark, Token
from lark.exceptions import GrammarError
from lark.lexer import Lexer

from assistant.query import KINDS, Query

__all__ = [
    "GrammarError",
    "NamedWords",
    "WordLexer",
    "fingerprint",
    "lark_text",
    "parser",
    "start_rules",
]


@dataclass(frozen=True)
class NamedWords:
    """A phrase that a table gives to a rule of the grammar."""

    rule: str
    """Rule that the phrase belongs to: 'material', 'lathe'."""
    alias: str
    """'FIELD__VALUE', as in the Lark files."""
    phrase: str
    """Lower-case words with single spaces."""


class WordLexer(Lexer):
    """Gives one token for each word of an already split sentence."""

    def __init__(self, lexer_conf: object) -> None:
        self._names = {
            terminal.pattern.value: terminal.name
            for terminal in lexer_conf.terminals  # type: ignore[attr-defined]
        }

    def lex(self, data: Any, parser_state: Any = None) -> Iterator[Token]:
        """One token a word of `data`; a word outside the grammar gets the type UNKNOWN_WORD."""
        for place, word in enumerate(data):
            yield Token(self._names.get(word, "UNKNOWN_WORD"), word, start_pos=place)


def lark_text(named_words: Sequence[NamedWords]) -> str:
    """The whole grammar as Lark text: every .lark file, then the rules that the word lists make."""
    folder = files("grammar")
    names = sorted(each.name for each in folder.iterdir() if each.name.endswith(".lark"))
    parts = [folder.joinpath(name).read_text(encoding="utf-8") for name in names]
    by_rule: dict[str, list[str]] = {}
    for named in named_words:
        quoted = " ".join(f'"{word}"' for word in named.phrase.split())
        by_rule.setdefault(named.rule, []).append(f"{quoted} -> {named.alias}")
    parts.extend(f"{rule}: " + "\n    | ".join(rows) for rule, rows in by_rule.items())
    return "\n".join(parts) + "\n"


def fingerprint(text: str) -> str:
    """A short name for this grammar text and the versions that compile it."""
    whole = f"{text}\0{version('lark')}\0{sorted(KINDS)}\0{files('grammar').joinpath('automaton.py').read_text()}"
    return hashlib.sha256(whole.encode()).hexdigest()[:20]


def start_rules(text: str) -> dict[str, type[Query]]:
    """The rules that make whole sentences, and the Query that each gives.

    A rule is one if its name is that of a Query, alone or followed by '__' and a word for a
    second word order that the parser could not keep apart from the first.

    >>> start_rules('repeat: "repeat" "that"')["repeat"].kind
    'repeat'
    """
    heads = re.findall(r"^([a-z_0-9]+) *:", text, flags=re.MULTILINE)
    return {head: KINDS[name] for head in heads if (name := head.partition("__")[0]) in KINDS}


def parser(text: str, cache: str | None = None) -> Lark:
    """The LALR parser of the grammar, one start rule for each kind of question.

    Raises GrammarError where two readings conflict (strict), never resolves them in silence.
    """
    collecting = gc.isenabled()
    # The tens of thousands of small objects of the tables all stay: to look through them for rubbish
    # while they are made takes half of the time.
    gc.disable()
    try:
        return Lark(
            text,
            parser="lalr",
            lexer=WordLexer,
            start=sorted(start_rules(text)),
            strict=True,
            maybe_placeholders=False,
            cache=cache or False,
        )
    finally:
        if collecting:
            gc.enable()
