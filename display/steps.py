"""Pages of a step that is too much for one: the caution first, then what to do, then how."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from display.content import Content
from display.one_page import one_page
from display.page import Draft, Rect, Sheet
from display.turning import caution_pages, flagged, picture_pages, sentence_pages, turned_pages

LARGE: Final = 1.5
"""Least size of the headline beside pictures, over the smallest size."""


def step_pages(content: Content, first: Rect, later: Rect, sheet: Sheet) -> list[Draft]:
    """The pages of a step: no page shows what to do before all of the caution was shown."""
    pictures = content.pictures
    for kept in range(len(pictures), 0, -1):
        most = _with_pictures(content, kept, first, sheet)
        if most is not None:
            rest = replace(flagged(content), rows=(), levers=(), pictures=pictures[kept:])
            return [most, *picture_pages(_without_next(rest), later, sheet)]
    opening, left = _opening(content, first, later, sheet)
    rest = _without_next(flagged(left))
    if not (rest.rows or rest.levers or rest.pictures):
        return opening
    if sheet.measure(content.headline, sheet.font, True) > later.width:
        rest = replace(rest, headline="")
    return opening + turned_pages(rest, later, later, sheet)


def _without_next(content: Content) -> Content:
    """`content` without the following step, which was shown beside the action."""
    return replace(content, step=replace(content.step, following="")) if content.step else content


def _opening(
    content: Content, first: Rect, later: Rect, sheet: Sheet
) -> tuple[list[Draft], Content]:
    """Caution and action, with what fits beside them; and what is left to be shown.

    The levers to move come first, then pictures, if the headline stays large. Where caution and
    action are too much for a page they follow each other.
    """
    plain = replace(content, rows=())
    for tried, left in _less_and_less(plain, content):
        single = _with_pictures(tried, len(tried.pictures), first, sheet)
        if single is not None:
            return [single], left
    pages = [page for one in content.cautions for page in caution_pages(one, first, sheet)]
    for tried, left in _less_and_less(plain, content):
        action = _with_pictures(flagged(tried), len(tried.pictures), later, sheet)
        if action is not None:
            return [*pages, action], left
    pages += sentence_pages(content.headline, True, later, sheet)
    if content.following:
        pages += sentence_pages(content.following, False, later, sheet)
    return pages, content


def _less_and_less(plain: Content, content: Content) -> list[tuple[Content, Content]]:
    """`plain` with fewer and fewer levers and pictures, each with what is then left of `content`."""
    pictures = content.pictures
    found = []
    for levers in dict.fromkeys((content.levers, ())):
        for kept in range(len(pictures), -1, -1):
            left = replace(
                content, pictures=pictures[kept:], levers=() if levers else content.levers
            )
            found.append((replace(plain, levers=levers, pictures=pictures[:kept]), left))
    return found


def _with_pictures(content: Content, count: int, body: Rect, sheet: Sheet) -> Draft | None:
    """`content` with its first `count` pictures, if the headline stays large beside them."""
    tried = replace(content, pictures=content.pictures[:count])
    return one_page(tried, body, sheet, LARGE if count else 0.0)
