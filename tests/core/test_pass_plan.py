from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import inf, isclose, nan, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core import infeed, pass_plan
from assistant.core.thread_finish import left_from_measurement
from assistant.core.to_size import SizeState
from assistant.errors import OutOfRange
from tests.check_values import check_rows

USUAL = infeed.passes(1.0735, 30, nose=0.2)
ANGLES = st.sampled_from([14.5, 15.0, 23.75, 27.5, 30.0])


@pytest.mark.parametrize("row", check_rows("pass_plan.csv"))
def test_the_rest_goes_on_as_the_source_does(row):
    depth, present, count = float(row["depth"]), float(row["present"]), int(row["passes"])
    first = sqrt((depth**2 - present**2) / count)
    plan = infeed.passes(depth, 30, first=max(first, present), least=0.001)
    state = replace(pass_plan.begin(plan), area=infeed.chip_area(first, 30))
    left = pass_plan.at_depth(state, present).left
    assert len(left) == count
    assert abs(left[int(row["which"]) - 1] - float(row["expected"])) <= float(row["tolerance"])


@st.composite
def begun(draw):
    depth = draw(st.floats(0.1, 6.0))
    first = depth * draw(st.floats(0.12, 0.6))
    least = first * draw(st.floats(0.1, 0.6))
    nose = depth * draw(st.floats(0.0, 0.6))
    return pass_plan.begin(infeed.passes(depth, draw(ANGLES), nose=nose, first=first, least=least))


def _said(state, word, share):
    """The state after something was said; unchanged where it was refused."""
    try:
        match word:
            case "next":
                return pass_plan.taken(state)
            case "skip":
                return pass_plan.skip(state)
            case "lighter":
                return pass_plan.lighter(state)
            case "heavier":
                return pass_plan.heavier(state)
            case "at":
                return pass_plan.at_depth(state, share * state.whole_depth)
    except OutOfRange:
        return state
    raise ValueError(word)


WORDS = st.lists(
    st.tuples(
        st.sampled_from(["next", "next", "skip", "lighter", "heavier", "at"]), st.floats(0, 1)
    ),
    max_size=8,
)


def _holds(state):
    """What must be true of every state."""
    depths = (0.0, *state.taken, *state.left)
    assert all(high > low for low, high in pairwise(depths))
    assert depths[-1] == state.whole_depth
    planned = (state.present, *state.left)
    assert all(high - low <= state.most_first * (1 + 2e-6) for low, high in pairwise(planned))


@settings(deadline=None, max_examples=80)
@given(begun(), WORDS)
def test_whatever_is_said_the_plan_ends_at_depth_under_the_cap_and_repeats_no_depth(state, words):
    _holds(state)
    for word, share in words:
        state = _said(state, word, share)
        _holds(state)


@settings(deadline=None, max_examples=60)
@given(begun(), WORDS)
def test_saying_next_to_the_end_always_ends_at_the_whole_depth(state, words):
    for word, share in words:
        state = _said(state, word, share)
    count = len(state.left) + state.spring_left
    for _ in range(count):
        state = pass_plan.taken(state)
    assert state.finished
    assert state.present == state.whole_depth
    assert state.next_depth is None


@settings(deadline=None, max_examples=80)
@given(begun(), st.integers(0, 3))
def test_lighter_gives_more_passes_of_less_chip_none_under_the_floor(state, cut):
    for _ in range(min(cut, len(state.left) - 1)):
        state = pass_plan.taken(state)
    eased = _said(state, "lighter", 0)
    if eased is state:
        remaining = state.whole_depth - state.present
        assert (len(state.left) + 1) * state.least > remaining
        return
    assert len(eased.left) > len(state.left)
    assert eased.next_increase <= state.next_increase * (1 + 1e-6)
    cuts = [high - low for low, high in pairwise((eased.present, *eased.left))]
    assert min(cuts) >= eased.least * (1 - 1e-5)


@settings(deadline=None, max_examples=80)
@given(begun(), st.integers(0, 3))
def test_heavier_gives_fewer_passes_of_at_most_twice_the_chip(state, cut):
    for _ in range(min(cut, len(state.left) - 1)):
        state = pass_plan.taken(state)
    more = _said(state, "heavier", 0)
    assert more is state or len(more.left) < len(state.left)
    top = infeed.chip_area(state.most_first, state.half_angle, state.nose)
    assert more is state or more.area <= 2 * top * (1 + 1e-5)


