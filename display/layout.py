"""From content to pages: the largest sizes that fit on the fewest pages, and never one too small."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from display import levers
from display.column import gap
from display.content import Content
from display.foot import Foot, Told, set_foot
from display.one_page import one_page, pages_and_lacking
from display.page import Draft, Page, Rect, Sheet
from display.steps import LARGE, step_pages
from display.turning import sentence_pages, turned_pages
from display.view import EAR_STATES
from display.words import word

LINES_A_HEARD_LINE: Final = 6
"""Of so many lines on the screen one may go to what was heard."""
LEAST_BODY: Final = 3.4
"""Lines that the foot has to leave for the rest."""
USUAL_EARS: Final = EAR_STATES[:-1]
"""States of the ear that take the same room, so that a change moves nothing else."""


@dataclass(frozen=True)
class FootPlan:
    """How much the foot may take."""

    heard_lines: int
    """On the first page; on the others what was heard stands only where it costs no line."""
    with_place: bool


@dataclass(frozen=True)
class Bodies:
    """Pages without their feet."""

    plan: FootPlan
    drafts: tuple[Draft, ...]
    with_heard: int
    """So many of them, from the first, may tell what was heard; the rest are that itself."""


def compose(content: Content, sheet: Sheet, ear: str) -> tuple[Page, ...]:
    """All pages of `content`; one if it can be, and then without a page number.

    Where it takes several, a shorter foot is tried as well: what it leaves out goes to the last
    page. The fewest pages win, and of as many the fullest foot.
    """
    bodies = _bodies(content, sheet, USUAL_EARS[0] if ear in USUAL_EARS else ear)
    count = len(bodies.drafts)
    pages = []
    for number, body in enumerate(bodies.drafts, start=1):
        shown = content if number <= bodies.with_heard else replace(content, heard="")
        foot = _foot(shown, sheet, ear, bodies.plan, number, count)
        draft = Draft()
        draft.add(body)
        draft.add(foot.draft, sheet.margin, sheet.height - sheet.margin - foot.height)
        words, shapes = tuple(draft.words), tuple(draft.shapes)
        pages.append(Page(words, shapes, content.kind == "alarm", content.kind == "sleep"))
    return tuple(pages)


@lru_cache(maxsize=32)
def _bodies(content: Content, sheet: Sheet, ear: str) -> Bodies:
    """The pages without their feet; the same ones serve while only the ear changes."""
    content = _with_levers_that_fit(content, sheet)
    full = FootPlan(max(2, sheet.legibility.lines // LINES_A_HEARD_LINE), True)
    foot = _foot(content, sheet, ear, full, 1, 1)
    if not foot.left_out:
        large = LARGE if content.step is not None and content.pictures else 0.0
        draft = one_page(content, _body(foot, sheet), sheet, large)
        if draft is not None:
            return Bodies(full, (draft,), 1)
    plans = (full, FootPlan(0, True), FootPlan(0, False))
    roomy = [plan for plan in plans if _leaves_room(content, sheet, ear, plan)] or [plans[-1]]
    ways = (_several(content, sheet, ear, plan) for plan in roomy)
    return min(ways, key=lambda bodies: pages_and_lacking(content, bodies.drafts))


def _several(content: Content, sheet: Sheet, ear: str, plan: FootPlan) -> Bodies:
    """The pages of a content that is too much for one."""
    for widest in (8, 88):
        first = _foot(content, sheet, ear, plan, 1, widest)
        later = _foot(content, sheet, ear, plan, widest, widest)
        rects = (_body(first, sheet), _body(later, sheet))
        several = turned_pages if content.step is None else step_pages
        drafts = several(content, *rects, sheet)
        with_heard = len(drafts)
        if first.left_out:
            drafts += sentence_pages(first.left_out, False, rects[1], sheet)
        if len(drafts) <= widest:
            break
    return Bodies(plan, tuple(drafts), with_heard)


def _foot(
    content: Content, sheet: Sheet, ear: str, plan: FootPlan, number: int, count: int
) -> Foot:
    page = word("foot", "page", number=number, count=count) if count > 1 else ""
    told = Told(ear, content.heard, content.place, page)
    return set_foot(sheet, told, plan.heard_lines if number == 1 else 0, plan.with_place)


def _body(foot: Foot, sheet: Sheet) -> Rect:
    room = sheet.height - 2 * sheet.margin - foot.height - gap(sheet)
    return Rect(sheet.margin, sheet.margin, sheet.inner, room)


def _leaves_room(content: Content, sheet: Sheet, ear: str, plan: FootPlan) -> bool:
    feet = [_foot(content, sheet, ear, plan, number, 88) for number in (1, 88)]
    room = min(_body(foot, sheet).height for foot in feet)
    return room >= LEAST_BODY * sheet.legibility.line_height


def _with_levers_that_fit(content: Content, sheet: Sheet) -> Content:
    """`content`, with the levers as rows where their names are too long for the picture."""
    if not content.levers:
        return content
    if levers.arranged(content.levers, sheet.inner, sheet.font, sheet.measure) is not None:
        return content
    rows = tuple(levers.as_row(step) for step in content.levers)
    return replace(content, levers=(), rows=(*content.rows, *rows))
