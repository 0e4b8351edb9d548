"""Every page on every screen: nothing lost, nothing too small, nothing over the edge or overlapping."""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import combinations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from display.contact_sheet import STANDS, Stand
from display.content import KICKERS, Content
from display.levers import SHORT_WHEN, WHEN_WORDS
from display.page import Page, Rect
from display.render import pages
from display.table import Row
from display.view import EAR_STATES
from tests.display.stands import ALL_STANDS, EVERYTHING, SMALL

stands = pytest.mark.parametrize("stand", ALL_STANDS, ids=lambda stand: stand.name)
contents = pytest.mark.parametrize("name", EVERYTHING)


@cache
def laid_out(content: Content, stand: Stand, ear: str = "listening") -> tuple[Page, ...]:
    return pages(content, stand.size, stand.distance, stand.screen_height, ear)


def smallest_font(stand: Stand) -> float:
    """Font size in px whose capitals fill 20 minutes of arc, worked out here anew."""
    capital_mm = stand.distance * 0.0058178
    return capital_mm / 0.73 * stand.size[1] / stand.screen_height


def letters(text: str) -> Counter[str]:
    return Counter("".join(text.split()))


def said(found: tuple[Page, ...], *roles: str) -> str:
    return " ".join(words.text for page in found for words in page.words if words.role in roles)


@stands
@contents
def test_nothing_is_below_the_smallest_size(name: str, stand: Stand) -> None:
    for page in laid_out(EVERYTHING[name], stand):
        assert min(words.size for words in page.words) >= smallest_font(stand) * 0.9999


@stands
@contents
def test_nothing_is_over_the_edge(name: str, stand: Stand) -> None:
    screen = Rect(0, 0, *stand.size)
    for page in laid_out(EVERYTHING[name], stand):
        for words in page.words:
            assert screen.contains(words.rect), words


@stands
@contents
def test_no_words_overlap(name: str, stand: Stand) -> None:
    for page in laid_out(EVERYTHING[name], stand):
        for one, other in combinations(page.words, 2):
            assert not one.rect.overlaps(other.rect, 1.0), (one, other)


@stands
@contents
def test_words_stand_on_the_colour_that_they_name(name: str, stand: Stand) -> None:
    """A band of caution lies under its own words and under no others."""
    for page in laid_out(EVERYTHING[name], stand):
        bands = [
            Rect(*shape.numbers)
            for shape in page.shapes
            if shape.kind == "box" and shape.colour == "caution"
        ]
        for words in page.words:
            under = [band for band in bands if band.overlaps(words.rect, 1.0)]
            assert bool(under) == (words.role == "caution"), words
            assert all(band.contains(words.rect, 1.0) for band in under)


@stands
@contents
def test_nothing_is_lost(name: str, stand: Stand) -> None:
    content = EVERYTHING[name]
    found = laid_out(content, stand)
    everything = letters(said(found, *{words.role for page in found for words in page.words}))
    rows = "".join(row.label + row.text for row in content.rows)
    levers = "".join(step.lever + (step.start or "") + step.to for step in content.levers)
    wanted = content.headline + rows + "".join(content.cautions) + content.heard + content.place
    assert letters(wanted + levers) <= everything


@stands
@contents
def test_every_page_tells_the_ear(name: str, stand: Stand) -> None:
    for page in laid_out(EVERYTHING[name], stand):
        assert [words.text for words in page.words if words.role == "ear"] == ["listening"]


@stands
@contents
def test_pages_are_numbered_if_there_are_several(name: str, stand: Stand) -> None:
    found = laid_out(EVERYTHING[name], stand)
    numbers = [words.text for page in found for words in page.words if words.role == "page"]
    count = len(found)
    assert numbers == ([f"{n} of {count}" for n in range(1, count + 1)] if count > 1 else [])


@stands
@contents
def test_a_caution_is_whole_before_any_row_or_lever(name: str, stand: Stand) -> None:
    content = EVERYTHING[name]
    told = ""
    for page in laid_out(content, stand):
        caution = " ".join(words.text for words in page.words if words.role == "caution")
        told += caution
        if any(words.role in ("label", "value", "lever", "mark") for words in page.words):
            for sentence in content.cautions:
                assert letters(sentence) <= letters(told)
            tops = [words.rect.y for words in page.words if words.role in ("value", "lever")]
            if caution and tops:
                bottom = max(w.rect.bottom for w in page.words if w.role == "caution")
                assert bottom <= min(tops)


@stands
def test_a_caution_of_an_earlier_page_keeps_its_sign(stand: Stand) -> None:
    for page in laid_out(EVERYTHING["fullest-with-pictures"], stand):
        rows = any(words.role in ("value", "lever") for words in page.words)
        if rows and any(words.role == "headline" for words in page.words):
            assert any(shape.colour == "caution" for shape in page.shapes)


@stands
@contents
def test_a_caution_is_shown_only_where_there_is_one(name: str, stand: Stand) -> None:
    content = EVERYTHING[name]
    yellow = any(
        shape.colour == "caution" for page in laid_out(content, stand) for shape in page.shapes
    )
    assert yellow == bool(content.cautions)


