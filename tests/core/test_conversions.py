"""One unit into another, fractions of an inch, and angles."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from assistant.core.angles import decimal_degrees, degrees_minutes_seconds
from assistant.core.conversions import (
    LARGEST_NUMBER,
    convert,
    inches_of,
    nearest_inch_fraction,
    thou_of,
    unit_named,
    units,
)
from assistant.errors import NoSuchSize, OutOfRange
from assistant.units import inches, magnitude_in, quantity
from tests.check_values import check_rows

lengths = st.fractions(min_value=-10_000, max_value=10_000, max_denominator=10_000)
pairs = st.sampled_from(
    [
        (one.name, other.name)
        for one in units().values()
        for other in units().values()
        if one.kind == other.kind and "radian" not in (one.name, other.name)
    ]
)


@pytest.mark.parametrize("row", check_rows("conversions.csv"))
def test_conversion(row: dict[str, str]) -> None:
    found = convert(Fraction(row["number"]), row["unit"], row["into"])
    tolerance = float(row["tolerance"])
    if tolerance:
        assert float(found.number) == pytest.approx(float(row["expected"]), abs=tolerance)
    else:
        assert found.number == Fraction(row["expected"])
    assert found.exact is ("radian" not in (row["unit"], row["into"]))


@pytest.mark.parametrize("row", check_rows("inch_fractions.csv"))
def test_nearest_fraction_of_an_inch(row: dict[str, str]) -> None:
    found = nearest_inch_fraction(Fraction(row["length_mm"]), int(row["finest"]))
    assert found.inches == Fraction(row["expected"])
    assert found.error == Fraction(row["expected_error_mm"])


@pytest.mark.parametrize("row", check_rows("angles.csv"))
def test_decimal_degrees(row: dict[str, str]) -> None:
    found = decimal_degrees(int(row["degrees"]), int(row["minutes"]), int(row["seconds"]))
    tolerance = float(row["tolerance"])
    assert float(found) == pytest.approx(float(row["expected"]), abs=tolerance)


@settings(deadline=None)
@given(pairs, st.fractions(min_value=Fraction(1, 1000), max_value=10_000, max_denominator=1000))
def test_there_and_back_is_exact(pair: tuple[str, str], number: Fraction) -> None:
    there = convert(number, *pair).number
    assert type(there) is Fraction
    assume(there <= LARGEST_NUMBER)
    assert convert(there, pair[1], pair[0]).number == number


PINT_NAMES = {
    **{name: name for name in ("mm", "cm", "m", "um", "inch", "foot", "thou", "microinch")},
    **{name: name for name in ("Pa", "kPa", "MPa", "bar", "psi", "g", "kg", "tonne", "pound")},
    **{"ounce": "ounce", "N": "N", "kN": "kN", "kgf": "kgf", "lbf": "lbf", "W": "W", "kW": "kW"},
    **{"hp": "hp", "N*m": "N*m", "lbf*ft": "lbf*ft", "lbf*inch": "lbf*inch", "kgf*m": "kgf*m"},
    **{"ml": "ml", "litre": "litre", "cubic inch": "inch**3", "US gallon": "gallon"},
    **{"imperial gallon": "imperial_gallon", "m/min": "m/min", "ft/min": "ft/min"},
}


@settings(deadline=None)
@given(
    st.sampled_from(
        [
            (one, other)
            for one in PINT_NAMES
            for other in PINT_NAMES
            if units()[one].kind == units()[other].kind
        ]
    )
)
def test_factors_agree_with_the_registry_of_units(pair: tuple[str, str]) -> None:
    one, other = pair
    expected = magnitude_in(quantity(7, PINT_NAMES[one]), PINT_NAMES[other])
    assert float(convert(7, one, other).number) == pytest.approx(float(expected), rel=1e-12)


@settings(deadline=None)
@given(lengths)
def test_a_length_in_inches_and_thou_leads_back(length: Fraction) -> None:
    assert inches(inches_of(length)) == length
    assert thou_of(length) == 1000 * inches_of(length)


@settings(deadline=None)
@given(lengths, st.sampled_from([2, 4, 8, 16, 32, 64, 128]))
def test_the_fraction_is_within_half_of_the_finest(length: Fraction, finest: int) -> None:
    found = nearest_inch_fraction(length, finest)
    assert found.length - found.error == length
    assert abs(found.error) <= Fraction(127, 5) / finest / 2
    assert found.whole + found.remainder == found.inches
    assert finest % found.inches.denominator == 0


@settings(deadline=None)
@given(st.fractions(min_value=-360, max_value=360, max_denominator=100_000))
def test_degrees_minutes_seconds_lead_back(angle: Fraction) -> None:
    found = degrees_minutes_seconds(angle)
    assert found.decimal == angle
    assert 0 <= found.minutes < 60
    assert 0 <= found.seconds < 60


def test_rounding_to_minutes_carries_into_the_degrees() -> None:
    found = degrees_minutes_seconds(Fraction(19999, 10000), 60)
    assert (found.degrees, found.minutes, found.seconds) == (2, 0, 0)


@settings(deadline=None)
@given(pairs)
def test_more_stays_more(pair: tuple[str, str]) -> None:
    one, other = (float(convert(number, *pair).number) for number in (10, 11))
    turned = units()[pair[0]].inverse is not units()[pair[1]].inverse
    assert one > other if turned else one < other


def test_phrases_of_units_are_not_used_twice() -> None:
    phrases = [phrase for unit in units().values() for phrase in unit.spoken]
    assert len(set(phrases)) == len(phrases)
    assert unit_named("threads per inch").name == "1/inch"


@pytest.mark.parametrize(
    ("number", "unit", "into", "text"),
    [
        (1, "mm", "kg", r"cannot become a mass; length converts into mm, cm"),
        (0, "1/inch", "mm", "must be more than 0 1/inch"),
        (-4, "1/inch", "mm", "must be more than 0 1/inch"),
        (0, "mm", "1/inch", "must be more than 0 mm"),
        (-1, "ft/min", "m/min", "must be at least 0 ft/min"),
        (-300, "degC", "degF", r"must be at least -273\.15 degC"),
        (10**10, "mm", "inch", "must be at most 1000000000"),
    ],
)
def test_absurd_conversions_are_refused(number: int, unit: str, into: str, text: str) -> None:
    with pytest.raises(OutOfRange, match=text):
        convert(number, unit, into)


def test_a_unit_that_is_not_stored_brings_the_nearest() -> None:
    with pytest.raises(NoSuchSize, match="not in the table of units") as caught:
        convert(1, "inchs", "mm")
    assert caught.value.nearest is not None
    assert "inch" in caught.value.nearest


def test_a_fraction_that_is_on_no_rule_is_refused() -> None:
    with pytest.raises(OutOfRange, match="1/10: is not on a rule; nearest is 1/8"):
        nearest_inch_fraction(Fraction(10), 10)
    with pytest.raises(OutOfRange, match="at most"):
        nearest_inch_fraction(Fraction(10**10))


@pytest.mark.parametrize("parts", [(361, 0, 0), (-1, 0, 0), (1, 60, 0), (1, -1, 0), (1, 0, 60)])
def test_parts_of_an_angle_outside_their_range_are_refused(parts: tuple[int, int, int]) -> None:
    with pytest.raises(OutOfRange, match="must be from 0 to"):
        decimal_degrees(*parts)


def test_absurd_angles_are_refused() -> None:
    for angle in (361, float("nan"), float("inf")):
        with pytest.raises(OutOfRange, match="within 360 degrees"):
            degrees_minutes_seconds(angle)
    with pytest.raises(OutOfRange, match="rounding 0 seconds"):
        degrees_minutes_seconds(Fraction(1), 0)
