"""Surface speeds, spindle speeds and the choice of one of the lathe's."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.core.materials import material, materials
from assistant.core.speeds import (
    choose_setting,
    diameter_at_top_speed,
    face_speeds,
    operation_for,
    spindle_speed,
    starting_surface_speed,
    stick_out,
    surface_speed,
    tools_for,
)
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import rows
from tests.check_values import check_rows

FEET = 0.3048
TO_CORE = {"rpm": 1.0, "mm": 1.0, "inch": 25.4, "m/min": 1.0, "ft/min": FEET}

surface_speeds = st.floats(1, 500)
diameters = st.floats(1, 1000)
lathe_speeds = st.lists(
    st.fractions(Fraction(10), Fraction(4000), max_denominator=10), min_size=1, max_size=24
)
excesses = st.fractions(Fraction(0), Fraction(1, 2), max_denominator=100)


@pytest.mark.parametrize("row", check_rows("speeds.csv"))
def test_speed_agrees_with_the_outside_value(row: dict[str, str]) -> None:
    formula = {"spindle_speed": spindle_speed, "surface_speed": surface_speed}[row["quantity"]]
    first = float(row["first"]) * TO_CORE[row["first_unit"]]
    second = float(row["second"]) * TO_CORE[row["second_unit"]]
    found = formula(first, second) / TO_CORE[row["expected_unit"]]
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", check_rows("surface_speed_ranges.csv"))
def test_starting_speed_lies_in_the_printed_range(row: dict[str, str]) -> None:
    found = starting_surface_speed(row["material"], row["tool"], row["operation"])
    start = found.start / Fraction("0.3048")
    low, high = Fraction(row["low"]), Fraction(row["high"])
    share = {"within": Fraction(1), "half": Fraction(1, 2)}[row["rule"]]
    assert low * share <= start <= high


@given(surface_speeds, diameters)
def test_surface_speed_is_there_and_back(speed: float, diameter: float) -> None:
    turns = 1000 * speed / (math.pi * diameter)
    assume(turns <= 10000)
    assert surface_speed(spindle_speed(speed, diameter), diameter) == pytest.approx(speed)


@given(surface_speeds, diameters, diameters)
def test_larger_work_turns_slower(speed: float, one: float, other: float) -> None:
    small, large = sorted((one, other))
    assert spindle_speed(speed, small) >= spindle_speed(speed, large)


@given(surface_speeds, surface_speeds, diameters)
def test_faster_cut_turns_faster(one: float, other: float, diameter: float) -> None:
    slow, fast = sorted((one, other))
    assert spindle_speed(slow, diameter) <= spindle_speed(fast, diameter)


@given(lathe_speeds, st.floats(1, 5000), excesses)
def test_chosen_speed_is_the_lathes_and_within_the_limit_or_flagged(
    speeds: list[Fraction], ideal: float, excess: Fraction
) -> None:
    choice = choose_setting(speeds, ideal, excess)
    assert type(choice.speed) is Fraction
    assert choice.speed in speeds
    if choice.lowest_is_too_fast:
        assert choice.speed == min(speeds)
        assert choice.speed > Fraction(ideal) * (1 + excess)
    else:
        assert choice.speed <= Fraction(ideal) * (1 + excess)
        nearer = [
            s for s in speeds if abs(s - Fraction(ideal)) < abs(choice.speed - Fraction(ideal))
        ]
        assert all(s > Fraction(ideal) * (1 + excess) for s in nearer)


@given(lathe_speeds, st.floats(1, 5000), excesses, st.data())
def test_ceiling_is_never_passed(
    speeds: list[Fraction], ideal: float, excess: Fraction, data: st.DataObject
) -> None:
    ceiling = data.draw(st.sampled_from(speeds))
    choice = choose_setting(speeds, ideal, excess, ceiling)
    assert choice.speed <= ceiling


STEPS = (Fraction(100), Fraction(200), Fraction(400), Fraction(800))


@pytest.mark.parametrize(
    ("ideal", "excess", "expected"),
    [
        (382, Fraction(1, 10), 400),
        (360, Fraction(1, 10), 200),  # 400 is above 396
        (399, Fraction(0), 200),
        (400, Fraction(0), 400),
        (300, Fraction(1, 2), 200),  # two equally near: the slower
        (5000, Fraction(1, 10), 800),
    ],
)
def test_speed_is_the_nearest_not_above_the_excess(
    ideal: int, excess: Fraction, expected: int
) -> None:
    choice = choose_setting(STEPS, ideal, excess)
    assert choice.speed == expected
    assert not choice.lowest_is_too_fast


def test_lowest_speed_is_flagged_when_it_is_too_fast() -> None:
    choice = choose_setting(STEPS, 50, Fraction(1, 10))
    assert (choice.speed, choice.lowest_is_too_fast) == (100, True)


def test_ceiling_is_named_when_it_holds_the_speed_down() -> None:
    choice = choose_setting(STEPS, 820, Fraction(1, 10), ceiling=Fraction(500))
    assert (choice.speed, choice.held_by_ceiling) == (400, True)


def test_ceiling_that_does_not_matter_is_not_named() -> None:
    assert not choose_setting(STEPS, 390, Fraction(1, 10), ceiling=Fraction(500)).held_by_ceiling


def test_top_speed_that_is_too_slow_is_named() -> None:
    assert choose_setting(STEPS, 900, Fraction(1, 10)).top_is_too_slow
    assert not choose_setting(STEPS, 800, Fraction(1, 10)).top_is_too_slow


def test_ceiling_below_every_speed_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be at most 90 turns/min") as caught:
        choose_setting(STEPS, 400, Fraction(1, 10), ceiling=Fraction(90))
    assert caught.value.given == "100 turns/min"


def test_lathe_without_speeds_is_refused() -> None:
    with pytest.raises(OutOfRange, match="the lathe has no speeds"):
        choose_setting((), 400, Fraction(0))


def test_negative_excess_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be from 0 to 1"):
        choose_setting(STEPS, 400, Fraction(-1, 10))


@given(st.floats(1, 3000), st.floats(1, 1000), st.floats(0, 0.99))
def test_inner_surface_speed_goes_with_the_diameter(
    turns: float, outer: float, share: float
) -> None:
    found = face_speeds(turns, outer, outer * share)
    assert found.inner == pytest.approx(found.outer * share)


def test_surface_speed_is_nothing_at_the_centre() -> None:
    assert face_speeds(400, 50, 0).inner == 0


def test_inner_diameter_must_be_smaller() -> None:
    with pytest.raises(OutOfRange, match="must be less than the outer diameter 50 mm"):
        face_speeds(400, 50, 50)


@given(st.floats(5, 500), st.floats(200, 3000))
def test_diameter_at_top_speed_gives_that_speed_back(speed: float, top: float) -> None:
    assert surface_speed(top, diameter_at_top_speed(speed, top)) == pytest.approx(speed)


@pytest.mark.parametrize(
    ("holding", "length", "caution"),
    [
        ("chuck", 75, None),
        ("chuck", 76, "needs_centre"),
        ("chuck", 151, "never_unsupported"),
        ("between-centres", 250, None),
        ("between-centres", 251, "needs_steady"),
        ("chuck-and-centre", 251, "needs_steady"),
        ("steel-boring-bar", 101, "bar_chatters"),
        ("carbide-boring-bar", 150, None),
    ],
)
def test_caution_begins_just_above_the_ratio(
    holding: str, length: int, caution: str | None
) -> None:
    found = stick_out(Fraction(length), Fraction(25), holding)
    assert found.caution == caution
    assert type(found.ratio) is Fraction


def test_unknown_holding_is_refused_with_those_that_exist() -> None:
    with pytest.raises(NoSuchSize, match="chuck, chuck-and-centre"):
        stick_out(Fraction(10), Fraction(10), "string")


def test_material_without_that_tool_names_the_tools_that_exist() -> None:
    with pytest.raises(OutOfRange, match="there are speeds for carbide, coated-carbide"):
        starting_surface_speed("hardened_steel", "hss")


def test_knurling_with_carbide_is_refused() -> None:
    with pytest.raises(OutOfRange, match="there are speeds for hss"):
        starting_surface_speed("mild_steel", "carbide", "knurl")


def test_unknown_operation_is_refused_with_the_nearest() -> None:
    with pytest.raises(NoSuchSize, match=r"nearest is .*thread"):
        operation_for("treading", "hss")


def test_unknown_material_is_refused_with_the_nearest() -> None:
    with pytest.raises(NoSuchSize, match=r"nearest is .*stainless"):
        starting_surface_speed("stainles", "hss")


@pytest.mark.parametrize("bad", [0, -1, 0.0, -0.5, Fraction(-1, 3)])
def test_zero_and_negative_diameters_are_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match="must be more than 0 mm"):
        spindle_speed(30, bad)


@pytest.mark.parametrize("bad", [0, -1])
def test_zero_and_negative_surface_speeds_are_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match="must be more than 0 m/min"):
        spindle_speed(bad, 25)


def test_absurd_diameter_names_the_limit() -> None:
    with pytest.raises(OutOfRange) as caught:
        spindle_speed(30, 3000)
    assert str(caught.value) == "work diameter 3000 mm: must be at most 1500 mm; nearest is 1500 mm"


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_what_is_no_number_is_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match="must be a finite number"):
        spindle_speed(30, bad)


def test_every_material_has_a_speed() -> None:
    assert all(tools_for(key) for key in materials())


def test_speed_rows_rise_and_name_known_materials_once() -> None:
    seen = set()
    for row in rows("surface_speeds.csv"):
        assert Fraction(row["low"]) <= Fraction(row["start"]) <= Fraction(row["high"]), row
        assert 2 * Fraction(row["start"]) <= Fraction(row["low"]) + Fraction(row["high"]), row
        assert material(row["material"]).key == row["material"]
        assert row["tool"] in {"hss", "cobalt", "carbide", "coated-carbide"}
        assert (row["material"], row["tool"]) not in seen
        seen.add((row["material"], row["tool"]))


def test_a_better_tool_is_never_slower() -> None:
    order = ("hss", "cobalt", "carbide", "coated-carbide")
    for key in materials():
        speeds = [
            starting_surface_speed(key, tool).start for tool in order if tool in tools_for(key)
        ]
        assert speeds == sorted(speeds), key


def test_no_operation_is_faster_than_turning() -> None:
    assert all(0 < Fraction(row["factor"]) <= 1 for row in rows("operations.csv"))


def test_a_fine_drill_gets_the_top_speed_though_it_would_like_more() -> None:
    choice = choose_setting((Fraction(800), Fraction(1600)), 17462, Fraction(1, 10))
    assert choice.speed == 1600
    assert choice.top_is_too_slow


@pytest.mark.parametrize("ideal", [0, -5, 8731877])
def test_an_absurd_ideal_is_refused(ideal: int) -> None:
    with pytest.raises(OutOfRange, match=rf"ideal spindle speed {ideal} turns/min: must be"):
        choose_setting((Fraction(800),), ideal, Fraction(1, 10))
