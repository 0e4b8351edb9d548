"""Warm work."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core.thermal import growth, size_at_reference, size_when_warm
from assistant.errors import OutOfRange
from tests.check_values import check_rows

sizes = st.floats(min_value=0.1, max_value=2000)
temperatures = st.floats(min_value=0, max_value=100)
coefficients = st.floats(min_value=0.1, max_value=200)


@pytest.mark.parametrize("row", check_rows("thermal.csv"))
def test_growth(row: dict[str, str]) -> None:
    size, temperature, coefficient = (float(row[name]) for name in ("size_mm", "deg_c", "um_m_k"))
    found = growth(size, temperature, coefficient)
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@settings(deadline=None)
@given(sizes, temperatures, coefficients)
def test_warm_and_cold_lead_back(size: float, temperature: float, coefficient: float) -> None:
    warm = size_when_warm(size, temperature, coefficient)
    assert size_at_reference(warm, temperature, coefficient) == pytest.approx(size)
    assert warm - size == pytest.approx(growth(size, temperature, coefficient), abs=1e-9)


@settings(deadline=None)
@given(sizes, st.floats(min_value=21, max_value=99), coefficients)
def test_warmer_work_is_larger(size: float, temperature: float, coefficient: float) -> None:
    warm = size_when_warm(size, temperature, coefficient)
    assert size < warm < size_when_warm(size, temperature + 1, coefficient)


def test_at_twenty_degrees_nothing_changes() -> None:
    assert size_at_reference(50, 20, 11.5) == 50


@pytest.mark.parametrize("temperature", [-1, 101, 600, float("nan")])
def test_temperatures_without_a_coefficient_are_refused(temperature: float) -> None:
    with pytest.raises(OutOfRange, match="holds from 0 to 100 degrees"):
        size_at_reference(50, temperature, 11.5)


@pytest.mark.parametrize("coefficient", [0, -1, 301])
def test_absurd_coefficients_are_refused(coefficient: float) -> None:
    with pytest.raises(OutOfRange, match="more than 0 and at most 300"):
        growth(50, 40, coefficient)


def test_a_size_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="size 0 mm"):
        growth(0, 40, 11.5)
