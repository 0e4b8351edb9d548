"""The caution: a band right across, only there when there is something to be careful of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from display.page import Draft, Rect, Shape, Sheet
from display.signs import caution_sign
from display.typesetting import Block, balanced, line_height

PAD: Final = 0.3
"""Above and below the words, in line heights."""
INDENT: Final = 1.55
"""Of the words, for the sign, in font sizes."""


@dataclass(frozen=True)
class Band:
    """A caution set in a column."""

    block: Block
    height: float


def set_band(cautions: Sequence[str], width: float, font: float, sheet: Sheet) -> Band | None:
    """All `cautions` in a column of `width` px, each on a new line; None where there are none."""
    if not cautions:
        return None
    room = width - (INDENT + 0.3) * font
    block = balanced("\n".join(cautions), font, True, room, sheet.measure)
    return Band(block, block.height + 2 * PAD * line_height(font))


def draw_band(draft: Draft, band: Band, column: Rect, y: float, sheet: Sheet) -> None:
    """Draw `band` with its upper edge at `y`; it reaches the edges of the screen where it can."""
    font = band.block.size
    right = sheet.width if column.right > sheet.width - 2 * sheet.margin else column.right
    draft.shapes.append(Shape("box", (0.0, y, right, band.height), "caution"))
    top = y + PAD * line_height(font)
    middle = top + line_height(font) / 2
    draft.shapes += caution_sign(column.x + 0.58 * font, middle, font, "on_caution", "caution")
    left = column.x + INDENT * font
    draft.put("caution", band.block, left, top, colour="on_caution", behind="caution")


def flag_width(sheet: Sheet) -> float:
    """Width of the sign that stands for a caution of an earlier page, px."""
    return 1.5 * line_height(sheet.font)


def draw_flag(draft: Draft, right: float, middle: float, sheet: Sheet) -> None:
    """The sign of the caution alone, its plate ending at `right`."""
    side = flag_width(sheet)
    plate = (right - side, middle - side / 2, side, side)
    draft.shapes.append(Shape("box", plate, "caution"))
    draft.shapes += caution_sign(
        right - side / 2, middle, 1.05 * sheet.font, "on_caution", "caution"
    )
