from fractions import Fraction
from math import atan, cos, isclose, pi, radians, sqrt, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core import wires
from assistant.core.threads import forms, metric
from assistant.core.threads.metric_tolerances import limits
from assistant.core.threads.thread import Limits, Thread, ThreadLimits
from assistant.errors import OutOfRange
from assistant.units import MM_PER_INCH
from tests.check_values import check_rows

FORMS = st.sampled_from(["iso-60", "whitworth-55", "ba-47.5", "acme-29", "trapezoidal-30"])
PITCHES = st.fractions(Fraction(3, 2), Fraction(8), max_denominator=100)


def _plain(form, pitch, pitch_diameter, wire):
    found = wires.over_wires(form, pitch, pitch_diameter, wire)
    return found.size - found.lead_angle_term


def _slope(row, pitch, major, quantity):
    """What the measurement gains by a unit of wire, or loses by a unit of pitch."""
    form = row["form"]
    drop = forms.form(form).pitch_diameter_drop
    wire, step = wires.best_wire(form, pitch), pitch / 100
    base = _plain(form, pitch, major - drop * float(pitch), wire)
    if quantity == "wire_factor":
        return (_plain(form, pitch, major - drop * float(pitch), wire * 1.01) - base) / (
            wire * 0.01
        )
    coarser = pitch + step
    diameter = major - drop * float(coarser if quantity == "major_factor" else pitch)
    return (base - _plain(form, coarser, diameter, wire)) / float(step)


def _measure(row):
    unit = float(MM_PER_INCH) if row["unit"] == "inch" else 1.0
    form = row["form"]
    pitch = Fraction(row["pitch"]) * (MM_PER_INCH if row["unit"] == "inch" else 1)
    match row["quantity"]:
        case "best":
            return wires.best_wire(form, pitch) / unit
        case "smallest" | "largest" as end:
            return getattr(wires.wire_range(form, pitch), end) / unit
        case "over_from_major":
            thread = Thread("check", "check", form, pitch, Fraction(row["major"]) * Fraction(unit))
            diameter = forms.basic_sizes(thread).pitch_diameter
            return _plain(form, pitch, diameter, float(row["wire"]) * unit) / unit
        case factor:
            return _slope(row, pitch, float(row["major"]), factor)


@pytest.mark.parametrize("row", check_rows("wires.csv"))
def test_wires_are_those_of_the_source(row):
    assert abs(_measure(row) - float(row["expected"])) <= float(row["tolerance"]) + 1e-9


def _seat(tilt, half_angle, pitch, pitch_diameter, wire, lead):
    """Least distance of a tilted wire's axis from the thread's axis at which it clears the flank."""
    low = np.array([pitch_diameter / 2 - 0.2 * pitch / tan(half_angle), -0.3])
    high = np.array([pitch_diameter / 2 + 0.6 * pitch, 0.3])
    for _ in range(14):
        rho, theta = np.meshgrid(
            np.linspace(low[0], high[0], 41), np.linspace(low[1], high[1], 41), indexing="ij"
        )
        flank = lead * theta / 2 / pi + pitch / 4 + (rho - pitch_diameter / 2) * tan(half_angle)
        beside = -rho * np.sin(theta) * np.sin(tilt) + flank * np.cos(tilt)
        room = np.maximum((wire / 2) ** 2 - beside**2, 0)
        touching = rho * np.cos(theta) + np.sqrt(room)
        seat = np.where(np.abs(beside) < wire / 2, touching, -np.inf)
        best = np.unravel_index(seat.argmax(), seat.shape)
        centre, width = np.array([rho[best], theta[best]]), (high - low) / 8
        low, high = centre - width, centre + width
    return float(seat.max())


def _laid_in(half_angle, pitch, pitch_diameter, wire, lead):
    """Measurement over straight wires laid into a helicoid; they tilt until they lie deepest."""
    at_pitch_line = atan(lead / pi / pitch_diameter)
    low, high = 0.5 * at_pitch_line, 1.3 * at_pitch_line
    golden = (sqrt(5) - 1) / 2
    shape = (radians(half_angle), pitch, pitch_diameter, wire, lead)
    for _ in range(30):
        one, other = high - golden * (high - low), low + golden * (high - low)
        if _seat(one, *shape) < _seat(other, *shape):
            high = other
        else:
            low = one
    return 2 * _seat((low + high) / 2, *shape) + wire


