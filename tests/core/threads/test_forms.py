from fractions import Fraction
from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.threads import forms
from assistant.core.threads.forms import Nose
from assistant.core.threads.geometry_of_thread import (
    blank,
    depth_with_nose,
    helix_angle,
    relief,
    tool_clearance,
    widest_nose,
)
from assistant.core.threads.practice import habit
from assistant.core.threads.thread import Limits, Thread, ThreadLimits
from assistant.errors import NoSuchSize, OutOfRange, TableError

KEYS = st.sampled_from(list(forms.forms()))
PITCHES = st.fractions(min_value=Fraction(3, 2), max_value=Fraction(20), max_denominator=200)
SCREW = ThreadLimits(
    "6g", False, Limits(9.732, 9.968), Limits(8.862, 8.994), Limits(None, 8.344), "ISO 965-1"
)


def test_the_seven_forms_are_there():
    assert set(forms.forms()) == {
        "iso-60",
        "whitworth-55",
        "ba-47.5",
        "acme-29",
        "stub-acme-29",
        "trapezoidal-30",
        "npt-60",
    }


@pytest.mark.parametrize("key", forms.forms())
def test_every_form_names_its_source(key):
    assert forms.form(key).source


@given(KEYS, PITCHES, st.booleans())
def test_the_forms_own_nose_gives_the_forms_own_depth(key, pitch, internal):
    # Two independent ways to the depth: the table's factor, and the flanks of the angle.
    # Printed factors have four to five figures, hence the tolerance.
    nose = forms.tool_nose(key, pitch, internal)
    by_flanks = depth_with_nose(key, pitch, nose, internal)
    assert isclose(by_flanks, forms.thread_depth(key, pitch, internal), rel_tol=3e-4)


@given(KEYS, PITCHES, st.floats(0.0, 0.99), st.floats(0.0, 0.99))
def test_a_narrower_nose_cuts_deeper(key, pitch, one, other):
    widest = widest_nose(key, pitch, "flat")
    narrow, wide = sorted((one * widest, other * widest))
    assert (
        depth_with_nose(key, pitch, Nose("flat", narrow))
        >= depth_with_nose(key, pitch, Nose("flat", wide)) - 1e-12
    )


def test_the_united_states_form_with_a_flat_of_an_eighth_is_three_quarters_of_the_triangle_deep():
    depth = depth_with_nose("iso-60", Fraction(1), Nose("flat", 0.125))
    assert isclose(depth, 0.649519, abs_tol=1e-6)


@pytest.mark.parametrize(
    ("kind", "size", "internal", "largest"),
    [
        ("flat", 0.26, False, "0.250"),
        ("radius", 0.15, False, "0.144"),
        ("flat", 0.13, True, "0.125"),
    ],
)
def test_too_wide_a_nose_is_refused_with_the_widest(kind, size, internal, largest):
    with pytest.raises(OutOfRange, match="mating crest would bind") as refused:
        depth_with_nose("iso-60", Fraction(1), Nose(kind, size), internal)
    assert refused.value.nearest == f"{kind} {largest} mm"


def test_a_nose_of_another_kind_is_refused():
    with pytest.raises(OutOfRange, match="either 'flat' or 'radius'"):
        widest_nose("iso-60", Fraction(1), "ball")


def test_a_negative_nose_is_refused():
    with pytest.raises(OutOfRange, match="must not be less than 0 mm"):
        depth_with_nose("iso-60", Fraction(1), Nose("flat", -0.1))


def test_an_unknown_form_is_refused_with_the_nearest():
    with pytest.raises(NoSuchSize, match="the table has iso-60") as refused:
        forms.form("acme-30")
    assert refused.value.nearest in {"acme-29", "stub-acme-29"}


@pytest.mark.parametrize("pitch", [Fraction(0), Fraction(-1)])
@pytest.mark.parametrize(
    "ask", [forms.thread_depth, forms.clearance, forms.tool_nose, relief], ids=lambda f: f.__name__
)
def test_a_pitch_of_zero_or_less_is_refused(ask, pitch):
    with pytest.raises(OutOfRange, match=r"pitch .*: must be more than 0 mm"):
        ask("acme-29", pitch)


def test_a_trapezoidal_pitch_below_the_clearance_table_is_refused():
    with pytest.raises(OutOfRange, match=r"begin at pitch 1\.5 mm"):
        forms.clearance("trapezoidal-30", Fraction(1))


def test_an_acme_pitch_so_fine_that_no_flat_is_left_is_refused():
    with pytest.raises(OutOfRange, match="leaves no flat on the tool"):
        forms.tool_nose("acme-29", Fraction(1, 20))


@pytest.mark.parametrize(
    ("threads_per_inch", "expected"), [(10, Fraction(254, 1000)), (12, Fraction(127, 1000))]
)
def test_acme_clearance_is_ten_thousandths_up_to_ten_threads_per_inch(threads_per_inch, expected):
    # ASME B1.5: +0.010 in for 10 threads per inch and coarser, +0.005 in for finer.
    assert forms.clearance("acme-29", Fraction(127, 5) / threads_per_inch) == expected


def test_basic_sizes_without_a_diameter_are_refused():
    with pytest.raises(OutOfRange, match="name the size"):
        forms.basic_sizes(Thread("1.5 mm pitch", "pitch", "iso-60", Fraction(3, 2), None))


