"""Whatever can be said about fits, sizes, tapers, geometry and units gets an answer, a question or a reason."""

from __future__ import annotations

import random

import pytest

from assistant.app import Assistant
from grammar.understanding import Grammar
from tests.whole_grammar import whole_grammar

RULES = (
    *("fit_of", "inch_fit_of", "general_tolerance_of", "to_size_from", "cold_size_of"),
    *("taper_for", "set_over_for", "diameter_on_taper", "indicator_for", "sine_bar_for"),
    *("gap_on_taper", "bolt_circle_of", "flats_of", "ball_of", "knurl_on", "centre_drill_for"),
    *("keyseat_for", "unit_conversion", "tenths_conversion", "hardness_conversion"),
    "angle_conversion",
)
SENTENCES = 25


@pytest.fixture(scope="module")
def grammar() -> Grammar:
    return whole_grammar()


@pytest.mark.parametrize("rule", RULES)
def test_every_sentence_gets_an_outcome_that_fits_the_screen(grammar: Grammar, rule: str) -> None:
    chance = random.Random(rule)
    acceptor = grammar.acceptor_of(rule)
    lathes = [Assistant(name, None) for name in ("heron", "badger", "juniper")]
    for number in range(SENTENCES):
        words = " ".join(acceptor.sample(chance))
        reply = lathes[number % len(lathes)].reply(words)
        assert reply.as_json()["status"] in ("answered", "ask", "refused"), words
        shown = reply.shown
        assert shown.spoken, words
        assert "{" not in f"{shown.headline}{shown.rows}{shown.spoken}", words
        if shown.status == "answered":
            assert len(shown.headline) <= 24, words
            assert len(shown.rows) <= 6, words
            assert shown.working, words
            assert shown.sources, words


def test_a_number_without_a_unit_follows_what_brings_measured_and_wanted_together() -> None:
    inch, metric = Assistant("heron", None), Assistant("badger", None)
    cases = (
        (inch, "measured 31 want 30 h7", 31.0, 29.9895),
        (inch, "measured 1.252 want 1.25", 31.8008, 31.75),
        (metric, "measured 31 want 1 inch", 31.0, 25.4),
        (metric, "measured 1.25 inch want 1.2", 31.75, 30.48),
    )
    for assistant, words, measured, aim in cases:
        values = assistant.reply(words).as_json()["values"]
        assert values["measured"]["value"] == pytest.approx(measured, abs=1e-6), words
        assert values["aim"]["value"] == pytest.approx(aim, abs=1e-6), words


def test_nothing_is_taken_off_work_that_is_on_size_or_past_it() -> None:
    assistant = Assistant("badger", None)
    for words in ("measured 29.97 want 30 h7", "measured 29.99 want 30 h7", "measured 29 want 30"):
        answer = assistant.reply(words).as_json()
        assert answer["values"]["remove_on_diameter"]["value"] == 0
        assert "take nothing off" in answer["spoken"]
        assert "dial_whole" not in answer["values"]
