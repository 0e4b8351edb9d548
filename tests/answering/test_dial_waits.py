"""Other starts of a thread on the dial, and how long to wait at it, on the real profiles."""

from __future__ import annotations

from fractions import Fraction

import pytest

from assistant.answer import Answer, Refusal
from assistant.answering import answer_to
from assistant.answering.engage import closings_for
from assistant.answering.waiting import teeth_to_wait
from assistant.app import Assistant
from assistant.query_levers import StartOnDial, WaitAtDial
from tests.answering.test_engage import PITCHES, lathe, per_inch, pitch, simulated_gears, situation


# Starts. Lead 2/5 inch in two starts on 8 per inch: a = 16; 8 teeth are 1 inch, 5 pitches, the other start.
def test_second_start_by_the_dial_worked_by_hand() -> None:
    named = per_inch(5, starts=2)
    answer = answer_to(StartOnDial(start=2, thread=named), situation("heron"))
    assert isinstance(answer, Answer)
    assert answer.kind == "start-by-dial"
    assert answer.texts["start_marks"] == "2, 4"
    assert answer.texts["first_marks"] == "1, 3"


def test_starts_shift_with_the_first_mark() -> None:
    named = per_inch(5, starts=2)
    answer = answer_to(StartOnDial(start=2), situation("heron", thread=named, first_mark="2"))
    assert isinstance(answer, Answer)
    assert answer.texts["start_marks"] == "1, 3"


def test_start_without_a_line_is_set_by_compound_or_work() -> None:
    """Lead 6 mm in three starts of 2 mm: the third lies 4 mm, or two thirds of a turn, on."""
    answer = answer_to(StartOnDial(start=3, thread=pitch("2", starts=3)), situation("badger"))
    assert isinstance(answer, Answer)
    assert answer.kind == "start-by-slide"
    assert answer.values["start_offset"].number == 4
    assert answer.values["start_angle"].number == 240


@pytest.mark.parametrize(
    ("start", "starts", "text"),
    [(2, 1, "has a single start"), (3, 2, "has 2 starts"), (0, 2, "has 2 starts")],
)
def test_start_that_the_thread_lacks_is_refused(start: int, starts: int, text: str) -> None:
    query = StartOnDial(start=start, thread=per_inch(10, starts=starts))
    outcome = answer_to(query, situation("heron"))
    assert isinstance(outcome, Refusal)
    assert text in outcome.reason


# Waiting.
def test_wait_worked_by_hand() -> None:
    """13 per inch at 65 turns: 8 teeth are 8 x 1/8 inch = 1 inch = 13 turns = 1/5 minute, a quarter turn."""
    answer = answer_to(WaitAtDial(spindle_speed=65, thread=per_inch(13)), situation("heron"))
    assert isinstance(answer, Answer)
    assert answer.values["waiting_time"].number == 12
    assert answer.values["dial_angle"].number == 90


def test_wait_is_from_line_to_line_not_from_tooth_to_tooth() -> None:
    """4 mm on 6 mm with 18 teeth: every 2 teeth is safe, a line that serves comes every 6, a third turn."""
    answer = answer_to(WaitAtDial(spindle_speed=100, thread=pitch("4")), situation("badger"))
    assert isinstance(answer, Answer)
    assert answer.values["dial_angle"].number == 120
    # 6 x 6 mm of leadscrew are 9 turns of the work: 9/100 minute
    assert answer.values["waiting_time"].number == Fraction(27, 5)


def test_wait_uses_the_speed_last_asked_for() -> None:
    assistant = Assistant("heron")
    speed = assistant.reply("speed for two inch brass").answer
    assert speed is not None
    turns = speed.values["spindle_speed"].number
    wait = assistant.reply("how long do i wait for half inch thirteen").answer
    assert wait is not None
    assert wait.values["spindle_speed"].number == turns
    assert wait.values["waiting_time"].number == 13 * 60 / Fraction(turns)  # type: ignore[arg-type]
    assistant.reply("use the heron")
    assert assistant.reply("how long do i wait for half inch thirteen").shown.status == "ask"


@pytest.mark.parametrize(
    ("turns", "text"),
    [(5000, "turns at most at 1613"), (0, "must be more than 0"), (-5, "more than 0")],
)
def test_speed_that_can_not_be_is_refused(turns: int, text: str) -> None:
    outcome = answer_to(WaitAtDial(spindle_speed=turns, thread=per_inch(13)), situation("heron"))
    assert isinstance(outcome, Refusal)
    assert text in outcome.reason


def test_no_wait_is_told_where_no_line_serves() -> None:
    outcome = answer_to(WaitAtDial(spindle_speed=100, thread=pitch("1.75")), situation("heron"))
    assert isinstance(outcome, Answer)
    assert outcome.kind == "engage-keep-closed"
    assert "waiting_time" not in outcome.values


@pytest.mark.parametrize("name", ["heron", "badger"])
def test_wait_is_the_longest_run_between_two_safe_moments_at_a_mark(name: str) -> None:
    dial = lathe(name).thread_dial
    assert dial is not None
    for lead in PITCHES[::7]:
        closings = closings_for(lead, lathe(name))
        assert closings is not None
        if closings.keep_closed or closings.anywhere:
            continue
        seen = simulated_gears(name, lead)[closings.pick_off_gear]
        places = [mark.position for mark, good in zip(dial.marks, seen, strict=True) if good]
        gaps = [
            (after - before) % 1 or Fraction(1)
            for before, after in zip(places, places[1:] + places[:1], strict=True)
        ]
        assert Fraction(teeth_to_wait(closings), closings.dial_teeth) == max(gaps)