@pytest.mark.parametrize(
    ("form", "pitch", "pitch_diameter", "starts", "tolerance"),
    [
        ("iso-60", "1", 5.35, 1, 0.0002),
        ("iso-60", "2.5", 18.376, 1, 0.0002),
        ("iso-60", "1.5", 9.026, 2, 0.0005),
        ("whitworth-55", "2.116667", 11.345, 1, 0.0003),
        ("acme-29", "5.08", 22.86, 1, 0.001),
        ("trapezoidal-30", "4", 18.0, 1, 0.001),
        ("trapezoidal-30", "3", 10.5, 1, 0.001),
        ("trapezoidal-30", "7", 36.5, 2, 0.004),
    ],
)
def test_the_lead_angle_term_is_that_of_a_wire_laid_into_a_helicoid(
    form, pitch, pitch_diameter, starts, tolerance
):
    pitch = Fraction(pitch)
    wire = wires.best_wire(form, pitch)
    by_formula = wires.over_wires(form, pitch, pitch_diameter, wire, pitch * starts)
    half = forms.form(form).half_angle
    by_geometry = _laid_in(half, float(pitch), pitch_diameter, wire, float(pitch * starts))
    assert by_formula.lead_angle_term > tolerance
    assert abs(by_formula.size - by_geometry) < tolerance


@given(FORMS, PITCHES, st.floats(5, 60), st.floats(0, 1), st.integers(1, 3))
def test_the_measurement_gives_the_pitch_diameter_back(form, pitch, pitches_thick, share, starts):
    diameter = pitches_thick * float(pitch) * starts
    fits = wires.wire_range(form, pitch)
    wire = fits.smallest + share * (fits.largest - fits.smallest)
    lead = pitch * starts
    measured = wires.over_wires(form, pitch, diameter, wire, lead).size
    back = wires.pitch_diameter_from(form, pitch, measured, wire, lead)
    assert isclose(back, diameter, abs_tol=1e-9)


@given(FORMS, PITCHES, st.floats(4, 60), st.floats(0.001, 1.0))
def test_the_measurement_grows_with_pitch_diameter_and_with_the_wire(form, pitch, thick, more):
    diameter = thick * float(pitch)
    fits = wires.wire_range(form, pitch)
    size = wires.over_wires(form, pitch, diameter, fits.smallest).size
    assert wires.over_wires(form, pitch, diameter + more, fits.smallest).size > size
    assert wires.over_wires(form, pitch, diameter, fits.largest).size > size


@given(FORMS, PITCHES)
def test_the_best_wire_can_be_used_and_touches_at_the_pitch_line(form, pitch):
    best, fits = wires.best_wire(form, pitch), wires.wire_range(form, pitch)
    assert fits.smallest < best < fits.largest
    half = radians(forms.form(form).half_angle)
    # Contact lies W/2 cos a from the groove's middle, where at the pitch line P/4 is open.
    assert isclose(best / 2 * cos(half), float(pitch) / 4)


@given(FORMS, PITCHES)
def test_the_smallest_wire_stands_over_the_crests(form, pitch):
    major = 20 * float(pitch)
    diameter = major - forms.form(form).pitch_diameter_drop * float(pitch)
    wire = wires.wire_range(form, pitch).smallest
    assert wires.over_wires(form, pitch, diameter, wire).size > major - 1e-9


def test_limits_over_wires_are_those_of_the_pitch_diameter():
    # M10x1.5 6g: 8.862 to 8.994 (printed); W 0.866: M = E - 0.866025 P + 3 W and a lead-angle term
    # W tan^2 L cos a cot a / 2 (handbook approximation) of 0.0018 mm; hand work.
    found = wires.limits_over_wires(
        "iso-60", Fraction(3, 2), limits(metric.standard(Fraction(10)), "6g"), 0.866
    )
    assert isclose(found.minimum, 8.862 - 1.29904 + 2.598 + 0.0018, abs_tol=0.0003)
    assert isclose(found.maximum, 8.994 - 1.29904 + 2.598 + 0.0018, abs_tol=0.0003)


