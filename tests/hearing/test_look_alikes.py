"""Sentences that sound like another, and the small acceptor of a few sentences."""

import pytest

from assistant.app import Assistant
from assistant.hearing.look_alikes import Sentences, look_alikes
from assistant.hearing.sphinx_search import fsg
from grammar.automaton import Acceptor


@pytest.fixture(scope="module")
def acceptor() -> Acceptor:
    return Assistant("heron").grammar.acceptor()


@pytest.mark.parametrize(
    ("said", "alike"),
    [
        ("feed point oh oh five", "feed point oh five"),
        ("feed point oh five", "feed point oh oh five"),
        ("feed point five", "feed point oh five"),
        ("thirteen threads per inch", "thirty threads per inch"),
        ("metric forty by two", "metric fourteen by two"),
    ],
)
def test_what_is_taken_for_it_is_named(said: str, alike: str, acceptor: Acceptor) -> None:
    assert alike in look_alikes(said, acceptor)


def test_only_whole_sentences_of_the_grammar_are_named(acceptor: Acceptor) -> None:
    for said in ("feed point oh oh five", "set over for morse three overall two hundred"):
        found = look_alikes(said, acceptor)
        assert found
        assert said not in found
        assert all(acceptor.accepts(words.split()) for words in found)


def test_a_sentence_without_look_alikes_has_none(acceptor: Acceptor) -> None:
    assert look_alikes("levers are set", acceptor) == []


def test_a_few_sentences_are_accepted_and_no_other() -> None:
    few = Sentences.of(["feed point five", "feed point", "stop"])
    assert all(few.accepts(words.split()) for words in ("feed point five", "feed point", "stop"))
    assert not any(few.accepts(words.split()) for words in ("feed", "five", "stop stop", ""))
    assert few.can_continue(["feed", "point"])
    assert not few.can_continue(["stop"])
    assert few.words() == {"feed", "point", "five", "stop"}


def test_unusual_steps_weigh_less_in_the_engine_s_grammar() -> None:
    marked = Acceptor(
        ({"forty": 1, "twelve": 1}, {}), frozenset({1}), 0, frozenset({(0, "forty")}), frozenset()
    )
    lines = fsg(marked).splitlines()
    assert "TRANSITION 0 1 0.1 forty" in lines
    assert "TRANSITION 0 1 1.0 twelve" in lines
