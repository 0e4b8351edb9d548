"""Picture of the compound slide, swung to its angle, as the operator sees it from above."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from display.page import Draft, Shape
from display.picture import Fonts, dashed, one_line, sizes, stroke
from display.typesetting import Measure, line_height
from display.words import word

BAND: Final = 1.5
"""Height of chuck, work and tailstock, in line heights."""
SHORTEST: Final = 3.2
"""Length of the slide under which the angle can not be seen, in font sizes."""
HANDLE: Final = 0.55
"""Radius of the handle, in font sizes."""


@dataclass(frozen=True)
class Swing:
    """The compound slide at an angle from the line of the cross slide."""

    angle: float
    """Degrees from the cross slide."""
    label: str
    """The angle in words."""
    to_tailstock: bool
    """True where the handle's end is swung to the tailstock, on the operator's right."""

    wide = False
    weight = 1.0
    widest = 1.4
    note = ""

    def reach(self, width: float, height: float, font: float) -> float:
        """Length of the slide from the tool's point in width x height px: both ends stay inside."""
        lean = math.radians(self.angle)
        down = height - BAND * line_height(font) - HANDLE * font
        aside = width / 2 - HANDLE * font
        limits = [down / math.cos(lean)] if lean < 1.55 else []
        return min([*limits, aside / math.sin(lean)] if lean > 0.01 else limits)

    def end(self, reach: float) -> tuple[float, float]:
        """The handle's end from the tool's point: right and down, px.

        >>> [round(n, 1) for n in Swing(30, "30°", True).end(10)]
        [5.0, 8.7]
        """
        lean = math.radians(self.angle)
        side = 1 if self.to_tailstock else -1
        return side * reach * math.sin(lean), reach * math.cos(lean)

    def fitted(self, width: float, height: float, fonts: Fonts, measure: Measure) -> Draft | None:
        """The slide in width x height px; None where its angle could not be seen or read."""
        for font in sizes(fonts):
            reach = self.reach(width, height, font)
            label = measure(self.label, font, True)
            if reach >= SHORTEST * font and label + 0.8 * font <= width / 2:
                return self._drawn(width, height, reach, font, measure)
        return None

    def _drawn(
        self, width: float, height: float, reach: float, font: float, measure: Measure
    ) -> Draft:
        draft = Draft()
        band = BAND * line_height(font)
        x, y = width / 2, band
        across, down = self.end(reach)
        thick = stroke(font)
        _draw_band(draft, width, band, font, measure)
        foot = min(height, y + max(down, 0.8 * reach))
        draft.shapes += dashed(x, y, x, foot, 0.35 * font, "quiet", thick)
        draft.shapes.append(Shape("line", (x, y, x + across, y + down), "accent", 0.5 * font))
        draft.shapes.append(Shape("disc", (x + across, y + down, HANDLE * font), "accent"))
        tip = (x, y, x - 0.4 * font, y + 0.75 * font, x + 0.4 * font, y + 0.75 * font)
        draft.shapes.append(Shape("fan", tip, "ink"))
        bounds = (180 - self.angle, 180) if self.to_tailstock else (180, 180 + self.angle)
        radius = min(0.62 * reach, height - y)
        draft.shapes.append(Shape("arc", (x, y, radius, *bounds), "ink", thick))
        block = one_line(self.label, font, True, measure)
        side = x - 0.5 * font - block.width if self.to_tailstock else x + 0.5 * font
        under = min(height, y + 0.59 * reach)
        draft.put("figure", block, side, under - block.height)
        self._name_the_line(draft, x, under, font, width, height, measure)
        return draft

    def _name_the_line(
        self,
        draft: Draft,
        x: float,
        top: float,
        font: float,
        width: float,
        height: float,
        measure: Measure,
    ) -> None:
        """What the angle is counted from, where there is room for it under the angle."""
        block = one_line(word("pictures", "cross_slide"), font, False, measure)
        if block.width + 0.5 * font > width / 2 or top + block.height > height:
            return
        side = x - 0.5 * font - block.width if self.to_tailstock else x + 0.5 * font
        draft.put("figure", block, side, top, colour="quiet")


def _draw_band(draft: Draft, width: float, band: float, font: float, measure: Measure) -> None:
    """Chuck at the left, work, and the tailstock at the right where both names have room."""
    chuck = one_line(word("pictures", "chuck"), font, False, measure)
    tail = one_line(word("pictures", "tailstock"), font, False, measure)
    pad = 0.4 * font
    block = min(chuck.width + 2 * pad, 0.42 * width)
    work = (0.0, 0.5 * band, width, 0.5 * band)
    named = chuck.width + tail.width + 4 * pad + 2.4 * font <= width
    draft.shapes.append(Shape("box", work, "rule"))
    draft.shapes += _block(0.0, block, band, font)
    if chuck.width + 2 * pad <= block:
        look = {"colour": "on_asleep", "behind": "asleep"}
        draft.put("figure", chuck, pad, (band - chuck.height) / 2, **look)
        if named:
            left = width - tail.width - 2 * pad
            draft.shapes += _block(left, width - left, band, font)
            draft.put("figure", tail, left + pad, (band - tail.height) / 2, **look)


def _block(x: float, width: float, height: float, font: float) -> list[Shape]:
    """A part of the lathe, with its outline."""
    edge = (x, 0.0, x + width, 0.0, x + width, height, x, height, x, 0.0)
    return [
        Shape("box", (x, 0.0, width, height), "asleep"),
        Shape("line", edge, "quiet", stroke(font) / 2),
    ]
