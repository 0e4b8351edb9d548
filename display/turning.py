"""Pages that turn: headline and caution stay, rows and pictures follow each other under them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Final

from display import levers, table
from display.band import Band, draw_band, draw_flag, flag_width, set_band
from display.column import gap, headline_in
from display.content import Content
from display.one_page import SCALES, one_page
from display.page import ROWS, Draft, Rect, Sheet
from display.table import Row, SetRow
from display.typesetting import Block, line_height, wrapped

HEADS: Final = (2.6, 2.2, 1.8, 1.5, 1.25, 1.0)
"""Sizes of the headline that are tried over turning pages, over the smallest size."""
HEAD_SHARE: Final = 0.5
"""Most of the height that the headline takes over turning rows."""
ON_THE_DIAL: Final = Row("", "Close the half-nut only on a lit mark", strong=False)
"""Said beside the dial where the rows stand on another page."""


@dataclass(frozen=True)
class Top:
    """What stands above the turning part."""

    headline: Block | None
    band: Band | None
    flagged: bool

    def height(self, sheet: Sheet) -> float:
        """With the gaps under its parts, px."""
        total = 0.0
        if self.headline is not None:
            total += self.headline.height + gap(sheet)
        if self.band is not None:
            total += self.band.height + gap(sheet)
        return total

    def draw(self, draft: Draft, body: Rect, sheet: Sheet) -> float:
        """Draw it from the top of `body`; returns where the rest begins."""
        y = body.y
        if self.headline is not None:
            draft.put("headline", self.headline, body.x, y)
            if self.flagged:
                draw_flag(draft, body.right, y + self.headline.height / 2, sheet)
            y += self.headline.height + gap(sheet)
        if self.band is not None:
            draw_band(draft, self.band, body, y, sheet)
            y += self.band.height + gap(sheet)
        return y


def turned_pages(content: Content, first: Rect, later: Rect, sheet: Sheet) -> list[Draft]:
    """The pages of `content` in the fewest that can be; `first` and `later` are the room on them."""
    bare = replace(content, marks=(), levers=())
    pictures = replace(content, rows=())
    if not content.marks and not content.levers:
        return _row_pages(bare, first, later, sheet)
    ways = []
    most = one_page(replace(content, marks=()), first, sheet) if content.marks else None
    if most is not None:
        ways.append([most, *_picture_pages(replace(pictures, levers=()), later, sheet)])
    ways.append(
        _row_pages(bare, first, later, sheet) + _picture_pages(pictures, later, sheet)
    )
    return min(ways, key=len)


def sentence_pages(text: str, bold: bool, body: Rect, sheet: Sheet) -> list[Draft]:
    """A sentence that is too long for its place, on pages of its own."""
    block = wrapped(text, sheet.font, bold, body.width, sheet.measure)
    most = max(1, int(body.height / line_height(sheet.font)))
    pages = []
    for at in range(0, len(block.lines), most):
        draft = Draft()
        part = replace(block, lines=block.lines[at : at + most])
        draft.put("headline" if bold else "note", part, body.x, body.y)
        pages.append(draft)
    return pages


def _picture_pages(content: Content, body: Rect, sheet: Sheet) -> list[Draft]:
    """Levers and dial, on one page if that can be."""
    together = _picture_page(content, body, sheet)
    if together is not None:
        return [together]
    pages: list[Draft] = []
    if content.levers:
        pages += _lever_pages(content, body, sheet)
    if content.marks:
        page = _picture_page(replace(content, levers=()), body, sheet)
        pages += [page] if page is not None else []
    return pages


def _picture_page(content: Content, body: Rect, sheet: Sheet) -> Draft | None:
    """One page with the pictures of `content`, the caution whole or as its sign."""
    rows = (ON_THE_DIAL,) if content.marks else ()
    shown = replace(content, rows=rows)
    return one_page(shown, body, sheet) or one_page(_flagged(shown), body, sheet)


def _flagged(content: Content) -> Content:
    """`content` with the sign of the caution in place of its words."""
    return replace(content, cautions=(), flagged=bool(content.cautions) or content.flagged)


def _lever_pages(content: Content, body: Rect, sheet: Sheet) -> list[Draft]:
    """The levers under the headline, in as few pages as can be and then as large as can be."""
    best: list[Draft] = []
    for head, scale in product(HEADS, SCALES):
        font = float(int(scale * sheet.font))
        if levers.width(content.levers, font, sheet.measure) > body.width:
            continue
        top = _top(_flagged(content), head, body, sheet)
        room = body.height - top.height(sheet)
        groups = levers.pages(content.levers, int(room / levers.line_pitch(font)))
        highest = max(levers.height(group, font) for group in groups)
        if highest > room or (best and len(groups) >= len(best)):
            continue
        best = []
        for group in groups:
            draft = Draft()
            y = top.draw(draft, body, sheet)
            draft.add(levers.picture(group, font, sheet.measure), body.x, y)
            best.append(draft)
    return best


def _row_pages(content: Content, first: Rect, later: Rect, sheet: Sheet) -> list[Draft]:
    """The rows over as many pages as it takes; the caution is whole on the first ones."""
    single = one_page(content, first, sheet)
    if single is not None:
        return [single]
    ways = [_turned_rows(content, first, later, sheet)]
    if content.cautions:
        opening = _opening(replace(content, rows=()), first, sheet)
        rest = _turned_rows(_flagged(content), later, later, sheet)
        ways.append(opening + rest if rest is not None else None)
    possible = [pages for pages in ways if pages is not None]
    if possible:
        return min(possible, key=len)
    return _as_sentences(content, first, later, sheet)


def _as_sentences(content: Content, first: Rect, later: Rect, sheet: Sheet) -> list[Draft]:
    """Caution, headline and rows each on pages of their own: the last resort on a small screen."""
    pages: list[Draft] = []
    for caution in content.cautions:
        pages += _caution_pages(caution, first, sheet)
    pages += sentence_pages(content.headline, True, first, sheet)
    rows = replace(content, headline="", cautions=())
    return pages + (_turned_rows(rows, later, later, sheet) or [])


def _opening(content: Content, body: Rect, sheet: Sheet) -> list[Draft]:
    """Headline and caution alone on a page."""
    single = one_page(content, body, sheet)
    if single is not None:
        return [single]
    top = _top(replace(content, cautions=()), 1.0, body, sheet)
    draft = Draft()
    top.draw(draft, body, sheet)
    cautions = [page for one in content.cautions for page in _caution_pages(one, body, sheet)]
    return [*cautions, draft]


def _caution_pages(caution: str, body: Rect, sheet: Sheet) -> list[Draft]:
    """A caution alone on the screen, over several pages only if it is longer than one."""
    band = set_band((caution,), body.width, sheet.font, sheet)
    pages: list[Draft] = []
    if band is None:
        return pages
    frame = band.height - band.block.height
    most = max(1, int((body.height - frame) / line_height(sheet.font)))
    for at in range(0, len(band.block.lines), most):
        block = replace(band.block, lines=band.block.lines[at : at + most])
        draft = Draft()
        draw_band(draft, Band(block, block.height + frame), body, body.y, sheet)
        pages.append(draft)
    return pages


def _top(content: Content, scale: float, body: Rect, sheet: Sheet) -> Top:
    """Headline of at most `scale` times the smallest size, and the caution in the smallest."""
    width = body.width - (flag_width(sheet) + gap(sheet) if content.flagged else 0.0)
    band = set_band(content.cautions, body.width, sheet.font, sheet)
    if not content.headline:
        return Top(None, band, content.flagged)
    height = scale * line_height(sheet.font)
    headline = headline_in(content, width, height, sheet)
    if headline is None:
        headline = wrapped(content.headline, sheet.font, True, width, sheet.measure)
    return Top(headline, band, content.flagged)


def _turned_rows(content: Content, first: Rect, later: Rect, sheet: Sheet) -> list[Draft] | None:
    """The rows under headline and caution, on the fewest pages; None where there is no room.

    Of as many pages the larger headline wins, and then the larger rows.
    """
    best: list[Draft] | None = None
    for head, scale in product(HEADS, SCALES):
        top = _top(content, head, first, sheet)
        if top.headline is not None and top.headline.height > HEAD_SHARE * first.height:
            continue
        rooms = [body.height - top.height(sheet) for body in (first, later)]
        font = float(int(scale * sheet.font))
        groups = _groups(content.rows, rooms, font, first.width, sheet)
        if groups is not None and (best is None or len(groups) < len(best)):
            best = _drawn(top, groups, (first, later), font, sheet)
    return best


def _groups(
    rows: Sequence[Row], rooms: Sequence[float], font: float, width: float, sheet: Sheet
) -> list[list[SetRow]] | None:
    """The rows of each page; None if not even one line fits."""
    if min(rooms) < 2 * line_height(font):
        return None
    found = table.set_rows(rows, width, font, sheet.measure)
    if font > sheet.font and not table.unbroken(rows, found):
        return None
    return table.split(found, rooms, font, ROWS)


def _drawn(
    top: Top,
    groups: Sequence[Sequence[SetRow]],
    bodies: tuple[Rect, Rect],
    font: float,
    sheet: Sheet,
) -> list[Draft]:
    pages = []
    for number, group in enumerate(groups):
        body = bodies[min(number, 1)]
        draft = Draft()
        y = top.draw(draft, body, sheet)
        draft.add(table.draw(group, body.width, font), body.x, y)
        pages.append(draft)
    return pages
