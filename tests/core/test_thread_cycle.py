from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.dial_types import DialGear, DialMark, Leadscrew, ThreadDial
from assistant.core.thread_cycle import Flag, Infeed, Reach, Step, thread_cycle, thread_job
from assistant.core.thread_dial import StartClosings, start_closings
from assistant.errors import OutOfRange

SET_UP = [Step.SPEED, Step.LEVERS, Step.COMPOUND, Step.TOOL, Step.TOUCH, Step.ZERO]
BY_DIAL = StartClosings((("1", "3"), ("2", "4")), Fraction(2))
NOT_BY_DIAL = StartClosings((("1", "2", "3", "4"), ()), Fraction(2))


def _kinds(steps):
    return [step.kind for step in steps]


def _flags(steps, kind):
    return [step.flags for step in steps if step.kind is kind]


def test_a_plain_thread_is_set_up_cut_sprung_and_measured():
    steps = thread_cycle(thread_job(), 3, 2)
    assert _kinds(steps) == [*SET_UP, *[Step.PASS] * 3, *[Step.SPRING] * 2, Step.MEASURE]
    assert [step.number for step in steps if step.kind is Step.PASS] == [1, 2, 3]
    first, middle, last = _flags(steps, Step.PASS)
    assert Flag.FIRST in first
    assert Flag.LAST in last
    assert not {Flag.FIRST, Flag.LAST} & middle
    assert Flag.CLOSE_ON_MARKS in middle


@pytest.mark.parametrize("kind", [Step.SPEED, Step.LEVERS, Step.COMPOUND, Step.TOOL, Step.MEASURE])
def test_what_hands_reach_into_is_done_with_the_spindle_stopped(kind):
    for job in (thread_job(), thread_job(internal=True, tapered=True), thread_job(starts=3)):
        assert all(Flag.SPINDLE_STOPPED in flags for flags in _flags(thread_cycle(job, 2, 1), kind))


def test_a_thread_is_never_touched_with_the_spindle_said_to_be_stopped():
    steps = thread_cycle(thread_job(), 2, 1)
    for kind in (Step.TOUCH, Step.PASS, Step.SPRING):
        assert all(Flag.SPINDLE_STOPPED not in flags for flags in _flags(steps, kind))


def test_where_the_dial_does_not_serve_the_half_nut_stays_closed_in_every_pass():
    steps = thread_cycle(thread_job(keep_closed=True), 4, 1)
    for flags in (*_flags(steps, Step.PASS), *_flags(steps, Step.SPRING)):
        assert Flag.KEEP_CLOSED in flags
        assert Flag.CLOSE_ON_MARKS not in flags


def test_a_left_hand_thread_runs_away_from_the_chuck():
    steps = thread_cycle(thread_job(left_hand=True), 2, 1)
    assert all(Flag.AWAY_FROM_CHUCK in flags for flags in _flags(steps, Step.PASS))
    assert Flag.AWAY_FROM_CHUCK in _flags(steps, Step.LEVERS)[0]
    assert Flag.AWAY_FROM_CHUCK not in _flags(thread_cycle(thread_job(), 2, 1), Step.PASS)[0]


def test_an_internal_thread_is_touched_and_cut_inside_and_gauged():
    steps = thread_cycle(thread_job(internal=True), 2, 1)
    for kind in (Step.COMPOUND, Step.TOOL, Step.TOUCH, Step.PASS):
        assert all(Flag.INTERNAL in flags for flags in _flags(steps, kind))
    assert Flag.BY_GAUGE in _flags(steps, Step.MEASURE)[0]
    assert Flag.BY_WIRES in _flags(thread_cycle(thread_job(), 2, 1), Step.MEASURE)[0]


def test_a_tapered_thread_needs_the_attachment_and_a_tool_square_to_the_axis():
    steps = thread_cycle(thread_job(tapered=True), 2, 1)
    assert _kinds(steps)[:4] == [Step.SPEED, Step.LEVERS, Step.TAPER, Step.COMPOUND]
    assert Flag.NEEDS_ATTACHMENT in _flags(steps, Step.TAPER)[0]
    assert Flag.SQUARE_TO_AXIS in _flags(steps, Step.TOOL)[0]
    assert Flag.BY_GAUGE in _flags(steps, Step.MEASURE)[0]
    assert Step.TAPER not in _kinds(thread_cycle(thread_job(), 2, 1))


