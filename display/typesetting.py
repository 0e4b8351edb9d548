"""Breaking words into lines and finding the largest size that fits; pure, given a way to measure."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final

from display.legibility import LINE

Measure = Callable[[str, float, bool], float]
"""Width in px of one line of text: (text, font size in px, bold)."""

KEPT: Final = 8192
"""Settings of text that are remembered: the search for the largest size tries the same ones often."""

STEP: Final = 1.05
"""From one font size to the next larger one."""

GLUE: Final = "\u00a0"
"""A space at which no line is broken."""


UNITS: Final = r"(?:mm|m|ft|in|inch|thou|um|µm|cm|N|kW|s|min|rpm|turns?)(?:/\w+)?"
"""Units that stay on the line of their figure."""


@dataclass(frozen=True)
class Block:
    """Text broken into lines."""

    lines: tuple[str, ...]
    size: float
    """Font size, px."""
    bold: bool
    width: float
    """Of the widest line, px."""

    @cached_property
    def height(self) -> float:
        """Height of all lines, px."""
        return len(self.lines) * line_height(self.size)

    @cached_property
    def text(self) -> str:
        """The lines as one text; the glue is an ordinary space again."""
        return "\n".join(self.lines).replace(GLUE, " ")


def line_height(size: float) -> float:
    """Height of a line of font `size`, px.

    >>> line_height(100)
    117.0
    """
    return size * LINE


def glued(text: str) -> str:
    """`text` with each figure tied to the unit after it, so that no line parts them.

    >>> glued("101 m/min (330 ft/min) and more").count(GLUE)
    2
    """
    return re.sub(rf"(?<=\d) (?=(?:{UNITS})\b)", GLUE, text)


@lru_cache(maxsize=KEPT)
def wrapped(text: str, size: float, bold: bool, width: float, measure: Measure) -> Block:
    """`text` broken at spaces so that no line is wider than `width`; a longer word is broken inside."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in glued(paragraph).split(" "):
            longer = f"{line} {word}" if line else word
            if measure(longer, size, bold) <= width:
                line = longer
                continue
            if line:
                lines.append(line)
            *full, line = _pieces(word, size, bold, width, measure)
            lines += full
        lines.append(line)
    widest = max(measure(line, size, bold) for line in lines)
    return Block(tuple(lines), size, bold, widest)


def _pieces(word: str, size: float, bold: bool, width: float, measure: Measure) -> list[str]:
    """`word` in as few pieces as fit: parted at the glue first, inside only if it must be."""
    if measure(word, size, bold) <= width:
        return [word]
    if GLUE in word:
        head, tail = word.rsplit(GLUE, 1)
        return [
            *_pieces(head, size, bold, width, measure),
            *_pieces(tail, size, bold, width, measure),
        ]
    cut = len(word) - 1
    while cut > 1 and measure(word[:cut], size, bold) > width:
        cut -= 1
    return [word[:cut], *_pieces(word[cut:], size, bold, width, measure)] if cut else [word]


@lru_cache(maxsize=KEPT)
def phrased(text: str, size: float, bold: bool, width: float, measure: Measure) -> Block:
    """As `wrapped`, but broken after a comma, at a dot or before a bracket if that costs no line."""
    plain = wrapped(text, size, bold, width, measure)
    lines: list[str] = []
    for part in re.split(r"(?<=[,;·]) | (?=\()", text):
        longer = f"{lines[-1]} {part}" if lines else part
        if lines and measure(longer, size, bold) <= width:
            lines[-1] = longer
        else:
            lines.append(part)
    tried = wrapped("\n".join(lines), size, bold, width, measure)
    return tried if len(tried.lines) <= len(plain.lines) else plain


def whole(block: Block, text: str) -> bool:
    """True if no word of `text` had to be broken to make `block`."""
    return block.text.split() == text.split()


@lru_cache(maxsize=KEPT)
def balanced(text: str, size: float, bold: bool, width: float, measure: Measure) -> Block:
    """As `wrapped`, in the same number of lines but each about equally long."""
    block = wrapped(text, size, bold, width, measure)
    if len(block.lines) == 1:
        return block
    least, most = block.width / 2, width
    for _ in range(8):
        middle = (least + most) / 2
        tried = wrapped(text, size, bold, middle, measure)
        if len(tried.lines) <= len(block.lines) and whole(tried, text):
            block, most = tried, middle
        else:
            least = middle
    return block


@lru_cache(maxsize=64)
def font_sizes(smallest: float, biggest: float) -> tuple[float, ...]:
    """Sizes to choose from, whole px, each a little larger than the one before.

    Opening a typeface at yet another size takes longer than all sums: few sizes serve all words.

    >>> font_sizes(20, 24)
    (20.0, 21.0, 22.0, 23.0, 24.0)
    """
    found: list[float] = []
    size = math.ceil(smallest)
    while size <= biggest:
        found.append(float(size))
        size = max(size + 1, round(size * STEP))
    return tuple(found) or (float(smallest),)


@lru_cache(maxsize=KEPT)
def largest(
    text: str,
    bold: bool,
    width: float,
    height: float,
    sizes: tuple[float, float],
    measure: Measure,
    most_lines: int = 1,
) -> Block | None:
    """The largest setting of `text` in width x height px, `sizes` = (smallest, largest) allowed.

    None where even the smallest size does not fit in `most_lines` lines.
    """
    steps = font_sizes(*sizes)
    least, most = 0, len(steps) - 1
    best: Block | None = None
    while least <= most:
        middle = (least + most) // 2
        block = wrapped(text, steps[middle], bold, width, measure)
        if _fits(block, text, width, height, most_lines):
            best, least = block, middle + 1
        else:
            most = middle - 1
    return best


def _fits(block: Block, text: str, width: float, height: float, most_lines: int) -> bool:
    """True if `block` is inside its box and no word of `text` is broken."""
    return (
        whole(block, text)
        and len(block.lines) <= most_lines
        and block.width <= width
        and block.height <= height
    )
