"""One column of a page: kicker, headline, caution, rows, levers and the step that follows."""

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
from display.words import word

RATIOS: Final = {
    "answered": (2.6, 2.0, 1.5),
    "alarm": (2.0, 1.35, 1.0),
    "sleep": (3.0, 2.6, 2.0, 1.35, 1.0),
}
"""Kind -> how much larger than the rows a headline is to be, tried in this order."""
MESSAGE_RATIOS: Final = (1.35, 1.0)
"""The same for every other kind."""
STEP_RATIOS: Final = (2.0, 1.5, 1.2, 1.0)
"""The same for a step of a sequence, where the headline is what to do."""
MESSAGE_LINES: Final = 8
"""Most lines of a sentence as headline."""
HEADING: Final = word("hints", "heading")
"""Above phrases that can be said."""
GAP: Final = 0.5
"""Between the parts, in lines of the smallest size."""


@dataclass(frozen=True)
class Column:
    """The parts of a column, broken into lines."""

    kicker: Block | None
    headline: Block | None
    band: Band | None
    rows: tuple[SetRow, ...]
    levers: levers.Arrangement | None
    font: float
    """Of rows and levers, px."""
    content: Content
    sequence: Block | None = None
    """What is being done, beside or under the kicker of a step."""
    following: Block | None = None
    """The step after this one."""

    @property
    def caution_first(self) -> bool:
        """True for a step: its caution stands above what to do."""
        return self.content.step is not None


def gap(sheet: Sheet) -> float:
    """Space between two parts, px."""
    return GAP * sheet.legibility.line_height


def set_kicker(content: Content, width: float, sheet: Sheet) -> Block | None:
    """The word above a message, the count above a step, or None above an answer."""
    above = content.step.count if content.step is not None else KICKERS.get(content.kind, "")
    if content.kind == "hints":
        above = HEADING
    if not above or not content.signed:
        return None
    if content.step is None:
        return Block((above,), sheet.font, True, sheet.measure(above, sheet.font, True))
    return balanced(above, sheet.font, True, width, sheet.measure)


def set_sequence(content: Content, width: float, sheet: Sheet) -> Block | None:
    """What is being done, in words."""
    if content.step is None or not content.step.sequence or content.brief or not content.signed:
        return None
    return balanced(content.step.sequence, sheet.font, False, width, sheet.measure)


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
    following = None
    if content.following:
        following = balanced(content.following, sheet.font, False, rect.width, sheet.measure)
    kicker = set_kicker(content, rect.width, sheet)
    sequence = set_sequence(content, rect.width, sheet)
    column = Column(kicker, None, band, rows, arrangement, font, content, sequence, following)
    rest = rect.height - _height_below(column, sheet) - _height_above(column, rect.width, sheet)
    if not content.headline:
        return column if rest >= 0 else None
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


def _kicker_height(column: Column, width: float, sheet: Sheet) -> float:
    """Height of the kicker, with the words of a sequence beside it or under it, px."""
    total = 0.0
    if column.kicker is not None:
        signed = column.content.step is None
        total += (1.5 * line_height(sheet.font) if signed else column.kicker.height) + gap(sheet)
    if column.sequence is not None and not _one_line(column, width, sheet):
        total += column.sequence.height + (0 if column.kicker is not None else gap(sheet))
    return total


def _one_line(column: Column, width: float, sheet: Sheet) -> bool:
    """True where kicker and sequence stand beside each other."""
    if column.kicker is None or column.sequence is None or len(column.sequence.lines) > 1:
        return False
    return column.kicker.width + 0.8 * sheet.font + column.sequence.width <= width


def _height_above(column: Column, width: float, sheet: Sheet) -> float:
    """Height of all that stands above the headline, with the gaps, px."""
    total = _kicker_height(column, width, sheet)
    if column.band is not None and column.caution_first:
        total += column.band.height + gap(sheet)
    return total


def _height_below(column: Column, sheet: Sheet) -> float:
    """Height of all that stands under the headline, with the gaps, px."""
    total = 0.0
    if column.band is not None and not column.caution_first:
        total += column.band.height + gap(sheet)
    if column.rows:
        total += table.height(column.rows, column.font) + gap(sheet)
    if column.levers is not None:
        total += column.levers.height + gap(sheet)
    if column.following is not None:
        total += column.following.height + gap(sheet)
    return total


def draw_column(column: Column, rect: Rect, sheet: Sheet, draft: Draft) -> None:
    """Draw `column`: the headline in the middle of the room that is left above the rest."""
    y = rect.y
    if column.kicker is not None or column.sequence is not None:
        _draw_above(draft, column, rect, sheet)
        y += _kicker_height(column, rect.width, sheet)
    if column.band is not None and column.caution_first:
        draw_band(draft, column.band, rect, y, sheet)
        y += column.band.height + gap(sheet)
    lower = rect.bottom - _height_below(column, sheet)
    if column.headline is not None:
        spare = lower - y - column.headline.height
        top = y + spare / 2
        draft.put("headline", column.headline, rect.x, top)
        if column.content.flagged:
            draw_flag(draft, rect.right, top + column.headline.height / 2, sheet)
    else:
        lower -= (lower - y) / 2
    _draw_below(draft, column, rect, lower + gap(sheet), sheet)


def _draw_below(draft: Draft, column: Column, rect: Rect, y: float, sheet: Sheet) -> None:
    """Caution, rows, levers and the following step, from `y` down."""
    if column.band is not None and not column.caution_first:
        draw_band(draft, column.band, rect, y, sheet)
        y += column.band.height + gap(sheet)
    if column.rows:
        draft.add(table.draw(column.rows, rect.width, column.font), rect.x, y)
        y += table.height(column.rows, column.font) + gap(sheet)
    if column.levers is not None:
        draft.add(levers.picture(column.levers, sheet.measure), rect.x, y)
    if column.following is not None:
        top = rect.bottom - column.following.height
        draft.put("following", column.following, rect.x, top, colour="quiet")


def _draw_above(draft: Draft, column: Column, rect: Rect, sheet: Sheet) -> None:
    """The kicker with its sign, or the count and the name of a sequence."""
    if column.content.step is None:
        if column.kicker is not None:
            _draw_kicker(draft, column.content.kind, column.kicker, rect.x, rect.y, sheet)
        return
    y = rect.y
    if column.content.flagged and column.headline is None:
        draw_flag(draft, rect.right, y + flag_width(sheet) / 2, sheet)
    if column.kicker is not None:
        draft.put("kicker", column.kicker, rect.x, y)
        if column.sequence is not None and _one_line(column, rect.width, sheet):
            right = rect.right - column.sequence.width
            draft.put("sequence", column.sequence, right, y, colour="quiet")
            return
        y += column.kicker.height
    if column.sequence is not None:
        draft.put("sequence", column.sequence, rect.x, y, colour="quiet")


def _draw_kicker(draft: Draft, kind: str, words: Block, x: float, y: float, sheet: Sheet) -> None:
    font = sheet.font
    tall = 1.5 * line_height(font)
    middle = x + tall / 2, y + tall / 2
    draft.shapes += message_sign(kind, *middle, tall)
    look = {"ask": ("?", "on_accent", "accent"), "alarm": ("!", "alarm", "on_alarm")}
    sign = look.get(kind, ("?", "ink", "ground") if kind == "not-understood" else None)
    if sign is not None:
        glyph = Block((sign[0],), font, True, sheet.measure(sign[0], font, True))
        draft.centre("sign", glyph, *middle, colour=sign[1], behind=sign[2])
    draft.put("kicker", words, x + tall + 0.5 * font, middle[1] - words.height / 2)
