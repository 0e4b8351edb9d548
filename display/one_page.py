"""Everything on one page: a column of words, and the thread dial beside or under it."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from display import dial
from display.column import MESSAGE_RATIOS, RATIOS, draw_column, gap, set_column
from display.content import Content
from display.page import Draft, Rect, Sheet

SCALES: Final = (2.4, 2.2, 2.0, 1.85, 1.7, 1.55, 1.4, 1.3, 1.2, 1.1, 1.0)
"""Sizes of the rows that are tried, over the smallest size."""
DIAL_SHARES: Final = (0.46, 0.40, 0.34)
"""Of the width (of the height on an upright screen) that the dial may take, tried in this order."""
DIAL_FONTS: Final = 2.4
"""Largest figures on the dial over the smallest size."""


def one_page(content: Content, body: Rect, sheet: Sheet) -> Draft | None:
    """All of `content` in `body` at the largest scale that fits, or None.

    A clearly larger headline comes before larger rows; the sign of a message goes last of all.
    """
    ratios = RATIOS.get(content.kind, MESSAGE_RATIOS)
    for signed in (True, False) if content.message else (True,):
        tried = replace(content, signed=signed)
        for ratio in ratios:
            for scale in SCALES:
                found = _at(tried, body, scale, ratio, sheet)
                if found is not None:
                    return found
    return None


def _at(content: Content, body: Rect, scale: float, ratio: float, sheet: Sheet) -> Draft | None:
    """All of `content` in `body` with the rows at `scale`, or None."""
    for column_rect, square in _arrangements(content, body, sheet):
        column = set_column(content, column_rect, scale, ratio, sheet)
        if column is None:
            continue
        draft = Draft()
        if square is None or _draw_dial(draft, content, square, sheet):
            draw_column(column, column_rect, sheet, draft)
            return draft
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


def _draw_dial(draft: Draft, content: Content, square: Rect, sheet: Sheet) -> bool:
    """Draw the dial in `square`; False if it could not be read there."""
    fonts = (sheet.font, DIAL_FONTS * sheet.font)
    picture = dial.picture(content.marks, square.width, fonts, sheet.measure)
    if picture is None:
        return False
    draft.add(picture, square.x, square.y)
    return True
