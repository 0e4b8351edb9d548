"""Time of a cut and number of cuts."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.core.cutting_time import cut_plan, time_of_cut, time_of_cuts, time_of_facing
from assistant.errors import OutOfRange
from tests.check_values import check_rows

lengths = st.fractions(Fraction(1), Fraction(2000), max_denominator=100)
feeds = st.fractions(Fraction(1, 50), Fraction(2), max_denominator=1000)
speeds = st.fractions(Fraction(10), Fraction(3000), max_denominator=10)
diameters = st.fractions(Fraction(1), Fraction(400), max_denominator=1000)


@pytest.mark.parametrize("row", check_rows("cutting_time.csv"))
def test_time_is_exactly_the_outside_value(row: dict[str, str]) -> None:
    size, feed, turns = (Fraction(row[name]) for name in ("size", "feed", "spindle_speed"))
    if row["kind"] == "turn":
        found = time_of_cut(size, feed, turns)
    else:
        found = time_of_facing(size, Fraction(row["inner"]), feed, turns)
    assert type(found) is Fraction
    assert found == Fraction(row["expected"])


@given(lengths, feeds, speeds)
def test_turns_times_feed_is_the_length(length: Fraction, feed: Fraction, turns: Fraction) -> None:
    assert time_of_cut(length, feed, turns) * turns * feed == length


@given(lengths, lengths, feeds, speeds)
def test_a_longer_cut_takes_longer(
    one: Fraction, other: Fraction, feed: Fraction, turns: Fraction
) -> None:
    short, long = sorted((one, other))
    assert time_of_cut(short, feed, turns) <= time_of_cut(long, feed, turns)


@given(diameters, diameters, st.fractions(Fraction(1, 2), Fraction(5), max_denominator=100))
def test_cuts_add_up_to_the_allowance_and_none_is_too_deep(
    one: Fraction, other: Fraction, depth: Fraction
) -> None:
    assume(one != other)
    plan = cut_plan(one, other, depth)
    assert plan.cuts * plan.depth_on_radius * 2 == abs(one - other)
    assert plan.depth_on_radius <= depth
    assert (plan.cuts - 1) * depth < abs(one - other) / 2


def test_finishing_cut_is_kept_back() -> None:
    plan = cut_plan(Fraction(50), Fraction(40), Fraction(2), Fraction(1, 4))
    assert (plan.cuts, plan.depth_on_radius, plan.all_cuts) == (3, Fraction(19, 12), 4)


def test_boring_counts_like_turning() -> None:
    assert cut_plan(Fraction(40), Fraction(50), Fraction(2)) == cut_plan(
        Fraction(50), Fraction(40), Fraction(2)
    )


def test_allowance_of_a_finishing_cut_alone_needs_no_roughing() -> None:
    plan = cut_plan(Fraction(50), Fraction(49), Fraction(2), Fraction(1, 2))
    assert (plan.cuts, plan.depth_on_radius, plan.all_cuts) == (0, 0, 1)


def test_several_cuts_take_their_sum_with_the_way_back() -> None:
    assert time_of_cuts(Fraction(5, 2), 4, Fraction(1, 2)) == 12


def test_size_as_it_stands_is_refused() -> None:
    with pytest.raises(OutOfRange, match="is the diameter as it stands"):
        cut_plan(Fraction(50), Fraction(50), Fraction(2))


@pytest.mark.parametrize("bad", [Fraction(-1, 10), Fraction(51, 10)])
def test_finishing_cut_outside_the_allowance_is_refused(bad: Fraction) -> None:
    with pytest.raises(OutOfRange, match="must be from 0 to the allowance on the radius, 5 mm"):
        cut_plan(Fraction(50), Fraction(40), Fraction(2), bad)


def test_a_thousand_and_one_cuts_are_refused() -> None:
    with pytest.raises(OutOfRange, match="number of cuts 1001: must be at most 1000"):
        cut_plan(Fraction(300), Fraction(300) - Fraction(2002, 10), Fraction(1, 10))


def test_inner_diameter_must_be_smaller() -> None:
    with pytest.raises(OutOfRange, match="must be less than the outer diameter 50 mm"):
        time_of_facing(Fraction(50), Fraction(60), Fraction(1, 10), Fraction(200))


@pytest.mark.parametrize("bad", [0, -1])
def test_zero_and_negative_inputs_are_refused(bad: int) -> None:
    wrong, length, feed, turns = Fraction(bad), Fraction(100), Fraction(1, 10), Fraction(100)
    with pytest.raises(OutOfRange, match=r"length .* must be more than 0 mm"):
        time_of_cut(wrong, feed, turns)
    with pytest.raises(OutOfRange, match=r"feed .* must be more than 0 mm/turn"):
        time_of_cut(length, wrong, turns)
    with pytest.raises(OutOfRange, match=r"spindle speed .* must be more than 0 turns/min"):
        time_of_cut(length, feed, wrong)
    with pytest.raises(OutOfRange, match=r"depth of cut .* must be more than 0 mm"):
        cut_plan(Fraction(50), Fraction(40), wrong)
    with pytest.raises(OutOfRange, match="must be more than 0"):
        time_of_cuts(wrong, 2)


def test_absurd_length_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be at most 10000 mm"):
        time_of_cut(Fraction(20000), Fraction(1, 10), Fraction(100))
