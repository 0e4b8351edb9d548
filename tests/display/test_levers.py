"""The picture of the levers: the moves in their order, from where to where, and when."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.answer import Answer
from assistant.core.levers import Move, Setting, WhenToShift
from display.levers import (
    SHORT_WHEN,
    WHEN_WORDS,
    Step,
    arranged,
    as_row,
    line_pitch,
    lines,
    pages,
    picture,
    steps,
)
from display.page import LEVERS, Rect

MOVES = (
    Move("Range", "low", WhenToShift.STOPPED, "high"),
    Move("Collar", "green", WhenToShift.BY_HAND),
    Move("Feed box", "C", WhenToShift.SLOW, "A"),
)


def measure(text: str, size: float, bold: bool) -> float:
    return len(text) * size * (0.7 if bold else 0.6)


def step_lists(most: int = 8) -> st.SearchStrategy[list[Step]]:
    names = st.text("abcdefgh", min_size=1, max_size=10)
    one = st.tuples(names, st.none() | names, names, st.sampled_from(WhenToShift))
    return st.lists(one, min_size=1, max_size=most).map(
        lambda found: [Step(n, *each) for n, each in enumerate(found, start=1)]
    )


def test_moves_are_numbered_in_their_order() -> None:
    found = steps(Answer("speed", moves=MOVES))
    assert [(step.number, step.lever, step.start, step.to) for step in found] == [
        (1, "Range", "high", "low"),
        (2, "Collar", None, "green"),
        (3, "Feed box", "A", "C"),
    ]


def test_without_moves_the_settings_are_shown_unnumbered() -> None:
    setting = Setting(Fraction(380), {"Range": "low", "Step": "2"})
    found = steps(Answer("speed", settings={"spindle": setting}))
    assert [(step.number, step.lever, step.to) for step in found] == [
        (None, "Range", "low"),
        (None, "Step", "2"),
    ]


def test_an_answer_without_levers_has_no_picture() -> None:
    assert steps(Answer("convert")) == ()


@given(step_lists(20), st.integers(2, 12), st.booleans())
def test_pages_keep_order_and_lose_nothing(found: list[Step], most: int, inline: bool) -> None:
    groups = pages(found, most, inline)
    assert [step for group in groups for step in group] == found
    assert all(lines(group, inline) <= most and len(group) <= LEVERS for group in groups)


@given(step_lists())
def test_words_are_inside_the_picture_and_apart(found: list[Step]) -> None:
    arrangement = arranged(found, 5000, 20, measure)
    assert arrangement is not None
    draft = picture(arrangement, measure)
    frame = Rect(0, 0, arrangement.width, arrangement.height)
    for words in draft.words:
        assert frame.contains(words.rect), words
    for one, other in combinations(draft.words, 2):
        assert not one.rect.overlaps(other.rect)


@given(step_lists())
def test_every_lever_and_position_is_named_in_order(found: list[Step]) -> None:
    arrangement = arranged(found, 5000, 20, measure)
    assert arrangement is not None
    words = picture(arrangement, measure).words
    assert [w.text for w in words if w.role == "lever"] == [step.lever for step in found]
    assert [w.text for w in words if w.role == "to"] == [step.to for step in found]
    assert [w.text for w in words if w.role == "start"] == [s.start for s in found if s.start]


@given(step_lists(), st.booleans())
def test_when_comes_before_the_lever_that_it_holds_for(found: list[Step], wide: bool) -> None:
    narrow = max(150.0, arranged(found, 5000, 20, measure).width - 1)  # type: ignore[union-attr]
    arrangement = arranged(found, 5000 if wide else narrow, 20, measure)
    if arrangement is None:
        return
    words = SHORT_WHEN if arrangement.inline else WHEN_WORDS
    now = None
    told = []
    for word in picture(arrangement, measure).words:
        if word.role == "when":
            now = word.text
        if word.role == "lever":
            told.append(now)
    assert told == [words[step.when] for step in found]  # type: ignore[index]


def test_on_a_narrow_screen_when_is_a_heading() -> None:
    found = steps(Answer("speed", moves=MOVES))
    wide = arranged(found, 5000, 20, measure)
    assert wide is not None
    assert wide.inline
    narrow = arranged(found, wide.width - 1, 20, measure)
    assert narrow is not None
    assert not narrow.inline
    assert narrow.lines == 6


def test_too_narrow_is_no_picture() -> None:
    assert arranged(steps(Answer("speed", moves=MOVES)), 100, 20, measure) is None


def test_the_place_to_go_to_is_lit_and_the_start_is_not() -> None:
    arrangement = arranged(steps(Answer("speed", moves=MOVES)), 5000, 20, measure)
    assert arrangement is not None
    words = picture(arrangement, measure).words
    looks = {word.role: (word.bold, word.behind) for word in words}
    assert looks["to"] == (True, "accent")
    assert looks["start"] == (False, "ground")


@pytest.mark.parametrize("words", [WHEN_WORDS, SHORT_WHEN])
def test_every_time_to_shift_has_its_own_words(words: dict[WhenToShift, str]) -> None:
    assert set(words) == set(WhenToShift)
    assert len(set(words.values())) == len(words)


def test_signs_for_stopped_turning_and_either_differ() -> None:
    kinds = {}
    for when in WhenToShift:
        arrangement = arranged([Step(None, "A", None, "1", when)], 5000, 20, measure)
        assert arrangement is not None
        kinds[when] = picture(arrangement, measure).shapes[0].kind
    assert kinds[WhenToShift.STOPPED] == kinds[WhenToShift.BY_HAND] == "box"
    assert len({*kinds.values()}) == 3


def test_in_words_a_move_tells_start_end_and_when() -> None:
    row = as_row(steps(Answer("speed", moves=MOVES))[1])
    assert (row.label, row.text) == ("Collar", "green (stopped, chuck turned by hand)")


def test_a_line_holds_its_plate() -> None:
    arrangement = arranged(steps(Answer("speed", moves=MOVES)), 5000, 20, measure)
    assert arrangement is not None
    plates = [s for s in picture(arrangement, measure).shapes if s.kind == "pill"]
    assert max(plate.numbers[3] for plate in plates) <= line_pitch(20)


def test_on_a_wide_screen_every_lever_says_when() -> None:
    twice = [Step(n, "A", None, "1", WhenToShift.STOPPED) for n in (1, 2)]
    arrangement = arranged(twice, 5000, 20, measure)
    assert arrangement is not None
    words = picture(arrangement, measure).words
    assert [word.text for word in words if word.role == "when"] == ["stopped", "stopped"]
