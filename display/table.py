"""The rows of an answer: labels in one column and values in another, or one above the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final

from display.page import Draft, Shape
from display.typesetting import Block, Measure, balanced, line_height, phrased, whole, wrapped

COLUMN_GAP: Final = 0.9
"""Between the columns, in font sizes."""
ROW_GAP: Final = 0.34
"""Between rows, in line heights."""
LEAST_VALUE_COLUMN: Final = 0.42
"""Share of the width below which values go under their labels instead of beside them."""


@dataclass(frozen=True)
class Row:
    """One row, not broken yet."""

    label: str
    text: str
    strong: bool = True
    """True for a figure; False for words that only explain."""


@dataclass(frozen=True)
class SetRow:
    """One row, broken into lines."""

    label: Block | None
    value: Block
    indent: float
    """Left edge of the value, px."""
    beside: bool
    """True where label and value share their first line."""

    @cached_property
    def height(self) -> float:
        """Height of its lines, px."""
        if self.label is None:
            return self.value.height
        if self.beside:
            return max(self.label.height, self.value.height)
        return self.label.height + self.value.height


def unbroken(rows: Sequence[Row], found: Sequence[SetRow]) -> bool:
    """True if no word of a value had to be broken inside."""
    return all(whole(set_row.value, row.text) for row, set_row in zip(rows, found, strict=True))


def row_gap(font: float) -> float:
    """Space between rows, px."""
    return ROW_GAP * line_height(font)


def set_rows(
    rows: Sequence[Row], width: float, font: float, measure: Measure
) -> tuple[SetRow, ...]:
    """`rows` in `width` px: beside each other if that takes no more height than stacked."""
    return _set_rows(tuple(rows), width, font, measure)


@lru_cache(maxsize=1024)
def _set_rows(
    rows: tuple[Row, ...], width: float, font: float, measure: Measure
) -> tuple[SetRow, ...]:
    labels = [row.label for row in rows if row.label]
    column = max((measure(label, font, False) for label in labels), default=0.0)
    indent = column + COLUMN_GAP * font if labels else 0.0
    stacked = tuple(_set_row(row, width, width, None, font, measure) for row in rows)
    if width - indent < LEAST_VALUE_COLUMN * width:
        return stacked
    beside = tuple(_set_row(row, width, width - indent, indent, font, measure) for row in rows)
    if height(beside, font) <= height(stacked, font) and unbroken(rows, beside):
        return beside
    return stacked


def _set_row(
    row: Row, width: float, room: float, indent: float | None, font: float, measure: Measure
) -> SetRow:
    """`row` with its value in `room` px at `indent`, or under the label where that is None."""
    if not row.label:
        text = balanced(row.text, font, row.strong, width, measure)
        return SetRow(None, text, 0.0, indent is not None)
    label = wrapped(row.label, font, False, width, measure)
    value = phrased(row.text, font, row.strong, room, measure)
    return SetRow(label, value, indent or 0.0, indent is not None)


def height(rows: Sequence[SetRow], font: float) -> float:
    """Height of all `rows` with the space between them, px."""
    return sum(row.height for row in rows) + row_gap(font) * max(0, len(rows) - 1)


def split(
    rows: Sequence[SetRow], rooms: Sequence[float], font: float, most: int
) -> list[list[SetRow]]:
    """`rows` in pages of at most `most` rows; `rooms` are the px on the first page and on the others."""
    pages: list[list[SetRow]] = []
    page: list[SetRow] = []
    for row in rows:
        for part in _parted(row, min(rooms), font):
            room = rooms[min(len(pages), len(rooms) - 1)]
            if page and (height([*page, part], font) > room or len(page) == most):
                pages.append(page)
                page = []
            page.append(part)
    return [*pages, page] if page else pages


def _parted(row: SetRow, room: float, font: float) -> list[SetRow]:
    """`row` itself, or where it is higher than `room`, pieces of it that are not."""
    if row.height <= room:
        return [row]
    label = row.label.lines if row.label is not None and not row.beside else ()
    most = max(1, int(room / line_height(font)) - len(label))
    lines = row.value.lines
    pieces = []
    for at in range(0, len(lines), most):
        block = Block(lines[at : at + most], row.value.size, row.value.bold, row.value.width)
        pieces.append(SetRow(row.label, block, row.indent, row.beside))
    return pieces


def draw(rows: Sequence[SetRow], width: float, font: float) -> Draft:
    """The rows from (0, 0) downwards, a thin rule between two."""
    draft = Draft()
    y = 0.0
    for at, row in enumerate(rows):
        if at:
            middle = y - row_gap(font) / 2
            thin = max(2.0, 0.035 * font)
            draft.shapes.append(Shape("box", (0.0, middle - thin / 2, width, thin), "rule"))
        if row.label is not None:
            draft.put("label", row.label, 0.0, y, colour="quiet")
        below = row.label.height if row.label is not None and not row.beside else 0.0
        draft.put("value" if row.value.bold else "note", row.value, row.indent, y + below)
        y += row.height + row_gap(font)
    return draft
