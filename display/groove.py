"""Picture of a thread's form: one groove with its angle, its depth and what the tool's nose leaves."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from display.page import Draft, Shape
from display.picture import Fonts, arrowhead, one_line, sizes, stroke
from display.typesetting import Measure, line_height
from display.words import word

SHALLOWEST: Final = 1.6
"""Depth of the groove on the screen, in font sizes, under which it is not drawn."""
STEPS: Final = 12
"""Straight pieces of a round root."""


@dataclass(frozen=True)
class Groove:
    """One groove, drawn to scale."""

    angle: float
    """Included angle, degrees."""
    depth: float
    """mm, on the radius."""
    nose: float
    """mm: width of a flat, or radius; 0 where it is not known."""
    round_nose: bool
    labels: tuple[str, str, str]
    """Angle, depth and nose in words; an empty one is left out."""

    wide = False
    weight = 1.0
    widest = 2.2
    note = ""

    def half_profile(self) -> list[tuple[float, float]]:
        """Right half of the groove from its root to the surface: mm from the middle, mm deep.

        >>> Groove(90, 1.0, 0.5, False, ("", "", "")).half_profile()
        [(0.25, 1.0), (1.25, 0.0)]
        """
        lean = math.radians(self.angle / 2)
        if not self.round_nose or self.nose <= 0:
            half = self.nose / 2
            return [(half, self.depth), (half + self.depth * math.tan(lean), 0.0)]
        radius = self.nose
        sweep = math.pi / 2 - lean
        found = []
        for step in range(STEPS + 1):
            turn = sweep * step / STEPS
            found.append((radius * math.sin(turn), self.depth - radius * (1 - math.cos(turn))))
        across, deep = found[-1]
        return [*found, (across + deep * math.tan(lean), 0.0)]

    def aside(self, font: float, measure: Measure) -> float:
        """Width that metal and figures left and right of the groove take, px."""
        return 2.0 * font + measure(self.labels[1], font, True)

    def scale(self, width: float, height: float, font: float, measure: Measure) -> float:
        """px for a mm: the groove and the words beside, over and under it stay inside."""
        deep = height - 2.6 * line_height(font)
        half = self.half_profile()[-1][0]
        return min(deep / self.depth, (width - self.aside(font, measure)) / (2 * half))

    def fitted(self, width: float, height: float, fonts: Fonts, measure: Measure) -> Draft | None:
        """The groove in width x height px; None where it or its figures could not be read."""
        if not 1.0 <= self.angle <= 120.0 or self.depth <= 0 or self.nose > 2 * self.depth:
            return None
        if self.half_profile()[-2][1] < 0:
            # A round root that wide would stand out over the surface.
            return None
        for font in sizes(fonts):
            scale = self.scale(width, height, font, measure)
            nose = measure(self.labels[2], font, False) + font
            if scale * self.depth >= SHALLOWEST * font and nose <= width:
                return self._drawn((width, height), scale, font, measure)
        return None

    def _drawn(
        self, box: tuple[float, float], scale: float, font: float, measure: Measure
    ) -> Draft:
        draft = Draft()
        line = line_height(font)
        deep = scale * self.depth
        half = [(scale * x, scale * y) for x, y in self.half_profile()]
        nose = one_line(self.labels[2], font, False, measure)
        wide = max(2 * half[-1][0] + self.aside(font, measure), nose.width + 0.8 * font)
        x, surface = (box[0] - wide) / 2, (box[1] - deep - 2.6 * line) / 2 + 1.2 * line
        middle = x + (wide - self.aside(font, measure)) / 2 + 0.6 * font
        draft.shapes.append(Shape("box", (x, surface, wide, deep + 1.4 * line), "asleep"))
        outline = [(middle - across, surface + down) for across, down in reversed(half)]
        outline += [(middle + across, surface + down) for across, down in half]
        draft.shapes.append(Shape("fan", _flat(outline), "ground"))
        edge = [(x, surface), *outline, (x + wide, surface)]
        draft.shapes.append(Shape("line", _flat(edge), "ink", stroke(font)))
        self._draw_angle(draft, middle, surface, half[-1][0], font, measure)
        self._draw_depth(draft, (middle, surface), half, font, measure)
        if self.labels[2]:
            pad = 0.4 * font
            left = max(x + pad, min(x + wide - nose.width - pad, middle - nose.width / 2))
            draft.put("figure", nose, left, surface + deep + 0.3 * line, **_ON_METAL)
        return draft

    def _draw_angle(
        self, draft: Draft, x: float, surface: float, half: float, font: float, measure: Measure
    ) -> None:
        lean = self.angle / 2
        apex = surface + half / math.tan(math.radians(lean))
        radius = (apex - surface) * 0.8
        draft.shapes.append(Shape("arc", (x, apex, radius, -lean, lean), "ink", stroke(font)))
        label = one_line(self.labels[0], font, True, measure)
        draft.put("figure", label, x - label.width / 2, surface - 1.15 * line_height(font))

    def _draw_depth(
        self,
        draft: Draft,
        top: tuple[float, float],
        half: list[tuple[float, float]],
        font: float,
        measure: Measure,
    ) -> None:
        """An arrow from the surface to the root, right of the groove, with the depth beside it."""
        x, surface = top
        root = surface + half[0][1]
        label = one_line(self.labels[1], font, True, measure)
        at = x + half[-1][0] + 0.4 * font
        thin = stroke(font) / 2
        draft.shapes.append(Shape("line", (x, root, at, root), "on_asleep", thin))
        draft.shapes.append(Shape("line", (at, surface, at, root), "on_asleep", thin))
        head = 0.4 * font
        draft.shapes.append(arrowhead(at, surface, (0, -1), head, "on_asleep"))
        draft.shapes.append(arrowhead(at, root, (0, 1), head, "on_asleep"))
        middle = (surface + root - label.height) / 2
        draft.put("figure", label, at + 0.5 * font, middle, **_ON_METAL)


_ON_METAL: Final = {"colour": "on_asleep", "behind": "asleep"}


def _flat(points: list[tuple[float, float]]) -> tuple[float, ...]:
    return tuple(number for point in points for number in point)


def nose_label(size: str) -> str:
    """The nose in words.

    >>> nose_label("flat 0.25 mm")
    'nose flat 0.25 mm'
    """
    return word("pictures", "nose", size=size)
