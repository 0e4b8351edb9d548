"""Picture of the thread dial: which marks serve, from the marks alone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final

from display.page import MARKS, Draft, Shape
from display.picture import Fonts, sizes
from display.typesetting import Block, Measure
from display.words import word

Mark = tuple[str, Fraction, bool]
"""Label ('' for a plain line), position in turns, safe or not."""

GAP: Final = 0.25
"""Clear space between neighbouring marks, in font sizes."""
LABEL_MARGIN: Final = 1.25
"""Radius of a lit mark over half the diagonal of its label."""
PLAIN: Final = 0.34
"""Radius of a lit plain line, in font sizes."""
INDEX: Final = 0.55
"""Height of the pointer at which the half-nut is closed, in font sizes."""


@dataclass(frozen=True)
class MarkPlace:
    """Where one mark stands; px from the middle of the dial, y downwards."""

    label: str
    safe: bool
    x: float
    y: float
    radius: float
    """Of the space that the mark takes."""
    direction: tuple[float, float]
    """Outwards, length 1."""


def mark_radius(label: str, font: float, measure: Measure) -> float:
    """Radius of the disc that holds `label`, px; a plain line needs less."""
    if not label:
        return PLAIN * font
    capital = 0.73 * font
    return LABEL_MARGIN * math.hypot(measure(label, font, True), capital) / 2


def least_radius(marks: Sequence[Mark], font: float, measure: Measure) -> float:
    """Radius of the circle of marks on which no two neighbours touch: r = c / (2 sin(a / 2)), px."""
    if len(marks) < 2:
        return 2 * font
    ordered = sorted(marks, key=lambda mark: mark[1])
    least = 2 * font
    for (label, position, _), (other, after, _) in zip(
        ordered, [*ordered[1:], ordered[0]], strict=True
    ):
        turn = float(after - position) % 1 or 1 / MARKS
        chord = mark_radius(label, font, measure) + mark_radius(other, font, measure)
        least = max(least, (chord + GAP * font) / (2 * math.sin(math.pi * min(turn, 0.5))))
    return least


def side(marks: Sequence[Mark], font: float, measure: Measure) -> float:
    """Side of the square that the picture needs at `font`, px."""
    widest = max(mark_radius(label, font, measure) for label, _, _ in marks)
    return 2 * (least_radius(marks, font, measure) + widest + INDEX * font)


def places(marks: Sequence[Mark], radius: float, font: float, measure: Measure) -> list[MarkPlace]:
    """Each mark on a circle of `radius`, the first at the top and the turn clockwise."""
    found = []
    for label, position, safe in marks:
        angle = 2 * math.pi * float(position)
        out = (math.sin(angle), -math.cos(angle))
        size = mark_radius(label, font, measure)
        found.append(MarkPlace(label, safe, radius * out[0], radius * out[1], size, out))
    return found


@lru_cache(maxsize=256)
def fitting_font(
    marks: tuple[Mark, ...], square: float, fonts: tuple[float, float], measure: Measure
) -> float | None:
    """The largest font from smallest to largest at which the dial fits a `square`; None if none does."""
    if not marks or len(marks) > MARKS:
        return None
    for font in sizes(fonts):
        if side(marks, font, measure) <= square:
            return font
    return None


def picture(
    marks: tuple[Mark, ...], square: float, fonts: tuple[float, float], measure: Measure
) -> Draft | None:
    """The dial in a `square` of px with its corner at (0, 0); None where it cannot be read there."""
    font = fitting_font(marks, square, fonts, measure)
    if font is None:
        return None
    widest = max(mark_radius(label, font, measure) for label, _, _ in marks)
    radius = square / 2 - widest - INDEX * font
    middle = square / 2
    draft = Draft()
    stroke = max(3.0, 0.07 * font)
    draft.shapes.append(Shape("ring", (middle, middle, radius), "quiet", stroke))
    for place in places(marks, radius, font, measure):
        _draw_mark(draft, place, middle, font, stroke, measure)
    tip = middle - radius - widest - 0.05 * font
    half, height = 0.45 * font, INDEX * font * 0.9
    pointer = (middle - half, tip - height, middle + half, tip - height, middle, tip)
    draft.shapes.append(Shape("fan", pointer, "ink"))
    return draft


def _draw_mark(
    draft: Draft, place: MarkPlace, middle: float, font: float, stroke: float, measure: Measure
) -> None:
    x, y = middle + place.x, middle + place.y
    if place.safe:
        draft.shapes.append(Shape("disc", (x, y, place.radius), "accent"))
    elif place.label:
        draft.shapes.append(Shape("disc", (x, y, place.radius), "ground"))
    else:
        dx, dy = (0.22 * font * part for part in place.direction)
        draft.shapes.append(Shape("line", (x - dx, y - dy, x + dx, y + dy), "quiet", stroke))
    if place.label:
        word = Block((place.label,), font, place.safe, measure(place.label, font, place.safe))
        look = ("on_accent", "accent") if place.safe else ("quiet", "ground")
        draft.centre("mark", word, x, y, colour=look[0], behind=look[1])


@dataclass(frozen=True)
class Dial:
    """The picture of a thread dial among the other pictures."""

    marks: tuple[Mark, ...]

    wide = False
    weight = 1.0
    widest = 1.0

    @property
    def note(self) -> str:
        """What the lit marks mean."""
        return word("pictures", "on_the_dial")

    def fitted(self, width: float, height: float, fonts: Fonts, measure: Measure) -> Draft | None:
        """The dial in the middle of width x height px; None where it could not be read there."""
        square = min(width, height)
        found = picture(self.marks, square, fonts, measure)
        if found is None:
            return None
        draft = Draft()
        draft.add(found, (width - square) / 2, (height - square) / 2)
        return draft
