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
from display.one_page import SCALES, one_page, pages_and_lacking
from display.page import ROWS, Draft, Rect, Sheet
from display.table import Row, SetRow
from display.typesetting import Block, largest, line_height, wrapped

HEADS: Final = (2.6, 2.2, 1.8, 1.5, 1.25, 1.0)
"""Sizes of the headline that are tried over turning pages, over the smallest size."""
LEAST_HEAD_WITH_CAUTION: Final = 1.5
"""Size of the headline from which the caution may stay on every page, over the smallest size."""
HEAD_SHARE: Final = 0.5
"""Most of the height that the headline takes over turning rows."""
SENTENCE: Final = 1.7
"""Largest size of a sentence on a page of its own, over the smallest size."""


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
    bare = replace(content, pictures=(), levers=())
    pictures = replace(content, rows=())
    if not content.pictures and not content.levers:
        return _row_pages(bare, first, later, sheet)
    if not content.rows and not content.cautions:
        return picture_pages(pictures, later, sheet)
    ways = []
    for kept in reversed(range(len(content.pictures))):
        most = one_page(replace(content, pictures=content.pictures[:kept]), first, sheet)
        if most is not None:
            rest = replace(pictures, levers=(), pictures=content.pictures[kept:])
            ways.append([most, *picture_pages(rest, later, sheet)])
    ways.append(_row_pages(bare, first, later, sheet) + picture_pages(pictures, later, sheet))
    return min(ways, key=lambda drafts: pages_and_lacking(content, drafts))


def sentence_pages(text: str, bold: bool, body: Rect, sheet: Sheet) -> list[Draft]:
    """A sentence that is too long for its place, on a page of its own, or on several."""
    sizes = (sheet.font, SENTENCE * sheet.font)
    most = int(body.height / line_height(sheet.font))
    block = largest(text, bold, body.width, body.height, sizes, sheet.measure, most)
    if block is None:
        block = wrapped(text, sheet.font, bold, body.width, sheet.measure)
    pages = []
    for at in range(0, len(block.lines), most):
        draft = Draft()
        part = replace(block, lines=block.lines[at : at + most])
        draft.put("headline" if bold else "note", part, body.x, body.y)
        pages.append(draft)
    return pages


def picture_pages(content: Content, body: Rect, sheet: Sheet) -> list[Draft]:
    """Levers and pictures, on one page if that can be."""
    together = _picture_page(content, body, sheet)
    if together is not None:
        return [together]
    pages: list[Draft] = []
    if content.levers:
        pages += _lever_pages(content, body, sheet)
    bare = replace(content, levers=())
    shared = _picture_page(bare, body, sheet) if content.pictures and content.levers else None
    if shared is not None:
        return [*pages, shared]
    for picture in content.pictures:
        page = _picture_page(replace(bare, pictures=(picture,)), body, sheet)
        pages += [page] if page is not None else []
    return pages


def _picture_page(content: Content, body: Rect, sheet: Sheet) -> Draft | None:
    """One page with the pictures of `content`, the caution whole or as its sign."""
    rows = tuple(Row("", each.note, strong=False) for each in content.pictures if each.note)
    shown = replace(content, rows=rows)
    return one_page(shown, body, sheet) or one_page(flagged(shown), body, sheet)


def flagged(content: Content) -> Content:
    """`content` with the sign of the caution in place of its words."""
    return replace(content, cautions=(), flagged=bool(content.cautions) or content.flagged)


def _lever_pages(content: Content, body: Rect, sheet: Sheet) -> list[Draft]:
    """The levers under the headline, in as few pages as can be and then as large as can be."""
    best: list[Draft] = []
    bare = flagged(content)

    def parted(head: float, scale: float) -> tuple[Top, list[levers.Arrangement]]:
        top = _top(bare, head, body, sheet)
        room = body.height - top.height(sheet)
        font = float(int(scale * sheet.font))
        return top, _lever_groups(content.levers, room, font, body, sheet)

    fewest = len(parted(HEADS[-1], SCALES[-1])[1])
    for head, scale in product(HEADS, SCALES):
        top, groups = parted(head, scale)
        if groups and (not best or len(groups) < len(best)):
            best = [_lever_page(top, group, body, sheet) for group in groups]
            if len(best) <= fewest:
                return best
    if best:
        return best
    rows = tuple(levers.as_row(step) for step in content.levers)
    return _row_pages(flagged(replace(content, rows=rows, levers=())), body, body, sheet)


