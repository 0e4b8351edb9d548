"""Reading distances and screens: the sums behind every size on the screen."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.errors import DeviceError, OutOfRange
from display.legibility import (
    CAPITAL,
    LINE,
    MM_PER_INCH,
    Legibility,
    capital_height,
    reading_distance,
    screen_diagonal,
    screen_height,
)
from tests.check_values import check_rows

ROWS = check_rows("legibility.csv")
CAPITALS = [row for row in ROWS if row.values[0]["kind"] == "capital"]
LINES = [row for row in ROWS if row.values[0]["kind"] == "lines"]

distances = st.floats(300, 20_000)
heights = st.floats(60, 3_000)
pixels = st.integers(240, 4320)


@pytest.mark.parametrize("row", CAPITALS)
def test_capital_height_at_twenty_minutes_of_arc(row: dict[str, str]) -> None:
    expected = pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))
    assert capital_height(float(row["distance"])) == expected


@pytest.mark.parametrize("row", LINES)
def test_lines_that_fit(row: dict[str, str]) -> None:
    height = screen_height(float(row["screen"]) * MM_PER_INCH, 1920, 1080)
    assert Legibility(float(row["distance"]), height, 1080).lines == int(row["expected"])


@given(distances, heights, pixels)
def test_capitals_on_the_screen_have_the_angle(distance: float, height: float, rows: int) -> None:
    font = Legibility(distance, height, rows).font_size
    capital_mm = font * CAPITAL * height / rows
    assert capital_mm == pytest.approx(capital_height(distance))


@given(distances, heights, pixels)
def test_lines_fit_and_one_more_would_not(distance: float, height: float, rows: int) -> None:
    legibility = Legibility(distance, height, rows)
    line = legibility.font_size * LINE
    assert legibility.lines * line <= rows * (1 + 1e-9)
    assert (legibility.lines + 1) * line > rows


@given(distances, heights, pixels)
def test_twice_as_far_is_twice_as_large(distance: float, height: float, rows: int) -> None:
    near, far = Legibility(distance, height, rows), Legibility(2 * distance, height, rows)
    assert far.font_size == pytest.approx(2 * near.font_size)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("4m", 4000),
        ("4 m", 4000),
        ("3.5M", 3500),
        ("80cm", 800),
        ("800 mm", 800),
        (".8 m", 800),
        ("13ft", 3962.4),
        ("100 in", 2540),
        ("100inch", 2540),
    ],
)
def test_a_reading_distance_is_understood(text: str, expected: float) -> None:
    assert reading_distance(text) == pytest.approx(expected)


def test_a_screen_is_told_by_its_diagonal() -> None:
    assert screen_diagonal("32in") == pytest.approx(812.8)


def test_an_upright_screen_is_higher_than_a_lying_one() -> None:
    lying, upright = screen_height(812.8, 1920, 1080), screen_height(812.8, 1080, 1920)
    assert upright / lying == pytest.approx(1920 / 1080)


@pytest.mark.parametrize("text", ["", "4", "m", "four m", "-4m", "4 furlongs", "4m 2cm", "1e3mm"])
def test_no_distance_is_refused_with_the_way_to_write_one(text: str) -> None:
    with pytest.raises(OutOfRange, match="write a number and mm, cm, m, in or ft") as caught:
        reading_distance(text)
    assert caught.value.quantity == "reading distance"


@pytest.mark.parametrize(
    ("text", "nearest"), [("0 m", "300 mm"), ("29.9cm", "300 mm"), ("20.1m", "20000 mm")]
)
def test_a_distance_outside_the_range_names_the_nearest(text: str, nearest: str) -> None:
    with pytest.raises(OutOfRange, match="must be 300 mm to 20000 mm") as caught:
        reading_distance(text)
    assert caught.value.nearest == nearest


@pytest.mark.parametrize("text", ["1in", "300in"])
def test_a_screen_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange, match="screen diagonal"):
        screen_diagonal(text)


def test_a_screen_too_low_says_how_near_it_must_stand() -> None:
    legibility = Legibility(5000, 298.9, 1080)
    with pytest.raises(DeviceError, match=r"too small to be read from 5 m: stand it within 4\.5 m"):
        legibility.require_enough(1920)


def test_a_screen_too_narrow_is_refused() -> None:
    with pytest.raises(DeviceError, match="too small"):
        Legibility(3000, 708, 1920).require_enough(480)


def test_standing_where_it_says_is_near_enough() -> None:
    Legibility(4500, 298.9, 1080).require_enough(1920)
