"""Tables cut into lines, and the lines stacked into columns of a page; lengths in parts of the font size."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Final

from assistant.charts.chart import Table
from display.typesetting import GLUE, wrapped

Measure = Callable[[str, bool], float]
"""Width of a text in parts of the font size: (text, bold)."""

ROW: Final = 1.2
"""Height of a line of a table."""
BASELINE: Final = 0.9
CELL_GAP: Final = 0.75
TABLE_GAP: Final = 0.9
COLUMN_GAP: Final = 1.6
SHADE: Final = 0.9
"""Of every second row."""
FEWEST: Final = 3
"""Rows of a table that stand together at least."""
CAUTION: Final = "⚠ "


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
    """Title, cautions, notes."""
    heading: tuple[Line, ...]
    """Repeated where the table goes on in the next column."""
    groups: tuple[tuple[Line | None, tuple[Line, ...]], ...]
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
    headings = [
        _narrow(heading, [row[index] for row in table.rows], measure, index == 0)
        for index, heading in enumerate(table.heading)
    ]
    widths = [
        max(measure(text, bold) for text, bold in cells)
        for cells in _columns_of(table, headings)
    ]
    lefts = [sum(widths[:index]) + CELL_GAP * index for index in range(len(widths))]
    width = lefts[-1] + widths[-1] + CELL_GAP / 2
    title = Line(((table.title, 0.0, True),), width, bars=((0.0, 0.12, 0.0),), height=ROW + 0.15, baseline=BASELINE + 0.15)
    sentences = [(CAUTION + text, True) for text in table.cautions]
    sentences += [(text, False) for text in table.notes]
    said = [
        Line(((line, 0.0, bold),), width)
        for text, bold in sentences
        for line in wrap(text, width, bold, measure)
    ]

    def placed(cells: Sequence[str], bold: Sequence[bool], bars: tuple[tuple[float, float, float], ...]) -> Line:
        words = []
        for index, (text, heavy) in enumerate(zip(cells, bold, strict=True)):
            right = index < table.figures
            spare = widths[index] - measure(text, heavy) if right else 0.0
            words.append((text, lefts[index] + spare, heavy))
        return Line(tuple(words), width, bars)

    return Shape(
        width=width,
        head=(title, *said),
        heading=_heading_lines(headings, placed),
        groups=_group_lines(table, placed, width),
    )


Placed = Callable[[Sequence[str], Sequence[bool], tuple[tuple[float, float, float], ...]], Line]


def _narrow(heading: str, cells: Sequence[str], measure: Measure, figure: bool) -> list[str]:
    """A heading in as many lines as keep it from widening its column."""
    room = max(measure(cell, figure) for cell in cells)
    longest = max(measure(word, True) for word in heading.split())
    return wrap(heading, max(room, longest), True, measure)


def _columns_of(table: Table, headings: Sequence[Sequence[str]]) -> list[list[tuple[str, bool]]]:
    return [
        [(text, True) for text in heading] + [(row[index], index == 0) for row in table.rows]
        for index, heading in enumerate(headings)
    ]


def _heading_lines(headings: Sequence[Sequence[str]], placed: Placed) -> tuple[Line, ...]:
    deep = max(len(heading) for heading in headings)
    # The last line of every heading stands just above the rows.
    filled = [[""] * (deep - len(heading)) + list(heading) for heading in headings]
    lines = []
    for index in range(deep):
        cells = [heading[index] for heading in filled]
        rule = ((ROW - 0.06, 0.06, 0.0),) if index == deep - 1 else ()
        lines.append(placed(cells, [True] * len(cells), rule))
    return tuple(lines)


def _group_lines(
    table: Table, placed: Placed, width: float
) -> tuple[tuple[Line | None, tuple[Line, ...]], ...]:
    found = []
    for group in table.groups:
        label = None
        if group.label:
            label = Line(((group.label, 0.0, True),), width)
        rows = []
        for number, row in enumerate(group.rows):
            shade = ((0.0, ROW, SHADE),) if number % 2 else ()
            rows.append(placed(row, [index == 0 for index in range(len(row))], shade))
        found.append((label, tuple(rows)))
    return tuple(found)


def columns(shapes: Sequence[Shape], height: float) -> list[Column] | None:
    """The tables in columns of at most `height`; None where one does not fit in any column."""
    found = [Column()]
    for each in shapes:
        if not _stacked(each, found, height):
            return None
    return found


def _height(lines: Sequence[Line]) -> float:
    return sum(line.height for line in lines)


def _stacked(each: Shape, found: list[Column], height: float) -> bool:
    """Puts the table below the last column's lines, going on in new columns; False if it cannot."""
    start = [*each.head, *each.heading]
    room = height - found[-1].height - TABLE_GAP
    if found[-1].lines and room < _height(start) + (FEWEST + 1) * ROW:
        found.append(Column())
    if found[-1].lines:
        found[-1].height += TABLE_GAP
    found[-1].add(start)
    for label, rows in each.groups:
        labelled = [label] if label else []
        # A label never stands alone at the foot of a column.
        together = [*labelled, *rows[:2]]
        if found[-1].height + _height(together) > height:
            _go_on(each, [], found)
        found[-1].add(labelled)
        for row in rows:
            if found[-1].height + row.height > height:
                _go_on(each, labelled, found)
            found[-1].add([row])
            if found[-1].height > height + 1e-9:
                return False
    return True


def _go_on(each: Shape, labelled: Sequence[Line], found: list[Column]) -> None:
    found.append(Column())
    found[-1].add([*each.heading, *labelled])