def _lever_groups(
    found: Sequence[levers.Step], room: float, font: float, body: Rect, sheet: Sheet
) -> list[levers.Arrangement]:
    """The levers of each page; empty if not even one fits."""
    whole = levers.arranged(found, body.width, font, sheet.measure)
    most = int(room / levers.line_pitch(font))
    if whole is None or most < 1:
        return []
    groups = []
    for steps in levers.pages(found, most, whole.inline):
        group = levers.arranged(steps, body.width, font, sheet.measure)
        if group is None or group.height > room:
            return []
        groups.append(group)
    return groups


def _lever_page(top: Top, group: levers.Arrangement, body: Rect, sheet: Sheet) -> Draft:
    draft = Draft()
    y = top.draw(draft, body, sheet)
    draft.add(levers.picture(group, sheet.measure), body.x, y)
    return draft


def _row_pages(content: Content, first: Rect, later: Rect, sheet: Sheet) -> list[Draft]:
    """The rows over as many pages as it takes; the caution is whole on the first ones."""
    single = one_page(content, first, sheet)
    if single is not None:
        return [single]
    throughout = _turned_rows(content, first, later, sheet)
    if not content.cautions:
        return throughout or _as_sentences(content, first, later, sheet)
    opening = _opening(replace(content, rows=()), first, sheet)
    most = _headline_size(opening[-1], sheet)
    rest = _turned_rows(flagged(content), later, later, sheet, most)
    if throughout is not None and (
        rest is None or _reads_better(throughout, opening + rest, sheet)
    ):
        return throughout
    if rest is not None:
        return opening + rest
    return _as_sentences(content, first, later, sheet)


def _reads_better(throughout: list[Draft], opened: list[Draft], sheet: Sheet) -> bool:
    """True if the caution should stay on every page: no more pages, and a headline large enough."""
    large = _headline_size(throughout[0], sheet) >= LEAST_HEAD_WITH_CAUTION
    return len(throughout) < len(opened) or (len(throughout) == len(opened) and large)


def _as_sentences(content: Content, first: Rect, later: Rect, sheet: Sheet) -> list[Draft]:
    """Caution, headline and rows each on pages of their own: the last resort on a small screen."""
    pages: list[Draft] = []
    for caution in content.cautions:
        pages += caution_pages(caution, first, sheet)
    pages += sentence_pages(content.headline, True, first, sheet)
    rows = _turned_rows(replace(content, headline="", cautions=()), later, later, sheet)
    if rows is None:
        raise ValueError("the screen is too low for a row")
    return pages + rows


def _opening(content: Content, body: Rect, sheet: Sheet) -> list[Draft]:
    """Headline and caution alone on a page; on a low screen the caution even without it."""
    single = one_page(content, body, sheet)
    if single is not None:
        return [single]
    top = _top(content, 1.0, body, sheet)
    if top.height(sheet) - gap(sheet) <= body.height:
        draft = Draft()
        top.draw(draft, body, sheet)
        return [draft]
    together = caution_pages("\n".join(content.cautions), body, sheet)
    if len(together) == 1:
        return together
    return [page for one in content.cautions for page in caution_pages(one, body, sheet)]


def caution_pages(caution: str, body: Rect, sheet: Sheet) -> list[Draft]:
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
    height = scale * line_height(sheet.font) + 0.5  # of rounding, so that pages keep one size
    headline = headline_in(content, width, height, sheet)
    if headline is None:
        headline = wrapped(content.headline, sheet.font, True, width, sheet.measure)
    return Top(headline, band, content.flagged)


def _headline_size(draft: Draft, sheet: Sheet) -> float:
    """Size of the headline over the smallest size; later pages do not show it larger."""
    sizes = [words.size for words in draft.words if words.role == "headline"]
    return max(sizes, default=HEADS[0] * sheet.font) / sheet.font


def _turned_rows(
    content: Content, first: Rect, later: Rect, sheet: Sheet, most: float = HEADS[0]
) -> list[Draft] | None:
    """The rows under headline and caution, on the fewest pages; None where there is no room.

    Of as many pages the larger headline wins, at most `most` times the smallest size, and then
    the larger rows.
    """
    best: list[Draft] | None = None
    heads = [most, *(head for head in HEADS if head < most)]

    def parted(head: float, font: float) -> tuple[Top, list[list[SetRow]] | None]:
        top = _top(content, head, first, sheet)
        if top.headline is not None and top.headline.height > HEAD_SHARE * first.height:
            return top, None
        rooms = [body.height - top.height(sheet) for body in (first, later)]
        return top, _groups(content.rows, rooms, font, first.width, sheet)

    fewest = len(parted(heads[-1], sheet.font)[1] or ())
    for head, scale in product(heads, SCALES):
        font = float(int(scale * sheet.font))
        top, groups = parted(head, font)
        if groups is not None and (best is None or len(groups) < len(best)):
            best = _drawn(top, groups, (first, later), font, sheet)
            if len(groups) <= fewest:
                break
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
