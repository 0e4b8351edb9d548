"""Tables cut into lines, and the lines stacked into columns of a page; lengths in parts of the font size."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Final

from assistant.charts.chart import Table
from display.typesetting import GLUE, wrapped

Measure = Callable[[str, bool], float]
"""Width of a text in parts of the font size: (text, bold)."""

ROW: Final = 1.08
"""Height of a line of a table."""
BASELINE: Final = 0.83
CELL_GAP: Final = 0.6
TABLE_GAP: Final = 0.9
COLUMN_GAP: Final = 1.3
RULE: Final = 0.12
SHADE: Final = 0.9
"""Of every second row."""
FEWEST: Final = 3
"""Rows of a table that stand together at least."""


@dataclass(frozen=True)
class Line:
    """One line of a table."""

    words: tuple[tuple[str, float, bool], ...]
    """Text, offset from the left, bold."""
    width: float
    """Of the table."""
    bars: tuple[tuple[float, float, float], ...] = ()
    """Offset from the top, height, shade; as wide as the table."""
    height: float = ROW
    baseline: float = BASELINE


@dataclass(frozen=True)
class Shape:
    """A table in lines."""

    width: float
    head: tuple[Line, ...]
    """Title and notes."""
    heading: tuple[Line, ...]
    """Repeated where the table goes on in the next column."""
    groups: tuple[tuple[tuple[Line, ...], tuple[Line, ...]], ...]
    """Label, repeated likewise, and rows."""


@dataclass
class Column:
    """Lines under one another, with the height at which each begins."""

    width: float = 0.0
    height: float = 0.0
    lines: list[tuple[Line, float]] = field(default_factory=list)

    def add(self, lines: Sequence[Line]) -> None:
        """Puts `lines` below what is there."""
        for line in lines:
            self.lines.append((line, self.height))
            self.height += line.height
            self.width = max(self.width, line.width)


def wrap(text: str, width: float, bold: bool, measure: Measure) -> list[str]:
    """`text` in lines no wider than `width`."""
    block = wrapped(text, 1.0, bold, width, lambda words, _, heavy: measure(words, heavy))
    return [line.replace(GLUE, " ") for line in block.lines]


def shape(table: Table, measure: Measure) -> Shape:
    """`table` in lines, as narrow as its cells allow."""
    cells = [_cells(table, index, measure) for index in range(len(table.heading))]
    blocks = _blocks(table, [each.width for each in cells], measure)
    width = max(
        blocks[-1].left + blocks[-1].width + CELL_GAP / 2,
        *(measure(word, True) for word in table.title.split()),
        *(measure(group.label, True) for group in table.groups),
    )
    lefts = [left for block in blocks for left in block.cell_lefts]

    def row(texts: Sequence[str], number: int) -> Line:
        words = [
            (text, lefts[index] + cells[index].indent(text), index == 0)
            for index, text in enumerate(texts)
        ]
        return Line(tuple(words), width, ((0.0, ROW, SHADE),) if number % 2 else ())

    return Shape(
        width=width,
        head=(
            Line((), width, ((0.0, RULE, 0.0),), height=RULE),
            *_sentence(table.title, True, width, measure),
            *(line for text in table.notes for line in _sentence(text, False, width, measure)),
        ),
        heading=(
            *(line for text in table.repeated for line in _sentence(text, False, width, measure)),
            *_heading_lines(blocks, width),
        ),
        groups=tuple(
            (
                _sentence(group.label, True, width, measure) if group.label else (),
                tuple(row(texts, number) for number, texts in enumerate(group.rows)),
            )
            for group in table.groups
        ),
    )


def _sentence(text: str, bold: bool, width: float, measure: Measure) -> tuple[Line, ...]:
    return tuple(Line(((line, 0.0, bold),), width) for line in wrap(text, width, bold, measure))


@dataclass(frozen=True)
class _Cells:
    """What the cells of one column have in common."""

    before_point: float
    """Widest whole part of a figure; 0 for names, which stand on the left."""
    width: float
    measure: Callable[[str], float]

    def indent(self, text: str) -> float:
        """Where `text` begins, so that decimal points stand under one another."""
        return max(self.before_point - self.measure(text.partition(".")[0]), 0.0)


def _cells(table: Table, index: int, measure: Measure) -> _Cells:
    texts = [row[index] for row in table.rows]

    def wide(text: str) -> float:
        return measure(text, index == 0)

    if index >= table.figures:
        return _Cells(0.0, max(map(wide, texts)), wide)
    whole = max(wide(text.partition(".")[0]) for text in texts)
    rest = max(wide(text) - wide(text.partition(".")[0]) for text in texts)
    return _Cells(whole, whole + rest, wide)


@dataclass(frozen=True)
class _Block:
    """Columns under one heading: one figure, or all levers together."""

    left: float
    width: float
    heading: tuple[str, ...]
    """In lines, so that it does not widen its columns."""
    cell_lefts: tuple[float, ...]


def _blocks(table: Table, cells: Sequence[float], measure: Measure) -> list[_Block]:
    alone = len(cells) - table.levers
    spans = [range(index, index + 1) for index in range(alone)]
    if table.levers:
        spans.append(range(alone, len(cells)))
    found: list[_Block] = []
    left = 0.0
    for span in spans:
        heading = ", ".join(table.heading[index] for index in span)
        room = sum(cells[index] for index in span) + CELL_GAP * (len(span) - 1)
        width = max(room, *(measure(word, True) for word in heading.split()))
        # A figure stands on the right of its column, under a heading that may be wider.
        start = left + (width - room if span[0] < table.figures else 0.0)
        lefts = [
            start + sum(cells[span[0] : index]) + CELL_GAP * (index - span[0]) for index in span
        ]
        found.append(_Block(left, width, tuple(wrap(heading, width, True, measure)), tuple(lefts)))
        left += width + CELL_GAP
    return found


def _heading_lines(blocks: Sequence[_Block], width: float) -> tuple[Line, ...]:
    deep = max(len(block.heading) for block in blocks)
    lines = []
    for index in range(deep):
        # The last line of every heading stands just above the rows.
        words = tuple(
            (block.heading[place], block.left, True)
            for block in blocks
            if (place := index - deep + len(block.heading)) >= 0
        )
        rule = ((ROW - RULE / 2, RULE / 2, 0.0),) if index == deep - 1 else ()
        lines.append(Line(words, width, rule))
    return tuple(lines)


@dataclass(frozen=True)
class _Piece:
    """Lines that are never parted."""

    lines: tuple[Line, ...]
    above: tuple[Line, ...]
    """What is repeated where a column begins with this piece."""
    gap: float
    """Room over it where a column does not begin with it."""
    height: float
    width: float


def _pieces(shapes: Sequence[Shape]) -> list[_Piece]:
    """The tables in the smallest pieces that may stand in columns of their own."""
    found: list[_Piece] = []
    for each in shapes:
        start: tuple[Line, ...] = (*each.head, *each.heading)
        for labelled, rows in each.groups:
            # Some rows stay with the head, and no row stands alone under or over a break.
            cuts = [0, *range(FEWEST, len(rows) - 1)]
            for begin, end in zip(cuts, [*cuts[1:], len(rows)], strict=True):
                opening = begin == 0
                lines = (*start, *(labelled if opening else ()), *rows[begin:end])
                above = () if start else (*each.heading, *(() if opening else labelled))
                gap = TABLE_GAP if start else 0.0
                found.append(_Piece(lines, above, gap, _height(lines), each.width))
                start = ()
    return found


def _height(lines: Sequence[Line]) -> float:
    return sum(line.height for line in lines)


def columns(shapes: Sequence[Shape], height: float, parting: float = 0.0) -> list[Column] | None:
    """The tables in columns of at most `height` that together are as narrow as can be.

    None where a piece of a table is higher than that. A column in which a table goes on counts as
    wider by `parting`, so that more of it parts fewer tables at the cost of width. The narrowest way to set the first n pieces
    is the narrowest of: the last column holds the last m of them, and those before it are set in
    their own narrowest way.
    """
    pieces = _pieces(shapes)
    total = [0.0, *([math.inf] * len(pieces))]
    begins = [0] * (len(pieces) + 1)
    for end in range(1, len(pieces) + 1):
        used = wide = 0.0
        for begin in range(end - 1, -1, -1):
            piece = pieces[begin]
            wide = max(wide, piece.width)
            if used + piece.height + _height(piece.above) <= height:
                width = total[begin] + wide + COLUMN_GAP + (parting if piece.above else 0.0)
                if width < total[end]:
                    total[end], begins[end] = width, begin
            used += piece.height + piece.gap
            if used > height:
                break
    if math.isinf(total[-1]):
        return None
    found: list[Column] = []
    end = len(pieces)
    while end:
        found.insert(0, _column(pieces[begins[end] : end]))
        end = begins[end]
    return found


def _column(pieces: Sequence[_Piece]) -> Column:
    column = Column()
    for number, piece in enumerate(pieces):
        if number == 0:
            column.add(piece.above)
        else:
            column.height += piece.gap
        column.add(piece.lines)
    return column
