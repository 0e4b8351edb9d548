"""What stands on a screen that nobody asks."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.answer import Shown, ShownPlace
from display.contact_sheet import STANDS
from display.content import Content, of_hints, of_outcome, of_sleep
from display.render import pages
from display.rest import Patience, Rest, rest, turned

PATIENCE = Patience(welcome=10, answer=100, sleep=1000, turn=15)
ANSWER = Content("answered", "380 rpm")
WELCOME = Content("welcome", "Swarfside")


@pytest.mark.parametrize(
    ("content", "quiet", "ear", "phrases", "expected"),
    [
        (ANSWER, 0, "listening", 9, Rest.CONTENT),
        (ANSWER, 99, "listening", 9, Rest.CONTENT),
        (ANSWER, 100, "listening", 9, Rest.HINTS),
        (ANSWER, 100, "asleep", 9, Rest.HINTS),
        (ANSWER, 100, "listening", 0, Rest.CONTENT),
        (ANSWER, 1000, "listening", 9, Rest.SLEEP),
        (ANSWER, 1000, "asleep", 0, Rest.SLEEP),
        (WELCOME, 9, "listening", 9, Rest.CONTENT),
        (WELCOME, 10, "listening", 9, Rest.HINTS),
        (ANSWER, 100, "muted", 9, Rest.UNHEARD),
        (ANSWER, 5000, "no microphone", 9, Rest.UNHEARD),
        (ANSWER, 99, "muted", 9, Rest.CONTENT),
        (ANSWER, 5000, "speaking", 9, Rest.CONTENT),
        (ANSWER, 5000, "thinking", 9, Rest.CONTENT),
    ],
)
def test_what_is_shown_after_a_while(
    content: Content, quiet: float, ear: str, phrases: int, expected: Rest
) -> None:
    assert rest(content, quiet, ear, phrases, PATIENCE) is expected


@pytest.mark.parametrize("ear", ["listening", "asleep", "muted", "no microphone"])
@pytest.mark.parametrize(
    "content",
    [
        Content("alarm", "HIT THE STOP"),
        Content("fault", "No microphone"),
        of_outcome(Shown("answered", "", "33", place=ShownPlace("thread", "pass 4 of 8")), None),
    ],
    ids=["alarm", "fault", "step"],
)
def test_an_alarm_a_fault_and_a_step_stand_for_ever(content: Content, ear: str) -> None:
    assert rest(content, 1e6, ear, 9, PATIENCE) is Rest.CONTENT


def test_hints_never_stand_beside_an_answer_in_use() -> None:
    """With the usual patience a cut of three minutes leaves its answer on the screen."""
    assert rest(ANSWER, 180, "listening", 9, Patience()) is Rest.CONTENT


def test_hints_turn_calmly() -> None:
    assert Patience().turn >= 15


@given(st.lists(st.text("abc", min_size=1), min_size=1, max_size=12), st.integers(1, 4))
def test_every_phrase_has_its_turn(phrases: list[str], count: int) -> None:
    seen = {each for turn in range(len(phrases)) for each in turned(tuple(phrases), turn, count)}
    assert seen == set(phrases)


@pytest.mark.parametrize("stand", STANDS, ids=lambda stand: stand.name)
def test_hints_have_their_heading_and_nothing_larger_than_each_other(stand) -> None:  # type: ignore[no-untyped-def]
    content = of_hints(["feed point one five", "morse taper three", "which line"], "heron · mm")
    (page,) = pages(content, stand.size, stand.distance, stand.screen_height, "listening")
    notes = [words for words in page.words if words.role == "note"]
    assert len(notes) == 3
    assert len({words.size for words in notes}) == 1
    assert [words.text for words in page.words if words.role == "kicker"] == ["You can say"]


@pytest.mark.parametrize("stand", STANDS, ids=lambda stand: stand.name)
def test_a_sleeping_screen_is_calm_and_its_clock_leads(stand) -> None:  # type: ignore[no-untyped-def]
    content = of_sleep("23:59", "380 rpm", "speed for fifty millimetre brass", "heron · mm")
    (page,) = pages(content, stand.size, stand.distance, stand.screen_height, "asleep")
    assert page.calm
    clock = next(words for words in page.words if words.role == "headline")
    assert clock.text == "23:59"
    assert clock.size >= 1.35 * max(w.size for w in page.words if w is not clock)
    assert "380 rpm" in [words.text for words in page.words]


def test_a_screen_that_never_answered_sleeps_with_the_clock_alone() -> None:
    assert of_sleep("08:00", "", "", "heron · mm").rows == ()
