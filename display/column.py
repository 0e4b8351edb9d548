"""One column of a page: kicker, headline, caution, rows and levers, set at one scale if they fit."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from display import levers, table
from display.band import Band, draw_band, draw_flag, flag_width, set_band
from display.content import KICKERS, Content
from display.page import LEVERS, ROWS, Draft, Rect, Sheet
from display.signs import message_sign
from display.table import SetRow
from display.typesetting import Block, balanced, largest, line_height, whole

RATIOS: Final = {"answered": (2.6, 2.0, 1.5), "alarm": (2.0, 1.35, 1.0)}
"""Kind -> how much larger than the rows a headline is to be, tried in this order."""
MESSAGE_RATIOS: Final = (1.35, 1.0)
"""The same for every other kind."""
MESSAGE_LINES: Final = 8
"""Most lines of a sentence as headline."""
GAP: Final = 0.5
"""Between the parts, in lines of the smallest size."""


@dataclass(frozen=True)
class Column:
    """The parts of a column, broken into lines."""

    kicker: Block | None
    headline: Block | None
    band: Band | None
    rows: list[SetRow]
    levers: levers.Arrangement | None
    font: float
    """Of rows and levers, px."""
    content: Content


def gap(sheet: Sheet) -> float:
    """Space between two parts, px."""
    return GAP * sheet.legibility.line_height


def set_kicker(content: Content, sheet: Sheet) -> Block | None:
    """The word above a message, or None above an answer."""
    word = KICKERS.get(content.kind)
    if word is None or not content.signed:
        return None
    return Block((word,), sheet.font, True, sheet.measure(word, sheet.font, True))


def headline_in(content: Content, width: float, height: float, sheet: Sheet) -> Block | None:
    """The largest headline in width x height px; None if the smallest size does not fit."""
    lines = MESSAGE_LINES if content.message else (2 if sheet.portrait else 1)
    sizes = (sheet.font, float(sheet.height))
    found = largest(content.headline, True, width, height, sizes, sheet.measure, lines)
    if found is None or len(found.lines) == 1:
        return found
    return balanced(content.headline, found.size, True, width, sheet.measure)


def set_column(
    content: Content, rect: Rect, scale: float, ratio: float, sheet: Sheet
) -> Column | None:
    """All of `content` but the dial in `rect`, or None if it is too much.

    The rows are set at `scale` times the smallest size, and the headline at least `ratio` times
    larger than they.
    """
    font = float(int(scale * sheet.font))
    rows = table.set_rows(content.rows, rect.width, font, sheet.measure)
    if len(rows) > ROWS or len(content.levers) > LEVERS:
        return None
    arrangement = None
    if content.levers:
        arrangement = levers.arranged(content.levers, rect.width, font, sheet.measure)
        if arrangement is None:
            return None
    band = set_band(content.cautions, rect.width, font, sheet)
    if scale > 1 and not (table.unbroken(content.rows, rows) and _unbroken(band, content)):
        return None
    kicker = set_kicker(content, sheet)
    column = Column(kicker, None, band, rows, arrangement, font, content)
    rest = rect.height - _height_below(column, sheet) - _kicker_height(column, sheet)
    width = rect.width - (flag_width(sheet) + gap(sheet) if content.flagged else 0.0)
    headline = headline_in(content, width, rest, sheet)
    if headline is None or not _leads(headline, column, ratio, width, sheet):
        return None
    return replace(column, headline=headline)


def _unbroken(band: Band | None, content: Content) -> bool:
    return band is None or whole(band.block, "\n".join(content.cautions))


def _leads(headline: Block, column: Column, ratio: float, width: float, sheet: Sheet) -> bool:
    """True if `headline` is `ratio` times larger than the rows, or as large as the width allows."""
    alone = not column.rows and column.levers is None and column.band is None
    if alone or headline.size >= ratio * column.font:
        return True
    widest = headline_in(column.content, width, 10.0 * sheet.height, sheet)
    least = column.font if column.font <= sheet.font else 1.2 * column.font
    return widest is not None and headline.size >= 0.97 * widest.size and headline.size >= least


def _kicker_height(column: Column, sheet: Sheet) -> float:
    return 1.5 * line_height(sheet.font) + gap(sheet) if column.kicker is not None else 0.0


def _height_below(column: Column, sheet: Sheet) -> float:
    """Height of all that stands under the headline, with the gaps, px."""
    total = 0.0
    if column.band is not None:
        total += column.band.height + gap(sheet)
    if column.rows:
        total += table.height(column.rows, column.font) + gap(sheet)
    if column.levers is not None:
        total += column.levers.height + gap(sheet)
    return total


def draw_column(column: Column, rect: Rect, sheet: Sheet, draft: Draft) -> None:
    """Draw `column`: the headline in the middle of the room that is left above the rest."""
    y = rect.y
    if column.kicker is not None:
        _draw_kicker(draft, column.content.kind, column.kicker, rect.x, y, sheet)
        y += _kicker_height(column, sheet)
    lower = rect.bottom - _height_below(column, sheet)
    if column.headline is not None:
        spare = lower - y - column.headline.height
        top = y + spare / 2
        draft.put("headline", column.headline, rect.x, top)
        if column.content.flagged:
            draw_flag(draft, rect.right, top + column.headline.height / 2, sheet)
    y = lower + gap(sheet)
    if column.band is not None:
        draw_band(draft, column.band, rect, y, sheet)
        y += column.band.height + gap(sheet)
    if column.rows:
        draft.add(table.draw(column.rows, rect.width, column.font), rect.x, y)
        y += table.height(column.rows, column.font) + gap(sheet)
    if column.levers is not None:
        draft.add(levers.picture(column.levers, sheet.measure), rect.x, y)


def _draw_kicker(draft: Draft, kind: str, word: Block, x: float, y: float, sheet: Sheet) -> None:
    font = sheet.font
    tall = 1.5 * line_height(font)
    middle = x + tall / 2, y + tall / 2
    draft.shapes += message_sign(kind, *middle, tall)
    look = {"ask": ("?", "on_accent", "accent"), "alarm": ("!", "alarm", "on_alarm")}
    sign = look.get(kind, ("?", "ink", "ground") if kind == "not-understood" else None)
    if sign is not None:
        glyph = Block((sign[0],), font, True, sheet.measure(sign[0], font, True))
        draft.centre("sign", glyph, *middle, colour=sign[1], behind=sign[2])
    draft.put("kicker", word, x + tall + 0.5 * font, middle[1] - word.height / 2)
