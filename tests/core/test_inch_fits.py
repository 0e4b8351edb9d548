"""Inch fits of ANSI B4.1."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core.fits import FitKind, fit, standard_tolerance
from assistant.core.inch_fits import inch_fit, inch_fit_classes
from assistant.errors import NoSuchSize, OutOfRange
from tests.check_values import check_rows

INCH = Fraction(127, 5)
THOU = INCH / 1000


@pytest.mark.parametrize("row", check_rows("inch_fits.csv"))
def test_clearances_are_those_that_the_standard_prints(row: dict[str, str]) -> None:
    found = inch_fit(Fraction(row["size_inch"]) * INCH, row["class"])
    assert found.clearance_min == Fraction(row["expected_min"]) * THOU
    assert found.clearance_max == Fraction(row["expected_max"]) * THOU


KINDS = {
    "RC": {FitKind.CLEARANCE},
    "LC": {FitKind.CLEARANCE},
    "LT": {FitKind.TRANSITION},
    "LN": {FitKind.INTERFERENCE, FitKind.TRANSITION},
    "FN": {FitKind.INTERFERENCE},
}


@settings(deadline=None)
@given(
    st.sampled_from(inch_fit_classes()),
    st.fractions(min_value=Fraction(1, 4), max_value=Fraction(985, 100), max_denominator=1000),
)
def test_limits_are_in_order_and_the_kind_is_that_of_the_class(name: str, size: Fraction) -> None:
    try:
        found = inch_fit(size * INCH, name)
    except OutOfRange:
        # FN3 begins at 0.95 inch; one row of LC6 is not certain and so not here.
        left_out = {"FN3": (0, Fraction(95, 100)), "LC6": (Fraction(197, 100), Fraction(315, 100))}
        over, up_to = left_out[name]
        assert over < size <= up_to
        return
    assert found.hole.lower_deviation == 0 < found.hole.upper_deviation
    assert found.shaft.lower_deviation < found.shaft.upper_deviation
    assert found.kind in KINDS[name[:2]]


COUNTERPARTS = {
    "RC2": ("H6", "g5"),
    "RC3": ("H7", "f6"),
    "RC4": ("H8", "f7"),
    "RC5": ("H8", "e7"),
    "RC6": ("H9", "e8"),
    "RC7": ("H9", "d8"),
    "RC8": ("H10", "c9"),
    "LC6": ("H9", "f8"),
    "LC7": ("H10", "e9"),
    "LC8": ("H10", "d9"),
    "LC9": ("H11", "c10"),
    "LT1": ("H7", "js6"),
    "LC1": ("H6", "h5"),
    "LC2": ("H7", "h6"),
    "LC3": ("H8", "h7"),
    "LC4": ("H10", "h9"),
    "LC5": ("H7", "g6"),
    "LT3": ("H7", "k6"),
    "LT4": ("H8", "k7"),
    "LT5": ("H7", "n6"),
    "LT6": ("H7", "n7"),
    "LN2": ("H7", "p6"),
    "LN3": ("H7", "r6"),
    "FN2": ("H7", "s6"),
    "FN3": ("H7", "t6"),
    "FN4": ("H7", "u6"),
    "FN5": ("H8", "x7"),
}
"""ISO zones that B4.1 names for each class."""


@pytest.mark.parametrize("name", COUNTERPARTS)
@pytest.mark.parametrize("size", [Fraction(1), Fraction(3, 2), Fraction(2), Fraction(3), 4, 6, 8])
def test_inch_fits_lie_close_to_their_iso_counterparts(name: str, size: Fraction) -> None:
    """The two standards differ by rounding and steps, so within a thou or a sixth; a slip shows."""
    if name == "LC6" and Fraction(197, 100) < size <= Fraction(315, 100):
        size = Fraction(4)  # the row between is not certain and left out
    ours = inch_fit(size * INCH, name)
    iso = fit(size * INCH, *COUNTERPARTS[name])
    for part in ("hole", "shaft"):
        for side in ("upper_deviation", "lower_deviation"):
            inch = float(getattr(getattr(ours, part), side) / THOU)
            metric = float(getattr(getattr(iso, part), side) / THOU)
            assert inch == pytest.approx(metric, rel=1 / 6, abs=0.5)


@pytest.mark.parametrize("name", ["RC10", "LC12", "LN1", "FN6", "XX3", ""])
def test_classes_that_are_not_stored_are_refused(name: str) -> None:
    with pytest.raises(NoSuchSize, match=r"not among the classes of ANSI B4\.1 that are stored"):
        inch_fit(INCH, name)


@pytest.mark.parametrize("inches", [0, -1, 10, Fraction(9851, 1000)])
def test_sizes_outside_the_table_are_refused(inches: Fraction) -> None:
    with pytest.raises(OutOfRange, match=r"more than 0 inch|goes from 0 to 9\.85 inch"):
        inch_fit(inches * INCH, "RC4")


@pytest.mark.parametrize(
    ("name", "size", "sentence"),
    [
        ("LC6", 2, r"table of LC6 has no certain row for over 1\.97 to 3\.15 inch"),
        ("RC8", 13, r"table of RC8 goes from 0 to 12\.41 inch; nearest is 12\.41 inch"),
        ("LT1", Fraction(1, 10), r"LT1 goes from 0\.12 to 9\.85 inch"),
    ],
)
def test_a_row_that_is_not_certain_is_refused(name: str, size: Fraction, sentence: str) -> None:
    with pytest.raises(OutOfRange, match=sentence):
        inch_fit(size * INCH, name)


GRADES = {
    "RC8": (10, 9),
    "RC9": (11, 10),
    "LC7": (10, 9),
    "LC9": (11, 10),
    "LC10": (12, 12),
    "LC11": (13, 13),
}
"""Tolerance grades of hole and shaft, ANSI B4.1 (the same numbers as ISO 286)."""


@pytest.mark.parametrize("name", GRADES)
@pytest.mark.parametrize("size", [Fraction(1, 2), Fraction(1), Fraction(3), 6, 9])
def test_loose_fits_have_their_grades(name: str, size: Fraction) -> None:
    ours, hole, shaft = inch_fit(size * INCH, name), *GRADES[name]
    for part, grade in ((ours.hole, hole), (ours.shaft, shaft)):
        zone = part.upper_deviation - part.lower_deviation
        assert float(zone) == pytest.approx(
            float(standard_tolerance(size * INCH, str(grade))[0]), rel=0.12
        )


def test_a_class_that_begins_higher_says_where() -> None:
    with pytest.raises(OutOfRange, match=r"LT3 goes from 0\.24 to 9\.85 inch"):
        inch_fit(Fraction(1, 8) * INCH, "LT3")
