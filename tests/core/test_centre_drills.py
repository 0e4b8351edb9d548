"""Centre drills and keyseats."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core.centre_drills import (
    SERIES,
    centre_depth,
    centre_drill_for,
    centre_drill_named,
    centre_drills,
)
from assistant.errors import NoSuchSize, OutOfRange
from tests.check_values import check_rows

INCH = Fraction(127, 5)


@pytest.mark.parametrize("row", check_rows("centre_drills.csv"))
def test_depth_of_the_cone(row: dict[str, str]) -> None:
    found = centre_depth(centre_drill_named(row["size"], "ISO"))
    assert found.cone == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("series", SERIES)
def test_rows_of_centre_drills_are_sound(series: str) -> None:
    drills = centre_drills(series)
    pilots = [drill.pilot for drill in drills]
    assert pilots == sorted(pilots)
    for drill in drills:
        assert drill.pilot < drill.countersink < drill.body
        assert 0 < drill.pilot_length_min <= drill.pilot_length_max
        assert drill.source


@settings(deadline=None)
@given(
    st.fractions(min_value=Fraction(477, 100), max_value=900, max_denominator=100),
    st.sampled_from(SERIES),
)
def test_larger_work_never_gets_a_smaller_centre(work: Fraction, series: str) -> None:
    first, second = centre_drill_for(work, series), centre_drill_for(work + 50, series)
    assert first.pilot <= second.pilot
    depth = centre_depth(first)
    assert depth.cone < depth.least <= depth.most


def test_one_inch_work_takes_a_number_four() -> None:
    """The textbook table gives number 4 for work from 1 to 1 1/2 inch, number 2 from 3/8 to 1/2."""
    assert centre_drill_for(INCH * Fraction(5, 4), "ASME").size == "4"
    assert centre_drill_for(INCH * Fraction(7, 16), "ASME").size == "2"


def test_a_countersink_beyond_pilot_or_body_is_refused() -> None:
    drill = centre_drill_named("2", "ISO")
    with pytest.raises(OutOfRange, match="from more than 2 to 5 mm"):
        centre_depth(drill, Fraction(2))
    with pytest.raises(OutOfRange, match="from more than 2 to 5 mm"):
        centre_depth(drill, Fraction(51, 10))


@pytest.mark.parametrize(
    ("work", "limit"),
    [(0, "more than 0"), (-5, "more than 0"), (4, "begins at"), (1001, "at most")],
)
def test_work_outside_the_table_is_refused(work: int, limit: str) -> None:
    with pytest.raises(OutOfRange, match=limit):
        centre_drill_for(work, "ISO")


def test_sizes_that_are_not_stored_are_refused() -> None:
    with pytest.raises(NoSuchSize, match=r"ISO centre drill '2\.2'"):
        centre_drill_named("2.2", "ISO")
    with pytest.raises(NoSuchSize, match="series of centre drills"):
        centre_drills("bell")
