"""The colours: readable, and told apart by every eye."""

from __future__ import annotations

import re
from itertools import combinations

import pytest

from display.signs import EAR_COLOURS
from display.theme import LEAST_CONTRAST, SCHEMES, channels, colours
from tests.display.sight import EYES, contrast, difference, lab, linear

WORDS = [
    ("ink", "ground"),
    ("quiet", "ground"),
    ("on_accent", "accent"),
    ("on_caution", "caution"),
    ("on_alarm", "alarm"),
    *((on, plate) for plate, on in EAR_COLOURS.values()),
]
"""Every colour that words have, and what lies behind them."""

PLATES = [plate for plate, _ in EAR_COLOURS.values()]
APART = 20.0
"""Least distance of colours that tell states apart; the eye sees about 2 side by side."""

schemes = pytest.mark.parametrize("scheme", SCHEMES.values(), ids=list(SCHEMES))
eyes = pytest.mark.parametrize("eye", EYES)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("#FFFFFF", "#101418", 18.5),
        ("#000000", "#FFC400", 13.1),
        ("#FFFFFF", "#FFC400", 1.6),
        ("#000000", "#FFFFFF", 21.0),
    ],
)
def test_the_sum_for_contrast_agrees_with_measured_figures(
    one: str, other: str, expected: float
) -> None:
    """Figures: the project's measured contrasts; black on white 21 : 1 by WCAG 2.1."""
    assert contrast(one, other) == pytest.approx(expected, abs=0.05)


def test_white_is_white_to_every_eye() -> None:
    for keeps in EYES.values():
        assert [sum(row) for row in keeps] == pytest.approx([1, 1, 1], abs=2e-4)


def test_the_sum_for_lightness_agrees_with_its_ends() -> None:
    assert lab(linear("#FFFFFF")) == pytest.approx([100, 0, 0], abs=1e-6)
    assert lab(linear("#000000")) == pytest.approx([0, 0, 0], abs=1e-6)


def test_red_and_green_of_equal_lightness_look_alike_without_green_cones() -> None:
    """The simulation does something: a pair that usual eyes tell apart at once."""
    assert difference("#C05000", "#788000", "usual") > 40
    assert difference("#C05000", "#788000", "deuteranopia") < 20


@schemes
@pytest.mark.parametrize(("words", "behind"), WORDS)
def test_words_have_contrast(scheme, words: str, behind: str) -> None:  # type: ignore[no-untyped-def]
    assert contrast(scheme.colour(words), scheme.colour(behind)) >= LEAST_CONTRAST


@schemes
def test_words_on_an_alarm_have_contrast(scheme) -> None:  # type: ignore[no-untyped-def]
    alarm = scheme.in_alarm()
    for words in ("ink", "quiet"):
        assert contrast(alarm.colour(words), alarm.ground) >= LEAST_CONTRAST


@schemes
def test_every_colour_of_words_is_in_the_list_above(scheme) -> None:  # type: ignore[no-untyped-def]
    named = {name for pair in WORDS for name in pair} | {"rule"}
    assert set(colours(scheme)) == named


@schemes
@eyes
def test_states_of_the_ear_differ_to_every_eye(scheme, eye: str) -> None:  # type: ignore[no-untyped-def]
    for one, other in combinations(PLATES, 2):
        apart = difference(scheme.colour(one), scheme.colour(other), eye)
        assert apart >= APART, (one, other)


@schemes
@eyes
@pytest.mark.parametrize(
    ("one", "other"),
    [("accent", "ground"), ("caution", "ground"), ("alarm", "ground"), ("caution", "alarm")],
)
def test_what_is_lit_differs_from_what_is_not(scheme, eye: str, one: str, other: str) -> None:  # type: ignore[no-untyped-def]
    assert difference(scheme.colour(one), scheme.colour(other), eye) >= APART


@schemes
@eyes
@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("accent", "rule"),
        ("quiet", "rule"),
        ("accent", "asleep"),
        ("ink", "asleep"),
        ("quiet", "ground"),
        ("rule", "ground"),
    ],
)
def test_parts_of_a_picture_differ_to_every_eye(scheme, eye: str, one: str, other: str) -> None:  # type: ignore[no-untyped-def]
    assert difference(scheme.colour(one), scheme.colour(other), eye) >= APART


@schemes
def test_colours_are_written_alike(scheme) -> None:  # type: ignore[no-untyped-def]
    assert all(re.fullmatch("#[0-9A-F]{6}", colour) for colour in colours(scheme).values())


def test_channels_go_from_none_to_all() -> None:
    assert channels("#00FF80") == pytest.approx((0, 1, 128 / 255))
