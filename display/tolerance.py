"""Picture of a fit: each part's tolerance as a bar against the zero line, the nominal size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from display.page import Draft, Shape
from display.picture import Fonts, one_line, sizes, stroke
from display.typesetting import Measure, line_height

LEAST_SPAN: Final = 1.5
"""Height of the scale, in font sizes, under which the bars are not drawn."""
LEAST_BAR: Final = 0.25
"""Least height of a bar, in font sizes: the thinnest tolerance still shows."""
GAP: Final = 0.9
"""Between the columns, in font sizes."""


@dataclass(frozen=True)
class Part:
    """The tolerance of one part."""

    name: str
    upper: float
    """Deviations, mm."""
    lower: float
    upper_label: str
    lower_label: str
    inner: bool
    """True for a hole: its bar is an outline, a shaft's is full."""


@dataclass(frozen=True)
class Bars:
    """One bar for each part, to one scale."""

    parts: tuple[Part, ...]
    zero: str
    """What the zero line stands for, in words."""

    wide = False
    weight = 1.0
    widest = 2.0
    note = ""

    def span(self) -> tuple[float, float]:
        """Highest and lowest deviation of all, the zero line among them, mm.

        >>> Bars((Part("hole", 0.021, 0.0, "", "", True),), "0").span()
        (0.021, 0.0)
        """
        ends = [each for part in self.parts for each in (part.upper, part.lower)]
        return max(0.0, *ends), min(0.0, *ends)

    def columns(self, font: float, measure: Measure) -> list[float]:
        """Width of each part's column, px."""
        return [
            max(
                measure(part.upper_label, font, True),
                measure(part.lower_label, font, True),
                measure(part.name, font, False),
            )
            for part in self.parts
        ]

    def width(self, font: float, measure: Measure) -> float:
        """Width that the picture needs at `font`, px."""
        columns = self.columns(font, measure)
        zero = measure(self.zero, font, False) + 0.4 * font
        return zero + sum(columns) + GAP * font * len(columns)

    def heights(self, height: float, font: float) -> tuple[float, float]:
        """Top of the scale and its height, px: a line of words over and under it, and the names."""
        line = line_height(font)
        return 2.3 * line, height - 3.5 * line

    def fitted(self, width: float, height: float, fonts: Fonts, measure: Measure) -> Draft | None:
        """The bars in width x height px; None where their figures could not be read."""
        high, low = self.span()
        if high == low:
            return None
        for font in sizes(fonts):
            _top, span = self.heights(height, font)
            if span >= LEAST_SPAN * font and self.width(font, measure) <= width:
                return self._drawn(width, height, font, measure)
        return None

    def _drawn(self, width: float, height: float, font: float, measure: Measure) -> Draft:
        draft = Draft()
        top, span = self.heights(height, font)
        high, low = self.span()
        scale = span / (high - low)
        zero_y = top + high * scale
        zero = one_line(self.zero, font, False, measure)
        left = (width - self.width(font, measure)) / 2
        x = left + zero.width + 0.4 * font
        thick = stroke(font)
        line = (x, zero_y, left + self.width(font, measure), zero_y)
        draft.shapes.append(Shape("line", line, "ink", thick))
        draft.put("figure", zero, left, zero_y - zero.height / 2, colour="quiet")
        for part, wide in zip(self.parts, self.columns(font, measure), strict=True):
            x += GAP * font / 2
            upper, lower = zero_y - part.upper * scale, zero_y - part.lower * scale
            _draw_bar(draft, part, (x + wide / 2, upper, wide, lower - upper), font)
            _draw_words(draft, part, x + wide / 2, (top, top + span), font, measure)
            x += wide + GAP * font / 2
        return draft


def _draw_bar(
    draft: Draft, part: Part, bar: tuple[float, float, float, float], font: float
) -> None:
    """The bar, `bar` = (middle, top, width of the column, height)."""
    middle, y, wide, tall = bar
    half = min(wide, 2.4 * font) / 2
    least = LEAST_BAR * font
    if tall < least:
        y, tall = y - (least - tall) / 2, least
    draft.shapes.append(Shape("box", (middle - half, y, 2 * half, tall), "accent"))
    edge = 0.14 * font
    if part.inner and tall > 3 * edge:
        inside = (middle - half + edge, y + edge, 2 * (half - edge), tall - 2 * edge)
        draft.shapes.append(Shape("box", inside, "ground"))


def _draw_words(
    draft: Draft,
    part: Part,
    middle: float,
    scale: tuple[float, float],
    font: float,
    measure: Measure,
) -> None:
    """The name and the upper deviation over the scale, the lower one under it."""
    name = one_line(part.name, font, False, measure)
    over = one_line(part.upper_label, font, True, measure)
    under = one_line(part.lower_label, font, True, measure)
    draft.put("figure", name, middle - name.width / 2, 0.0, colour="quiet")
    draft.put("figure", over, middle - over.width / 2, scale[0] - 1.15 * over.height)
    draft.put("figure", under, middle - under.width / 2, scale[1] + 0.15 * under.height)
