"""Pages as drawn: the slots hold what the page says, and the pixels can be read."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import pytest

from display.contact_sheet import STANDS, THREAD_ANSWER, Stand
from display.page import Page, Rect
from display.render import pages, render
from display.signs import EAR_COLOURS
from display.theme import DARK, LEAST_CONTRAST, SCHEMES
from display.typeface import NAME, measure
from display.view import EAR_STATES
from tests.display.drawn import Drawn, drawn
from tests.display.sight import contrast
from tests.display.stands import EVERYTHING, FULLEST, RENDERED, SMALL
from tests.display.test_pages import smallest_font

on_every_stand = pytest.mark.parametrize("stand", STANDS, ids=lambda stand: stand.name)
contents = pytest.mark.parametrize("name", EVERYTHING)
rendered = pytest.mark.parametrize(
    ("name", "stand"),
    [(name, stand) for stand in STANDS for name in RENDERED[stand.name]],
    ids=lambda each: each if isinstance(each, str) else each.name,
)


def _where(stand: Stand) -> tuple[tuple[int, int], float, float]:
    return stand.size, stand.distance, stand.screen_height


@cache
def all_drawn(name: str, stand: Stand, scheme: str = "dark") -> list[tuple[Page, Drawn]]:
    found = pages(EVERYTHING[name], *_where(stand), "listening")
    return [(page, drawn(page, stand, scheme)) for page in found]


@rendered
def test_the_widgets_are_whole_apart_and_large_enough(name: str, stand: Stand) -> None:
    screen = Rect(0, 0, *stand.size)
    for page, picture in all_drawn(name, stand):
        assert sorted((w.role, w.text) for w in page.words) == sorted(
            (slot.role, slot.text) for slot in picture.slots
        )
        for slot in picture.slots:
            assert slot.size >= smallest_font(stand) * 0.9999
            assert screen.contains(slot.box), slot
            extents = [measure(line, slot.size, slot.bold) for line in slot.text.split("\n")]
            assert max(extents) <= slot.box.width + 1, slot
        for one, other in combinations(picture.slots, 2):
            assert not one.box.overlaps(other.box, 1.5), (one, other)


@rendered
def test_words_on_the_pixels_have_contrast(name: str, stand: Stand) -> None:
    for _, picture in all_drawn(name, stand):
        for slot in picture.slots:
            assert slot.paper == slot.behind, slot
            assert contrast(slot.ink, slot.paper) >= LEAST_CONTRAST, slot


@contents
def test_the_light_scheme_has_contrast_too(name: str) -> None:
    for _, picture in all_drawn(name, STANDS[0], "light"):
        for slot in picture.slots:
            assert slot.paper == slot.behind, slot
            assert contrast(slot.ink, slot.paper) >= LEAST_CONTRAST, slot


@on_every_stand
def test_no_ink_touches_the_edge_but_the_band_of_a_caution(stand: Stand) -> None:
    for _, picture in all_drawn("thread", stand):
        assert picture.edge <= {DARK.ground, DARK.caution}


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("ear", EAR_STATES)
def test_the_plate_of_the_ear_has_its_colour(ear: str, scheme: str) -> None:
    found = pages(EVERYTHING["speed"], *_where(STANDS[0]), ear)
    picture = drawn(found[0], STANDS[0], scheme)
    (slot,) = (slot for slot in picture.slots if slot.role == "ear")
    assert slot.text == ear
    assert slot.paper == slot.behind == SCHEMES[scheme].colour(EAR_COLOURS[ear][0])


def test_the_bold_typeface_is_bolder() -> None:
    assert measure("1234567890", 100, True) > measure("1234567890", 100, False) * 1.05


@pytest.mark.parametrize("bold", [True, False])
def test_all_figures_are_as_wide_as_each_other(bold: bool) -> None:
    assert len({measure(figure * 10, 100, bold) for figure in "0123456789"}) == 1


@pytest.mark.parametrize("text", ["×", "→", "°", "Ø", "·", "“", "”", "…", "µ", "±", "′", "½"])
@pytest.mark.parametrize("bold", [True, False])
def test_the_typeface_has_the_signs(text: str, bold: bool) -> None:
    """A missing sign is drawn as an empty box: compare with a code point that no face has."""
    from kivy.core.text import Label

    shapes = []
    for sign in (text, "\U000e0fff"):
        label = Label(text=sign, font_size=60, font_name=NAME, bold=bold)
        label.refresh()
        shapes.append(bytes(label.texture.pixels))
    assert shapes[0] != shapes[1]


def test_render_writes_a_picture_of_the_size(tmp_path) -> None:  # type: ignore[no-untyped-def]
    path = render(
        FULLEST, THREAD_ANSWER, SMALL.size, tmp_path / "a" / "b.png", SMALL.distance,
        SMALL.screen_height, "light", page=2,
    )  # fmt: skip
    data = path.read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert (int.from_bytes(data[16:20]), int.from_bytes(data[20:24])) == SMALL.size


def test_a_page_that_is_not_there_is_an_error(tmp_path) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(IndexError):
        render(FULLEST, None, SMALL.size, tmp_path / "x.png", *_where(SMALL)[1:], page=40)