def test_basic_sizes_of_a_gauge_plane_thread_are_refused():
    with pytest.raises(OutOfRange, match="its own table"):
        forms.basic_sizes(Thread("1/2 NPT", "NPT", "npt-60", Fraction(127, 70), Fraction(21)))


def test_a_thread_that_would_cut_through_the_axis_is_refused():
    with pytest.raises(OutOfRange, match="nothing is left at the root"):
        forms.basic_sizes(Thread("M2x2", "M", "iso-60", Fraction(2), Fraction(2)))


@given(KEYS.filter(lambda key: key != "npt-60"), PITCHES)
def test_diameters_of_a_screw_are_ordered(key, pitch):
    sizes = forms.basic_sizes(Thread("test", "M", key, pitch, 10 * pitch))
    assert sizes.minor_diameter <= sizes.minor_diameter_internal < sizes.pitch_diameter
    assert sizes.pitch_diameter < sizes.major_diameter <= sizes.major_diameter_internal


def test_helix_angle_of_a_lead_of_one_circumference_is_45_degrees():
    assert isclose(helix_angle(3.14159265358979, 1.0), 45.0)


def test_helix_angle_of_m10_by_hand():
    # 1.5 / (3.1416 x 9.026) = 0.05290; arc tangent 3.028 degrees: hand work.
    assert isclose(helix_angle(Fraction(3, 2), 9.026), 3.028, abs_tol=0.001)


@given(st.floats(0.2, 20), st.floats(1, 300), st.floats(1.001, 3))
def test_helix_angle_falls_with_diameter_and_grows_with_lead(lead, diameter, factor):
    assert helix_angle(lead, diameter * factor) < helix_angle(lead, diameter)
    assert helix_angle(lead * factor, diameter) > helix_angle(lead, diameter)


@pytest.mark.parametrize(("lead", "diameter"), [(0, 10), (-1, 10), (1.5, 0), (1.5, -3)])
def test_helix_angle_of_nothing_is_refused(lead, diameter):
    with pytest.raises(OutOfRange, match="must be more than 0 mm"):
        helix_angle(lead, diameter)


def test_the_leading_edge_takes_the_helix_and_the_trailing_edge_gives_it():
    ground = tool_clearance(Fraction(3, 2), 8.376, 10.0)
    working = float(habit("side_clearance").value)
    assert isclose(ground.leading - working, helix_angle(1.5, 8.376))
    assert isclose(working - ground.trailing, helix_angle(1.5, 10.0))


@pytest.mark.parametrize(("left_hand", "side"), [(False, "left"), (True, "right")])
def test_the_leading_side_is_that_of_the_travel(left_hand, side):
    assert tool_clearance(1.5, 8.4, 10.0, left_hand).leading_side == side


def test_tool_clearance_refuses_a_crest_inside_the_root():
    with pytest.raises(OutOfRange, match="must be at least the root diameter"):
        tool_clearance(1.5, 10.0, 8.0)


def test_the_blank_is_a_little_under_the_largest_major_diameter():
    turned = blank(SCREW, Fraction(3, 2))
    assert turned.least < turned.aim < turned.most == 9.968


@given(PITCHES, st.floats(0.001, 1))
def test_the_blank_lies_within_its_limits(pitch, zone):
    limits = ThreadLimits(
        "x", False, Limits(50 - zone, 50.0), Limits(None, None), Limits(None, None), ""
    )
    assert 50 - zone <= blank(limits, pitch).aim <= 50


def test_the_bore_before_a_nut_is_in_the_middle_of_its_minor_limits():
    nut = ThreadLimits("6H", True, Limits(10.0, None), Limits(9.0, 9.2), Limits(8.376, 8.676), "")
    assert isclose(blank(nut, Fraction(3, 2)).aim, 8.526)


def test_a_blank_from_open_limits_is_refused():
    with pytest.raises(OutOfRange, match="no two limits for the blank"):
        blank(
            ThreadLimits("x", False, Limits(None, 10.0), SCREW.pitch, SCREW.minor, ""),
            Fraction(3, 2),
        )


def test_the_relief_of_a_metric_pitch_is_the_tables():
    # DIN 76-1, P 1.5: g1 3.2, g2 5.2, dg = d - 2.3, r 0.8; from memory.
    groove = relief("iso-60", Fraction(3, 2))
    assert (groove.narrowest, groove.widest) == (Fraction(16, 5), Fraction(26, 5))
    assert (groove.change, groove.radius) == (Fraction(-23, 10), Fraction(4, 5))


def test_the_relief_of_any_other_thread_is_said_to_be_practice():
    groove = relief("acme-29", Fraction(127, 25))
    assert groove.narrowest == Fraction(5, 2) * Fraction(127, 25)
    assert groove.widest is None
    assert "common practice" in groove.source


def test_the_relief_of_a_metric_screw_clears_the_root_of_the_thread():
    for pitch in (Fraction(1, 2), Fraction(1), Fraction(3, 2), Fraction(4), Fraction(6)):
        change = relief("iso-60", pitch).change
        assert change is not None
        assert change <= -2 * float(pitch) * 0.61343 * 0.99


def test_an_unknown_habit_is_a_broken_table():
    with pytest.raises(TableError, match="no_such_habit"):
        habit("no_such_habit")
