from fractions import Fraction
from math import cos, isclose, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core import dial_walk, infeed
from assistant.core.dial_types import SlideDial
from assistant.errors import OutOfRange
from profiles.load import bundled, find
from tests.check_values import check_rows

COLLAR = SlideDial(Fraction(1, 50), 100, "radius")
SLIDES = [
    dial
    for name in bundled()
    for lathe in [find(name)]
    for dial in (lathe.cross_slide, lathe.compound)
]
DIALS = st.sampled_from(SLIDES)
TRAVELS = st.fractions(0, 60, max_denominator=10_000)


@pytest.mark.parametrize("row", check_rows("dial_walk.csv"))
def test_the_collar_stands_where_it_was_counted_to(row):
    dial = SlideDial(Fraction(row["division"]), int(row["divisions"]), row["reads"])
    stop = dial_walk.place(Fraction(row["travel"]), dial, int(row["zero"]))
    assert (stop.turns, stop.division) == (int(row["expected_turns"]), int(row["expected"]))


def test_every_bundled_lathe_has_two_slides_to_walk():
    assert len(SLIDES) == 2 * len(bundled()) >= 6


@given(DIALS, TRAVELS, TRAVELS, st.data())
def test_readings_add_up_modulo_the_turn(dial, first, second, data):
    zero = data.draw(st.integers(0, dial.divisions - 1))
    one = dial_walk.place(first, dial, zero)
    more = dial_walk.place(second, dial, one.division)
    both = dial_walk.place_at(one.count + more.count, dial, zero)
    assert more.division == both.division
    assert (both.division - zero) % dial.divisions == (one.count + more.count) % dial.divisions
    assert both.turns - one.turns - more.turns in (0, 1)


@given(DIALS, TRAVELS, st.data())
def test_a_stop_is_never_past_the_travel_and_less_than_a_division_short(dial, travel, data):
    zero = data.draw(st.integers(0, dial.divisions - 1))
    stop = dial_walk.place(travel, dial, zero)
    there = dial_walk.travel_at(stop.count, dial)
    assert there + stop.short_by == travel
    assert 0 <= stop.short_by < dial_walk.travel_of_division(dial)


@given(DIALS, TRAVELS, st.data())
def test_turns_and_division_give_the_count_back(dial, travel, data):
    zero = data.draw(st.integers(0, dial.divisions - 1))
    stop = dial_walk.place(travel, dial, zero)
    assert dial_walk.count_of(stop.turns, stop.division, dial, zero) == stop.count


@given(DIALS, st.lists(TRAVELS, min_size=1, max_size=12), st.data())
def test_the_turnings_of_a_walk_lead_from_stop_to_stop(dial, travels, data):
    zero = data.draw(st.integers(0, dial.divisions - 1))
    at = 0
    for step in dial_walk.walk(travels, dial, zero):
        at += step.turning.divisions
        assert at == step.place.count
        sign = -1 if step.turning.back else 1
        whole = step.turning.turns * dial.divisions + step.turning.rest
        assert sign * whole == step.turning.divisions
        assert 0 <= step.turning.rest < dial.divisions


@given(DIALS, st.floats(0.01, 12), st.floats(0, 60))
def test_a_threads_stop_is_never_deeper_than_asked_for(dial, depth, angle):
    [step] = dial_walk.thread_walk([depth], angle, dial)
    back = dial_walk.depth_at(step.place.count, angle, dial)
    each = float(dial_walk.travel_of_division(dial)) * cos(radians(angle))
    assert back <= depth + 2e-6 * each
    assert depth - back < each


@given(DIALS, st.floats(0.01, 12), st.floats(0, 60))
def test_with_the_zero_at_nought_it_is_what_the_dial_question_answers(dial, depth, angle):
    [step] = dial_walk.thread_walk([depth], angle, dial)
    [reading] = infeed.dial_readings([depth], angle, dial)
    assert (step.place.turns, step.place.division) == (reading.turns, reading.division)


