"""From the size that is measured to the size that is wanted: what to take off, and on which division.

Outside work gets smaller and a bore gets larger; past the wanted size no cut helps, and the answer
says so instead of giving a number. Where the dial cannot stand on the wanted size, metal is left.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from assistant.core.dial_types import SlideDial
from assistant.core.fits import SizeLimits
from assistant.errors import OutOfRange


class SizeState(Enum):
    """Where the work stands against its limits."""

    TAKE_OFF = "take off"
    """Metal is left: cut."""
    WITHIN_LIMITS = "within limits"
    """Between the limits already, or just on size."""
    PAST_SIZE = "past size"
    """A shaft below, or a bore above, its last limit: cutting cannot mend it."""


@dataclass(frozen=True)
class Target:
    """The size that is wanted; mm, exact."""

    minimum: Fraction
    maximum: Fraction
    aim: Fraction
    """Where to cut to: the middle of the tolerance, or the plain size."""


@dataclass(frozen=True)
class ToSize:
    """What to take off, all mm and exact; amounts are 0 unless the state is TAKE_OFF."""

    state: SizeState
    target: Target
    internal: bool
    """True for a bore."""
    on_diameter: Fraction
    """What comes off the diameter to stand on the aim."""
    past_by: Fraction
    """On diameter, beyond the last limit; 0 unless the state is PAST_SIZE."""

    @property
    def per_side(self) -> Fraction:
        """What the tool goes in: half of what comes off the diameter."""
        return self.on_diameter / 2


@dataclass(frozen=True)
class DialMove:
    """What to turn a collar by; the size that follows, mm, exact."""

    divisions: Fraction
    """Divisions that the whole amount would need; need not be whole."""
    whole_divisions: int
    """Divisions to turn."""
    turns: int
    """Full turns of the collar in `whole_divisions`."""
    rest: int
    """Divisions after the full turns."""
    size: Fraction
    """Diameter after `whole_divisions`."""


@dataclass(frozen=True)
class Passes:
    """A depth shared out over several passes; mm per side, exact."""

    count: int
    full_depth: Fraction
    """Depth of every pass but the last."""
    last_depth: Fraction
    even_depth: Fraction
    """Depth if all passes are alike, for a last cut that is too thin to cut cleanly."""


def plain_target(size: Fraction | int) -> Target:
    """The target of a size without tolerance: minimum = maximum = aim.

    size    : mm, more than 0
    Returns : Target, exact
    Raises  : OutOfRange for a size of zero or less
    Source  : definition

    >>> plain_target(30).aim
    Fraction(30, 1)
    """
    if size <= 0:
        raise OutOfRange("wanted size", f"{float(size):g} mm", "must be more than 0 mm")
    return Target(Fraction(size), Fraction(size), Fraction(size))


def target_within(limits: SizeLimits) -> Target:
    """The target of a toleranced size: aim at the middle of the tolerance.

    limits  : limits of size in mm, as `fits.limits` or `general_tolerances.general_limits` give
    Returns : Target, exact
    Raises  : OutOfRange where the limits lie at zero or below
    Source  : common practice, no source: the middle leaves the same room for error on both sides

    >>> from assistant.core.fits import limits
    >>> target_within(limits(30, "h7")).aim
    Fraction(59979, 2000)
    """
    if limits.minimum <= 0:
        given = f"{float(limits.minimum):g} mm"
        raise OutOfRange("lower limit of size", given, "must be more than 0 mm")
    return Target(limits.minimum, limits.maximum, limits.middle)


def to_size(measured: Fraction | int, target: Target, internal: bool = False) -> ToSize:
    """What to take off: measured minus aim outside, aim minus measured in a bore.

    measured : mm, diameter measured now, at the temperature of the measuring tool
    target   : what is wanted, mm
    internal : True for a bore, which is cut larger
    Returns  : ToSize, exact; its state says whether there is anything to cut
    Raises   : OutOfRange for a measured size of zero or less
    Valid    : diameters; spring of work and tool are not in it, so measure again before the last cut
    Source   : arithmetic

    >>> to_size(31, plain_target(30)).per_side
    Fraction(1, 2)
    """
    if measured <= 0:
        raise OutOfRange("measured size", f"{float(measured):g} mm", "must be more than 0 mm")
    measured = Fraction(measured)
    within = target.minimum <= measured <= target.maximum
    past = target.minimum - measured
    left = measured - target.aim
    if internal:
        past, left = measured - target.maximum, -left
    if past > 0:
        return ToSize(SizeState.PAST_SIZE, target, internal, Fraction(0), past)
    if within:
        return ToSize(SizeState.WITHIN_LIMITS, target, internal, Fraction(0), Fraction(0))
    return ToSize(SizeState.TAKE_OFF, target, internal, left, Fraction(0))


def dial_move(cut: ToSize, dial: SlideDial) -> DialMove:
    """Divisions of a collar that take off an amount: what the collar reads / its division.

    The whole division nearest to the aim is taken if the size then lies within the limits; if not,
    the last one before it, so that metal is left and not lost.

    cut     : what to take off
    dial    : collar of the cross slide: mm per division, divisions per turn, what it reads
    Returns : DialMove, exact
    Raises  : OutOfRange for a collar without divisions or that reads neither diameter nor radius
    Valid   : with the backlash taken up and the slide square to the axis
    Source  : arithmetic; the rounding is ours

    >>> dial = SlideDial(Fraction(1, 20), 100, "diameter")
    >>> dial_move(to_size(31, plain_target(30)), dial).whole_divisions
    20
    """
    if dial.division <= 0 or dial.divisions < 1:
        given = f"{dial.divisions} divisions of {float(dial.division):g} mm"
        raise OutOfRange("dial", given, "must have divisions of more than 0 mm")
    if dial.reads not in ("diameter", "radius"):
        raise OutOfRange("dial", f"reads '{dial.reads}'", "must read diameter or radius")
    on_diameter = dial.division if dial.reads == "diameter" else 2 * dial.division
    divisions = cut.on_diameter / on_diameter
    aim = cut.target.aim

    def size_after(number: int) -> Fraction:
        short = cut.on_diameter - number * on_diameter
        return aim - short if cut.internal else aim + short

    # Halves go to the lower number, which leaves metal.
    nearest = math.ceil(divisions - Fraction(1, 2))
    allowed = cut.target.minimum <= size_after(nearest) <= cut.target.maximum
    whole = nearest if allowed else math.floor(divisions)
    turns, rest = divmod(whole, dial.divisions)
    return DialMove(divisions, whole, turns, rest, size_after(whole))


def passes(depth: Fraction, depth_per_pass: Fraction) -> Passes:
    """Number of passes for a depth: n = depth / depth per pass, rounded up.

    depth          : mm per side in all, more than 0
    depth_per_pass : mm per side of one pass, more than 0
    Returns        : Passes, exact
    Raises         : OutOfRange for a depth of zero or less, or for more than 1000 passes
    Source         : arithmetic

    >>> passes(Fraction(5), Fraction(2)).last_depth
    Fraction(1, 1)
    """
    for name, amount in (("depth", depth), ("depth of cut per pass", depth_per_pass)):
        if amount <= 0:
            raise OutOfRange(name, f"{float(amount):g} mm", "must be more than 0 mm")
    count = math.ceil(Fraction(depth) / depth_per_pass)
    if count > 1000:
        given = f"{float(depth_per_pass):g} mm"
        allowed = f"would need {count} passes; at most 1000 are counted"
        raise OutOfRange("depth of cut per pass", given, allowed)
    last = depth - (count - 1) * Fraction(depth_per_pass)
    full = Fraction(depth_per_pass) if count > 1 else Fraction(depth)
    return Passes(count, full, last, Fraction(depth) / count)