def test_straight_infeed_is_marked_where_it_matters():
    steps = thread_cycle(thread_job(infeed=Infeed.STRAIGHT), 2, 0)
    for kind in (Step.COMPOUND, Step.ZERO, Step.PASS):
        assert all(Flag.STRAIGHT_IN in flags for flags in _flags(steps, kind))


def test_starts_with_marks_are_reached_by_the_dial_along_the_flank():
    job = thread_job(starts=2, closings=BY_DIAL)
    assert (job.reach, job.infeed, job.infeed_changed) == (Reach.DIAL, Infeed.FLANK, False)
    steps = thread_cycle(job, 2, 1)
    each = [Step.PASS, Step.PASS, Step.SPRING]
    assert _kinds(steps) == [*SET_UP, *each, Step.START, *each, Step.MEASURE]
    assert [step.start for step in steps if step.kind is Step.PASS] == [1, 1, 2, 2]
    assert _flags(steps, Step.START) == [{Flag.BY_DIAL}]


@pytest.mark.parametrize(
    ("closings", "keep_closed"), [(NOT_BY_DIAL, False), (None, False), (BY_DIAL, True)]
)
def test_starts_without_marks_are_reached_by_the_compound_and_fed_straight_in(
    closings, keep_closed
):
    job = thread_job(starts=2, closings=closings, keep_closed=keep_closed)
    assert (job.reach, job.infeed, job.infeed_changed) == (Reach.COMPOUND, Infeed.STRAIGHT, True)
    steps = thread_cycle(job, 2, 1)
    assert Flag.ALONG_AXIS in _flags(steps, Step.COMPOUND)[0]
    assert _flags(steps, Step.START) == [{Flag.BY_COMPOUND}]


def test_straight_infeed_that_was_asked_for_is_not_said_to_be_changed():
    assert not thread_job(starts=2, infeed=Infeed.STRAIGHT).infeed_changed


def test_the_marks_of_a_real_dial_decide():
    face = tuple(DialMark(str(number + 1), Fraction(number, 4)) for number in range(4))
    dial = ThreadDial((DialGear(None, 16),), face)
    found = start_closings(Fraction(24), 2, Leadscrew(Fraction(6)), dial.gears[0], dial)
    assert thread_job(starts=2, closings=found).reach is Reach.COMPOUND


@given(
    st.booleans(),
    st.booleans(),
    st.integers(1, 12),
    st.booleans(),
    st.integers(1, 30),
    st.integers(0, 3),
)
def test_every_start_gets_every_pass_once_in_order(left, internal, starts, closed, passes, springs):
    job = thread_job(left_hand=left, internal=internal, starts=starts, keep_closed=closed)
    steps = thread_cycle(job, passes, springs)
    cut = [(step.start, step.number) for step in steps if step.kind is Step.PASS]
    assert cut == [
        (start, number) for start in range(1, starts + 1) for number in range(1, passes + 1)
    ]
    assert _kinds(steps).count(Step.SPRING) == starts * springs
    assert _kinds(steps).count(Step.START) == starts - 1
    assert _kinds(steps)[: len(SET_UP)] == SET_UP
    assert _kinds(steps)[-1] is Step.MEASURE
    assert (Flag.BY_COMPOUND in {flag for step in steps for flag in step.flags}) == (starts > 1)


@pytest.mark.parametrize("starts", [0, -1, 13])
def test_an_impossible_number_of_starts_is_refused(starts):
    with pytest.raises(OutOfRange, match=r"number of starts .*: must be 1 to 12"):
        thread_job(starts=starts)


def test_a_tapered_thread_of_two_starts_is_refused():
    with pytest.raises(OutOfRange, match="a tapered pipe thread has one start; nearest is 1"):
        thread_job(starts=2, tapered=True)


def test_marks_of_another_number_of_starts_are_refused():
    with pytest.raises(OutOfRange, match="number of starts 3: the marks are for 2 starts"):
        thread_job(starts=3, closings=BY_DIAL)


@pytest.mark.parametrize(("passes", "springs"), [(0, 1), (201, 1), (-1, 1), (3, -1), (3, 201)])
def test_an_impossible_number_of_passes_is_refused(passes, springs):
    with pytest.raises(OutOfRange, match=r"passes .*: must be [01] to 200"):
        thread_cycle(thread_job(), passes, springs)
