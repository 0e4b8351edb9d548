"""Usual sentences: a part of the grammar, with standard threads and usual numbers."""

from fractions import Fraction

import pytest

from assistant.app import Assistant
from grammar.automaton import Acceptor, Builder, Nodes, with_usual
from grammar.jsgf import expansions
from grammar.standard import decimal_ways, fraction_ways, standard_rules
from grammar.understanding import Grammar


@pytest.fixture(scope="module")
def grammar() -> Grammar:
    return Assistant("heron").grammar


@pytest.fixture(scope="module")
def usual(grammar: Grammar) -> Acceptor:
    nodes = Nodes()
    builder = Builder(standard_rules(expansions(grammar.parser)), nodes)
    root = nodes.dead
    for start in grammar.starts_in("idle"):
        root = nodes.union(root, builder.rule(start))
    return Acceptor.from_node(nodes, root)


def test_every_usual_sentence_can_be_said(grammar: Grammar, usual: Acceptor) -> None:
    """Both graphs walked together: no usual step leads out of the grammar."""
    whole = grammar.acceptor()
    waiting = [(whole.start, usual.start)]
    seen = set(waiting)
    while waiting:
        state, twin = waiting.pop()
        assert twin not in usual.finals or state in whole.finals
        for word, after in usual.transitions[twin].items():
            assert word in whole.transitions[state], word
            pair = (whole.transitions[state][word], after)
            if pair not in seen:
                seen.add(pair)
                waiting.append(pair)
    assert len(seen) > 1000


@pytest.mark.parametrize(
    "words",
    [
        # ISO 261, ISO 2902, ASME B1.1, ASME B1.5, ISO 228-1: sizes of the standards
        "metric twelve by one point seven five",
        "trapezoidal twenty by four",
        "half inch thirteen",
        "number ten thirty two",
        "one inch five acme",
        "g one half",
        # common practice
        "speed for stainless one and three quarter inch carbide",
        "feed point oh oh five",
    ],
)
def test_a_standard_size_is_usual(words: str, grammar: Grammar, usual: Acceptor) -> None:
    assert grammar.acceptor().accepts(words.split())
    assert usual.accepts(words.split())
    assert grammar.acceptor().unusual_steps(words.split()) == 0


@pytest.mark.parametrize(
    "words", ["metric forty one by two", "half inch forty one", "feed ninety one point three seven"]
)
def test_an_odd_size_can_be_said_but_is_not_usual(
    words: str, grammar: Grammar, usual: Acceptor
) -> None:
    whole = grammar.acceptor()
    assert whole.accepts(words.split())
    assert not usual.accepts(words.split())
    assert whole.unusual_steps(words.split()) > 0


def test_marking_changes_no_sentence(grammar: Grammar, usual: Acceptor) -> None:
    whole = grammar.acceptor()
    plain = Acceptor(whole.transitions, whole.finals)
    marked = with_usual(plain, usual)
    assert (marked.transitions, marked.finals) == (plain.transitions, plain.finals)
    assert marked.unusual
    assert marked.unusual == whole.unusual
    assert plain.unusual_steps(["metric", "forty", "one", "by", "two"]) == 0


def test_numbers_that_have_no_such_words_have_none() -> None:
    assert decimal_ways(Fraction(12)) == []
    assert decimal_ways(Fraction(1, 3)) == []
    assert fraction_ways(Fraction(1, 8)) == ["one eighth", "a eighth"]


@pytest.mark.parametrize("words", ["metric by", "metric metric"])
def test_what_is_no_sentence_has_no_count(words: str, grammar: Grammar) -> None:
    with pytest.raises(ValueError, match="metric"):
        grammar.acceptor().unusual_steps(words.split())
