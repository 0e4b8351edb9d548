"""Every answer of every kind on every screen: whole, apart, inside, large enough, contrasting.

The contents are what the program answers, not chosen by hand: of every kind the longest one on each
lathe, in millimetres and inches. All of them are laid out on the screens with least room; the
longest of each kind on every screen; those with most of everything are drawn and looked at in pixels.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest

from display.contact_sheet import STANDS, Stand
from display.content import Content
from display.page import Page, Rect
from display.render import pages
from display.theme import LEAST_CONTRAST
from tests.display.answers import LATHES, contents, length, longest, outcomes
from tests.display.drawn import drawn
from tests.display.shapes import extent
from tests.display.sight import contrast
from tests.display.stands import SMALL
from tests.display.test_pages import letters, smallest_font

TIGHT = (SMALL, STANDS[3])
"""The least lines, and the least width."""


def laid_out(content: Content, stand: Stand) -> tuple[Page, ...]:
    return pages(content, stand.size, stand.distance, stand.screen_height, "listening")


def faults(content: Content, found: tuple[Page, ...], stand: Stand) -> list[str]:
    """What is wrong with the pages of a content; nothing where all is well."""
    screen = Rect(0, 0, *stand.size)
    least = smallest_font(stand) * 0.9999
    wrong = []
    told: Counter[str] = Counter()
    for number, page in enumerate(found, start=1):
        for words in page.words:
            told += letters(words.text)
            if words.size < least:
                wrong.append(f"page {number}: {words.text!r} is {words.size:g} px, under {least:g}")
            if not screen.contains(words.rect):
                wrong.append(f"page {number}: {words.text!r} is over the edge")
        for one, other in combinations(page.words, 2):
            if one.rect.overlaps(other.rect, 1.0):
                wrong.append(f"page {number}: {one.text!r} lies on {other.text!r}")
        wrong += [
            f"page {number}: a {shape.kind} is over the edge"
            for shape in page.shapes
            if not screen.contains(extent(shape), 2.0)
        ]
    lost = letters(_wanted(content)) - told
    return [*wrong, *([f"lost: {''.join(lost.elements())!r}"] if lost else [])]


def _wanted(content: Content) -> str:
    rows = "".join(row.label + row.text for row in content.rows)
    levers = "".join(step.lever + step.to for step in content.levers)
    return content.headline + rows + levers + "".join(content.cautions) + content.heard


def test_every_lathe_was_asked_in_both_units() -> None:
    asked = {place for place, _, _, _ in outcomes()}
    assert asked == {f"{lathe} {units}" for lathe in LATHES for units in ("mm", "inch")}
    assert len(contents()) > 60
    assert {"refused", "not-understood", "ask"} <= set(contents())


def test_the_sequences_are_among_the_answers() -> None:
    places = [shown.place for _, _, shown, _ in outcomes() if shown.place is not None]
    assert len({place.sequence for place in places}) > 2
    assert any(answer is not None and answer.ladder for _, _, _, answer in outcomes())


@pytest.mark.parametrize("stand", TIGHT, ids=lambda stand: stand.name)
def test_every_answer_is_whole_where_there_is_least_room(stand: Stand) -> None:
    wrong = [
        (kind, content.headline, fault)
        for kind, each in contents().items()
        for content in each
        for fault in faults(content, laid_out(content, stand), stand)
    ]
    assert wrong == []


@pytest.mark.parametrize("stand", STANDS[1:3], ids=lambda stand: stand.name)
def test_the_longest_of_each_kind_is_whole_on_every_screen(stand: Stand) -> None:
    wrong = [
        (kind, fault)
        for kind, content in longest().items()
        for fault in faults(content, laid_out(content, stand), stand)
    ]
    assert wrong == []


def test_the_pictures_of_answers_are_to_be_seen_where_there_is_room() -> None:
    """On the large screen no picture is left out: every answer that brings one shows it."""
    for kind, each in contents().items():
        for content in each:
            if content.pictures:
                found = laid_out(content, STANDS[2])
                roles = {words.role for page in found for words in page.words}
                assert roles & {"figure", "mark"}, (kind, content.headline)


def richest(count: int) -> list[tuple[str, Content]]:
    """The kinds with the most letters, and one of each make of picture."""
    by_length = sorted(longest().items(), key=lambda pair: -length(pair[1]))
    pictured = {
        tuple(type(picture).__name__ for picture in content.pictures): (kind, content)
        for kind, content in longest().items()
        if content.pictures
    }
    return list(dict([*by_length[:count], *pictured.values()]).items())


@pytest.mark.parametrize(
    ("stand", "scheme"),
    [(STANDS[0], "dark"), (STANDS[3], "light")],
    ids=lambda each: each if isinstance(each, str) else each.name,
)
def test_words_of_the_richest_answers_have_contrast_in_pixels(stand: Stand, scheme: str) -> None:
    for kind, content in richest(4):
        for page in laid_out(content, stand):
            for slot in drawn(page, stand, scheme).slots:
                assert slot.paper == slot.behind, (kind, slot)
                assert contrast(slot.ink, slot.paper) >= LEAST_CONTRAST, (kind, slot)


@pytest.mark.parametrize("stand", [STANDS[1], STANDS[2]], ids=lambda stand: stand.name)
def test_the_fullest_page_of_all_is_drawn_as_laid_out(stand: Stand) -> None:
    _, content = max(longest().items(), key=lambda pair: length(pair[1]))
    for page in laid_out(content, stand):
        picture = drawn(page, stand, "light")
        assert sorted((w.role, w.text) for w in page.words) == sorted(
            (slot.role, slot.text) for slot in picture.slots
        )
        for one, other in combinations(picture.slots, 2):
            assert not one.box.overlaps(other.box, 1.5), (one, other)