@stands
@contents
def test_a_change_of_the_ear_moves_nothing_else(name: str, stand: Stand) -> None:
    content = EVERYTHING[name]
    still = []
    for ear in EAR_STATES[:-1]:
        found = laid_out(content, stand, ear)
        still.append([[w for w in page.words if w.role != "ear"] for page in found])
    assert all(words == still[0] for words in still)


@stands
def test_every_ear_has_its_own_word_shapes_and_colour(stand: Stand) -> None:
    seen = []
    for ear in EAR_STATES:
        (page,) = laid_out(Content("answered", "380 rpm"), stand, ear)
        (words,) = (words for words in page.words if words.role == "ear")
        _plate, *sign = page.shapes
        seen.append((words.text, words.behind, tuple((shape.kind, shape.colour) for shape in sign)))
    for part in range(3):
        assert len({each[part] for each in seen}) == len(EAR_STATES)


@pytest.mark.parametrize("stand", STANDS, ids=lambda stand: stand.name)
def test_a_short_answer_is_one_page_and_its_headline_leads(stand: Stand) -> None:
    (page,) = laid_out(EVERYTHING["speed"], stand)
    headline = next(words for words in page.words if words.role == "headline")
    others = max(words.size for words in page.words if words.role != "headline")
    assert headline.size >= 2.5 * others


@pytest.mark.parametrize("stand", STANDS, ids=lambda stand: stand.name)
def test_a_lone_headline_fills_the_width_or_the_height(stand: Stand) -> None:
    (page,) = laid_out(EVERYTHING["nothing-but-a-headline"], stand)
    headline = next(words for words in page.words if words.role == "headline")
    width, height = stand.size
    assert headline.rect.width >= 0.85 * width or headline.rect.height >= 0.55 * height


@stands
@pytest.mark.parametrize("name", ["alarm", "long-alarm"])
def test_an_alarm_is_all_red_and_its_first_words_are_the_order(name: str, stand: Stand) -> None:
    found = laid_out(EVERYTHING[name], stand)
    assert all(page.alarm for page in found)
    first = [words for words in found[0].words if words.role == "headline"]
    assert first
    assert EVERYTHING[name].headline.startswith(first[0].text.split("\n")[0])


@pytest.mark.parametrize("stand", [*STANDS, SMALL], ids=lambda stand: stand.name)
def test_an_alarm_is_whole_on_one_page(stand: Stand) -> None:
    assert len(laid_out(EVERYTHING["alarm"], stand)) == 1


@pytest.mark.parametrize("kind", KICKERS)
def test_each_message_has_its_word_and_its_own_sign(kind: str) -> None:
    (page,) = laid_out(Content(kind, "What to do"), STANDS[1])
    assert said((page,), "kicker") == KICKERS[kind]


def test_all_message_signs_differ() -> None:
    signs = set()
    for kind in KICKERS:
        (page,) = laid_out(Content(kind, "What to do"), STANDS[1])
        sign = [words.text for words in page.words if words.role == "sign"]
        signs.add((page.shapes[0].kind, page.shapes[0].colour, len(page.shapes), *sign))
    assert len(signs) == len(KICKERS)


@pytest.mark.parametrize("stand", STANDS, ids=lambda stand: stand.name)
def test_when_to_move_a_lever_stands_before_the_lever(stand: Stand) -> None:
    for page in laid_out(EVERYTHING["levers"], stand):
        order = [words.role for words in page.words if words.role in ("when", "lever")]
        assert order == [] or order[0] == "when"
        said_when = {words.text for words in page.words if words.role == "when"}
        assert said_when <= {*WHEN_WORDS.values(), *SHORT_WHEN.values()}


ACCEPTED = [stand for stand in ALL_STANDS if stand.name != "low-24in-5m"]
"""Where the live screen starts at all: on the other one it asks to be read from nearer by."""

words_of_any_length = st.text("abcdefghijkmnop 0123456789", min_size=1, max_size=30)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    headline=st.text("0123456789 rpmxM.-", min_size=1, max_size=20).filter(str.strip),
    rows=st.lists(st.tuples(words_of_any_length, words_of_any_length), max_size=7),
    cautions=st.lists(st.text("abcdef ghi", min_size=5, max_size=90).filter(str.strip), max_size=2),
    heard=st.text("abcdef ghi", max_size=90),
    stand=st.sampled_from(ACCEPTED),
)
def test_whatever_is_said_it_fits(
    headline: str,
    rows: list[tuple[str, str]],
    cautions: list[str],
    heard: str,
    stand: Stand,
) -> None:
    content = Content(
        "answered",
        " ".join(headline.split()),
        tuple(Row(" ".join(a.split()), " ".join(b.split())) for a, b in rows if b.strip()),
        tuple(" ".join(caution.split()) for caution in cautions),
        " ".join(heard.split()),
        "Heron · mm",
    )
    found = laid_out(content, stand)
    screen = Rect(0, 0, *stand.size)
    for page in found:
        assert min(words.size for words in page.words) >= smallest_font(stand) * 0.9999
        assert all(screen.contains(words.rect) for words in page.words)
        for one, other in combinations(page.words, 2):
            assert not one.rect.overlaps(other.rect, 1.0), (one, other)
    everything = letters(said(found, *{words.role for page in found for words in page.words}))
    wanted = content.headline + "".join(row.label + row.text for row in content.rows)
    assert letters(wanted + "".join(content.cautions) + content.heard) <= everything
