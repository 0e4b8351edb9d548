"""Words -> Query: the grammar as one object for the rest of the house."""

from __future__ import annotations

import contextlib
import pickle
import random
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from importlib.resources import files
from pathlib import Path

from lark import UnexpectedToken

from assistant.errors import nearest_names
from assistant.query import NotUnderstood, Query
from assistant.query_alongside import NoteThat
from grammar.automaton import Acceptor, Builder, Expansions, Nodes, with_usual
from grammar.jsgf import expansions, jsgf
from grammar.reading import Reading
from grammar.source import NamedWords, fingerprint, lark_text, parser, start_rules
from grammar.standard import standard_fingerprint, standard_rules
from grammar.written import Unreadable, words_of

_HINT = "say 'what can I say'"
STATES = ("idle", "sequence", "asked")
"""What is listened for: any question; besides, the short words of a sequence; besides, a choice."""
_NOTE = re.compile(r"note\b[:,]?\s+(\S.*)", flags=re.IGNORECASE)
KEPT_FILES = 60
"""Compiled files that stay in the cache folder: some for every lathe, state and version in use."""
FEW = 6
"""So many words that could follow are named; more would be no help."""


class Grammar:
    """Everything that can be said, as parser, as recogniser's grammar and as examples."""

    def __init__(self, named_words: Sequence[NamedWords], cache: Path | None = None) -> None:
        """named_words: from grammar.words; cache: folder for compiled forms, or None to compile anew."""
        self._text = lark_text(named_words)
        self._starts = start_rules(self._text)
        self._cache = cache
        self._name = fingerprint(self._text)
        if cache is not None:
            with contextlib.suppress(OSError):
                cache.mkdir(parents=True, exist_ok=True)
        usable = cache is not None and cache.is_dir()
        if usable and cache is not None and not (cache / f"{self._name}.lalr").exists():
            _make_room(cache)
        self.parser = parser(
            self._text, str(cache / f"{self._name}.lalr") if usable and cache else None
        )

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word of the grammar."""
        return frozenset(str(terminal.pattern.value) for terminal in self.parser.terminals)

    def read(self, typed: str, units: str) -> Query | NotUnderstood:
        """The question in `typed`: words, or written designations and figures; `units` is 'mm' or 'inch'."""
        note = _NOTE.fullmatch(typed.strip())
        if note is not None:
            # A remark is kept as it was said: it is no question to be taken apart.
            return NoteThat(text=note[1].lower())
        try:
            words = words_of(typed).split()
        except Unreadable as fault:
            return NotUnderstood(typed.lower(), f"{fault.figure}: {fault.rule}")
        if not words:
            return NotUnderstood("", "nothing was said")
        failures: list[tuple[int, str, UnexpectedToken]] = []
        # A rule that begins with other words would only fail: to let it do so takes most of the time.
        starts = self._begin_with.get(words[0], self._starts)
        for start in starts:
            try:
                tree = self.parser.parse(words, start=start)
            except UnexpectedToken as fault:
                place = len(words) if fault.token.type == "$END" else words_index(fault)
                failures.append((place, start, fault))
            else:
                return Reading(units).query(tree, self._starts[start])
        return self._not_understood(words, failures)

    def _not_understood(
        self, words: list[str], failures: list[tuple[int, str, UnexpectedToken]]
    ) -> NotUnderstood:
        said = " ".join(words)
        strange = [word for word in words if word not in self.words]
        if strange:
            alike = nearest_names(strange[0], sorted(self.words), 1)
            instead = f", perhaps '{alike[0]}'" if alike else ""
            return NotUnderstood(said, f"'{strange[0]}' is no word I know{instead}: {_HINT}")
        furthest = max(place for place, _, _ in failures)
        expected: set[str] = set()
        for place, _, fault in failures:
            if place == furthest:
                expected |= {self._word(name) for name in fault.accepts or set()}
        expected.discard("")
        start = " ".join(words[:furthest])
        if furthest == len(words):
            problem = f"'{said}' is not finished: {_HINT}"
        elif start:
            places = (
                f"; it may be {', '.join(sorted(expected))}" if 0 < len(expected) <= FEW else ""
            )
            problem = f"after '{start}' I do not follow '{words[furthest]}'{places}: {_HINT}"
        else:
            problem = f"no question begins with '{words[0]}': {_HINT}"
        return NotUnderstood(said, problem, tuple(sorted(expected)))

    @cached_property
    def _begin_with(self) -> Mapping[str, Sequence[str]]:
        """First word -> the start rules that it may begin, in their order."""
        rules = expansions(self.parser, typed=True)
        firsts: dict[str, set[str]] = {}

        def first(rule: str) -> set[str]:
            if rule not in firsts:
                firsts[rule] = set()
                for (symbol, is_word), *_ in rules[rule]:
                    firsts[rule] |= {symbol} if is_word else first(symbol)
            return firsts[rule]

        found: dict[str, list[str]] = {}
        for start in self._starts:
            for word in first(start):
                found.setdefault(word, []).append(start)
        return found

    def _word(self, terminal: str) -> str:
        return self._terminals.get(terminal, "")

    @cached_property
    def _terminals(self) -> Mapping[str, str]:
        return {each.name: str(each.pattern.value) for each in self.parser.terminals}

    def kinds(self) -> list[str]:
        """The JSON names of the kinds of question."""
        return sorted({query.kind for query in self._starts.values()})

    def starts_of(self, kinds: Sequence[str] | None) -> list[str]:
        """The start rules of these kinds, of all for None."""
        return [
            name for name, query in self._starts.items() if kinds is None or query.kind in kinds
        ]

    def starts_in(self, state: str) -> list[str]:
        """The start rules that are listened for in this one of STATES."""
        if state == "asked":
            # Whoever is asked back may as well say the question again, or another one.
            return list(self._starts)
        shut = ("__asked_back",) if state == "sequence" else ("__asked_back", "__in_sequence")
        return [name for name in self._starts if not name.endswith(shut)]

    def jsgf(self, kinds: Sequence[str] | None = None) -> str:
        """The JSGF of these kinds of question, of all for None."""
        return jsgf(expansions(self.parser), self.starts_of(kinds))

    def acceptor(self, kinds: Sequence[str] | None = None, state: str = "idle") -> Acceptor:
        """The minimal acceptor of what can be said of these kinds, or for None in this state; the latter cached."""
        if kinds is not None:
            return self._built(self.starts_of(kinds))
        starts = self.starts_in(state)
        if self._cache is None:
            return self._with_usual(starts)
        file = self._cache / f"{self._name}-{state}-{standard_fingerprint()}.words"
        with contextlib.suppress(OSError, pickle.UnpicklingError, EOFError, ValueError, TypeError):
            return Acceptor(*pickle.loads(file.read_bytes()))
        made = self._with_usual(starts)
        parts = (made.transitions, made.finals, made.start, made.unusual, made.unusual_ends)
        with contextlib.suppress(OSError):
            file.write_bytes(pickle.dumps(parts))
        return made

    def _with_usual(self, starts: Sequence[str]) -> Acceptor:
        """What begins with `starts`, with the steps marked that no usual sentence takes."""
        rules = expansions(self.parser)
        return with_usual(self._built(starts, rules), self._built(starts, standard_rules(rules)))

    def acceptor_of(self, start: str) -> Acceptor:
        """The minimal acceptor of one start rule."""
        return self._built([start])

    def _built(self, starts: Sequence[str], rules: Expansions | None = None) -> Acceptor:
        nodes = Nodes()
        builder = Builder(expansions(self.parser) if rules is None else rules, nodes)
        root = nodes.dead
        for start in starts:
            root = nodes.union(root, builder.rule(start))
        return Acceptor.from_node(nodes, root)

    def examples(self, kinds: Sequence[str] | None = None) -> tuple[str, ...]:
        """The example sentences that stand above the rules ('// say: …'), of these kinds or of all."""
        found = re.findall(r"^// say: (.+)$", self._text, flags=re.MULTILINE)
        return tuple(each for each in found if kinds is None or self._kind_of(each) in kinds)

    def example_of(self, rule: str) -> str:
        """The first example above the start rule `rule`; empty where there is none."""
        found = re.search(
            rf"^// say: (.+)\n(?:// say: .+\n)*{re.escape(rule)}(?:__\w+)?:",
            self._text,
            flags=re.MULTILINE,
        )
        return found[1] if found else ""

    def _kind_of(self, sentence: str) -> str:
        query = self.read(sentence, "mm")
        return query.kind if isinstance(query, Query) else ""

    def sample(self, chance: random.Random, kinds: Sequence[str] | None = None) -> Iterator[str]:
        """Random sentences without end, every start rule as likely as the next."""
        acceptors = [self.acceptor_of(start) for start in self.starts_of(kinds)]
        while True:
            yield " ".join(chance.choice(acceptors).sample(chance))


def _make_room(cache: Path) -> None:
    """Leaves the newest compiled files: each other grammar or version makes its own."""
    with contextlib.suppress(OSError):
        made = [*cache.glob("*.lalr"), *cache.glob("*.words")]
        made.sort(key=lambda file: file.stat().st_mtime, reverse=True)
        for file in made[KEPT_FILES:]:
            file.unlink()


def words_index(fault: UnexpectedToken) -> int:
    """The place of the word where the parser stopped."""
    return int(getattr(fault.token, "start_pos", 0) or 0)


def pronunciations() -> dict[str, list[str]]:
    """Words that the recogniser's dictionary lacks -> their ARPAbet forms, from pronunciations.dict."""
    found: dict[str, list[str]] = {}
    text = files("grammar").joinpath("pronunciations.dict").read_text(encoding="utf-8")
    for line in text.splitlines():
        if line and not line.startswith("#"):
            word, _, phones = line.partition(" ")
            found.setdefault(word, []).append(phones.strip())
    return found
