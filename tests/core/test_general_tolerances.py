"""General tolerances of ISO 2768-1."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core.general_tolerances import (
    CLASSES,
    angle_tolerance,
    edge_tolerance,
    general_limits,
    general_tolerance,
)
from assistant.errors import NoSuchSize, OutOfRange
from tests.check_values import check_rows

KINDS = {"length": general_tolerance, "edge": edge_tolerance, "angle": angle_tolerance}


@pytest.mark.parametrize("row", check_rows("general_tolerances.csv"))
def test_general_tolerance(row: dict[str, str]) -> None:
    found = KINDS[row["what"]](Fraction(row["size_mm"]), row["class"])
    assert found.plus_minus == Fraction(row["expected"])


@settings(deadline=None)
@given(
    st.fractions(min_value=4, max_value=2000, max_denominator=100),
    st.sampled_from(["fm", "mc", "cv"]),
)
def test_a_coarser_class_is_wider(size: Fraction, pair: str) -> None:
    fine, coarse = pair
    assert general_tolerance(size, fine).plus_minus < general_tolerance(size, coarse).plus_minus
    limits = general_limits(size, fine)
    assert limits.minimum < size < limits.maximum
    assert limits.middle == size


@settings(deadline=None)
@given(st.integers(4, 1999), st.sampled_from(list(CLASSES)))
def test_a_longer_dimension_never_has_less_and_an_angle_never_more(size: int, name: str) -> None:
    assert general_tolerance(size, name).plus_minus <= general_tolerance(size + 1, name).plus_minus
    assert angle_tolerance(size, name).plus_minus >= angle_tolerance(size + 1, name).plus_minus


@pytest.mark.parametrize(
    ("size", "name", "limit"),
    [
        (Fraction(49, 100), "f", r"begins at 0\.5 mm; nearest is 0\.5 mm"),
        (3, "v", "begins at 3 mm; nearest is just over 3 mm"),
        (2001, "f", "ends at 2000 mm"),
        (4001, "m", "ends at 4000 mm"),
        (0, "m", "more than 0 mm"),
        (-3, "m", "more than 0 mm"),
    ],
)
def test_lengths_outside_the_table_are_refused(size: Fraction, name: str, limit: str) -> None:
    with pytest.raises(OutOfRange, match=limit):
        general_tolerance(size, name)


@pytest.mark.parametrize("name", ["k", "", "fine", "F"])
def test_other_classes_are_refused(name: str) -> None:
    with pytest.raises(NoSuchSize, match="no such class"):
        general_tolerance(20, name)


def test_an_angle_needs_a_leg() -> None:
    with pytest.raises(OutOfRange, match="more than 0 mm"):
        angle_tolerance(0, "m")
