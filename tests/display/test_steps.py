"""A step of a sequence: the caution above what to do, the next step dimmed, one step at a time."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from assistant.answer import Answer, Line, Shown, ShownPlace
from display.contact_examples import (
    LEVER_MOVE,
    LEVER_STEP,
    LONG_STEP,
    PASS,
    PASS_STEP,
    STEP,
    VIEWS,
)
from display.contact_sheet import STANDS, Stand
from display.content import of_outcome
from display.page import Page, Words
from display.render import pages
from tests.display.stands import ALL_STANDS

STEPS = ("step", "long-step", "lever-step", "pass")
stands = pytest.mark.parametrize("stand", ALL_STANDS, ids=lambda stand: stand.name)
steps = pytest.mark.parametrize("name", STEPS)


@cache
def laid_out(name: str, stand: Stand) -> tuple[Page, ...]:
    return pages(VIEWS[name], stand.size, stand.distance, stand.screen_height, "listening")


def of(page: Page, role: str) -> list[Words]:
    return [words for words in page.words if words.role == role]


@stands
@steps
def test_the_caution_stands_above_what_to_do(name: str, stand: Stand) -> None:
    for page in laid_out(name, stand):
        for caution in of(page, "caution"):
            later = [w for role in ("headline", "value", "lever") for w in of(page, role)]
            assert all(caution.rect.bottom <= words.rect.y for words in later)


@stands
@steps
def test_no_page_tells_what_to_do_before_the_caution_was_told(name: str, stand: Stand) -> None:
    told = ""
    for page in laid_out(name, stand):
        told += " " + " ".join(words.text for words in of(page, "caution"))
        if of(page, "headline") or of(page, "value") or of(page, "lever"):
            for sentence in VIEWS[name].cautions:
                assert sentence.split() == " ".join(told.split()).split()[: len(sentence.split())]


@stands
@steps
def test_the_action_is_whole_and_large_enough(name: str, stand: Stand) -> None:
    action = " ".join(
        words.text for page in laid_out(name, stand) for words in of(page, "headline")
    )
    assert VIEWS[name].headline.split() == action.split()[: len(VIEWS[name].headline.split())]


@pytest.mark.parametrize("stand", STANDS, ids=lambda stand: stand.name)
def test_a_short_step_is_one_page_with_its_count(stand: Stand) -> None:
    (page,) = laid_out("step", stand)
    assert [words.text for words in of(page, "kicker")] == ["step 3 of 9"]


@pytest.mark.parametrize("stand", [STANDS[2], STANDS[3]], ids=lambda stand: stand.name)
def test_where_there_is_room_the_sequence_and_the_next_step_are_told_dimmed(stand: Stand) -> None:
    (page,) = laid_out("step", stand)
    (sequence,), (following,) = of(page, "sequence"), of(page, "following")
    assert sequence.text.split() == "mount work in the three-jaw chuck".split()
    assert following.text.split() == "then: tighten the jaws a second time".split()
    (headline,) = of(page, "headline")
    assert following.colour == sequence.colour == "quiet"
    assert following.rect.y >= headline.rect.bottom
    assert headline.colour == "ink"
    assert headline.size >= 1.5 * following.size


def test_a_pass_shows_its_ladder_and_the_dial_beside_the_reading() -> None:
    (page,) = laid_out("pass", STANDS[2])
    (headline,) = of(page, "headline")
    lit = [words.text for words in page.words if words.behind == "accent"]
    assert headline.text == "33"
    assert lit[0] == "33"
    assert set(lit[1:]) == {"1", "2", "3", "4"}
    assert headline.size >= 1.5 * min(words.size for words in page.words)


@stands
def test_every_picture_of_a_pass_is_on_some_page_once(stand: Stand) -> None:
    found = laid_out("pass", stand)
    ladders = [page for page in found if of(page, "figure")]
    dials = [page for page in found if of(page, "mark")]
    assert len(ladders) <= 1
    assert len(dials) <= 1
    if stand.name != "low-24in-5m":
        assert ladders
        assert dials


def test_the_pass_is_counted_once_on_a_page() -> None:
    """Where the step's own count says which pass it is, the ladder does not say it again."""
    for page in laid_out("pass", STANDS[2]):
        counts = [words.text for words in page.words if words.text.endswith("of 8")]
        assert counts == ["pass 4 of 8"]


def test_without_a_place_the_caution_stays_under_the_headline() -> None:
    shown = Shown("answered", "", "33", cautions=("Tool clear.",))
    found = pages(of_outcome(shown, None), *_where(STANDS[1]), "listening")
    (headline,), (caution,) = of(found[0], "headline"), of(found[0], "caution")
    assert caution.rect.y >= headline.rect.bottom


def test_the_last_step_has_no_next_one() -> None:
    place = ShownPlace("facing", "step 4 of 4")
    shown = Shown("answered", "", "Stop the spindle", place=place)
    found = pages(of_outcome(shown, Answer("x")), *_where(STANDS[1]), "listening")
    assert [of(page, "following") for page in found] == [[]]


def test_a_long_step_keeps_the_sign_of_its_caution_over_its_rows() -> None:
    found = laid_out("long-step", STANDS[1])
    rows = [page for page in found if of(page, "value")]
    assert rows
    for page in rows:
        assert of(page, "caution") or any(shape.colour == "caution" for shape in page.shapes)


def test_the_examples_are_what_they_say() -> None:
    assert len(LONG_STEP.headline) > 120
    assert STEP.place is not None
    assert PASS.ladder is not None
    assert PASS.ladder.readings[PASS.ladder.present] == PASS_STEP.headline


def _where(stand: Stand) -> tuple[tuple[int, int], float, float]:
    return stand.size, stand.distance, stand.screen_height


def test_a_lever_to_move_stands_beside_the_action_and_rows_may_wait() -> None:
    rows = tuple(Line(f"Row {number}", "as it stands") for number in range(5))
    content = of_outcome(replace(LEVER_STEP, rows=rows), LEVER_MOVE)
    found = pages(content, *_where(STANDS[1]), "listening")
    assert len(found) > 1
    assert [words.text for words in of(found[0], "lever")] == ["Range"]
    assert of(found[0], "value") == []
    assert len([words for page in found for words in of(page, "value")]) == 5
    assert len([words for page in found for words in of(page, "lever")]) == 1
