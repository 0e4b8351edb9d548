from fractions import Fraction
from itertools import pairwise
from math import cos, isclose, radians

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from assistant.core import infeed
from assistant.core.dial_types import SlideDial
from assistant.core.threads.forms import Nose
from assistant.errors import OutOfRange
from tests.check_values import check_rows

DEPTHS = st.floats(0.1, 12.0)
ANGLES = st.sampled_from([14.5, 15.0, 23.75, 27.5, 30.0])
SHARES = st.floats(0.08, 1.0)


def _measure(row):
    match row["quantity"]:
        case "compound_angle":
            return float(infeed.compound_setting(Fraction(row["a"]), Fraction(row["b"])).angle)
        case "compound_travel":
            return infeed.compound_travel(float(row["a"]), float(row["b"]))
        case "equal_area":
            plan = infeed.passes(float(row["a"]), 30.0, first=float(row["b"]), least=0.001)
            assert len(plan.depths) == int(row["c"])
            return plan.depths[int(row["d"]) - 1]
        case "dial_turns" | "dial_division":
            dial = SlideDial(Fraction(row["b"]), int(row["c"]), row["d"])
            reading = infeed.dial_reading(Fraction(row["a"]), dial)
            return reading.turns if row["quantity"] == "dial_turns" else reading.division
    raise ValueError(row["quantity"])


@pytest.mark.parametrize("row", check_rows("infeed.csv"))
def test_infeed_is_that_of_the_source(row):
    assert abs(_measure(row) - float(row["expected"])) <= float(row["tolerance"]) + 1e-12


def test_the_compound_angle_is_also_given_from_the_axis():
    assert infeed.compound_setting(Fraction(60)).from_axis == Fraction(121, 2)


@pytest.mark.parametrize(
    ("left_hand", "internal", "side"),
    [(False, False, "right"), (True, False, "left"), (False, True, "left"), (True, True, "right")],
)
def test_the_compound_is_swung_so_that_the_leading_edge_cuts(left_hand, internal, side):
    setting = infeed.compound_setting(Fraction(60), left_hand=left_hand, internal=internal)
    assert setting.swung == side


@pytest.mark.parametrize("release", ["-0.1", "1.01", "30"])
def test_a_release_outside_practice_is_refused(release):
    with pytest.raises(OutOfRange, match="must be from 0 to 1 degree under half"):
        infeed.compound_setting(Fraction(60), Fraction(release))


@pytest.mark.parametrize("angle", ["0", "-60", "2", "180", "400"])
def test_an_impossible_included_angle_is_refused(angle):
    with pytest.raises(OutOfRange, match="must be above 2 and below 180 degrees"):
        infeed.compound_setting(Fraction(angle))


@pytest.mark.parametrize("angle", [-1, 90, 91])
def test_an_impossible_compound_angle_is_refused(angle):
    with pytest.raises(OutOfRange, match="must be from 0 to below 90 degrees"):
        infeed.compound_travel(1.0, angle)


@pytest.mark.parametrize("depth", [0.0, -1.0, float("nan"), float("inf")])
def test_no_depth_is_refused(depth):
    with pytest.raises(OutOfRange, match=r"thread depth .*: must be more than 0 mm"):
        infeed.compound_travel(depth, 29.5)
    with pytest.raises(OutOfRange, match=r"thread depth .*: must be more than 0 mm"):
        infeed.passes(depth, 30.0)


@given(DEPTHS, st.floats(0, 60))
def test_travel_along_the_compound_gives_the_depth_back(depth, angle):
    assert isclose(infeed.compound_travel(depth, angle) * cos(radians(angle)), depth)


@st.composite
def plans(draw):
    depth = draw(DEPTHS)
    first = depth * draw(SHARES)
    least = first * draw(st.floats(0.02, 1.0))
    nose = depth * draw(st.floats(0.0, 0.8))
    return infeed.passes(depth, draw(ANGLES), nose=nose, first=first, least=least), depth


def _cuts(plan, start=0.0):
    return [high - low for low, high in pairwise((start, *plan.depths))]


@settings(deadline=None)
@given(plans())
def test_passes_end_exactly_at_the_depth_and_rise(drawn):
    plan, depth = drawn
    assert plan.depths[-1] == depth
    assert all(cut > 0 for cut in _cuts(plan))


