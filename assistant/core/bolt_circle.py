"""Holes evenly spaced on a circle: their places, and the chord between them to check by."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from assistant.errors import OutOfRange

MOST_HOLES = 360
"""More holes than this are a mishearing."""


@dataclass(frozen=True)
class Hole:
    """One hole of a bolt circle."""

    number: int
    """1 for the hole at the start angle, then counter-clockwise."""
    angle: Fraction
    """Degrees counter-clockwise from three o'clock, 0 to below 360, exact."""
    x: float
    """mm to the right of the centre, approximate."""
    y: float
    """mm above the centre, approximate."""


def _check(circle_diameter: Fraction | float, holes: int) -> None:
    if not 0 < circle_diameter < math.inf:
        given = f"{float(circle_diameter):g} mm"
        raise OutOfRange("bolt circle", given, "must be more than 0 mm")
    if not 2 <= holes <= MOST_HOLES:
        allowed = f"a bolt circle has 2 to {MOST_HOLES} holes"
        nearest = "2" if holes < 2 else str(MOST_HOLES)
        raise OutOfRange("number of holes", str(holes), allowed, nearest)


def _cosine(angle: Fraction) -> float:
    """Cosine of an angle in degrees that is exactly 0 and 1 where the angle is a quarter turn."""
    quarters = {0: 1.0, 90: 0.0, 180: -1.0, 270: 0.0}
    if angle % 90 == 0:
        return quarters[int(angle % 360)]
    return math.cos(math.radians(float(angle)))


def hole_places(
    circle_diameter: Fraction | float, holes: int, start_angle: Fraction | int = 0
) -> tuple[Hole, ...]:
    """Places of the holes from the centre: x = R cos(a), y = R sin(a), a = start + 360 k / n.

    circle_diameter : mm, through the centres of the holes, more than 0
    holes           : number n, 2 to 360
    start_angle     : degrees of the first hole, counter-clockwise from three o'clock
    Returns         : Hole each, in order; angles exact, x and y approximate
    Raises          : OutOfRange for a diameter of zero or less, or another number of holes
    Source          : trigonometry of the circle

    >>> [round(hole.x, 3) for hole in hole_places(100, 4)]
    [50.0, 0.0, -50.0, 0.0]
    """
    _check(circle_diameter, holes)
    radius = float(circle_diameter) / 2
    placed = []
    for index in range(holes):
        angle = (Fraction(start_angle) + Fraction(360 * index, holes)) % 360
        x, y = radius * _cosine(angle), radius * _cosine(angle - 90)
        placed.append(Hole(index + 1, angle, x, y))
    return tuple(placed)


def chord_between(circle_diameter: Fraction | float, holes: int, apart: int = 1) -> float:
    """Straight distance between two holes: c = D sin(180 k / n).

    circle_diameter : mm, through the centres of the holes, more than 0
    holes           : number n, 2 to 360
    apart           : k, 1 for neighbours, up to n - 1
    Returns         : mm from centre to centre, approximate
    Raises          : OutOfRange for a diameter of zero or less, or a number that cannot be
    Source          : trigonometry of the circle

    >>> round(chord_between(100, 6), 6)
    50.0
    """
    _check(circle_diameter, holes)
    if not 1 <= apart < holes:
        allowed = f"two of {holes} holes are 1 to {holes - 1} apart"
        raise OutOfRange("holes apart", str(apart), allowed)
    return float(circle_diameter) * math.sin(math.pi * apart / holes)


def circle_from_chord(chord: Fraction | float, holes: int) -> float:
    """Bolt circle of a part measured between neighbouring holes: D = c / sin(180 / n).

    chord   : mm from centre to centre of neighbours, more than 0
    holes   : number n, 2 to 360
    Returns : mm, diameter of the bolt circle, approximate
    Raises  : OutOfRange for a chord of zero or less, or another number of holes
    Source  : trigonometry of the circle

    >>> round(circle_from_chord(50, 6), 6)
    100.0
    """
    _check(chord, holes)
    return float(chord) / math.sin(math.pi / holes)
