"""Bolt circles, flats, balls and knurls."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core.balls import ball_diameter_at, ball_length, ball_steps
from assistant.core.bolt_circle import chord_between, circle_from_chord, hole_places
from assistant.core.keyseats import chord_height
from assistant.core.knurls import knurl_by_pitch, knurl_fit, knurl_named, knurls
from assistant.core.polygons import (
    across_corners,
    across_flats,
    flat_depth,
    flat_width,
    full_flat_depth,
    side_length,
)
from assistant.errors import NoSuchSize, OutOfRange
from tests.check_values import check_rows

WHAT: dict[str, Callable[..., float]] = {
    "chord": lambda size, holes: chord_between(size, int(holes)),
    "corners": lambda size, sides: across_corners(size, int(sides)),
    "flats": lambda size, sides: across_flats(size, int(sides)),
    "side": lambda size, sides: side_length(size, int(sides)),
    "flat_width": flat_width,
    "ball": ball_diameter_at,
    "ball_length": ball_length,
    "chord_height": chord_height,
}

diameters = st.fractions(min_value=1, max_value=500, max_denominator=100)
hole_counts = st.integers(2, 360)
even_sides = st.integers(2, 50).map(lambda half: 2 * half)


@pytest.mark.parametrize("row", check_rows("geometry.csv"))
def test_shop_geometry(row: dict[str, str]) -> None:
    found = WHAT[row["what"]](*(Fraction(part) for part in row["arguments"].split(";")))
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@settings(deadline=None)
@given(diameters, hole_counts, st.integers(-720, 720))
def test_holes_lie_on_the_circle_a_chord_apart(diameter: Fraction, holes: int, start: int) -> None:
    places = hole_places(diameter, holes, start)
    chord = chord_between(diameter, holes)
    assert len(places) == holes
    for one, following in zip(places, (*places[1:], places[0]), strict=True):
        assert math.hypot(one.x, one.y) == pytest.approx(float(diameter) / 2)
        assert math.hypot(one.x - following.x, one.y - following.y) == pytest.approx(chord)
    assert sum(hole.x for hole in places) == pytest.approx(0, abs=1e-9 * float(diameter) * holes)


@settings(deadline=None)
@given(diameters, hole_counts)
def test_chord_and_circle_lead_back(diameter: Fraction, holes: int) -> None:
    chord = chord_between(diameter, holes)
    assert circle_from_chord(chord, holes) == pytest.approx(float(diameter))
    assert chord_between(diameter, holes, holes - 1) == pytest.approx(chord)


def test_four_holes_lie_square_without_rounding() -> None:
    assert [(hole.x, hole.y) for hole in hole_places(100, 4)] == [
        (50.0, 0.0),
        (0.0, 50.0),
        (-50.0, 0.0),
        (0.0, -50.0),
    ]


@settings(deadline=None)
@given(diameters, even_sides)
def test_flats_and_corners_lead_back(size: Fraction, sides: int) -> None:
    corners = across_corners(size, sides)
    assert across_flats(corners, sides) == pytest.approx(float(size))
    assert corners > size
    assert full_flat_depth(corners, sides) == pytest.approx((corners - float(size)) / 2)
    assert flat_width(corners, full_flat_depth(corners, sides)) == pytest.approx(
        side_length(corners, sides), rel=1e-6
    )


@settings(deadline=None)
@given(diameters, st.integers(3, 99))
def test_more_flats_are_shallower_and_narrower(size: Fraction, sides: int) -> None:
    assert full_flat_depth(size, sides) > full_flat_depth(size, sides + 1)
    assert side_length(size, sides) > side_length(size, sides + 1)


def test_depth_of_a_flat_is_exact() -> None:
    assert flat_depth(20, 17) == Fraction(3, 2)
    assert type(flat_depth(20, 17)) is Fraction


@settings(deadline=None)
@given(diameters, st.integers(2, 100), st.sampled_from([0, Fraction(1, 3), Fraction(9, 10)]))
def test_no_step_of_a_ball_cuts_into_it(ball: Fraction, parts: int, neck: Fraction) -> None:
    steps = ball_steps(ball, ball / parts, neck * ball)
    start = Fraction(0)
    for one in steps:
        ends = [ball_diameter_at(ball, min(place, ball)) for place in (start, one.from_end)]
        assert one.diameter >= max(ends) - 1e-9
        assert one.diameter <= float(ball) + 1e-9
        assert one.depth == pytest.approx((float(ball) - one.diameter) / 2, abs=1e-9)
        start = one.from_end
    assert float(start) == pytest.approx(ball_length(ball, neck * ball))


@settings(deadline=None)
@given(diameters, st.sampled_from(knurls()))
def test_knurl_diameters_hold_whole_teeth_on_both_sides(diameter: Fraction, knurl: object) -> None:
    known = knurl_named(knurl.name)  # type: ignore[attr-defined]
    found = knurl_fit(known, diameter)
    assert found.below is not None
    assert found.below.teeth + 1 == found.above.teeth
    assert found.below.diameter <= diameter < found.above.diameter


@pytest.mark.parametrize(
    ("name", "teeth", "diameter"),
    [
        ("96 DP", 48, Fraction(127, 10)),
        ("64 DP", 32, Fraction(127, 10)),
        ("160 DP", 80, Fraction(127, 10)),
    ],
)
def test_half_inch_takes_whole_teeth_of_each_diametral_pitch(
    name: str, teeth: int, diameter: Fraction
) -> None:
    """ANSI B94.6: the diametral pitches were chosen so that fractional sizes track."""
    found = knurl_fit(knurl_named(name), diameter)
    assert found.below is not None
    assert (found.below.teeth, found.below.diameter) == (teeth, diameter)


def test_a_diamond_knurl_has_fewer_teeth_round_the_work() -> None:
    straight = knurl_by_pitch(Fraction(1))
    diamond = knurl_by_pitch(Fraction(1), 30)
    assert diamond.diameter_per_tooth * math.cos(math.pi / 6) == pytest.approx(
        straight.diameter_per_tooth
    )


@pytest.mark.parametrize("holes", [1, 0, -4, 361])
def test_absurd_numbers_of_holes_are_refused(holes: int) -> None:
    with pytest.raises(OutOfRange, match="a bolt circle has 2 to 360 holes"):
        hole_places(100, holes)


@pytest.mark.parametrize("size", [0, -10, math.inf, math.nan])
def test_sizes_of_nothing_are_refused(size: float) -> None:
    refused: list[Callable[[], object]] = [
        lambda: hole_places(size, 4),
        lambda: chord_between(size, 4),
        lambda: across_corners(size, 6),
        lambda: across_flats(size, 6),
        lambda: side_length(size, 6),
        lambda: flat_width(size, 1),
        lambda: ball_diameter_at(size, 0),
        lambda: ball_length(size, 0),
        lambda: knurl_fit(knurl_named("fine"), size),
        lambda: chord_height(size, 1),
    ]
    for ask in refused:
        with pytest.raises(OutOfRange, match="must be more than 0"):
            ask()


def test_odd_numbers_of_flats_have_no_size_across_flats() -> None:
    with pytest.raises(OutOfRange, match=r"only an even number of sides.*nearest is 6 sides"):
        across_corners(10, 5)
    with pytest.raises(OutOfRange, match="a polygon has 3 to 100 sides"):
        side_length(10, 2)


def test_what_lies_outside_the_round_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be larger than the size across flats 20 mm"):
        flat_depth(20, 20)
    with pytest.raises(OutOfRange, match="size across flats 0 mm"):
        flat_depth(20, 0)
    with pytest.raises(OutOfRange, match="at most 10 mm"):
        flat_width(20, 11)
    with pytest.raises(OutOfRange, match="from 0 to the ball's diameter 30 mm"):
        ball_diameter_at(30, 31)
    with pytest.raises(OutOfRange, match="less than the ball's diameter"):
        ball_length(30, 30)
    with pytest.raises(OutOfRange, match="at most half the ball, 15 mm"):
        ball_steps(30, Fraction(16))
    with pytest.raises(OutOfRange, match="at most 400"):
        ball_steps(30, Fraction(1, 100))
    with pytest.raises(OutOfRange, match="two of 6 holes are 1 to 5 apart"):
        chord_between(100, 6, 6)


def test_absurd_knurls_are_refused() -> None:
    with pytest.raises(NoSuchSize, match="no knurl of that name"):
        knurl_named("velvet")
    with pytest.raises(OutOfRange, match=r"from 0\.1 to 5 mm"):
        knurl_by_pitch(Fraction(0))
    with pytest.raises(OutOfRange, match="from 0 to 60 degrees"):
        knurl_by_pitch(Fraction(1), 75)
