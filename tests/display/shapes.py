"""Where shapes are: the box that each takes, worked out here and not in the product."""

from __future__ import annotations

import math

from display.page import Draft, Rect, Shape


def extent(shape: Shape) -> Rect:
    """The box of a shape without the thickness of its lines."""
    numbers = shape.numbers
    if shape.kind in ("box", "pill"):
        return Rect(*numbers)
    if shape.kind in ("disc", "ring"):
        x, y, radius = numbers
        return Rect(x - radius, y - radius, 2 * radius, 2 * radius)
    if shape.kind == "arc":
        x, y, radius, start, end = numbers
        turns = [start + (end - start) * step / 90 for step in range(91)]
        xs = [x + radius * math.sin(math.radians(turn)) for turn in turns]
        ys = [y - radius * math.cos(math.radians(turn)) for turn in turns]
    else:
        xs, ys = list(numbers[::2]), list(numbers[1::2])
    return Rect(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def all_inside(draft: Draft, width: float, height: float, slack: float) -> bool:
    """True if every word and shape is within width x height px."""
    frame = Rect(0, 0, width, height)
    return all(frame.contains(extent(shape), slack) for shape in draft.shapes) and all(
        frame.contains(words.rect, 0.5) for words in draft.words
    )