@settings(deadline=None, max_examples=80)
@given(begun(), st.floats(0.02, 0.98))
def test_the_rest_from_a_depth_has_chips_of_one_area_where_floor_and_cap_leave_it(state, share):
    there = pass_plan.at_depth(state, share * state.whole_depth)
    assert there.present == share * state.whole_depth
    areas = []
    for low, high in pairwise((there.present, *there.left)):
        free = there.least * (1 + 1e-6) < high - low < there.most_first * (1 - 1e-6)
        if free:
            area = infeed.chip_area(high, there.half_angle, there.nose)
            areas.append(area - infeed.chip_area(low, there.half_angle, there.nose))
    assert not areas or max(areas) <= min(areas) * (1 + 1e-4)
    assert all(area <= state.area * (1 + 1e-4) for area in areas)


def test_the_passes_begin_as_they_were_planned():
    state = pass_plan.begin(USUAL)
    assert state.left == USUAL.depths
    assert (state.number, state.total, state.present) == (1, len(USUAL.depths), 0.0)
    assert state.next_depth == USUAL.depths[0]


def test_spring_passes_follow_the_last_one_at_the_same_depth():
    state = pass_plan.begin(USUAL)
    for _ in USUAL.depths:
        state = pass_plan.taken(state)
    assert state.springing
    assert state.next_depth == USUAL.depth
    assert state.next_increase == 0
    assert state.number == len(USUAL.depths) + 1
    state = pass_plan.taken(state)
    assert (state.spring_left, state.number) == (1, len(USUAL.depths) + 2)


def test_skip_leaves_one_out_and_says_how_heavy_the_next_one_is():
    state = pass_plan.taken(pass_plan.taken(pass_plan.begin(USUAL)))
    skipped = pass_plan.skip(state)
    assert skipped.left == state.left[1:]
    assert isclose(skipped.next_load, 2 * state.next_load, rel_tol=1e-6)


def test_skip_is_refused_where_the_next_one_would_be_deeper_than_the_cap():
    state = pass_plan.begin(USUAL)
    with pytest.raises(
        OutOfRange, match=r"pass 0\.381 mm deeper at once: must be at most 0\.250 mm; nearest"
    ):
        pass_plan.skip(state)


def test_the_last_pass_to_depth_cannot_be_skipped_but_a_spring_pass_can():
    state = pass_plan.at_depth(pass_plan.begin(USUAL), USUAL.depths[-2])
    with pytest.raises(OutOfRange, match="is the last one to the whole depth and must be cut"):
        pass_plan.skip(state)
    sprung = pass_plan.skip(pass_plan.taken(state))
    assert sprung.spring_left == USUAL.spring_passes - 1


def test_lighter_is_refused_at_the_floor_and_names_it():
    state = pass_plan.begin(infeed.passes(0.5, 30, first=0.1, least=0.1))
    with pytest.raises(OutOfRange, match=r"must be at least 0\.100 mm; a thinner chip rubs"):
        pass_plan.lighter(state)


def test_heavier_is_refused_at_the_cap_and_names_it():
    state = pass_plan.begin(infeed.passes(0.5, 30, first=0.25, least=0.1))
    heaviest = pass_plan.heavier(state)
    # By hand, sharp tool: the two after the cap share 0.5^2 - 0.25^2; one alone would be three times the cap's chip.
    assert heaviest.left == pytest.approx((0.25, sqrt(0.25**2 + 0.1875 / 2), 0.5))
    with pytest.raises(OutOfRange, match=r"too heavy: at most 0\.250 mm deeper at once"):
        pass_plan.heavier(heaviest)


def test_at_full_depth_there_is_nothing_to_ease():
    state = pass_plan.at_depth(pass_plan.begin(USUAL), USUAL.depth)
    for change in (pass_plan.lighter, pass_plan.heavier):
        with pytest.raises(OutOfRange, match="is the whole depth on the radius"):
            change(state)


def test_after_the_last_spring_pass_next_is_refused():
    state = replace(pass_plan.at_depth(pass_plan.begin(USUAL), USUAL.depth), spring_left=0)
    for change in (pass_plan.taken, pass_plan.skip):
        with pytest.raises(OutOfRange, match="every pass is taken; measure the thread"):
            change(state)


def test_a_depth_shallower_than_what_counted_as_cut_is_believed():
    state = pass_plan.begin(USUAL)
    for _ in range(4):
        state = pass_plan.taken(state)
    back = pass_plan.at_depth(state, 0.45)
    assert back.taken == (*USUAL.depths[:2], 0.45)


