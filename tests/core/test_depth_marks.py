from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core import depth_marks
from assistant.core.dial_types import SlideDial
from assistant.errors import OutOfRange
from tests.check_values import check_rows

COLLAR = SlideDial(Fraction(1, 20), 160, "diameter")


@pytest.mark.parametrize("row", check_rows("depth_marks.csv"))
def test_the_point_is_as_high_as_the_source_says(row):
    height = depth_marks.tip_height(float(row["diameter"]), float(row["angle"]))
    assert abs(height - float(row["expected"])) <= float(row["tolerance"])


@given(st.floats(0.5, 80), st.floats(1, 400), st.floats(60, 180))
def test_pecks_rise_to_the_bottom_and_none_is_a_hair_from_it(diameter, depth, angle):
    marks = depth_marks.drill_marks(diameter, depth, point_angle=angle)
    assert marks.pecks[-1] == marks.travel == depth + marks.tip
    steps = list(pairwise((0.0, *marks.pecks)))
    assert all(high > low for low, high in steps)
    assert all(high - low <= 3.2 * diameter + 1e-9 for low, high in steps)


def test_a_small_drill_is_drawn_back_more_often():
    # By hand: 2 mm, first after 4 mm, then every millimetre, to 10 and the tip of 0.6.
    marks = depth_marks.drill_marks(2, 10)
    assert marks.pecks[:6] == (4, 5, 6, 7, 8, 9)
    assert [round(peck, 3) for peck in marks.pecks[6:]] == [10, 10.601]


def test_a_shallow_hole_is_drilled_in_one_go():
    assert len(depth_marks.drill_marks(10, 20).pecks) == 1


def test_in_a_pilot_hole_the_lips_touch_before_the_tip():
    # By hand: 20 mm at 90 degrees has a tip of 10, of which 4 stand in a pilot of 8.
    marks = depth_marks.drill_marks(20, 30, point_angle=90, pilot=8)
    assert marks.travel == pytest.approx(36)


@pytest.mark.parametrize(("travel", "settings_needed"), [(None, None), (60, 1), (30, 2), (20, 3)])
def test_a_short_quill_needs_the_tailstock_set_again(travel, settings_needed):
    marks = depth_marks.drill_marks(10, 47, quill_travel=travel)
    assert marks.quill_settings == settings_needed


@settings(deadline=None)
@given(
    st.fractions(20, 200, max_denominator=100),
    st.fractions(1, 4, max_denominator=20),
    st.integers(0, 159),
)
def test_parting_marks_rise_to_the_centre_and_stand_on_the_dial(diameter, width, zero):
    found = depth_marks.parting_marks(diameter, width, COLLAR, zero=zero)
    assert found.depths[-1] == found.depth == diameter / 2
    steps = [high - low for low, high in pairwise((Fraction(0), *found.depths))]
    assert all(0 < step <= 2 * width for step in steps)
    assert len(found.marks) == len(found.depths)
    for depth, mark in zip(found.depths, found.marks, strict=True):
        assert 0 <= depth - mark.place.count * Fraction(1, 40) < Fraction(1, 40)
    assert found.too_deep == (found.depth > 8 * width)


def test_parting_a_tube_ends_in_its_bore():
    # By hand: half of 50 less 40.
    assert depth_marks.parting_marks(50, 3, COLLAR, bore=40).depth == 5


@pytest.mark.parametrize("angle", [59, 181, 0, -118])
def test_an_impossible_point_is_refused(angle):
    with pytest.raises(OutOfRange, match=r"point angle .* degrees: must be from 60 to 180") as bad:
        depth_marks.tip_height(10, angle)
    assert bad.value.nearest in ("60 degrees", "180 degrees")


@pytest.mark.parametrize(
    ("diameter", "depth", "more", "message"),
    [
        (0, 10, {}, "bore diameter 0 mm: must be more than 0 mm"),
        (-3, 10, {}, "bore diameter -3 mm: must be more than 0 mm"),
        (90, 10, {}, "drill 90 mm: pecks are given up to 80 mm; nearest is 80 mm"),
        (10, 0, {}, "length 0 mm: must be more than 0 mm"),
        (10, 99999, {}, "length 99999 mm: must be at most 10000 mm"),
        (10, 10, {"pilot": 10}, "inner diameter 10 mm: must be less than the drill, 10 mm"),
        (10, 10, {"quill_travel": 0}, "length 0 mm: must be more than 0 mm"),
    ],
)
def test_a_hole_that_cannot_be_is_refused(diameter, depth, more, message):
    with pytest.raises(OutOfRange, match=message):
        depth_marks.drill_marks(diameter, depth, **more)


@pytest.mark.parametrize(
    ("diameter", "width", "bore", "message"),
    [
        (0, 3, 0, "work diameter 0 mm: must be more than 0 mm"),
        (20, 0, 0, "parting tool 0 mm: must be more than 0 mm wide"),
        (20, 3, 20, "inner diameter 20 mm: must be less than the outer diameter 20 mm"),
        (20, 11, 0, "parting tool 11 mm wide: is wider than the cut is deep, 10 mm"),
    ],
)
def test_a_parting_cut_that_cannot_be_is_refused(diameter, width, bore, message):
    with pytest.raises(OutOfRange, match=message):
        depth_marks.parting_marks(diameter, width, COLLAR, bore=bore)