@given(DIALS, st.integers(0, 5000), st.data())
def test_every_place_that_shows_a_division_is_found_and_no_other(dial, most, data):
    zero, division = (data.draw(st.integers(0, dial.divisions - 1)) for _ in range(2))
    least = data.draw(st.integers(0, most))
    expected = [
        count
        for count in range(least, most + 1)
        if dial_walk.place_at(count, dial, zero).division == division
    ]
    assert list(dial_walk.counts_reading(division, dial, zero, least, most)) == expected


@given(DIALS, st.integers(0, 5000), st.data())
def test_the_nearest_place_is_within_half_a_turn_or_the_first(dial, present, data):
    zero, division = (data.draw(st.integers(0, dial.divisions - 1)) for _ in range(2))
    found = dial_walk.nearest_count(division, dial, zero, present)
    assert dial_walk.place_at(found, dial, zero).division == division
    first = dial_walk.count_of(0, division, dial, zero)
    assert found == first or 2 * abs(found - present) <= dial.divisions


def test_two_passes_on_one_division_ask_for_no_turning():
    steps = dial_walk.walk([Fraction(1, 50), Fraction(3, 100)], COLLAR)
    assert [step.turning.divisions for step in steps] == [1, 0]


def test_coming_back_is_said_so_that_backlash_is_taken_up():
    assert dial_walk.turning(30, 10, COLLAR).back
    assert not dial_walk.turning(10, 30, COLLAR).back


def test_the_depth_of_a_reading_is_the_passes_depth():
    assert isclose(dial_walk.depth_at(62, 29.5, COLLAR), 1.24 * 0.8703557, rel_tol=1e-6)


@pytest.mark.parametrize("travel", [-0.1, Fraction(-1), float("nan"), float("inf")])
def test_no_travel_is_refused(travel):
    with pytest.raises(OutOfRange, match=r"travel .*: must be 0 mm or more"):
        dial_walk.place(travel, COLLAR)


@pytest.mark.parametrize(("zero", "near"), [(-1, "0"), (100, "99")])
def test_a_zero_that_is_not_on_the_collar_is_refused(zero, near):
    with pytest.raises(OutOfRange, match="the collar has divisions 0 to 99") as refused:
        dial_walk.place(1, COLLAR, zero)
    assert refused.value.nearest == near


def test_a_division_that_is_not_on_the_collar_is_refused():
    with pytest.raises(OutOfRange, match="dial 118 divisions: the collar has divisions 0 to 99"):
        dial_walk.counts_reading(118, COLLAR, 0, 0, 200)


@pytest.mark.parametrize(
    "dial",
    [
        SlideDial(Fraction(0), 100, "radius"),
        SlideDial(Fraction(1, 50), 0, "radius"),
        SlideDial(Fraction(1, 50), 100, "depth"),
    ],
)
def test_a_collar_that_cannot_be_is_refused(dial):
    with pytest.raises(OutOfRange, match=r"dial .*: must"):
        dial_walk.travel_of_division(dial)


@pytest.mark.parametrize("count", [-1])
def test_a_place_before_the_touch_is_refused(count):
    with pytest.raises(OutOfRange, match="from the touch: must be 0 or more"):
        dial_walk.place_at(count, COLLAR)
    with pytest.raises(OutOfRange, match="from the touch: must be 0 or more"):
        dial_walk.depth_at(count, 0, COLLAR)
    with pytest.raises(OutOfRange, match="turns of the dial -1: must be 0 or more"):
        dial_walk.count_of(count, 0, COLLAR)


@pytest.mark.parametrize("angle", [-1, 90])
def test_an_impossible_angle_is_refused(angle):
    with pytest.raises(OutOfRange, match="must be from 0 to below 90 degrees"):
        dial_walk.depth_at(1, angle, COLLAR)
