"""The interview: judged answers, and a profile that loads or whose contradictions are found."""

from __future__ import annotations

import random
import re
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from profiles.authoring import answered, next_question, profile_text, without_last
from profiles.check import check
from profiles.interview import BACK
from profiles.load import load
from profiles.replies import NO_MORE, Question, judged
from tests.profiles.plover import PLOVER, after


def question_after(typed: list[str]) -> Question:
    question = next_question(after(typed))
    assert question is not None
    return question


def test_an_interview_ends_in_a_profile_without_findings() -> None:
    answers = after(PLOVER)
    assert next_question(answers) is None
    text = profile_text(answers)
    assert check(text) == []
    lathe = load(text)
    assert (lathe.name, lathe.description, lathe.inch) == (
        "plover",
        "Small lathe in the net store",
        False,
    )
    assert [float(each.gives) for each in lathe.speeds] == [150, 400]
    assert sorted(float(each.gives) for each in lathe.pitches) == [1, 1.27, 2, 2.54]
    assert [float(each.gives) for each in lathe.feeds] == [0.05, 0.1]
    assert lathe.cross_feeds[0].levers == {"gate": "across", "slider": "left"}
    assert lathe.reversing is not None
    assert lathe.reversing.neutral == "middle"
    assert lathe.thread_dial is not None
    assert [mark.label for mark in lathe.thread_dial.marks] == ["1", "", "2", ""]
    assert lathe.chucks[0].top_speed == 1200


def test_the_profile_is_commented_and_warns() -> None:
    text = profile_text(after(PLOVER))
    assert text.startswith("# plover: written from the answers")
    assert "qualified person" in text
    assert text.count("\n# ") >= 8


def test_a_lathe_without_gearbox_has_its_gears_checked_against_the_leadscrew() -> None:
    start = ["wren", "Bench lathe", "metric", "", "300", "3", "", "no", "", "", ""]
    question = question_after([*start, "1.25"])
    with pytest.raises(
        ValueError, match=r"50/60 x 40/60 cuts 1.66667 mm on this leadscrew, not 1.25 mm"
    ):
        judged(question, "50/60 x 40/60")
    assert judged(question, "50/60*40/80") == "50/60 x 40/80"


def test_the_table_of_an_interview_asks_for_every_lever_set_and_may_be_ended() -> None:
    start = ["wren", "Bench lathe", "metric", "belt", "spindle", "low, high", "", ""]
    first, second = question_after(start), question_after([*start, "100"])
    assert "belt low" in first.ask
    assert "belt high" in second.ask
    assert not first.may_end
    assert second.may_end
    ended = after([*start, "100", NO_MORE])
    question = next_question(ended)
    assert question is not None
    assert question.key == "leadscrew"


def test_a_lathe_must_have_one_speed() -> None:
    start = ["wren", "Bench lathe", "metric", "belt", "spindle", "low, high", "", "", ""]
    with pytest.raises(ValueError, match="this needs an answer such as 210"):
        answered(after(start), "")
    with pytest.raises(ValueError, match='"done" is not a figure with its unit'):
        answered(after(start), NO_MORE)


def ask(kind: str, **more: object) -> Question:
    return Question("key", "What?", kind, **more)  # type: ignore[arg-type]


REFUSED = [
    (ask("name", such="sorrel"), "two words", '"two words" is not one word of plain letters'),
    (ask("name", such="sorrel"), "../etc", '"../etc" is not one word of plain letters'),
    (ask("line"), "", "this needs an answer"),
    (ask("line"), "a\x07b", "a character that no screen can show"),
    (ask("line"), "\ufffd", "a character that no screen can show"),
    (ask("line"), "x" * 201, "that is 201 letters long; shorten it to 200"),
    (ask("line", taken=("chuck",)), "chuck", '"chuck" is in the list already'),
    (ask("lever"), "a=b", '"a=b" has a comma or an equals sign; a lever has none'),
    (ask("choice", choices=("inch", "metric")), "metrik", "there are inch or metric; the nearest"),
    (ask("positions"), "low", "at least 2 positions, with commas between them"),
    (ask("positions"), "low,,high", "a comma with no position before or after it"),
    (ask("positions"), "low, low", 'position "low" stands twice'),
    (ask("labels", count=2), "small", "there are 1 names for 2; give one for each"),
    (ask("marks"), "1, -, 1", 'mark "1" stands twice'),
    (ask("count"), "0", "0 is outside 1 to 10000"),
    (ask("count"), "1.5", '"1.5" is not a whole number, such as 12'),
    (ask("count"), "-3", '"-3" is not a whole number, such as 12'),
    (ask("counts"), "5", "5 is outside 8 to 1000"),
    (ask("counts", such="20"), ",", "there is no number of teeth in that, such as 20"),
    (ask("speed", unit="rpm"), "fast", '"fast" is not a figure with its unit such as "210 rpm"'),
    (ask("speed", unit="rpm"), "0", '"0 rpm" must be more than zero'),
    (ask("speed", unit="rpm"), "1,250", '"1,250" could be 1.250 or 1250'),
    (ask("speed", unit="rpm"), "1,2,5", "has more than one comma"),
    (ask("lead"), "8", '"8" is not a figure with its unit such as "1.5 mm"'),
    (ask("length", unit="mm"), "5 rpm", '"5 rpm" is not a figure with its unit'),
    (ask("ratio"), "1/0", '"1/0" has a zero under the line'),
    (ask("train"), "40/0", "has a gear of 0 teeth"),
    (ask("train"), "40", '"40" is not a gear train such as'),
    (
        ask("places", levers={"cone": ("ash", "oak")}, such="cone=ash"),
        "ash",
        '"ash" is not lever=position, such as cone=ash',
    ),
    (ask("places", levers={"cone": ("ash", "oak")}), "kone=ash", '"kone" is no lever of the feed'),
    (ask("places", levers={"cone": ("ash", "oak")}), "cone=elm", '"elm" is no position of cone'),
    (ask("all-places", levers={"cone": ("ash",), "step": ("1", "2")}), "ash", "1 positions for 2"),
    (
        ask("all-places", levers={"cone": ("ash",), "step": ("1", "2")}),
        "cone=ash",
        'does not say where lever "step" stands',
    ),
]


