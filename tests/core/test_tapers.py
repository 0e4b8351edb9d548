"""Tapers by every statement and by name."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core.angles import decimal_degrees
from assistant.core.taper_names import NamedTaper, named_taper, named_tapers
from assistant.core.tapers import (
    Taper,
    attachment_offset,
    compound_indicator_reading,
    diameter_at,
    indicator_reading,
    length_between,
    sine_bar_height,
    tailstock_set_over,
    take_off_for_gap,
    taper_by_diameters,
    taper_by_foot,
    taper_by_half_angle,
    taper_by_included_angle,
    taper_by_ratio,
)
from assistant.errors import NoSuchSize, OutOfRange
from tests.check_values import check_rows

INCH = Fraction(127, 5)

lengths = st.fractions(min_value=Fraction(1, 100), max_value=2000, max_denominator=1000)
ratios = st.fractions(min_value=1, max_value=1000, max_denominator=100)


def figure(known: NamedTaper, what: str) -> float:
    """The figure that a row of tests/values/tapers.csv is about; an angle in seconds for dms."""
    sizes = {
        "large": known.large_diameter,
        "small": known.small_diameter,
        "length": known.length,
    }
    name, _, unit = what.rpartition("_")
    if unit in ("inch", "mm"):
        size = sizes[name]
        assert size is not None
        return float(size / INCH if unit == "inch" else size)
    if what == "half_angle_dms":
        return known.taper.half_angle * 3600
    return float(getattr(known.taper, what))


@pytest.mark.parametrize("row", check_rows("tapers.csv"))
def test_tapers_by_name(row: dict[str, str]) -> None:
    expected = row["expected"]
    if row["what"].endswith("dms"):
        degrees, minutes, seconds = (int(part) for part in expected.split())
        wanted = float(decimal_degrees(degrees, minutes, seconds) * 3600)
    else:
        wanted = float(Fraction(expected))
    found = figure(named_taper(row["name"]), row["what"])
    assert found == pytest.approx(wanted, abs=float(row["tolerance"]) + 1e-9)


@pytest.mark.parametrize("row", check_rows("set_over.csv"))
def test_set_over_of_the_tailstock(row: dict[str, str]) -> None:
    taper = taper_by_foot(Fraction(row["taper"].removeprefix("per foot ")))
    assert tailstock_set_over(taper, Fraction(row["overall_mm"])) == Fraction(row["expected"])


@pytest.mark.parametrize("known", named_tapers(), ids=lambda known: known.name)
def test_printed_ends_and_length_agree_with_the_printed_taper(known: NamedTaper) -> None:
    if known.large_diameter and known.small_diameter and known.length:
        made = taper_by_diameters(known.large_diameter, known.small_diameter, known.length)
        # The ends are printed to 0.0005 inch at worst.
        error = (made.per_length - known.taper.per_length) * known.length / INCH
        assert abs(error) < Fraction(5, 10000)
    assert known.source
    assert 0 < known.taper.half_angle < 15


def test_names_of_tapers_are_not_used_twice() -> None:
    assert len({known.name for known in named_tapers()}) == len(named_tapers())


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("Morse taper 3", "MT3"),
        ("mt 3", "MT3"),
        ("Morse No. 3", "MT3"),
        ("Brown and Sharpe 9", "B&S 9"),
        ("B & S 9", "B&S 9"),
        ("jarno 6", "Jarno 6"),
        ("JT 33", "JT33"),
        ("7/24 No 40", "7/24 40"),
    ],
)
def test_a_taper_answers_to_several_names(words: str, name: str) -> None:
    assert named_taper(words).name == name


@pytest.mark.parametrize(
    ("name", "nearest"),
    [("MT8", "MT0 to MT7"), ("jarno 21", "Jarno 2 to Jarno 20"), ("", None)],
)
def test_a_name_that_does_not_exist_brings_the_nearest(name: str, nearest: str | None) -> None:
    with pytest.raises(NoSuchSize, match="no taper of that name is stored") as caught:
        named_taper(name)
    assert caught.value.nearest == nearest


@settings(deadline=None)
@given(ratios)
def test_ratio_and_taper_per_foot_lead_back(ratio: Fraction) -> None:
    taper = taper_by_ratio(ratio)
    assert taper.ratio == ratio
    assert taper_by_foot(taper.per_foot) == taper
    assert type(taper.per_foot) is Fraction


@settings(deadline=None)
@given(st.floats(min_value=0.01, max_value=89))
def test_angles_lead_back(angle: float) -> None:
    assert taper_by_half_angle(angle).half_angle == pytest.approx(angle)
    assert taper_by_included_angle(angle).included_angle == pytest.approx(angle)
    assert taper_by_half_angle(angle).compound_from_cross_slide == pytest.approx(90 - angle)


@settings(deadline=None)
@given(lengths, lengths, ratios)
def test_two_diameters_lead_back(small: Fraction, length: Fraction, ratio: Fraction) -> None:
    taper = taper_by_ratio(ratio)
    large = diameter_at(taper, small, length, towards_large=True)
    assert taper_by_diameters(Fraction(large), small, length) == taper
    assert diameter_at(taper, Fraction(large), length) == small
    assert length_between(taper, Fraction(large), small) == length


@settings(deadline=None)
@given(lengths, lengths)
def test_the_longer_work_needs_more_set_over(first: Fraction, second: Fraction) -> None:
    taper = taper_by_ratio(20)
    short, long = sorted((first, second))
    assert tailstock_set_over(taper, short) <= tailstock_set_over(taper, long)


@settings(deadline=None)
@given(ratios, lengths)
def test_set_over_bar_and_indicator_share_the_change_of_radius(
    ratio: Fraction, length: Fraction
) -> None:
    taper = taper_by_ratio(max(ratio, Fraction(3)))
    radius = taper.per_length * length / 2
    assert tailstock_set_over(taper, length) == radius
    assert attachment_offset(taper, length) == radius
    assert indicator_reading(taper, length) == radius
    assert take_off_for_gap(taper, length) == 2 * radius
    # Along the slope it is the same triangle with the travel as its long side.
    assert 0 < compound_indicator_reading(taper, length) < float(radius)


def test_sine_bar_of_five_inches_at_thirty_degrees() -> None:
    assert sine_bar_height(30, 127) == pytest.approx(63.5)


def test_a_taper_pin_is_a_quarter_inch_to_the_foot() -> None:
    assert named_taper("inch taper pin").taper.ratio == 48


@pytest.mark.parametrize("angle", [0, -3, 90, 180, float("nan")])
def test_half_angles_outside_a_right_angle_are_refused(angle: float) -> None:
    with pytest.raises(OutOfRange, match="more than 0 and less than 90 degrees"):
        taper_by_half_angle(angle)


@pytest.mark.parametrize("angle", [0, -3, 180, 360])
def test_included_angles_outside_two_right_angles_are_refused(angle: float) -> None:
    with pytest.raises(OutOfRange, match="more than 0 and less than 180 degrees"):
        taper_by_included_angle(angle)


def test_absurd_sizes_are_refused() -> None:
    with pytest.raises(OutOfRange, match="must be larger than the small diameter 30 mm"):
        taper_by_diameters(30, 30, 50)
    with pytest.raises(OutOfRange, match="must be larger than the small diameter"):
        taper_by_diameters(20, 30, 50)
    with pytest.raises(OutOfRange, match="length of taper 0 mm"):
        taper_by_diameters(30, 20, 0)
    with pytest.raises(OutOfRange, match="small diameter -1 mm"):
        taper_by_diameters(30, -1, 10)
    with pytest.raises(OutOfRange, match="taper per foot 0 inch per foot"):
        taper_by_foot(Fraction(0))
    with pytest.raises(OutOfRange, match="ratio of taper 1 :"):
        taper_by_ratio(-20)
    with pytest.raises(OutOfRange, match="taper"):
        Taper(Fraction(0))


def test_a_steep_taper_is_not_set_over() -> None:
    with pytest.raises(OutOfRange, match="at most 10 degrees; nearest is the compound slide"):
        tailstock_set_over(taper_by_half_angle(11), 200)
    with pytest.raises(OutOfRange, match="length between centres 0 mm"):
        tailstock_set_over(taper_by_ratio(20), 0)


def test_past_the_point_of_a_cone_there_is_no_diameter() -> None:
    with pytest.raises(OutOfRange, match=r"comes to a point after 600\.00 mm"):
        diameter_at(taper_by_ratio(20), Fraction(30), Fraction(600))
    with pytest.raises(OutOfRange, match="must be 0 mm or more"):
        diameter_at(taper_by_ratio(20), Fraction(30), Fraction(-1))


@pytest.mark.parametrize("angle", [0, -1, 61])
def test_a_sine_bar_stops_at_sixty_degrees(angle: int) -> None:
    with pytest.raises(OutOfRange, match="from more than 0 to 60 degrees"):
        sine_bar_height(angle, 100)
