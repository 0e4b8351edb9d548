"""Bending of work and boring bars."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.deflection import (
    between_centres_deflection,
    cantilever_deflection,
    chuck_and_centre_deflection,
    modulus_of,
    second_moment,
    springing,
)
from assistant.errors import NoSuchSize, OutOfRange
from tests.check_values import check_rows

forces = st.floats(10, 1000)
lengths = st.floats(10, 200)
diameters = st.floats(20, 200)
places = st.floats(0.05, 0.95)


@pytest.mark.parametrize("row", check_rows("deflection.csv"))
def test_deflection_agrees_with_the_outside_value(row: dict[str, str]) -> None:
    names = ("force", "length", "modulus", "diameter", "bore")
    inputs = [float(row[name]) for name in names]
    position = float(row["position"]) if row["position"] else None
    found = {
        "cantilever": lambda: cantilever_deflection(*inputs),
        "centres": lambda: between_centres_deflection(*inputs, position=position),
        "chuck-centre": lambda: chuck_and_centre_deflection(*inputs, position=position),
    }[row["shape"]]()
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@given(forces, lengths, diameters)
def test_twice_the_length_bends_eight_times(force: float, length: float, diameter: float) -> None:
    one, two = (cantilever_deflection(force, span, 210, diameter) for span in (length, 2 * length))
    assert two == pytest.approx(8 * one)


@given(forces, lengths, diameters)
def test_twice_the_diameter_bends_a_sixteenth(force: float, length: float, diameter: float) -> None:
    one, two = (
        cantilever_deflection(force, length, 210, size) for size in (diameter, 2 * diameter)
    )
    assert one == pytest.approx(16 * two)


@given(forces, lengths, diameters, places)
def test_more_support_bends_less(
    force: float, length: float, diameter: float, share: float
) -> None:
    place = length * share
    free = cantilever_deflection(force, place, 210, diameter)
    centres = between_centres_deflection(force, length, 210, diameter, position=place)
    chuck = chuck_and_centre_deflection(force, length, 210, diameter, position=place)
    assert chuck < centres
    assert chuck < free


@given(forces, lengths, diameters, places)
def test_between_centres_both_ends_are_alike(
    force: float, length: float, diameter: float, share: float
) -> None:
    one, other = (
        between_centres_deflection(force, length, 210, diameter, position=length * part)
        for part in (share, 1 - share)
    )
    assert one == pytest.approx(other)


@given(forces, lengths, diameters, places)
def test_between_centres_the_middle_bends_most(
    force: float, length: float, diameter: float, share: float
) -> None:
    middle = between_centres_deflection(force, length, 210, diameter)
    there = between_centres_deflection(force, length, 210, diameter, position=length * share)
    assert there <= middle * (1 + 1e-9)


@given(diameters, st.floats(0, 0.95))
def test_a_bore_takes_stiffness_away(diameter: float, share: float) -> None:
    assert second_moment(diameter, diameter * share) <= second_moment(diameter)


@pytest.mark.parametrize(
    ("operation", "deflection", "caution"),
    [
        ("finish", 0.01, None),
        ("finish", 0.011, "work_springs"),
        ("rough", 0.1, None),
        ("rough", 0.11, "work_springs"),
    ],
)
def test_caution_begins_above_the_limit(
    operation: str, deflection: float, caution: str | None
) -> None:
    assert springing(deflection, operation).caution == caution


@pytest.mark.parametrize("bad", [-0.1, float("nan"), float("inf")])
def test_deflection_that_is_none_is_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match="must be at least 0 mm"):
        springing(bad, "finish")


def test_unknown_operation_is_refused() -> None:
    with pytest.raises(NoSuchSize, match="is none of finish, rough"):
        springing(0.1, "polish")


@pytest.mark.parametrize("key", ["zinc", "hardwood"])
def test_material_without_a_modulus_is_refused(key: str) -> None:
    with pytest.raises(OutOfRange, match="no one figure serves"):
        modulus_of(key)


@pytest.mark.parametrize("bad", [0, 400, -1, 401])
def test_tool_not_between_the_supports_is_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match="must lie between the supports, 0 and 400 mm"):
        between_centres_deflection(100, 400, 210, 20, position=bad)


@pytest.mark.parametrize("bad", [0, -1])
def test_zero_and_negative_inputs_are_refused(bad: int) -> None:
    with pytest.raises(OutOfRange, match=r"force .* must be more than 0 N"):
        cantilever_deflection(bad, 100, 210, 20)
    with pytest.raises(OutOfRange, match=r"length .* must be more than 0 mm"):
        cantilever_deflection(100, bad, 210, 20)
    with pytest.raises(OutOfRange, match=r"modulus of elasticity .* must be more than 0 GPa"):
        cantilever_deflection(100, 100, bad, 20)
    with pytest.raises(OutOfRange, match=r"work diameter .* must be more than 0 mm"):
        cantilever_deflection(100, 100, 210, bad)


def test_bending_beyond_a_stiff_beam_is_refused() -> None:
    with pytest.raises(OutOfRange, match="is over a tenth of the length 500 mm"):
        cantilever_deflection(1000, 500, 210, 12)


def test_bore_as_large_as_the_work_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be less than the outer diameter 20 mm"):
        second_moment(20, 20)


def test_absurd_diameter_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be at most 1500 mm"):
        cantilever_deflection(100, 100, 210, 3000)
