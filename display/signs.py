"""Small signs that tell a state by their shape: the ear, a question, a refusal, a fault, an alarm."""

from __future__ import annotations

import math
from typing import Final

from display.page import Shape

EAR_COLOURS: Final = {
    "asleep": ("asleep", "on_asleep"),
    "listening": ("listening", "on_listening"),
    "thinking": ("thinking", "on_thinking"),
    "speaking": ("speaking", "on_speaking"),
    "muted": ("muted", "on_muted"),
    "no microphone": ("deaf", "on_deaf"),
}
"""State of the ear -> colour of its plate, colour of sign and word on it."""


def ear_sign(state: str, x: float, y: float, size: float) -> list[Shape]:
    """The sign of an ear state, centred on (x, y) in a square of `size` px.

    >>> [shape.kind for shape in ear_sign("listening", 0, 0, 100)]
    ['disc', 'ring']
    """
    plate, on = EAR_COLOURS[state]
    radius = size / 2
    stroke = size * 0.12
    if state == "asleep":
        bite = (x + 0.38 * radius, y - 0.28 * radius, 0.82 * radius)
        return [Shape("disc", (x, y, radius), on), Shape("disc", bite, plate)]
    if state == "listening":
        rim = radius - stroke / 2
        return [Shape("disc", (x, y, 0.52 * radius), on), Shape("ring", (x, y, rim), on, stroke)]
    if state == "thinking":
        return [Shape("disc", (x + at * radius, y, 0.24 * radius), on) for at in (-0.72, 0, 0.72)]
    if state == "speaking":
        return _loudspeaker(x, y, radius, on, stroke)
    if state == "muted":
        reach = 0.66 * radius
        slash = (x - reach, y - reach, x + reach, y + reach)
        rim = radius - stroke / 2
        return [Shape("ring", (x, y, rim), on, stroke), Shape("line", slash, on, stroke)]
    return _cross(x, y, radius * 0.8, on, size * 0.2)


def _loudspeaker(x: float, y: float, radius: float, on: str, stroke: float) -> list[Shape]:
    left, cone = x - radius, x - 0.05 * radius
    horn = (
        *(left + 0.45 * radius, y - 0.3 * radius, cone, y - 0.85 * radius),
        *(cone, y + 0.85 * radius, left + 0.45 * radius, y + 0.3 * radius),
    )
    back = (left, y - 0.3 * radius, 0.5 * radius, 0.6 * radius)
    arcs = [Shape("arc", (x, y, r * radius, 50, 130), on, stroke) for r in (0.45, 0.88)]
    return [Shape("box", back, on), Shape("fan", horn, on), *arcs]


def _cross(x: float, y: float, reach: float, on: str, stroke: float) -> list[Shape]:
    falling = (x - reach, y - reach, x + reach, y + reach)
    rising = (x - reach, y + reach, x + reach, y - reach)
    return [Shape("line", falling, on, stroke), Shape("line", rising, on, stroke)]


def regular(
    x: float, y: float, radius: float, corners: int, turn: float = 0.0
) -> tuple[float, ...]:
    """Corners of a regular figure, the first at `turn` degrees clockwise from the top.

    >>> [round(n) for n in regular(0, 0, 10, 4)]
    [0, -10, 10, 0, 0, 10, -10, 0]
    """
    points: list[float] = []
    for corner in range(corners):
        angle = math.radians(turn + 360 * corner / corners)
        points += [x + radius * math.sin(angle), y - radius * math.cos(angle)]
    return tuple(points)


def caution_sign(x: float, y: float, size: float, ink: str, paper: str) -> list[Shape]:
    """A triangle with a stroke and a dot in it, centred on (x, y), `size` px high."""
    half = size * 0.58
    top, foot = y - size / 2, y + size / 2
    stem = (x - 0.07 * size, top + 0.34 * size, 0.14 * size, 0.30 * size)
    dot = (x, top + 0.79 * size, 0.085 * size)
    return [
        Shape("fan", (x, top, x + half, foot, x - half, foot), ink),
        Shape("box", stem, paper),
        Shape("disc", dot, paper),
    ]


def message_sign(kind: str, x: float, y: float, size: float) -> list[Shape]:
    """The sign before a message, centred on (x, y): each kind has its own outline.

    >>> [shape.kind for shape in message_sign("refused", 0, 0, 50)]
    ['box', 'box']
    """
    radius = size / 2
    if kind == "alarm":
        return [Shape("fan", regular(x, y, radius * 1.08, 8, 22.5), "on_alarm")]
    if kind == "fault":
        box = Shape("box", (x - radius, y - radius, size, size), "deaf")
        return [box, *_cross(x, y, 0.5 * radius, "on_deaf", 0.16 * size)]
    if kind == "refused":
        bar = (x - 0.6 * radius, y - 0.16 * radius, 1.2 * radius, 0.32 * radius)
        plate = (x - radius, y - radius, size, size)
        return [Shape("box", plate, "ink"), Shape("box", bar, "ground")]
    if kind == "ask":
        return [Shape("disc", (x, y, radius), "accent")]
    stroke = 0.1 * size
    ring = Shape("ring", (x, y, radius - stroke / 2), "ink", stroke)
    return [ring, Shape("disc", (x, y, 0.45 * radius), "ink")] if kind == "hints" else [ring]
