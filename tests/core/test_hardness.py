"""Hardness from one scale to another."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core.hardness import SCALES, convert_hardness
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import rows
from tests.check_values import check_rows

rockwell_c = st.fractions(min_value=20, max_value=59, max_denominator=20)


@pytest.mark.parametrize("row", check_rows("hardness.csv"))
def test_conversion_of_hardness(row: dict[str, str]) -> None:
    found = convert_hardness(Fraction(row["number"]), row["scale"], row["into"])
    expected = pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) + 1e-9)
    assert found.number == expected


@settings(deadline=None)
@given(rockwell_c, st.sampled_from(["HV", "HB"]))
def test_there_and_back(number: Fraction, scale: str) -> None:
    there = convert_hardness(number, "HRC", scale)
    back = convert_hardness(Fraction(there.number), scale, "HRC")
    assert back.number == pytest.approx(float(number))


@settings(deadline=None)
@given(rockwell_c, rockwell_c)
def test_harder_stays_harder(one: Fraction, other: Fraction) -> None:
    soft, hard = sorted((one, other))
    assert convert_hardness(soft, "HRC", "HV").number <= convert_hardness(hard, "HRC", "HV").number


@pytest.mark.parametrize("scale", ["B", "C"])
def test_every_column_of_the_table_rises(scale: str) -> None:
    for column in ("rockwell", "vickers", "brinell"):
        figures = [
            int(row[column])
            for row in rows("hardness_e140.csv")
            if row["rockwell_scale"] == scale and row[column]
        ]
        assert figures == sorted(set(figures))
        assert len(figures) >= 40


def test_where_two_tables_meet_both_figures_are_given() -> None:
    found = convert_hardness(239, "HV", "HB")
    assert (found.number, found.other) == (227, 239)
    assert convert_hardness(300, "HV", "HB").other is None


@pytest.mark.parametrize(
    ("number", "scale", "into", "text"),
    [
        (19, "HRC", "HV", "covers 20 to 68 HRC into HV; nearest is 20 HRC"),
        (69, "HRC", "HV", "covers 20 to 68 HRC into HV; nearest is 68 HRC"),
        (60, "HRC", "HB", "covers 20 to 59 HRC into HB; nearest is 59 HRC"),
        (54, "HRB", "HV", "covers 55 to 100 HRB into HV; nearest is 55 HRB"),
        (0, "HV", "HB", "covers 100 to 674 HV into HB"),
        (-5, "HB", "HV", "covers 100 to 634 HB into HV"),
        (98, "HRB", "HRC", "no table from Rockwell B straight to Rockwell C"),
        (50, "HRC", "HRC", "already on the Rockwell C scale"),
    ],
)
def test_hardness_outside_the_tables_is_refused(
    number: int, scale: str, into: str, text: str
) -> None:
    with pytest.raises(OutOfRange, match=text):
        convert_hardness(number, scale, into)


def test_scales_that_are_not_stored_are_refused() -> None:
    assert set(SCALES) == {"HRC", "HRB", "HV", "HB"}
    with pytest.raises(NoSuchSize, match="hardness scale 'HRA'"):
        convert_hardness(60, "HRA", "HV")
