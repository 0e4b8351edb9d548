"""The page of a wall chart: where each word stands, at the largest size that fits; pure.

Inside, lengths are in parts of the font size, so that a table has one shape whatever the size, and
only the page grows and shrinks. How large letters must be to be read comes from the reading
distance: 20 minutes of arc of capital height are wanted, 16 are the least (`display.legibility`).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Final

from assistant.charts.chart import Chart
from assistant.charts.strips import COLUMN_GAP, Column, Line, Measure, Shape, columns, shape, wrap
from assistant.errors import NoSuchSize, OutOfRange, nearest_names
from display.legibility import capital_height

CAPITAL: Final = 0.711
"""Capital height over font size of Roboto Condensed, measured."""
LEAST_MINUTES: Final = 16
WANTED_MINUTES: Final = 20
MOST_MINUTES: Final = 24
"""Minutes of arc of capital height: below the least a chart is refused; above the most it only wastes ink."""
DISTANCE: Final = 1000.0
"""mm from eye to wall."""
MARGIN: Final = 8.0
"""mm; many printers cannot print nearer to the edge."""
TITLE: Final = 1.5
"""Size of the lathe's name over that of the tables."""
LINE: Final = 1.2
BOX: Final = 22.0
"""Width of the box in which whoever checked the chart signs."""
CAUTION: Final = "Caution. "
STEP: Final = 0.01
"""mm to which the font size is found."""
WHOLE: Final = math.inf
PARTINGS: Final = (WHOLE, 40.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.0)
"""What a parted table is made to cost in width, the most first; at WHOLE none may be."""
WORTH_IT: Final = 1.02
"""Gain in size for which the tables are put into another order."""
MOST_REORDERED: Final = 4
"""Tables that are tried in every order; more of them stay in theirs."""


@dataclass(frozen=True)
class Paper:
    """A sheet, lying on its long side."""

    name: str
    width: float
    """mm."""
    height: float
    """mm."""


PAPERS: Final = {
    "a4": Paper("A4", 297, 210),
    "letter": Paper("Letter", 279.4, 215.9),
    "a3": Paper("A3", 420, 297),
    "tabloid": Paper("Tabloid", 431.8, 279.4),
}
"""ISO 216 and ANSI/ASME Y14.1 sizes."""
USUAL_PAPERS: Final = ("a4", "a3")
"""Tried in this order where none is named."""


@dataclass(frozen=True)
class Words:
    """Words on one line."""

    text: str
    x: float
    """mm from the left edge to the first letter."""
    y: float
    """mm from the upper edge to the baseline."""
    size: float
    """Font size, mm."""
    bold: bool
    shade: float = 0.0
    """0 black to 1 white."""


@dataclass(frozen=True)
class Bar:
    """A filled rectangle: a rule, a band or the shade behind a row."""

    x: float
    y: float
    """mm from the upper edge to its top."""
    width: float
    height: float
    shade: float


@dataclass(frozen=True)
class Page:
    """A page, ready to be drawn: bars first, then words."""

    paper: Paper
    title: str
    size: float
    """Font size of the tables, mm; nothing is smaller."""
    bars: tuple[Bar, ...]
    words: tuple[Words, ...]

    @property
    def capital_height(self) -> float:
        """Height of the smallest capitals, mm."""
        return self.size * CAPITAL

    @property
    def read_from(self) -> float:
        """mm from which the smallest capitals fill the wanted angle."""
        return self.capital_height / capital_height(1.0, WANTED_MINUTES)


def paper(name: str) -> Paper:
    """The paper called `name`. Raises NoSuchSize.

    >>> paper("a3").width
    420
    """
    try:
        return PAPERS[name.lower()]
    except KeyError:
        close = nearest_names(name.lower(), list(PAPERS), 1)
        allowed = f"there are {', '.join(PAPERS)}"
        raise NoSuchSize("paper", name, allowed, close[0] if close else None) from None


def page(charts: Sequence[Chart], papers: Sequence[Paper], measure: Measure) -> Page:
    """The first of `charts` on the first of `papers` on which it can be read at 1 m.

    charts  : the fullest first
    measure : (text, bold) -> width in parts of the font size
    Raises  : OutOfRange where none is large enough for the least size, with the last that was tried
    """
    for chart in charts:
        shapes = [shape(table, measure) for table in chart.tables]
        for sheet in papers:
            found = _fitted(chart, shapes, sheet, measure)
            if found is not None:
                return found
    least = capital_height(DISTANCE, LEAST_MINUTES)
    raise OutOfRange(
        "chart",
        f"of the {charts[-1].title} on {papers[-1].name}",
        f"capitals would be under {least:.1f} mm, which cannot be read at 1 m; "
        "take larger paper, or one part at a time with --part",
    )


def _fitted(chart: Chart, shapes: Sequence[Shape], sheet: Paper, measure: Measure) -> Page | None:
    """The page at the largest size that fits on `sheet`; None if that is under the least.

    Where the wanted size can be had without parting a table, none is parted for a larger one.
    """
    for minutes, parting in ((WANTED_MINUTES, WHOLE), (LEAST_MINUTES, 0.0)):
        floor = capital_height(DISTANCE, minutes) / CAPITAL
        best: tuple[float, Sequence[Shape]] | None = None
        for order in _orders(shapes):
            size = _largest(chart, order, sheet, measure, floor, parting)
            if size is not None:
                best, floor = (size, order), size * WORTH_IT
        if best is not None:
            size, order = best
            frame = _Frame(chart, sheet, size, measure)
            return frame.filled(_least_parted(order, frame))
    return None