@settings(deadline=None)
@given(plans())
def test_no_pass_is_deeper_than_the_first_pass_may_be(drawn):
    plan, _ = drawn
    assert all(cut <= plan.most_first * (1 + 1e-6) for cut in _cuts(plan))


@settings(deadline=None)
@given(plans())
def test_no_pass_is_deeper_than_the_one_before(drawn):
    plan, _ = drawn
    assert all(late <= early * (1 + 1e-6) for early, late in pairwise(_cuts(plan)))


@settings(deadline=None)
@given(plans())
def test_passes_keep_to_the_least_or_are_all_equal(drawn):
    plan, depth = drawn
    cuts = _cuts(plan)
    equal = max(cuts) - min(cuts) < 1e-6 * depth
    assert equal or min(cuts) >= plan.least * (1 - 1e-6)


@settings(deadline=None)
@given(plans())
def test_chip_areas_are_equal_until_the_least_pass_is_reached(drawn):
    plan, _ = drawn
    areas = [
        infeed.chip_area(high, plan.half_angle, plan.nose)
        - infeed.chip_area(low, plan.half_angle, plan.nose)
        for low, high in pairwise((0.0, *plan.depths))
    ]
    above = [
        area for area, cut in zip(areas, _cuts(plan), strict=True) if cut > plan.least * (1 + 1e-6)
    ]
    assert not above or max(above) <= min(above) * (1 + 1e-5)


@settings(deadline=None)
@given(plans(), st.floats(0.01, 0.99))
def test_the_rest_of_a_plan_ends_at_the_same_depth_under_the_same_cap(drawn, share):
    plan, depth = drawn
    present = share * depth
    left = infeed.rest(plan, present)
    cuts = _cuts(left, present)
    assert left.depths[-1] == depth
    assert all(0 < cut <= plan.most_first * (1 + 1e-6) for cut in cuts)


@settings(deadline=None)
@given(plans(), st.data())
def test_the_rest_after_a_planned_pass_takes_no_more_passes_than_planned(drawn, data):
    plan, _ = drawn
    assume(len(plan.depths) > 1)
    done = data.draw(st.integers(0, len(plan.depths) - 2))
    left = infeed.rest(plan, plan.depths[done])
    assert len(left.depths) <= len(plan.depths) - done - 1


@settings(deadline=None)
@given(st.floats(0.1, 4.0))
def test_practice_alone_makes_a_plan(depth):
    plan = infeed.passes(depth, 30.0, nose=depth / 4)
    assert plan.depths[-1] == depth
    assert plan.depths[0] <= 0.25 + 1e-9
    assert plan.spring_passes == 2


def test_spring_passes_repeat_the_whole_depth():
    plan = infeed.passes(0.92, 30.0, spring_passes=2)
    assert plan.with_spring[-3:] == (0.92, 0.92, 0.92)
    assert len(plan.with_spring) == len(plan.depths) + 2


def test_a_cap_as_deep_as_the_thread_makes_one_pass():
    assert infeed.passes(0.2, 30.0, first=0.2, least=0.05).depths == (0.2,)


def test_equal_passes_where_the_least_is_the_cap():
    # 1 mm in steps of at most 0.3 mm is four passes of 0.25 mm: hand work.
    depths = infeed.passes(1.0, 30.0, first=0.3, least=0.3).depths
    assert [round(depth, 6) for depth in depths] == [0.25, 0.5, 0.75, 1.0]


def test_half_way_again_with_two_areas_left():
    # First pass 0.5 of 1 mm makes four areas; from sqrt(1/2) two are left: hand work.
    left = infeed.rest(infeed.passes(1.0, 30.0, first=0.5, least=0.01), 0.5**0.5)
    assert [round(depth, 6) for depth in left.depths] == [0.866025, 1.0]


@pytest.mark.parametrize(
    ("settings", "clause"),
    [
        ({"first": 0.0}, "first pass 0 mm: must be more than 0 mm"),
        ({"first": -0.1}, "first pass -0.1 mm: must be more than 0 mm"),
        ({"least": 0.0}, "last pass 0 mm: must be more than 0 mm"),
        ({"first": 0.1, "least": 0.2}, "must not be deeper than the first, 0.1 mm"),
        ({"spring_passes": -1}, "spring passes -1: must be 0 to 200"),
        ({"nose": -0.1}, "must not be less than 0 mm"),
        ({"first": 0.0001, "least": 0.00001}, "would need more than 200 passes"),
    ],
)
def test_an_absurd_plan_is_refused(settings, clause):
    with pytest.raises(OutOfRange, match=clause):
        infeed.passes(0.92, 30.0, **settings)


