"""The picture of the thread dial: every mark in its place, lit if it serves, none touching."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.answer import Answer, Engage, Shown
from display.content import of_outcome
from display.dial import Dial, Mark, fitting_font, least_radius, picture, places, side
from display.page import MARKS, Shape


def measure(text: str, size: float, bold: bool) -> float:
    return len(text) * size * 0.7


FOUR: tuple[Mark, ...] = tuple((str(n + 1), Fraction(n, 4), n == 0) for n in range(4))
EIGHT: tuple[Mark, ...] = tuple(
    (str(n // 2 + 1) if n % 2 == 0 else "", Fraction(n, 8), n % 4 == 0) for n in range(8)
)

dials = st.integers(1, 16).flatmap(
    lambda count: st.tuples(
        *(
            st.tuples(
                st.sampled_from(["", "1", "7", "12", "A"]),
                st.just(Fraction(n, count)),
                st.booleans(),
            )
            for n in range(count)
        )
    )
)


def lit(found: list[Shape]) -> list[Shape]:
    return [shape for shape in found if shape.kind == "disc" and shape.colour == "accent"]


def test_marks_go_clockwise_from_the_top() -> None:
    found = places(FOUR, 100, 20, measure)
    corners = [(round(place.x), round(place.y)) for place in found]
    assert corners == [(0, -100), (100, 0), (0, 100), (-100, 0)]


@given(dials)
def test_every_mark_is_on_the_circle_at_its_turn(marks: tuple[Mark, ...]) -> None:
    for (label, position, safe), place in zip(marks, places(marks, 100, 20, measure), strict=True):
        assert math.hypot(place.x, place.y) == pytest.approx(100)
        turn = math.atan2(place.x, -place.y) / (2 * math.pi) % 1
        away = abs(turn - float(position))
        assert min(away, 1 - away) == pytest.approx(0, abs=1e-9)
        assert (place.label, place.safe) == (label, safe)


@given(dials, st.floats(10, 60))
def test_no_two_marks_touch(marks: tuple[Mark, ...], font: float) -> None:
    found = places(marks, least_radius(marks, font, measure), font, measure)
    for one, other in combinations(found, 2):
        assert math.hypot(one.x - other.x, one.y - other.y) >= one.radius + other.radius


@given(dials, st.floats(10, 60))
def test_everything_is_inside_the_square(marks: tuple[Mark, ...], font: float) -> None:
    square = side(marks, font, measure)
    draft = picture(marks, square + 1, (font, font), measure)
    assert draft is not None
    for words in draft.words:
        assert 0 <= words.rect.x <= words.rect.right <= square + 1
        assert 0 <= words.rect.y <= words.rect.bottom <= square + 1
    for shape in draft.shapes:
        if shape.kind in ("disc", "ring"):
            x, y, radius = shape.numbers
            assert min(x, y) - radius >= -0.5
            assert max(x, y) + radius <= square + 1.5


@given(dials)
def test_as_many_marks_are_lit_as_serve(marks: tuple[Mark, ...]) -> None:
    draft = picture(marks, 2000, (20, 20), measure)
    assert draft is not None
    assert len(lit(draft.shapes)) == sum(safe for _, _, safe in marks)


def test_a_lit_mark_differs_by_shape_and_by_colour() -> None:
    draft = picture(EIGHT, 600, (20, 20), measure)
    assert draft is not None
    words = {word.text: (word.bold, word.colour, word.behind) for word in draft.words}
    assert words == {
        "1": (True, "on_accent", "accent"),
        "2": (False, "quiet", "ground"),
        "3": (True, "on_accent", "accent"),
        "4": (False, "quiet", "ground"),
    }
    assert sum(shape.kind == "line" for shape in draft.shapes) == 4


def test_a_plain_line_that_serves_is_lit_without_a_label() -> None:
    draft = picture((("", Fraction(0), True), ("", Fraction(1, 2), False)), 600, (20, 20), measure)
    assert draft is not None
    assert draft.words == []
    assert len(lit(draft.shapes)) == 1


def test_labels_grow_with_the_square_up_to_the_limit() -> None:
    small, large = (fitting_font(EIGHT, square, (20, 40), measure) for square in (200, 2000))
    assert small is not None
    assert 20 <= small < 40
    assert large == 40


def test_a_dial_that_cannot_be_read_is_not_drawn() -> None:
    assert picture(EIGHT, side(EIGHT, 20, measure) - 1, (20, 40), measure) is None


def test_a_face_with_too_many_marks_is_not_drawn() -> None:
    many = tuple(("", Fraction(n, MARKS + 1), False) for n in range(MARKS + 1))
    assert picture(many, 5000, (20, 40), measure) is None


def test_no_marks_no_dial() -> None:
    assert picture((), 5000, (20, 40), measure) is None


def _content(engage: Engage):  # type: ignore[no-untyped-def]
    return of_outcome(Shown("answered", "", "13 per inch"), Answer("thread", engage=engage))


def test_no_dial_where_the_half_nut_stays_closed() -> None:
    assert _content(Engage(True, all_marks=FOUR)).pictures == ()


def test_no_dial_where_no_mark_serves() -> None:
    engage = Engage(False, all_marks=(("1", Fraction(0), False),))
    assert _content(engage).pictures == ()


def test_a_dial_where_a_mark_serves() -> None:
    assert _content(Engage(False, all_marks=FOUR)).pictures == (Dial(FOUR),)