def test_the_lead_angle_matters_for_coarse_threads_only():
    fine = wires.over_wires("iso-60", Fraction(1), 29.35, 0.577)
    coarse = wires.over_wires("trapezoidal-30", Fraction(7), 36.5, 3.6)
    assert not fine.lead_angle_matters
    assert coarse.lead_angle_matters


def test_gauges_stand_for_the_two_ends_of_the_pitch_diameter():
    thread = metric.standard(Fraction(10))
    plug = wires.gauge_limits(limits(thread, "6H"))
    ring = wires.gauge_limits(limits(thread, "6g"))
    # Printed limits of M10x1.5: 9.026 to 9.206 and 8.862 to 8.994.
    assert (plug.go, plug.no_go) == (9.026, 9.206)
    assert (ring.go, ring.no_go) == (8.994, 8.862)


OPEN = ThreadLimits("x", False, Limits(9, 10), Limits(None, 9), Limits(None, 8), "none")


def test_limits_without_two_ends_are_refused():
    with pytest.raises(OutOfRange, match="no two limits for the pitch diameter"):
        wires.gauge_limits(OPEN)
    with pytest.raises(OutOfRange, match="no two limits for the pitch diameter"):
        wires.limits_over_wires("iso-60", Fraction(1), OPEN, 0.577)


def test_a_nut_is_not_measured_with_wires():
    nut = limits(metric.standard(Fraction(10)), "6H")
    with pytest.raises(OutOfRange, match="wires measure a screw, not a nut"):
        wires.limits_over_wires("iso-60", Fraction(3, 2), nut, 0.866)


@pytest.mark.parametrize(
    ("wire", "clause", "nearest"),
    [
        (0.0, "must be more than 0 mm", None),
        (-1.0, "must be more than 0 mm", None),
        (float("nan"), "must be more than 0 mm", None),
        (0.55, "takes wires from 0.560 to 0.900 mm", "0.560 mm"),
        (0.91, "takes wires from 0.560 to 0.900 mm", "0.900 mm"),
        (25.0, "takes wires from 0.560 to 0.900 mm", "0.900 mm"),
    ],
)
def test_a_wire_that_does_not_serve_is_refused(wire, clause, nearest):
    for ask in (wires.over_wires, wires.pitch_diameter_from):
        with pytest.raises(OutOfRange, match=clause) as refused:
            ask("iso-60", Fraction(1), 5.35, wire)
        assert refused.value.nearest == nearest


@pytest.mark.parametrize("pitch", [Fraction(0), Fraction(-1)])
def test_a_pitch_of_zero_or_less_is_refused(pitch):
    for ask in (wires.best_wire, wires.wire_range):
        with pytest.raises(OutOfRange, match="must be more than 0 mm"):
            ask("iso-60", pitch)


@pytest.mark.parametrize("diameter", [0.0, -5.0])
def test_a_pitch_diameter_of_zero_or_less_is_refused(diameter):
    with pytest.raises(OutOfRange, match=r"diameter .*: must be more than 0 mm"):
        wires.over_wires("iso-60", Fraction(1), diameter, 0.577)


@pytest.mark.parametrize("measured", [0.0, -4.0, 0.8, float("nan")])
def test_a_measurement_smaller_than_the_wires_is_refused(measured):
    with pytest.raises(OutOfRange, match="is too small for pitch 1 mm"):
        wires.pitch_diameter_from("iso-60", Fraction(1), measured, 0.577)


def test_a_steep_lead_is_refused():
    with pytest.raises(OutOfRange, match="worked out here up to 8 degrees"):
        wires.over_wires("trapezoidal-30", Fraction(7), 36.5, 3.6, Fraction(28))


@pytest.mark.parametrize("ask", [wires.best_wire, wires.wire_range], ids=lambda f: f.__name__)
def test_a_tapered_form_is_refused(ask):
    with pytest.raises(OutOfRange, match="a tapered thread is not measured by this formula"):
        ask("npt-60", Fraction(2))


def test_the_best_wire_of_a_coarse_stub_acme_would_bottom_and_is_refused():
    with pytest.raises(OutOfRange, match="would touch the bottom of the groove") as refused:
        wires.best_wire("stub-acme-29", Fraction(127, 5) / 2)
    smallest = wires.wire_range("stub-acme-29", Fraction(127, 5) / 2).smallest
    assert refused.value.nearest == f"{smallest:.3f} mm"
