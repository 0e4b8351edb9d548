"""Everything on one page: a column of words, and pictures beside or under it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import product
from typing import Final

from display.column import MESSAGE_RATIOS, RATIOS, STEP_RATIOS, draw_column, gap, set_column
from display.content import Content
from display.dial import Dial
from display.page import Draft, Rect, Sheet
from display.picture import Fonts, Picture
from display.typesetting import Measure

SCALES: Final = (2.4, 2.2, 2.0, 1.85, 1.7, 1.55, 1.4, 1.3, 1.2, 1.1, 1.0)
"""Sizes of the rows that are tried, over the smallest size."""
ALARM_SCALES: Final = (1.0,)
"""The same for an alarm, where the headline is everything."""
SHARES: Final = (0.46, 0.40, 0.34)
"""Of the width (of the height where they stand below) that one picture may take, tried in this order."""
ALONE: Final = (0.62, 0.54, *SHARES)
"""The same on a page without rows and levers, where the picture is what there is to see."""
ALONE_BELOW: Final = (0.78, 0.7, 0.6)
MORE: Final = 0.18
"""Further share for each picture beside the first one."""
LARGEST: Final = 2.4
"""Largest words on a picture over the smallest size."""


def one_page(content: Content, body: Rect, sheet: Sheet, least: float = 0.0) -> Draft | None:
    """All of `content` in `body` at the largest scale that fits, or None.

    A clearly larger headline comes before larger rows; the sign of a message goes last of all.

    least : of the headline, over the size of the rows
    """
    ratios = RATIOS.get(content.kind, MESSAGE_RATIOS)
    if content.step is not None:
        ratios = STEP_RATIOS
    scales = ALARM_SCALES if content.kind == "alarm" else SCALES
    for tried in content.ways():
        places = _arrangements(tried, body, sheet)
        drawn = [(column, _pictures(tried, boxes, sheet)) for column, boxes in places]
        readable = [(column, draft) for column, draft in drawn if draft is not None]
        enough = [ratio for ratio in ratios if ratio >= least]
        # What does not fit in the smallest size fits in no larger one: most ways end here.
        possible = [
            (room, draft)
            for room, draft in readable
            if enough and set_column(tried, room, scales[-1], enough[-1], sheet) is not None
        ]
        for ratio, (room, pictures) in product(enough, possible):
            if set_column(tried, room, scales[-1], ratio, sheet) is None:
                continue
            for scale in scales:
                column = set_column(tried, room, scale, ratio, sheet)
                if column is not None:
                    draft = Draft()
                    draft.add(pictures)
                    draw_column(column, room, sheet, draft)
                    return draft
    return None


def _arrangements(content: Content, body: Rect, sheet: Sheet) -> list[tuple[Rect, list[Rect]]]:
    """Where the column and the pictures may stand: side by side, or one above the other."""
    if not content.pictures:
        return [(body, [])]
    alone = not content.rows and not content.levers
    more = MORE * (len(content.pictures) - 1)
    shares = [min(0.75, share + more) for share in (ALONE if alone else SHARES)]
    lower = ALONE_BELOW if alone else SHARES
    if sheet.portrait:
        return [_below(content, body, share * sheet.height, sheet) for share in shares]
    found = [_beside(content, body, share * body.width, sheet) for share in shares]
    if alone or all(picture.wide for picture in content.pictures):
        found += [_below(content, body, share * body.height, sheet) for share in lower]
    return found


def _beside(content: Content, body: Rect, width: float, sheet: Sheet) -> tuple[Rect, list[Rect]]:
    """Pictures at the right, at most `width` px wide."""
    between = 2 * gap(sheet) * (len(content.pictures) - 1)
    width = min(width, body.height * sum(each.widest for each in content.pictures) + between)
    column = Rect(body.x, body.y, body.width - width - 2 * gap(sheet), body.height)
    zone = Rect(body.right - width, body.y, width, body.height)
    return column, _shared(content, zone, sheet)


def _below(content: Content, body: Rect, height: float, sheet: Sheet) -> tuple[Rect, list[Rect]]:
    """Pictures at the foot of the body, `height` px high."""
    column = Rect(body.x, body.y, body.width, body.height - height - gap(sheet))
    zone = Rect(body.x, body.bottom - height, body.width, height)
    return column, _shared(content, zone, sheet)


def _shared(content: Content, zone: Rect, sheet: Sheet) -> list[Rect]:
    """`zone` parted among the pictures by their weights."""
    weights = [picture.weight for picture in content.pictures]
    between = 2 * gap(sheet)
    room = zone.width - between * (len(weights) - 1)
    boxes, x = [], zone.x
    for weight in weights:
        width = room * weight / sum(weights)
        boxes.append(Rect(x, zone.y, width, zone.height))
        x += width + between
    return boxes


def _pictures(content: Content, boxes: list[Rect], sheet: Sheet) -> Draft | None:
    """A page with nothing but the pictures; None if one of them could not be read there."""
    draft = Draft()
    fonts = (sheet.font, LARGEST * sheet.font)
    for picture, box in zip(content.pictures, boxes, strict=True):
        found = _fitted(picture, box.width, box.height, fonts, sheet.measure)
        if found is None:
            return None
        draft.add(found, box.x, box.y)
    return draft


@lru_cache(maxsize=512)
def _fitted(
    picture: Picture, width: float, height: float, fonts: Fonts, measure: Measure
) -> Draft | None:
    """The picture in its box; the same box is tried again with other words beside it."""
    return picture.fitted(width, height, fonts, measure)


def pages_and_lacking(content: Content, drafts: Sequence[Draft]) -> tuple[int, int]:
    """How many of the pictures' kinds are on none of `drafts`, and how many drafts there are.

    The least of these is the best way to part a content: fewer pages never cost a picture.
    """
    roles = {words.role for draft in drafts for words in draft.words}
    wanted = {"mark" if isinstance(picture, Dial) else "figure" for picture in content.pictures}
    return len(wanted - roles), len(drafts)
