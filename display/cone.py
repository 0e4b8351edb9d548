"""Picture of a taper from the side: its ends, its length and the angle to set."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from display.page import Draft, Shape
from display.picture import Fonts, arrowhead, dashed, one_line, sizes, stroke
from display.typesetting import Measure, line_height

LEAST_ANGLE: Final = 7.0
"""Degrees to which a slender taper's half angle is drawn, so that it can be seen."""
LEAST_HEIGHT: Final = 2.2
"""Height of the large end, in font sizes, under which the taper is not drawn."""
GAP: Final = 0.8
"""Between figures on one line, in font sizes."""


@dataclass(frozen=True)
class Cone:
    """A taper; slender ones are drawn steeper than they are."""

    half_angle: float
    """Degrees."""
    angle_label: str
    large: str
    """Diameter of the large end in words; '' where there is none."""
    small: str
    length: str

    wide = True
    weight = 1.2
    widest = 3.0
    note = ""

    @property
    def drawn_angle(self) -> float:
        """Half angle on the screen, degrees: never slenderer than can be seen.

        >>> Cone(1.4, "1.4°", "", "", "").drawn_angle
        7.0
        """
        return max(LEAST_ANGLE, self.half_angle)

    def rows(self, font: float) -> float:
        """Height of the lines of words, px."""
        lines = 1.15 + (1.2 if self.large or self.small else 0) + (1.2 if self.length else 0)
        return lines * line_height(font)

    def body(self, width: float, height: float, font: float) -> tuple[float, float, float]:
        """Length of the taper and half heights of its large and small end on the screen, px."""
        half = (height - self.rows(font)) / 2
        slope = math.tan(math.radians(self.drawn_angle))
        long = min(width, 0.8 * half / slope)
        return long, half, half - long * slope

    def fitted(self, width: float, height: float, fonts: Fonts, measure: Measure) -> Draft | None:
        """The taper in width x height px; None where it or its figures could not be read."""
        if self.half_angle >= 80:
            return None
        for font in sizes(fonts):
            long, large, _small = self.body(width, height, font)
            ends = sum(measure(text, font, True) for text in (self.large, self.small))
            wide = max(ends + GAP * font, measure(self.length, font, False) + 3 * font)
            if 2 * large >= LEAST_HEIGHT * font and wide <= width and long >= 2.5 * font:
                return self._drawn(width, height, font, measure)
        return None

    def _drawn(self, width: float, height: float, font: float, measure: Measure) -> Draft:
        draft = Draft()
        line = line_height(font)
        long, large, small = self.body(width, height, font)
        left, right = (width - long) / 2, (width + long) / 2
        top = 1.15 * line
        axis = top + large
        thick = stroke(font)
        corners = (left, axis - large, right, axis - small, right, axis + small, left, axis + large)
        draft.shapes.append(Shape("fan", corners, "asleep"))
        draft.shapes.append(Shape("line", (*corners, left, axis - large), "ink", thick))
        draft.shapes += dashed(0.0, axis, width, axis, 0.5 * font, "quiet", thick / 2)
        self._draw_angle(draft, (left, right, axis - small), font, width, measure)
        y = axis + large + 0.2 * line
        if self.large or self.small:
            self._draw_ends(draft, (left, right), y, width, font, measure)
            y += 1.2 * line
        if self.length:
            self._draw_length(draft, (left, right), y + line / 2, font, measure)
        return draft

    def _draw_angle(
        self,
        draft: Draft,
        place: tuple[float, float, float],
        font: float,
        width: float,
        measure: Measure,
    ) -> None:
        """The half angle at the upper corner of the small end, between the flank and the axis."""
        left, right, y = place
        thick = stroke(font)
        draft.shapes += dashed(right, y, left, y, 0.35 * font, "quiet", thick / 2)
        radius = 0.6 * (right - left)
        bounds = (270, 270 + self.drawn_angle)
        draft.shapes.append(Shape("arc", (right, y, radius, *bounds), "accent", 1.5 * thick))
        label = one_line(self.angle_label, font, True, measure)
        middle = right - 0.4 * (right - left)
        most = width - label.width
        draft.put("figure", label, max(0.0, min(most, middle - label.width / 4)), 0.0)

    def _draw_ends(
        self,
        draft: Draft,
        ends: tuple[float, float],
        y: float,
        width: float,
        font: float,
        measure: Measure,
    ) -> None:
        """The diameters under their ends, drawn apart where the taper is too short for both."""
        large, small = (one_line(text, font, True, measure) for text in (self.large, self.small))
        x = max(0.0, ends[0] - 0.3 * large.width)
        after = min(width - small.width, ends[1] - 0.7 * small.width)
        lacking = x + large.width + GAP * font - after
        if self.large and self.small and lacking > 0:
            x = max(0.0, x - lacking / 2)
            after = min(width - small.width, x + large.width + GAP * font)
            x = after - GAP * font - large.width
        if self.large:
            draft.put("figure", large, x, y)
        if self.small:
            draft.put("figure", small, after, y)

    def _draw_length(
        self, draft: Draft, ends: tuple[float, float], y: float, font: float, measure: Measure
    ) -> None:
        label = one_line(self.length, font, False, measure)
        middle = (ends[0] + ends[1]) / 2
        draft.put("figure", label, middle - label.width / 2, y - label.height / 2)
        thin = stroke(font) / 2
        clear = label.width / 2 + 0.3 * font
        for end, side in ((ends[0], -1), (ends[1], 1)):
            start = middle + side * clear
            if side * (end - start) > 0.5 * font:
                draft.shapes.append(Shape("line", (start, y, end, y), "quiet", thin))
                draft.shapes.append(arrowhead(end, y, (side, 0), 0.4 * font, "quiet"))
