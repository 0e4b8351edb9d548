"""The finish that feed and nose radius leave."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.finish import (
    feed_for_ra,
    feed_for_rz,
    grade_of_ra,
    ra_of_grade,
    roughness_ra,
    roughness_ra_of_arc,
    roughness_rt,
    roughness_rt_of_arc,
)
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import rows
from tests.check_values import check_rows

noses = st.floats(0.1, 1.5)
shares = st.floats(0.02, 1)
FORMULAS = {
    "rt": roughness_rt,
    "rt_arc": roughness_rt_of_arc,
    "ra": roughness_ra,
    "ra_arc": roughness_ra_of_arc,
}


@pytest.mark.parametrize("row", check_rows("finish.csv"))
def test_roughness_agrees_with_the_outside_value(row: dict[str, str]) -> None:
    found = FORMULAS[row["quantity"]](float(row["feed"]), float(row["nose_radius"]))
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", check_rows("n_grades.csv"))
def test_grade_and_ra_agree_both_ways(row: dict[str, str]) -> None:
    assert ra_of_grade(row["grade"]) == Fraction(row["ra"])
    assert grade_of_ra(Fraction(row["ra"])) == row["grade"]


@given(noses, shares)
def test_feed_for_ra_is_there_and_back(nose: float, share: float) -> None:
    feed = nose * share
    assert feed_for_ra(roughness_ra(feed, nose), nose) == pytest.approx(feed)


@given(noses, shares)
def test_feed_for_rz_is_there_and_back(nose: float, share: float) -> None:
    feed = nose * share
    assert feed_for_rz(roughness_rt(feed, nose), nose) == pytest.approx(feed)


@given(noses, shares, shares)
def test_coarser_feed_leaves_a_coarser_finish(nose: float, one: float, other: float) -> None:
    fine, coarse = sorted((nose * one, nose * other))
    for formula in FORMULAS.values():
        assert formula(fine, nose) <= formula(coarse, nose) * (1 + 1e-9)


@given(noses, shares)
def test_parabola_is_close_below_the_arc(nose: float, share: float) -> None:
    parabola, arc = roughness_rt(nose * share, nose), roughness_rt_of_arc(nose * share, nose)
    assert parabola <= arc * (1 + 1e-9)
    assert arc <= parabola * 1.08


@given(noses, st.floats(0.1, 1))
def test_arc_formula_agrees_with_an_integral(nose: float, share: float) -> None:
    feed = nose * share
    edges = np.linspace(-feed / 2, feed / 2, 4001)
    middles = (edges[1:] + edges[:-1]) / 2
    heights = nose - np.sqrt(nose**2 - middles**2)
    ra = 1000 * float(np.mean(np.abs(heights - heights.mean())))
    assert roughness_ra_of_arc(feed, nose) == pytest.approx(ra, rel=1e-4)


@given(st.fractions(Fraction(1, 100), Fraction(50)))
def test_a_grade_is_never_coarser_than_the_surface(ra: Fraction) -> None:
    assert float(ra_of_grade(grade_of_ra(ra))) >= float(ra)


def test_grade_just_above_a_limit_is_the_next() -> None:
    assert (grade_of_ra(1.6), grade_of_ra(1.61)) == ("N7", "N8")


def test_feed_as_large_as_the_nose_is_answered_in_both_kinds_of_number() -> None:
    assert roughness_ra(0.4, Fraction(2, 5)) == roughness_ra(Fraction(2, 5), 0.4)


def test_grades_about_double() -> None:
    steps = [Fraction(row["ra"]) for row in rows("n_grades.csv")]
    assert all(Fraction(19, 10) < after / before <= 2 for before, after in pairwise(steps))


def test_grade_past_the_table_is_refused() -> None:
    with pytest.raises(NoSuchSize, match="grades go from N1 to N12"):
        ra_of_grade("N13")


def test_roughness_past_the_last_grade_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be at most 50 um"):
        grade_of_ra(51)


def test_feed_above_the_nose_is_refused() -> None:
    with pytest.raises(
        OutOfRange, match=r"known up to the nose radius, 0.4 mm; nearest is 0.4 mm/turn"
    ):
        roughness_ra(0.5, 0.4)


def test_roughness_that_needs_too_coarse_a_feed_is_refused() -> None:
    with pytest.raises(
        OutOfRange, match=r"with a nose of 0.4 mm the finish is known up to 12.83 um"
    ):
        feed_for_ra(25, 0.4)


@pytest.mark.parametrize("bad", [0, -1])
def test_zero_and_negative_inputs_are_refused(bad: int) -> None:
    with pytest.raises(OutOfRange, match=r"nose radius .* must be more than 0 mm"):
        roughness_ra(0.1, bad)
    with pytest.raises(OutOfRange, match=r"feed .* must be more than 0 mm/turn"):
        roughness_rt(bad, 0.4)
    with pytest.raises(OutOfRange, match=r"Ra .* must be more than 0 um"):
        feed_for_ra(bad, 0.4)
    with pytest.raises(OutOfRange, match=r"Rz .* must be more than 0 um"):
        feed_for_rz(bad, 0.4)


def test_absurd_nose_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be at most 10 mm"):
        feed_for_ra(1.6, 3000)
