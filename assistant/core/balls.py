"""A ball turned by steps: facets that a file or a form tool then rounds off."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from assistant.errors import OutOfRange

MOST_STEPS = 400
"""More steps than this nobody turns."""


@dataclass(frozen=True)
class BallStep:
    """One step of a ball."""

    from_end: Fraction
    """mm from the end of the ball along the axis, exact but for the last, which ends at the neck."""
    diameter: float
    """mm of the ball there, approximate."""
    depth: float
    """mm per side from the cylinder of the ball's diameter, approximate."""


def ball_diameter_at(ball: Fraction | float, from_end: Fraction | float) -> float:
    """Diameter of a ball at a distance from its end: d = 2 sqrt(x (D - x)).

    ball     : D, mm, diameter of the ball, more than 0
    from_end : x, mm along the axis from the end, 0 to D
    Returns  : mm, approximate
    Raises   : OutOfRange outside those limits
    Source   : geometry of the circle

    >>> ball_diameter_at(50, 5)
    30.0
    """
    if not 0 < ball < math.inf:
        raise OutOfRange("ball diameter", f"{float(ball):g} mm", "must be more than 0 mm")
    if not 0 <= from_end <= ball:
        allowed = f"must be from 0 to the ball's diameter {float(ball):g} mm"
        raise OutOfRange("distance from the end", f"{float(from_end):g} mm", allowed)
    return 2 * math.sqrt(float(from_end) * (float(ball) - float(from_end)))


def ball_length(ball: Fraction | float, neck: Fraction | float) -> float:
    """Length of a ball from its end to the neck: L = (D + sqrt(D^2 - d^2)) / 2.

    ball    : D, mm, diameter of the ball, more than 0
    neck    : d, mm, diameter of the neck, 0 or more and less than D
    Returns : mm along the axis, approximate
    Raises  : OutOfRange outside those limits
    Source  : geometry of the circle

    >>> ball_length(50, 30)
    45.0
    """
    if not 0 < ball < math.inf:
        raise OutOfRange("ball diameter", f"{float(ball):g} mm", "must be more than 0 mm")
    if not 0 <= neck < ball:
        allowed = f"must be from 0 to less than the ball's diameter {float(ball):g} mm"
        raise OutOfRange("neck diameter", f"{float(neck):g} mm", allowed)
    return (float(ball) + math.sqrt(float(ball) ** 2 - float(neck) ** 2)) / 2


def ball_steps(
    ball: Fraction | int, step: Fraction, neck: Fraction | int = 0
) -> tuple[BallStep, ...]:
    """Steps along the axis from the end of a ball to its neck: d = 2 sqrt(x (D - x)) at each x.

    Each diameter is that of the ball where the step ends on its thicker side, towards the middle;
    so every step leaves metal outside the ball and none cuts into it.

    ball    : D, mm, diameter of the ball, more than 0
    step    : mm along the axis from step to step, more than 0 and at most D / 2
    neck    : mm, diameter of the neck; 0 for a whole ball
    Returns : BallStep each, from the end on; diameters approximate. `from_end` is the far end of
              the step, seen from the end of the ball
    Raises  : OutOfRange outside those limits, or for more than 400 steps
    Source  : geometry of the circle

    >>> [round(one.diameter, 3) for one in ball_steps(50, Fraction(25))]
    [50.0, 50.0]
    """
    length = ball_length(ball, neck)
    if not 0 < step <= Fraction(ball) / 2:
        allowed = f"must be more than 0 and at most half the ball, {float(ball) / 2:g} mm"
        raise OutOfRange("step", f"{float(step):g} mm", allowed)
    count = math.ceil(Fraction(length) / step)
    if count > MOST_STEPS:
        allowed = f"would need {count} steps; at most {MOST_STEPS} are counted"
        raise OutOfRange("step", f"{float(step):g} mm", allowed)
    steps = []
    middle = Fraction(ball) / 2
    for index in range(count):
        start, end = index * step, min((index + 1) * step, Fraction(length))
        thickest = min(max(middle, start), end)
        diameter = ball_diameter_at(ball, thickest)
        steps.append(BallStep(end, diameter, (float(ball) - diameter) / 2))
    return tuple(steps)
