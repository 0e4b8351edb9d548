"""Picture of the passes: what the dial reads at each, those taken, the present one, those to come."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from display.page import Draft, Shape
from display.picture import Fonts, one_line, sizes, stroke
from display.typesetting import Measure, line_height
from display.words import word

PITCH: Final = 1.45
"""Height of a rung over the line height of its words."""
BAR: Final = 0.5
"""Width of the bar of depth, in font sizes."""
SIGN: Final = 1.5
"""Width of the column with the sign of each rung, in font sizes."""
PAD: Final = 0.45
"""Left and right of a reading on its plate, in font sizes."""
FEWEST: Final = 3
USUAL: Final = 5
"""Rungs that are to be seen: fewer only where no size of words gives room for them."""
RUNGS: Final = 8
"""Most rungs on a picture."""


@dataclass(frozen=True)
class Ladder:
    """The passes of a thread, or the cuts to a size."""

    readings: tuple[str, ...]
    depths: tuple[float, ...]
    present: int
    """Place of the pass to take now; their number when all are taken."""
    headed: bool = True
    """False where which pass it is stands elsewhere on the page."""

    wide = False
    weight = 0.8
    widest = 1.4
    note = ""

    @property
    def heading(self) -> str:
        """Which pass of how many; '' where that stands elsewhere."""
        if not self.headed:
            return ""
        count = len(self.readings)
        if self.present >= count:
            return word("pictures", "all_passes", count=count)
        return word("pictures", "pass", number=self.present + 1, count=count)

    def window(self, rungs: int) -> range:
        """The places of the `rungs` to show: one that was taken, the present one, those to come.

        >>> Ladder(("1", "2", "3", "4", "5"), (1, 2, 3, 4, 5), 3).window(3)
        range(2, 5)
        """
        count = len(self.readings)
        rungs = min(rungs, count)
        start = max(0, min(self.present - 1, count - rungs))
        return range(start, start + rungs)

    def head(self, font: float) -> float:
        """Height of the heading, px."""
        return 1.3 * line_height(font) if self.heading else 0.0

    def width(self, font: float, measure: Measure) -> float:
        """Width that the picture needs at `font`, px."""
        widest = max(measure(reading, font, True) for reading in self.readings)
        rung = (BAR + 0.5 + SIGN) * font + widest + 2 * PAD * font
        return max(rung, measure(self.heading, font, True))

    def fitted(self, width: float, height: float, fonts: Fonts, measure: Measure) -> Draft | None:
        """The ladder in width x height px; None where fewer than three rungs could be read."""
        for fewest in (USUAL, FEWEST):
            for font in sizes(fonts):
                room = height - self.head(font)
                rungs = min(RUNGS, int(room / (PITCH * line_height(font))))
                enough = rungs >= min(fewest, len(self.readings))
                if enough and self.width(font, measure) <= width:
                    return self._drawn(self.window(rungs), font, width, height, measure)
        return None

    def _drawn(
        self, places: range, font: float, width: float, height: float, measure: Measure
    ) -> Draft:
        draft = Draft()
        pitch = PITCH * line_height(font)
        head = self.head(font)
        left = (width - self.width(font, measure)) / 2
        top = (height - head - pitch * len(places)) / 2
        if self.heading:
            draft.put("figure", one_line(self.heading, font, True, measure), left, top)
        top += head
        self._draw_bar(draft, left, top, pitch * len(places), font)
        for at, place in enumerate(places):
            y = top + (at + 0.5) * pitch
            self._draw_rung(draft, place, left + (BAR + 0.5) * font, y, font, measure)
        return draft

    def _draw_bar(self, draft: Draft, x: float, y: float, height: float, font: float) -> None:
        """How deep the tool is: to scale, all the way down is the full depth."""
        full = max(self.depths)
        reached = self.depths[self.present - 1] if self.present else 0.0
        wanted = self.depths[min(self.present, len(self.depths) - 1)]
        wide, edge = BAR * font, 0.1 * font
        inner = (x + edge, y, wide - 2 * edge)
        draft.shapes.append(Shape("box", (*inner, height), "rule"))
        draft.shapes.append(Shape("box", (*inner, height * reached / full), "quiet"))
        # Wider than what was cut already: to some eyes the two colours are alike.
        cut = (x, y + height * reached / full, wide, height * (wanted - reached) / full)
        draft.shapes.append(Shape("box", cut, "accent"))

    def _draw_rung(
        self, draft: Draft, place: int, x: float, y: float, font: float, measure: Measure
    ) -> None:
        now = place == self.present
        block = one_line(self.readings[place], font, now, measure)
        left = x + SIGN * font
        thick = stroke(font)
        if place < self.present:
            tick = (0.15, 0.05, 0.45, 0.35, 1.0, -0.4)
            points = tuple(n * font + (y if at % 2 else x) for at, n in enumerate(tick))
            draft.shapes.append(Shape("line", points, "quiet", thick))
        elif now:
            arrow = (
                x + 0.1 * font,
                y - 0.5 * font,
                x + 1.1 * font,
                y,
                x + 0.1 * font,
                y + 0.5 * font,
            )
            draft.shapes.append(Shape("fan", arrow, "accent"))
            tall = 1.25 * line_height(font)
            plate = (left, y - tall / 2, block.width + 2 * PAD * font, tall)
            draft.shapes.append(Shape("pill", plate, "accent"))
        else:
            draft.shapes.append(Shape("ring", (x + 0.6 * font, y, 0.22 * font), "quiet", thick))
        look = ("on_accent", "accent") if now else ("quiet", "ground")
        left += PAD * font
        draft.put("figure", block, left, y - block.height / 2, colour=look[0], behind=look[1])
