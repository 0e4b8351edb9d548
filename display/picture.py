"""What a picture is: drawn from the figures of an answer into a box of any size, or not at all."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final, Protocol

from display.page import Draft, Shape
from display.typesetting import Block, Measure, font_sizes

Fonts = tuple[float, float]
"""The smallest and the largest font size of a picture's words, px."""
STROKE: Final = 0.07
"""Thickness of an ordinary line over the font size."""


class Picture(Protocol):
    """A picture; equal ones have equal figures."""

    def __hash__(self) -> int:
        """Equal pictures have equal hashes: what was drawn is kept."""

    @property
    def wide(self) -> bool:
        """True where it is better under the words than beside them."""

    @property
    def weight(self) -> float:
        """Its share of the width beside other pictures."""

    @property
    def widest(self) -> float:
        """Width over height from which more width does nothing for it."""

    @property
    def note(self) -> str:
        """Said beside it where the rows stand on another page; may be empty."""

    def fitted(self, width: float, height: float, fonts: Fonts, measure: Measure) -> Draft | None:
        """The picture in the middle of width x height px; None where it could not be read there."""


def sizes(fonts: Fonts) -> Iterator[float]:
    """Font sizes to try, the largest first.

    >>> list(sizes((20, 22.5)))
    [22.0, 21.0, 20.0]
    """
    return reversed(font_sizes(*fonts))


def one_line(text: str, font: float, bold: bool, measure: Measure) -> Block:
    """`text` on one line."""
    return Block((text,), font, bold, measure(text, font, bold))


def stroke(font: float) -> float:
    """Thickness of an ordinary line, px."""
    return max(3.0, STROKE * font)


def dashed(
    x: float, y: float, end_x: float, end_y: float, dash: float, colour: str, thick: float
) -> list[Shape]:
    """A line of dashes, each `dash` px long, from (x, y) to the other end."""
    length = math.hypot(end_x - x, end_y - y)
    count = max(1, round(length / (1.8 * dash)))
    step = 1 / count
    found = []
    for at in range(count):
        start, stop = at * step, (at + 0.55) * step
        points = (
            *(x + (end_x - x) * start, y + (end_y - y) * start),
            *(x + (end_x - x) * stop, y + (end_y - y) * stop),
        )
        found.append(Shape("line", points, colour, thick))
    return found


def arrowhead(x: float, y: float, towards: tuple[float, float], size: float, colour: str) -> Shape:
    """A filled head with its tip at (x, y), pointing along `towards` (length 1)."""
    dx, dy = towards
    back_x, back_y = x - dx * size, y - dy * size
    half = 0.45 * size
    points = (x, y, back_x - dy * half, back_y + dx * half, back_x + dy * half, back_y - dx * half)
    return Shape("fan", points, colour)
