"""Everything on one page: a column of words, and the thread dial beside or under it."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Final

from display import dial
from display.column import MESSAGE_RATIOS, RATIOS, draw_column, gap, set_column
from display.content import Content
from display.page import Draft, Rect, Sheet

SCALES: Final = (2.4, 2.2, 2.0, 1.85, 1.7, 1.55, 1.4, 1.3, 1.2, 1.1, 1.0)
"""Sizes of the rows that are tried, over the smallest size."""
ALARM_SCALES: Final = (1.0,)
"""The same for an alarm, where the headline is everything."""
DIAL_SHARES: Final = (0.46, 0.40, 0.34)
"""Of the width (of the height on an upright screen) that the dial may take, tried in this order."""
DIAL_FONTS: Final = 2.4
"""Largest figures on the dial over the smallest size."""


def one_page(content: Content, body: Rect, sheet: Sheet) -> Draft | None:
    """All of `content` in `body` at the largest scale that fits, or None.

    A clearly larger headline comes before larger rows; the sign of a message goes last of all.
    """
    ratios = RATIOS.get(content.kind, MESSAGE_RATIOS)
    scales = ALARM_SCALES if content.kind == "alarm" else SCALES
    for signed in (True, False) if content.message else (True,):
        tried = replace(content, signed=signed)
        for ratio, place in product(ratios, _arrangements(tried, body, sheet)):
            dial_draft = _dial(tried, place[1], sheet)
            if dial_draft is None:
                continue
            for scale in scales:
                column = set_column(tried, place[0], scale, ratio, sheet)
                if column is not None:
                    draw_column(column, place[0], sheet, dial_draft)
                    return dial_draft
    return None


def _arrangements(content: Content, body: Rect, sheet: Sheet) -> list[tuple[Rect, Rect | None]]:
    """Where the column and the dial may stand: side by side, or one above the other."""
    if not content.marks:
        return [(body, None)]
    found: list[tuple[Rect, Rect | None]] = []
    for share in DIAL_SHARES:
        if sheet.portrait:
            side = min(share * sheet.height, body.width)
            top = body.bottom - side
            square = Rect(body.x + (body.width - side) / 2, top, side, side)
            column = Rect(body.x, body.y, body.width, body.height - side - gap(sheet))
        else:
            side = min(share * body.width, body.height)
            square = Rect(body.right - side, body.y + (body.height - side) / 2, side, side)
            column = Rect(body.x, body.y, body.width - side - 2 * gap(sheet), body.height)
        found.append((column, square))
    return found


def _dial(content: Content, square: Rect | None, sheet: Sheet) -> Draft | None:
    """A page with nothing but the dial in `square`; None if it could not be read there."""
    draft = Draft()
    if square is None:
        return draft
    fonts = (sheet.font, DIAL_FONTS * sheet.font)
    picture = dial.picture(content.marks, square.width, fonts, sheet.measure)
    if picture is None:
        return None
    draft.add(picture, square.x, square.y)
    return draft
