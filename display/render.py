"""Pictures of the screen, drawn in memory: for README, the contact sheet and the tests."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.answer import Answer, Shown
from display.content import Content, of_outcome
from display.legibility import Legibility
from display.page import Page
from display.page import Sheet as Paper
from display.theme import SCHEMES
from display.window import KivyUnavailable, choose_offscreen

if TYPE_CHECKING:
    from display.sheet import Sheet

SETTLING_FRAMES = 3
"""Frames until a new window size and the words are drawn."""


@cache
def _sheet() -> Sheet:
    """The one sheet in the one window of this process."""
    choose_offscreen()
    from kivy.base import EventLoop, runTouchApp

    from display.sheet import Sheet

    sheet = Sheet()
    runTouchApp(sheet, embedded=True)
    if EventLoop.window is None:
        raise KivyUnavailable("no picture can be drawn on this computer")
    return sheet


def paper(size: tuple[int, int], distance: float, screen_height_mm: float) -> Paper:
    """A screen of `size` px and `screen_height_mm`, read from `distance` mm."""
    from display.typeface import measure

    return Paper(*size, Legibility(distance, screen_height_mm, size[1]), measure)


def pages(
    content: Content, size: tuple[int, int], distance: float, screen_height_mm: float, ear: str
) -> tuple[Page, ...]:
    """The pages of `content` on such a screen."""
    from display.layout import compose

    choose_offscreen()
    return compose(content, paper(size, distance, screen_height_mm), ear)


def lay_out(page: Page, size: tuple[int, int], scheme: str) -> Sheet:
    """`page` on the sheet in the window, `size` px, drawn."""
    sheet = _sheet()
    from kivy.base import EventLoop

    sheet.size_hint = (None, None)
    if tuple(sheet.size) != size:
        sheet.size = size
        for _ in range(SETTLING_FRAMES):
            EventLoop.idle()
    sheet.show(page, SCHEMES[scheme])
    for _ in range(SETTLING_FRAMES):
        EventLoop.idle()
    return sheet


def picture(page: Page, size: tuple[int, int], scheme: str, path: Path) -> Path:
    """Draw `page` into the PNG file `path`."""
    sheet = lay_out(page, size, scheme)
    path.parent.mkdir(parents=True, exist_ok=True)
    sheet.export_to_png(str(path))
    return path


def render(
    shown: Shown,
    answer: Answer | None,
    size: tuple[int, int],
    path: Path,
    distance: float,
    screen_height_mm: float,
    scheme: str = "dark",
    ear: str = "listening",
    page: int = 1,
) -> Path:
    """Draw page number `page` of an outcome into the PNG file `path`; opens no window on a desktop."""
    found = pages(of_outcome(shown, answer), size, distance, screen_height_mm, ear)
    return picture(found[page - 1], size, scheme, path)
