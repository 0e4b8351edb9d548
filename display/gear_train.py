"""Picture of a gear train, seen edge on: which gear drives which, and which two share a stud."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from display.page import Draft, Shape
from display.picture import Fonts, one_line, sizes, stroke
from display.typesetting import Measure, line_height
from display.words import word

LEAST: Final = 1.25
"""Least height of a gear, in line heights: its teeth are written in it."""
PLAY: Final = 0.12
"""Between two gears that mesh, in font sizes."""
SHAFT: Final = 1.3
"""Length of a stud between two gears, in font sizes."""
PAD: Final = 0.4


@dataclass(frozen=True)
class Train:
    """A gear train, from the spindle's side to the leadscrew's."""

    drivers: tuple[int, ...]
    driven: tuple[int, ...]
    idler: int | None = None
    """Between a single pair, where one is needed."""

    wide = True
    weight = 1.2
    widest = 2.5
    note = ""

    def columns(self) -> list[tuple[int, ...]]:
        """The gears of each plane from the spindle's side down.

        >>> Train((40, 30), (80, 60)).columns()
        [(40, 80), (30, 60)]
        """
        planes: list[tuple[int, ...]] = list(zip(self.drivers, self.driven, strict=True))
        if len(planes) == 1 and self.idler is not None:
            return [(self.drivers[0], self.idler, self.driven[0])]
        return planes

    def gear_width(self, font: float, measure: Measure) -> float:
        """Width of every gear, px: the widest count of teeth and some room."""
        counts = [str(teeth) for plane in self.columns() for teeth in plane]
        return max(measure(count, font, True) for count in counts) + 2 * PAD * font

    def gear_height(self, teeth: int, font: float, scale: float) -> float:
        """Height of a gear, px: to scale, but never too low for its count of teeth."""
        return max(LEAST * line_height(font), teeth * scale)

    def places(
        self, font: float, scale: float, wide: float
    ) -> list[tuple[int, float, float, float]]:
        """Each gear as (teeth, left, top, height), px; a driven gear and the next driver share a shaft."""
        found: list[tuple[int, float, float, float]] = []
        axis = 0.0
        for at, plane in enumerate(self.columns()):
            x = at * (wide + SHAFT * font)
            y = axis - self.gear_height(plane[0], font, scale) / 2
            for teeth in plane:
                tall = self.gear_height(teeth, font, scale)
                found.append((teeth, x, y, tall))
                axis = y + tall / 2
                y += tall + PLAY * font
        top = min(place[2] for place in found)
        return [(teeth, x, y - top, tall) for teeth, x, y, tall in found]

    def fitted(self, width: float, height: float, fonts: Fonts, measure: Measure) -> Draft | None:
        """The train in width x height px; None where its teeth could not be read."""
        for font in sizes(fonts):
            wide = self.gear_width(font, measure)
            planes = len(self.columns())
            names = [word("pictures", key) for key in ("first_gear", "last_gear")]
            aside = max(measure(name, font, False) for name in names) + 0.5 * font
            total = planes * wide + (planes - 1) * SHAFT * font
            named = total + 2 * aside <= width
            if total > width:
                continue
            scale = self._scale(font, height, wide)
            if scale is not None:
                return self._drawn((width, height), font, scale, measure, named)
        return None

    def _scale(self, font: float, height: float, wide: float) -> float | None:
        """px for a tooth, the largest that stays inside; None where not even the numbers do."""
        teeth = max(teeth for plane in self.columns() for teeth in plane)
        for quarters in range(16, -1, -1):
            scale = quarters / 4 * line_height(font) / teeth
            places = self.places(font, scale, wide)
            if max(y + tall for _, _, y, tall in places) <= height:
                return scale
        return None

    def _drawn(
        self,
        box: tuple[float, float],
        font: float,
        scale: float,
        measure: Measure,
        named: bool,
    ) -> Draft:
        draft = Draft()
        wide = self.gear_width(font, measure)
        places = self.places(font, scale, wide)
        right = max(x for _, x, _, _ in places) + wide
        tall = max(y + height for _, _, y, height in places)
        left, top = (box[0] - right) / 2, (box[1] - tall) / 2
        thick = stroke(font)
        for (_, x, y, height), (_, after, _, _) in pairwise(places):
            if after > x:
                middle = top + y + height / 2
                shaft = (left + x + wide, middle, left + after, middle)
                draft.shapes.append(Shape("line", shaft, "ink", 2 * thick))
        for at, (teeth, x, y, height) in enumerate(places):
            self._draw_gear(draft, teeth, (left + x, top + y, wide, height), font, measure)
            if named and at in (0, len(places) - 1):
                key = "first_gear" if at == 0 else "last_gear"
                name = one_line(word("pictures", key), font, False, measure)
                beside = (
                    left + x - 0.5 * font - name.width if at == 0 else left + x + wide + 0.5 * font
                )
                middle = top + y + height / 2
                draft.put("figure", name, beside, middle - name.height / 2, colour="quiet")
        return draft

    def _draw_gear(
        self,
        draft: Draft,
        teeth: int,
        gear: tuple[float, float, float, float],
        font: float,
        measure: Measure,
    ) -> None:
        x, y, wide, tall = gear
        draft.shapes.append(Shape("box", gear, "accent"))
        count = one_line(str(teeth), font, True, measure)
        look = {"colour": "on_accent", "behind": "accent"}
        draft.centre("figure", count, x + wide / 2, y + tall / 2, **look)