def _largest(
    chart: Chart,
    order: Sequence[Shape],
    sheet: Paper,
    measure: Measure,
    least: float,
    parting: float,
) -> float | None:
    """The largest font size from `least` mm up at which the tables fit in this order."""

    def fits(size: float) -> bool:
        frame = _Frame(chart, sheet, size, measure)
        return _in_columns(order, frame, parting) is not None

    if not fits(least):
        return None
    most = capital_height(DISTANCE, MOST_MINUTES) / CAPITAL
    while most - least > STEP:
        middle = (least + most) / 2
        least, most = (middle, most) if fits(middle) else (least, middle)
    return least


def _orders(shapes: Sequence[Shape]) -> Iterable[Sequence[Shape]]:
    """The tables in every order, their own first: another is taken only where it makes them larger."""
    return permutations(shapes) if len(shapes) <= MOST_REORDERED else [shapes]


def _in_columns(order: Sequence[Shape], frame: _Frame, parting: float) -> list[Column] | None:
    found = columns(order, frame.height, parting)
    return None if found is None or _width(found) > frame.width else found


def _width(found: Sequence[Column]) -> float:
    return sum(column.width for column in found) + COLUMN_GAP * (len(found) - 1)


def _least_parted(order: Sequence[Shape], frame: _Frame) -> list[Column]:
    """The columns in which fewest tables are parted, of those that fit."""
    for parting in PARTINGS:
        if found := _in_columns(order, frame, parting):
            return found
    raise AssertionError("a size that fits was found before")


class _Frame:
    """A page with all but its tables: the title, the sentences above, and the foot."""

    def __init__(self, chart: Chart, sheet: Paper, size: float, measure: Measure) -> None:
        self.sheet, self.size, self.title = sheet, size, chart.title
        self.width = (sheet.width - 2 * MARGIN) / size
        self.bars: list[Bar] = []
        self.words: list[Words] = []
        self.measure = measure
        self.top = self._head(chart)
        foot = wrap(chart.foot, self.width, True, measure)
        self.bottom = (sheet.height - 2 * MARGIN) / size - len(foot) * LINE - 0.4
        self._bar(0, self.bottom + 0.15, self.width, 0.08, 0)
        for index, line in enumerate(foot):
            self._put(line, 0, self.bottom + 0.4 + LINE * index + 0.9, bold=True)

    @property
    def height(self) -> float:
        """Room for the tables."""
        return self.bottom - self.top

    def _head(self, chart: Chart) -> float:
        """Puts what stands above the tables; gives where it ends."""
        band = TITLE * LINE
        self._bar(0, 0, self.width, band, 0)
        self._put(chart.title, 0.4, band - 0.45, scale=TITLE, bold=True, shade=1)
        after = 0.4 + TITLE * self.measure(chart.title, True) + 1.2
        end = after + self.measure(chart.subtitle, False)
        below = chart.subtitle if end > self.width - 0.4 else ""
        if not below:
            self._put(chart.subtitle, after, band - 0.45, shade=1)
            self._checked_box(end + 1.2, band)
        y = band + 0.25
        cautions = CAUTION + "  ".join(chart.cautions) if chart.cautions else ""
        paragraphs = [(below, False), (cautions, True), ("  ".join(chart.preface), False)]
        for text, bold in paragraphs:
            for line in wrap(text, self.width, bold, self.measure) if text else ():
                self._put(line, 0, y + 0.9, bold=bold)
                y += LINE
        return y + 0.5

    def _checked_box(self, left: float, band: float) -> None:
        """Room to sign in, where the title leaves any."""
        box = self.width - 0.3 - BOX
        if box >= left:
            self._bar(box, 0.25, BOX, band - 0.5, 1)
            self._put("Checked by, on:", box + 0.3, band - 0.55)

    def _bar(self, x: float, y: float, width: float, height: float, shade: float) -> None:
        size = self.size
        self.bars.append(
            Bar(MARGIN + x * size, MARGIN + y * size, width * size, height * size, shade)
        )

    def _put(
        self,
        text: str,
        x: float,
        y: float,
        *,
        bold: bool = False,
        scale: float = 1,
        shade: float = 0,
    ) -> None:
        size = self.size
        place = MARGIN + x * size, MARGIN + y * size
        self.words.append(Words(text, *place, size * scale, bold, shade))

    def filled(self, found: Sequence[Column]) -> Page:
        """The page with its tables, spread over the width."""
        gaps = max(len(found) - 1, 1)
        room = self.width - sum(column.width for column in found)
        gap = min(room / gaps, 3 * COLUMN_GAP)
        x = 0.0
        for column in found:
            for line, y in column.lines:
                self._draw(line, x, self.top + y)
            x += column.width + gap
        return Page(self.sheet, self.title, self.size, tuple(self.bars), tuple(self.words))

    def _draw(self, line: Line, x: float, y: float) -> None:
        for bar_y, height, shade in line.bars:
            self._bar(x, y + bar_y, line.width, height, shade)
        for text, offset, bold in line.words:
            self._put(text, x + offset, y + line.baseline, bold=bold)
