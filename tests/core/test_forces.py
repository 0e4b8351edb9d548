"""Cutting force, torque, power, and the depth of cut that a motor allows."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.core.forces import (
    Cut,
    CuttingConstants,
    chip_thickness,
    chip_width,
    constants_of_group,
    cut_force,
    cutting_constants,
    cutting_power,
    largest_depth_of_cut,
    motor_power,
    removal_rate,
    share_of_motor,
    torque,
)
from assistant.core.materials import materials
from assistant.errors import NoSuchSize, OutOfRange
from tests.check_values import check_rows

depths = st.floats(0.05, 10)
feeds = st.floats(0.05, 1)
speeds = st.floats(5, 400)
angles = st.floats(45, 90)
keys = st.sampled_from(
    sorted(key for key, found in materials().items() if found.force_group not in (None, "H38"))
)


@pytest.mark.parametrize("row", check_rows("forces.csv"))
def test_force_and_power_agree_with_the_outside_value(row: dict[str, str]) -> None:
    constants = CuttingConstants("", "", float(row["kc11"]), float(row["mc"]), "")
    cut = Cut(float(row["depth"]), float(row["feed"]), float(row["approach_angle"]))
    found = cut_force(cut, constants)
    relative = float(row["tolerance"])
    assert found.specific_force == pytest.approx(float(row["kc"]), rel=relative)
    assert found.force == pytest.approx(float(row["force"]), rel=relative)
    power = cutting_power(found.force, float(row["surface_speed"]))
    assert power == pytest.approx(float(row["power"]), rel=relative)


def test_motor_power_of_the_worked_example() -> None:
    """Mitsubishi: ap 3 mm, f 0.2 mm, vc 120 m/min, kc 3100 MPa, efficiency 0.8 need 4.65 kW."""
    assert motor_power(cutting_power(3100 * 3 * 0.2, 120), 0.8) == pytest.approx(4.65)


@pytest.mark.parametrize("row", check_rows("specific_forces.csv"))
def test_specific_force_is_within_a_factor_of_two_of_others(row: dict[str, str]) -> None:
    ours = cut_force(Cut(1, float(row["feed"])), cutting_constants(row["material"])).specific_force
    assert 0.5 < ours / float(row["kc"]) < 2.1


@pytest.mark.parametrize("row", check_rows("cutting_constants.csv"))
def test_constants_are_those_of_the_catalogue(row: dict[str, str]) -> None:
    found = cutting_constants(row["material"])
    assert (found.kc11, found.exponent) == (float(row["kc11"]), float(row["mc"]))


@given(keys, depths, feeds, speeds)
def test_power_goes_with_the_surface_speed(
    key: str, depth: float, feed: float, speed: float
) -> None:
    force = cut_force(Cut(depth, feed), cutting_constants(key)).force
    assert cutting_power(force, 2 * speed) == pytest.approx(2 * cutting_power(force, speed))


@given(keys, depths, feeds)
def test_force_goes_with_the_depth(key: str, depth: float, feed: float) -> None:
    constants = cutting_constants(key)
    once, twice = (cut_force(Cut(part, feed), constants).force for part in (depth, 2 * depth))
    assert twice == pytest.approx(2 * once)


@given(keys, depths, feeds)
def test_twice_the_feed_needs_more_but_not_twice_the_force(
    key: str, depth: float, feed: float
) -> None:
    constants = cutting_constants(key)
    fine, coarse = (cut_force(Cut(depth, part), constants).force for part in (feed, 2 * feed))
    assert fine < coarse < 2 * fine


@given(keys, st.floats(0.2, 5), feeds, speeds, angles, st.floats(0.3, 1))
def test_largest_depth_uses_up_the_motor(
    key: str, power: float, feed: float, speed: float, angle: float, efficiency: float
) -> None:
    constants = cutting_constants(key)
    cut = Cut(1, feed, angle)
    depth = largest_depth_of_cut(power, efficiency, speed, cut, constants)
    assume(depth <= 25)
    force = cut_force(replace(cut, depth_on_radius=depth), constants).force
    needed = motor_power(cutting_power(force, speed), efficiency)
    assert share_of_motor(needed, power) == pytest.approx(1)


@given(depths, feeds, angles)
def test_chip_section_does_not_depend_on_the_angle(depth: float, feed: float, angle: float) -> None:
    section = chip_thickness(feed, angle) * chip_width(depth, angle)
    assert section == pytest.approx(depth * feed)


@given(keys, depths, feeds, st.floats(-15, 29))
def test_a_degree_of_rake_takes_a_hundredth_of_the_force(
    key: str, depth: float, feed: float, rake: float
) -> None:
    constants = cutting_constants(key)
    flat, blunt, keen = (
        cut_force(Cut(depth, feed, 90, angle), constants).force for angle in (0, rake, rake + 1)
    )
    assert blunt - keen == pytest.approx(flat / 100)


@given(st.floats(10, 5000), st.floats(1, 500), st.floats(1, 9000))
def test_torque_and_speed_give_the_same_power(force: float, diameter: float, turns: float) -> None:
    surface = math.pi * diameter * turns / 1000
    assume(surface <= 2000)
    by_torque = torque(force, diameter) * 2 * math.pi * turns / 60 / 1000
    assert cutting_power(force, surface) == pytest.approx(by_torque)


def test_removal_rate_by_hand() -> None:
    assert removal_rate(3, 0.2, 120) == pytest.approx(72)


@pytest.mark.parametrize(
    ("feed", "flagged"), [(0.09, True), (0.1, False), (1.4, False), (1.41, True)]
)
def test_chips_beyond_the_measured_are_flagged(feed: float, flagged: bool) -> None:
    assert cut_force(Cut(1, feed), constants_of_group("P2")).beyond_measured is flagged


@pytest.mark.parametrize("key", ["zinc", "magnesium", "acetal", "hardwood"])
def test_material_without_constants_is_refused(key: str) -> None:
    with pytest.raises(OutOfRange, match="does not cover it"):
        cutting_constants(key)


def test_hardened_steel_is_refused_for_want_of_an_exponent() -> None:
    with pytest.raises(OutOfRange, match="the source gives no exponent"):
        cutting_constants("hardened_steel")


def test_unknown_group_is_refused() -> None:
    with pytest.raises(NoSuchSize, match="is none of P1, P2"):
        constants_of_group("Q9")


P2 = constants_of_group("P2")


@pytest.mark.parametrize("bad", [0, -1])
def test_zero_and_negative_inputs_are_refused(bad: int) -> None:
    with pytest.raises(OutOfRange, match=r"depth of cut .* must be more than 0 mm"):
        cut_force(Cut(bad, 0.2), P2)
    with pytest.raises(OutOfRange, match=r"feed .* must be more than 0 mm/turn"):
        cut_force(Cut(1, bad), P2)
    with pytest.raises(OutOfRange, match=r"force .* must be more than 0 N"):
        torque(bad, 50)
    with pytest.raises(OutOfRange, match=r"surface speed .* must be more than 0 m/min"):
        cutting_power(1000, bad)
    with pytest.raises(OutOfRange, match=r"efficiency .* must be more than 0"):
        motor_power(1, bad)
    with pytest.raises(OutOfRange, match=r"motor power .* must be more than 0 kW"):
        largest_depth_of_cut(bad, 0.8, 100, Cut(1, 0.2), P2)
    with pytest.raises(OutOfRange, match=r"power needed .* must be more than 0 kW"):
        share_of_motor(bad, 1)


def test_absurd_inputs_are_refused() -> None:
    with pytest.raises(OutOfRange, match="must be at most 25 mm"):
        cut_force(Cut(3000, 0.2), P2)
    with pytest.raises(OutOfRange, match=r"must be at most 1$|must be at most 1;"):
        motor_power(1, 1.5)
    with pytest.raises(OutOfRange, match="must be at most 90 degree"):
        cut_force(Cut(1, 0.2, 120), P2)
    with pytest.raises(OutOfRange, match="must be at least -15 degree"):
        cut_force(Cut(1, 0.2, 90, -20), P2)