@pytest.mark.parametrize("half_angle", [0.0, 90.0, -30.0])
def test_flanks_that_do_not_meet_are_refused(half_angle):
    with pytest.raises(OutOfRange, match="must be between 0 and 90 degrees"):
        infeed.passes(0.92, half_angle)


@pytest.mark.parametrize(
    ("present", "clause"),
    [
        (-0.1, "must be 0 mm or more"),
        (float("nan"), "must be 0 mm or more"),
        (0.92, "the whole thread is 0.920 mm deep on the radius"),
        (5.0, "the whole thread is 0.920 mm deep on the radius"),
    ],
)
def test_replanning_from_nowhere_is_refused(present, clause):
    with pytest.raises(OutOfRange, match=clause):
        infeed.rest(infeed.passes(0.92, 30.0), present)


def test_a_negative_nose_has_no_width():
    with pytest.raises(OutOfRange, match="must not be less than 0 mm"):
        infeed.nose_width(Nose("radius", -0.1), 30.0)


DIALS = st.builds(
    SlideDial,
    division=st.sampled_from([Fraction(1, 50), Fraction(1, 20), Fraction(127, 5000)]),
    divisions=st.sampled_from([40, 60, 100, 125, 200, 250]),
    reads=st.sampled_from(["diameter", "radius"]),
)


@given(st.fractions(0, 30, max_denominator=1000), DIALS, st.data())
def test_the_dial_never_goes_deeper_than_asked_and_misses_less_than_a_division(travel, dial, data):
    start = data.draw(st.integers(0, dial.divisions - 1))
    reading = infeed.dial_reading(travel, dial, start)
    count = reading.turns * dial.divisions + reading.division - start
    each = dial.division / (2 if dial.reads == "diameter" else 1)
    assert 0 <= reading.division < dial.divisions
    assert isclose(float(count * each) + reading.short_by, float(travel), abs_tol=1e-9)
    assert 0 <= reading.short_by < float(each)
    # The millionth of a division that is forgiven to floats.
    assert count * each <= travel + each / 10**6


@given(st.integers(0, 3000), st.integers(0, 3000), DIALS)
def test_two_travels_one_after_the_other_read_as_their_sum(one, other, dial):
    each = dial.division / (2 if dial.reads == "diameter" else 1)
    first = infeed.dial_reading(one * each, dial)
    then = infeed.dial_reading(other * each, dial, first.division)
    both = infeed.dial_reading((one + other) * each, dial)
    assert then.division == both.division
    assert first.turns + then.turns == both.turns


def test_a_float_that_is_whole_but_for_its_last_bits_loses_no_division():
    assert infeed.dial_reading(0.1 + 0.2, SlideDial(Fraction(1, 10), 50, "radius")).division == 3
    assert infeed.dial_reading(0.3 - 1e-16, SlideDial(Fraction(1, 10), 50, "radius")).division == 3


def test_the_readings_of_a_plan_are_those_of_the_compound():
    dial = SlideDial(Fraction(1, 50), 100, "radius")
    # 0.5 / cos 30 = 0.57735: 28 divisions; 1.0 / cos 30 = 1.1547: 57 divisions; hand work.
    readings = infeed.dial_readings([0.5, 1.0], 30, dial)
    assert [reading.division for reading in readings] == [28, 57]


@pytest.mark.parametrize("start", [-1, 100])
def test_a_start_that_is_not_on_the_collar_is_refused(start):
    with pytest.raises(OutOfRange, match="the collar has divisions 0 to 99"):
        infeed.dial_reading(1.0, SlideDial(Fraction(1, 50), 100, "radius"), start)


@pytest.mark.parametrize("travel", [-0.01, float("nan"), float("inf")])
def test_a_travel_that_is_none_is_refused(travel):
    with pytest.raises(OutOfRange, match=r"travel .*: must be 0 mm or more"):
        infeed.dial_reading(travel, SlideDial(Fraction(1, 50), 100, "radius"))
