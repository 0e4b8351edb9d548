"""Breaking words into lines: nothing lost, nothing too wide, the largest size that fits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from display.typesetting import (
    GLUE,
    Block,
    balanced,
    font_sizes,
    glued,
    largest,
    line_height,
    phrased,
    whole,
    wrapped,
)


def measure(text: str, size: float, bold: bool) -> float:
    """A typeface in which every letter is six tenths of its size wide, bold seven."""
    return len(text) * size * (0.7 if bold else 0.6)


sentences = st.lists(st.text("abcxyz0189(),", min_size=1, max_size=14), max_size=12).map(" ".join)
widths = st.floats(30, 2000)


@given(sentences, widths)
def test_no_line_is_too_wide_and_nothing_is_lost(text: str, width: float) -> None:
    for way in (wrapped, balanced, phrased):
        block = way(text, 20, False, width, measure)
        assert "".join(block.text.split()) == "".join(text.split())
        assert block.width <= max(width, measure("x", 20, False))


@given(sentences, widths)
def test_balanced_lines_are_as_many_and_not_wider(text: str, width: float) -> None:
    plain = wrapped(text, 20, False, width, measure)
    even = balanced(text, 20, False, width, measure)
    assert len(even.lines) <= len(plain.lines)
    assert even.width <= plain.width


@given(sentences, widths)
def test_breaking_at_a_comma_costs_no_line(text: str, width: float) -> None:
    plain = wrapped(text, 20, False, width, measure)
    assert len(phrased(text, 20, False, width, measure).lines) <= len(plain.lines)


def test_a_figure_keeps_its_unit() -> None:
    block = wrapped("feed 0.12 mm/turn", 10, False, 6 * len("0.12 mm/turn"), measure)
    assert block.text == "feed\n0.12 mm/turn"


def test_a_figure_is_not_tied_to_an_ordinary_word() -> None:
    assert GLUE not in glued("nearest are M12 and M14")


def test_a_bracket_goes_to_the_next_line_whole() -> None:
    text = "101 m/min (330 ft/min)"
    block = phrased(text, 10, True, 7 * 16, measure)
    assert block.text == "101 m/min\n(330 ft/min)"


def test_a_list_is_broken_after_a_comma() -> None:
    block = phrased("range middle, collar green", 10, False, 6 * 20, measure)
    assert block.text == "range middle,\ncollar green"


def test_a_word_that_is_too_long_is_broken_inside_and_this_is_told() -> None:
    block = wrapped("thermohygrograph", 10, False, 60, measure)
    assert block.text == "thermohygr\nograph"
    assert not whole(block, "thermohygrograph")


def test_unbroken_words_are_told_too() -> None:
    assert whole(wrapped("one two three", 10, False, 60, measure), "one two three")


@given(
    st.text("0123456789 rpm", min_size=1, max_size=14).filter(str.strip),
    st.floats(100, 4000),
    st.floats(50, 2000),
)
def test_the_largest_size_fits_and_the_next_does_not(
    text: str, width: float, height: float
) -> None:
    text = " ".join(text.split())
    block = largest(text, True, width, height, (10, 5000), measure)
    if block is None:
        assert measure(text, 10, True) > width or line_height(10) > height
        return
    assert block.width <= width
    assert block.height <= height
    size = next(size for size in font_sizes(10, 9000) if size > block.size)
    assert size <= 1.06 * block.size or size == block.size + 1
    assert measure(text, size, True) > width or line_height(size) > height


def test_nothing_is_set_below_the_smallest_size() -> None:
    assert largest("1234567890", True, 69, 100, (10, 100), measure) is None


def test_a_headline_is_not_made_larger_by_breaking_a_word() -> None:
    block = largest("EMERGENCY STOP", True, 700, 1000, (10, 500), measure, most_lines=8)
    assert block is not None
    assert block.text.split() == ["EMERGENCY", "STOP"]


def test_a_block_is_as_high_as_its_lines() -> None:
    assert Block(("a", "b"), 100, False, 60).height == pytest.approx(234)
