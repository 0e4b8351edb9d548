"""The words of the lathe in use: its levers, positions and marks, and how they reach the recogniser."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.app import Assistant
from assistant.hearing.recogniser import Acceptor
from assistant.query import NotUnderstood, Query
from assistant.query_levers import LeversAt
from grammar.aliases import as_alias, of_alias
from grammar.automaton import overlap
from grammar.conflicts import conflicts
from grammar.source import NamedWords, lark_text
from grammar.understanding import Grammar, pronunciations
from grammar.words import named_words
from profiles.load import find
from tests.whole_grammar import decoder

LATHES = ("heron", "badger", "juniper")


class Ear:
    """Counts the grammars that it is given."""

    def __init__(self) -> None:
        self.given: list[Acceptor] = []

    def use(self, acceptor: Acceptor, *_: object) -> None:
        self.given.append(acceptor)


def test_another_lathe_brings_its_own_words_to_the_recogniser() -> None:
    assistant, ear = Assistant("heron"), Ear()
    assistant.listen_with(ear)  # type: ignore[arg-type]
    assistant.refresh(ear)  # type: ignore[arg-type]
    assert len(ear.given) == 1
    assistant.reply("use the badger")
    assistant.refresh(ear)  # type: ignore[arg-type]
    assistant.refresh(ear)  # type: ignore[arg-type]
    assert len(ear.given) == 2
    pointer, range_low = "pointer is at two o'clock".split(), "range is at low".split()
    assert [each.accepts(pointer) for each in ear.given] == [False, True]
    assert [each.accepts(range_low) for each in ear.given] == [True, False]


def test_positions_of_another_lathe_are_not_understood() -> None:
    assistant = Assistant("juniper")
    assert assistant.reply("range is at low").shown.status == "not-understood"
    assert assistant.reply("cone belt is at rear").answered


def test_position_that_the_lever_lacks_is_answered_with_those_it_has() -> None:
    shown = Assistant("heron").reply("range is at red").shown
    assert shown.status == "not-understood"
    assert "it may be high, low, middle" in shown.headline


def grammar_of(name: str) -> Grammar:
    return Assistant(name).grammar


def words_of_lathe(name: str) -> list[NamedWords]:
    lathe = find(name)
    levers = [
        (each.name, at, each.spoken or each.name, each.spoken_positions.get(at, at))
        for each in lathe.levers
        for at in each.positions
    ]
    dial = lathe.thread_dial
    marks = [mark.label for mark in dial.marks if mark.numbered] if dial else []
    return named_words([(each, each) for each in LATHES], levers, marks)


@pytest.mark.parametrize("name", LATHES)
def test_words_of_each_lathe_are_without_conflict(name: str) -> None:
    assert conflicts(lark_text(words_of_lathe(name))) == []


@pytest.mark.parametrize("name", LATHES)
def test_no_lever_sentence_belongs_to_another_question(name: str) -> None:
    grammar = grammar_of(name)
    levers = grammar.acceptor_of("levers_at")
    for start in grammar.starts_of(None):
        if start != "levers_at":
            assert overlap(levers, grammar.acceptor_of(start)) is None, start


@pytest.mark.parametrize("name", LATHES)
def test_every_word_of_each_lathe_can_be_heard(name: str) -> None:
    ear, own = decoder(), pronunciations()
    words = grammar_of(name).acceptor().words()
    assert [each for each in words if ear.lookup_word(each) is None and each not in own] == []


@pytest.mark.parametrize("name", LATHES)
def test_every_position_of_every_lever_can_be_told(name: str) -> None:
    assistant = Assistant(name)
    for lever in find(name).levers:
        for place in lever.positions:
            spoken = lever.spoken_positions.get(place, place)
            for said in (
                f"{lever.spoken or lever.name} is at {spoken}",
                f"{lever.spoken or lever.name} at {spoken}",
                f"{lever.spoken or lever.name} is {spoken}",
                f"levers are at {lever.spoken or lever.name} {spoken}",
                f"{lever.name} is at {place}",
            ):
                query = assistant.grammar.read(said, "mm")
                assert isinstance(query, LeversAt), said
                assert query.places == ((lever.name, place),)


def test_all_levers_of_a_lathe_can_be_told_in_one_sentence_up_to_eight() -> None:
    assistant = Assistant("heron")
    places = {each.name: each.positions[0] for each in find("heron").levers}
    said = "levers are at " + ", ".join(f"{name} {place}" for name, place in places.items())
    query = assistant.grammar.read(said, "mm")
    assert isinstance(query, LeversAt)
    assert dict(query.places) == places


def test_lever_names_that_no_parser_tells_apart_cost_the_levers_not_the_rest() -> None:
    """Of 'range low low low …' no parser knows which 'low' begins the next lever's name."""
    lathe = find("heron")
    tangled = replace(lathe.levers[0], positions=("low", "low low"))
    twin = replace(lathe.levers[0], name="low", positions=("low", "middle"))
    assistant = Assistant("heron")
    assistant.conversation.memory.lathe = replace(lathe, levers=(tangled, twin, *lathe.levers[1:]))
    assert isinstance(assistant.grammar.read("half inch thirteen", "mm"), Query)
    assert isinstance(assistant.grammar.read("cone is at ash", "mm"), NotUnderstood)


@pytest.mark.parametrize("name", ["A", "2 o'clock", "x", "Ø 3", "back gear", "x000020", ""])
def test_names_pass_through_aliases_unchanged(name: str) -> None:
    assert of_alias(as_alias(name)) == name
    assert as_alias(name).isalnum() or name == ""


@given(st.text())
def test_any_name_passes_through_aliases_unchanged(name: str) -> None:
    assert of_alias(as_alias(name)) == name
