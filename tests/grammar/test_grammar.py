"""The grammar as a whole: recogniser's grammar and parser are one, and every word can be heard."""

import os
import random
import re
from pathlib import Path

import pytest

from assistant.query import KINDS, Query
from grammar.automaton import Acceptor, overlap
from grammar.conflicts import conflicts
from grammar.jsgf import expansions
from grammar.source import lark_text, start_rules
from grammar.understanding import KEPT_FILES, STATES, Grammar, pronunciations
from grammar.words import named_words
from tests.whole_grammar import LATHES, decoder, whole_grammar


@pytest.fixture(scope="module")
def grammar() -> Grammar:
    return whole_grammar()


@pytest.fixture(scope="module")
def acceptors(grammar: Grammar) -> dict[str, Acceptor]:
    """What is listened for in each state."""
    return {state: grammar.acceptor(state=state) for state in STATES}


def jsgf_sentence(rules: dict[str, list[list[str]]], name: str, chance: random.Random) -> list[str]:
    """A random sentence straight from the JSGF text, by nothing that the product uses."""
    words: list[str] = []
    for symbol in chance.choice(rules[name]):
        if symbol.startswith("<"):
            words += jsgf_sentence(rules, symbol[1:-1], chance)
        else:
            words.append(symbol)
    return words


def jsgf_rules(text: str) -> dict[str, list[list[str]]]:
    found = {}
    for match in re.finditer(r"^(?:public )?<(\w+)> = (.*);$", text, flags=re.MULTILINE):
        found[match[1]] = [row.split() for row in match[2].split(" | ")]
    return found


def test_no_place_in_the_grammar_needs_a_second_word_of_lookahead() -> None:
    assert conflicts(lark_text(named_words(LATHES))) == []


def test_every_sentence_that_the_jsgf_can_produce_parses(grammar: Grammar) -> None:
    rules = jsgf_rules(grammar.jsgf())
    kinds = start_rules(lark_text(named_words(LATHES)))
    starts = [row[0][1:-1] for row in rules["sentence"]]
    chance = random.Random(20)
    for number in range(4000):
        start = starts[number % len(starts)]
        words = jsgf_sentence(rules, start, chance)
        query = grammar.read(" ".join(words), "mm")
        assert isinstance(query, Query), (start, words, query)
        assert type(query) is kinds[start]


def test_the_minimised_grammar_holds_what_the_jsgf_produces(
    grammar: Grammar, acceptors: dict[str, Acceptor]
) -> None:
    rules = jsgf_rules(grammar.jsgf())
    chance = random.Random(21)
    for _ in range(3000):
        words = jsgf_sentence(rules, "sentence", chance)
        assert any(acceptor.accepts(words) for acceptor in acceptors.values()), words


@pytest.mark.parametrize("state", STATES)
def test_every_sentence_of_the_minimised_grammar_parses(
    grammar: Grammar, acceptors: dict[str, Acceptor], state: str
) -> None:
    chance = random.Random(22)
    for _ in range(1500):
        words = acceptors[state].sample(chance)
        assert isinstance(grammar.read(" ".join(words), "inch"), Query), words


def test_each_state_listens_for_its_own_words(acceptors: dict[str, Acceptor]) -> None:
    idle, sequence, asked = (acceptors[state] for state in STATES)
    short, choice, question = ["next", "please"], ["the", "first"], ["which", "line"]
    assert [each.accepts(short) for each in (idle, sequence, asked)] == [False, True, True]
    assert [each.accepts(choice) for each in (idle, sequence, asked)] == [False, False, True]
    assert [each.accepts(question) for each in (idle, sequence, asked)] == [True, True, True]
    assert all(each.accepts(["emergency", "stop"]) for each in (idle, sequence, asked))


def test_no_confirmation_of_a_standstill_is_one_word_away_from_stop(
    acceptors: dict[str, Acceptor],
) -> None:
    """'stop' heard for 'stopped' or the reverse would tell a lever with the spindle turning."""
    for state in STATES:
        assert not acceptors[state].accepts(["stopped"])


def test_no_sentence_belongs_to_two_rules(grammar: Grammar) -> None:
    starts = grammar.starts_of(None)
    acceptors = {start: grammar.acceptor_of(start) for start in starts}
    for place, one in enumerate(starts):
        for other in starts[place + 1 :]:
            assert overlap(acceptors[one], acceptors[other]) is None, (one, other)


def test_every_word_has_a_pronunciation(acceptors: dict[str, Acceptor]) -> None:
    ear, own = decoder(), pronunciations()
    mute = [w for w in acceptors["idle"].words() if ear.lookup_word(w) is None and w not in own]
    assert mute == []


def test_no_own_pronunciation_is_idle(grammar: Grammar) -> None:
    assert sorted(set(pronunciations()) - grammar.words) == []


QUICKLY_COMPILED = 2400
"""Characters of JSGF: the recogniser's own compiler takes minutes over the longer kinds."""


def test_the_recogniser_reads_the_jsgf_itself(grammar: Grammar) -> None:
    ear = decoder()
    for word, forms in pronunciations().items():
        if ear.lookup_word(word) is None:
            ear.add_word(word, forms[0], True)
    short = [kind for kind in grammar.kinds() if len(grammar.jsgf([kind])) < QUICKLY_COMPILED]
    assert len(short) > 20
    assert "finish" in short, "one with numbers and lengths"
    ear.add_jsgf_string("short", grammar.jsgf(short))
    # Of the longer ones each rule by itself, a word standing where it uses another rule.
    head, *rows = grammar.jsgf().strip().splitlines()
    name, _, *rules = rows
    alone = [re.sub("<[^>]*>", "one", rule.partition(" = ")[2]) for rule in rules]
    assert len(alone) > 100
    public = f"public <rules> = {' | '.join(rule.removesuffix(';') for rule in alone)};"
    ear.add_jsgf_string("rules", "\n".join([head, name, public, ""]))
    for search in ("short", "rules"):
        ear.activate_search(search)
        assert ear.current_search() == search


def test_every_question_has_a_rule_and_every_start_rule_a_question(grammar: Grammar) -> None:
    ruled = {query.__name__ for query in start_rules(lark_text(named_words(LATHES))).values()}
    assert ruled == {query.__name__ for query in KINDS.values()}


def test_examples_are_read_as_the_kind_that_they_stand_above(grammar: Grammar) -> None:
    text = lark_text(named_words(LATHES))
    pairs = re.findall(r"^// say: (.+)\n((?:// say: .+\n)*)([a-z_0-9]+):", text, flags=re.MULTILINE)
    kinds = start_rules(text)
    assert len(pairs) >= 8
    for example, more, rule in pairs:
        for sentence in [example, *re.findall(r"say: (.+)", more)]:
            query = grammar.read(sentence, "mm")
            assert type(query) is kinds[rule], (sentence, query)


def test_typed_only_rules_are_not_listened_for(grammar: Grammar) -> None:
    assert not any(name.startswith("written_") for name in expansions(grammar.parser))
    assert isinstance(grammar.read("feed .123456", "mm"), Query)


def test_old_compiled_grammars_make_room(tmp_path: Path) -> None:
    for number in range(KEPT_FILES + 20):
        file = tmp_path / f"old{number}.words"
        file.write_bytes(b"")
        os.utime(file, (number, number))
    Grammar(named_words(LATHES), tmp_path)
    left = sorted(tmp_path.glob("old*.words"))
    assert len(left) == KEPT_FILES
    assert tmp_path / "old0.words" not in left
