"""From content to pages: the largest sizes that fit on the fewest pages, and never one too small."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from display import levers
from display.column import gap
from display.content import Content
from display.foot import Foot, quoted, set_foot
from display.one_page import one_page
from display.page import Draft, Page, Rect, Sheet
from display.turning import sentence_pages, turned_pages

TALL_SCREEN: Final = 14
"""Lines from which on three of what was heard are shown in the foot, and not two."""


def compose(content: Content, sheet: Sheet, ear: str) -> tuple[Page, ...]:
    """All pages of `content`; one if it can be, and then without a page number."""
    content = _with_levers_that_fit(content, sheet)
    foot = _foot(content, sheet, ear, 1, 1)
    single = one_page(content, _body(foot, sheet), sheet) if foot.whole else None
    drafts = [single] if single is not None else _several(content, sheet, ear)
    pages = []
    for number, draft in enumerate(drafts, start=1):
        foot = _foot(content, sheet, ear, number, len(drafts))
        draft.add(foot.draft, sheet.margin, sheet.height - sheet.margin - foot.height)
        pages.append(Page(tuple(draft.words), tuple(draft.shapes), content.kind == "alarm"))
    return tuple(pages)


def _foot(content: Content, sheet: Sheet, ear: str, number: int, count: int) -> Foot:
    """The foot of page `number`; what was heard stands whole on the first, in one line on others."""
    page = f"{number} of {count}" if count > 1 else ""
    most = 3 if sheet.legibility.lines >= TALL_SCREEN else 2
    return set_foot(sheet, ear, content.heard, content.place, page, most if number == 1 else 1)


def _body(foot: Foot, sheet: Sheet) -> Rect:
    room = sheet.height - 2 * sheet.margin - foot.height - gap(sheet)
    return Rect(sheet.margin, sheet.margin, sheet.inner, room)


def _several(content: Content, sheet: Sheet, ear: str) -> list[Draft]:
    """The pages of a content that is too much for one; eight is the widest figure."""
    first = _foot(content, sheet, ear, 1, 8)
    later = _foot(content, sheet, ear, 8, 8)
    bodies = (_body(first, sheet), _body(later, sheet))
    found = turned_pages(content, *bodies, sheet)
    if not first.whole:
        found += sentence_pages(quoted(content.heard), False, bodies[1], sheet)
    return found


def _with_levers_that_fit(content: Content, sheet: Sheet) -> Content:
    """`content`, with the levers as rows where their names are too long for the picture."""
    if not content.levers:
        return content
    if levers.width(content.levers, sheet.font, sheet.measure) <= sheet.inner:
        return content
    rows = tuple(levers.as_row(step) for step in content.levers)
    return replace(content, levers=(), rows=(*content.rows, *rows))