@pytest.mark.parametrize(("question", "text", "sentence"), REFUSED)
def test_a_wrong_answer_is_refused_with_one_sentence(
    question: Question, text: str, sentence: str
) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)) as caught:
        judged(question, text)
    assert "\n" not in str(caught.value)


KEPT = [
    (ask("speed", unit="rpm"), " 210 ", "210 rpm"),
    (ask("speed", unit="rpm"), "210 rpm", "210 rpm"),
    (ask("length", unit="mm"), "0,05", "0.05 mm"),
    (ask("length", unit="inch"), "0,125", "0.125 inch"),
    (ask("length", unit="inch"), "7 1/2", "7 1/2 inch"),
    (ask("lead", unit="per inch"), "11 1/2", "11 1/2 per inch"),
    (ask("lead", unit="per inch"), "3 mm", "3 mm"),
    (ask("choice", choices=("A", "a")), "a", "a"),
    (ask("choice", choices=("yes", "no")), "Y", "yes"),
    (ask("count", usual="1"), "", "1"),
    (ask("line", empty="not known"), "", ""),
    (ask("train"), "40/60 × 30/72", "40/60 x 30/72"),
    (ask("counts"), "20 20,30", "20, 20, 30"),
]


@pytest.mark.parametrize(("question", "text", "kept"), KEPT)
def test_an_answer_is_kept_with_its_unit_and_stays_as_it_is(
    question: Question, text: str, kept: str
) -> None:
    assert judged(question, text) == kept
    assert judged(question, kept) == kept


class Typist:
    """Answers by dice: what fits, what nearly fits, and junk."""

    def __init__(self, throw: int) -> None:
        self.dice = random.Random(throw)

    def fitting(self, question: Question) -> str:
        if question.choices:
            return self.dice.choice(question.choices)
        if question.kind == "train":
            return (
                "60/60"
                if question.figure is None or question.figure.value == question.each
                else "1/1"
            )
        if question.kind == "places":
            lever = self.dice.choice(list(question.levers))
            return f"{lever}={self.dice.choice(question.levers[lever])}"
        if question.kind == "all-places":
            return ", ".join(self.dice.choice(places) for places in question.levers.values())
        if question.kind == "positions":
            return ", ".join(self.dice.sample(["A", "b", "1", "off", "yes", "2 o'clock"], 3))
        if question.kind == "labels":
            return ", ".join(f"gear {number}" for number in range(question.count))
        if question.kind == "speed":
            return str(self.dice.randint(1, 2000))
        if question.kind in ("lever", "line"):
            return self.dice.choice(
                ["on", "null", "~", "x: y", "# no", 'a "b"', "é", "name", "lever"]
            )
        return question.such

    def typed(self, question: Question) -> str:
        way = self.dice.random()
        if way < 0.15:
            return ""
        if way < 0.3:
            return self.dice.choice(
                [NO_MORE, BACK, "0", "-1", "1/0", "{name}", "\x00", ",", "=", "9" * 50]
            )
        return self.fitting(question)


def finished(answers: dict[str, str], typist: Typist) -> dict[str, str]:
    """The same, with the rest answered as briefly as may be."""
    while (question := next_question(answers)) is not None:
        for text in ("", NO_MORE, typist.fitting(question)):
            try:
                answers = answered(answers, text)
                break
            except ValueError:
                continue
        else:
            # Gears for a pitch of which none are known: take the pitch back.
            answers = without_last(answers)
    return answers


@given(st.integers(0, 2**32), st.integers(0, 60))
@settings(max_examples=60, deadline=None)
def test_any_answers_end_in_a_profile_or_in_findings(throw: int, steps: int) -> None:
    typist = Typist(throw)
    answers: dict[str, str] = {}
    for _ in range(steps):
        question = next_question(answers)
        if question is None:
            break
        text = typist.typed(question)
        if text == BACK:
            answers = without_last(answers)
            continue
        with suppress(ValueError):
            answers = answered(answers, text)
    text = profile_text(finished(answers, typist))
    findings = check(text)
    # What stops it is a contradiction between figures, never a text that YAML cannot read.
    assert all(finding.line is not None for finding in findings)
    if not any(finding.stops for finding in findings):
        assert load(text).speeds


QUESTIONS = [question_after(PLOVER[:number]) for number in range(len(PLOVER))]


@given(st.text(max_size=30))
@settings(max_examples=200, deadline=None)
def test_any_text_is_an_answer_that_stays_as_it_is_or_is_refused(text: str) -> None:
    for question in QUESTIONS:
        with suppress(ValueError):
            kept = judged(question, text)
            assert judged(question, kept) == kept