def test_a_division_short_of_the_whole_counts_as_the_whole():
    state = pass_plan.begin(USUAL)
    assert pass_plan.at_depth(state, USUAL.depth - 0.015, slack=0.0175).left == ()
    assert pass_plan.at_depth(state, USUAL.depth - 0.015).left == (USUAL.depth,)


def test_saying_the_depth_again_while_springing_takes_no_spring_pass_back():
    state = pass_plan.taken(pass_plan.at_depth(pass_plan.begin(USUAL), USUAL.depth))
    assert pass_plan.at_depth(state, USUAL.depth) == state


def test_deeper_than_the_whole_is_refused_with_the_whole():
    with pytest.raises(OutOfRange, match=r"whole thread is 1\.073 mm deep on the radius"):
        pass_plan.at_depth(pass_plan.begin(USUAL), 1.2)


@pytest.mark.parametrize("depth", [-0.1, nan, inf])
def test_an_impossible_depth_is_refused(depth):
    with pytest.raises(OutOfRange, match=r"present depth .*: must be 0 mm or more"):
        pass_plan.at_depth(pass_plan.begin(USUAL), depth)
    with pytest.raises(OutOfRange, match=r"division of the dial .*: must be 0 mm or more"):
        pass_plan.at_depth(pass_plan.begin(USUAL), 0.5, depth)


def test_a_plan_that_does_not_go_deeper_is_refused():
    with pytest.raises(OutOfRange, match="must go deeper one by one"):
        pass_plan.begin(replace(USUAL, depths=(0.2, 0.2)))
    with pytest.raises(OutOfRange, match="must go deeper one by one"):
        pass_plan.begin(replace(USUAL, depths=()))


def _at_depth():
    state = pass_plan.at_depth(pass_plan.begin(USUAL), USUAL.depth)
    return replace(state, spring_left=0)


@pytest.mark.parametrize(
    ("measured", "internal", "left"),
    [("10.10", False, "0.04"), ("9.90", True, "0.06"), ("10.05", False, "0.015")],
)
def test_the_tool_goes_in_by_half_of_what_the_pitch_diameter_is_out(measured, internal, left):
    # By hand: the middle of 10.00 to 10.04 is 10.02.
    found = left_from_measurement(
        _at_depth(), Fraction(measured), Fraction(10), Fraction("10.04"), internal=internal
    )
    assert found.verdict is SizeState.TAKE_OFF
    assert isclose(found.on_radius, float(left))
    assert isclose(found.state.whole_depth - found.state.present, float(left))
    assert found.state.left[-1] == found.state.whole_depth
    assert found.state.spring_left == USUAL.spring_passes


@settings(deadline=None, max_examples=60)
@given(begun(), st.floats(0.002, 0.9))
def test_the_finish_from_a_measurement_ends_in_the_middle_under_the_cap(state, share):
    state = pass_plan.at_depth(state, state.whole_depth)
    out = 2 * share * state.whole_depth
    found = left_from_measurement(state, 20 + out, 19.99, 20.01)
    if found.verdict is SizeState.TAKE_OFF:
        assert isclose(found.state.whole_depth, state.whole_depth + out / 2, rel_tol=1e-9)
        _holds(found.state)
    else:
        assert out <= 0.01


def test_within_the_limits_nothing_is_left_to_cut():
    found = left_from_measurement(pass_plan.begin(USUAL), 10.03, 10.0, 10.04)
    assert found.verdict is SizeState.WITHIN_LIMITS
    assert found.state.finished


def test_past_the_limits_is_said_by_how_much():
    found = left_from_measurement(_at_depth(), Fraction("9.97"), Fraction(10), Fraction("10.04"))
    assert (found.verdict, found.past_by) == (SizeState.PAST_SIZE, Fraction(3, 100))
    assert found.state.finished


def test_more_than_the_thread_is_deep_is_a_wrong_reading():
    with pytest.raises(OutOfRange, match=r"only 1\.073 mm deep; measure again"):
        left_from_measurement(_at_depth(), 15.0, 10.0, 10.04)


@pytest.mark.parametrize(("low", "high"), [(0, 10), (-1, 10), (10.04, 10.0)])
def test_limits_that_cannot_be_are_refused(low, high):
    with pytest.raises(OutOfRange, match=r"limits of the thread .*: must rise from above 0 mm"):
        left_from_measurement(_at_depth(), 10.1, low, high)


@pytest.mark.parametrize("more", [0.0, -0.1, nan, inf])
def test_nothing_more_to_take_is_refused(more):
    with pytest.raises(OutOfRange, match=r"still to take .*: must be more than 0 mm"):
        pass_plan.deepen(_at_depth(), more)
