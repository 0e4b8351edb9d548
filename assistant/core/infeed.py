"""Infeed of a threading tool: compound angle and travel, the passes, and what the dial reads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import cos, floor, isfinite, radians, sin, sqrt, tan

from assistant.core.dial_types import SlideDial
from assistant.core.threads.forms import Nose
from assistant.core.threads.practice import habit
from assistant.errors import OutOfRange

MOST_PASSES = 200
"""A schedule longer than this is a slip of the tongue, not a job."""

HALVINGS = 100
"""Bisection steps; far past what a float can resolve."""


@dataclass(frozen=True)
class CompoundSetting:
    """How the compound slide stands for cutting a thread."""

    angle: Fraction
    """Degrees from the direction of the cross slide; 0 is straight in."""
    swung: str
    """Where the handle end of the compound goes: 'right' (tailstock), 'left' (headstock)."""

    @property
    def from_axis(self) -> Fraction:
        """The same angle counted from the lathe's axis, degrees: 90 - angle."""
        return 90 - self.angle


def compound_setting(
    included_angle: Fraction,
    release: Fraction | None = None,
    *,
    left_hand: bool = False,
    internal: bool = False,
) -> CompoundSetting:
    """Compound slide for feeding down the flank: half the included angle less 1/2 to 1 degree.

    included_angle : degrees between the flanks, above 2 and below 180
    release        : degrees less than half the included angle, 0 to 1; None takes the practice's
    left_hand      : True for a left-hand thread
    internal       : True for a thread in a bore
    Returns        : CompoundSetting, degrees exact, counted from the direction of the cross slide
    Raises         : OutOfRange for an angle or a release outside the limits above
    Valid          : tool on the operator's side, its leading edge cutting
    Source         : common practice (tables/thread_practice.yaml)

    >>> compound_setting(Fraction(60)).angle
    Fraction(59, 2)
    """
    if not 2 < included_angle < 180:
        raise OutOfRange(
            "included angle",
            f"{float(included_angle):g} degrees",
            "must be above 2 and below 180 degrees",
        )
    most = habit("flank_release_most").value
    less = habit("flank_release").value if release is None else release
    if not 0 <= less <= most:
        raise OutOfRange(
            "release of the compound",
            f"{float(less):g} degrees",
            f"must be from 0 to {float(most):g} degree under half the included angle",
            f"{0 if less < 0 else float(most):g} degrees",
        )
    return CompoundSetting(
        angle=included_angle / 2 - less, swung="right" if left_hand == internal else "left"
    )


def _positive(quantity: str, length: float) -> None:
    if not (isfinite(length) and length > 0):
        raise OutOfRange(quantity, f"{float(length):g} mm", "must be more than 0 mm")


def compound_travel(depth_on_radius: float, angle: Fraction | float) -> float:
    """Travel of the compound slide that takes the tool to a radial depth: s = depth / cos(angle).

    depth_on_radius : mm, greater than zero
    angle           : degrees from the direction of the cross slide, 0 to below 90
    Returns         : mm along the slide, approximate (cosine)
    Raises          : OutOfRange for a depth of zero or less, or an angle outside the limits
    Valid           : all infeed by the compound, the cross slide returning to the same reading
    Source          : geometry

    >>> round(compound_travel(1.0735, 29.5), 3)
    1.233
    """
    _positive("thread depth", depth_on_radius)
    if not 0 <= angle < 90:
        raise OutOfRange(
            "compound angle", f"{float(angle):g} degrees", "must be from 0 to below 90 degrees"
        )
    return float(depth_on_radius) / cos(radians(angle))


def nose_width(nose: Nose, half_angle: float) -> float:
    """Width of the groove at its bottom: the flat itself, or the flat that a radius amounts to, 2 r (1 - sin a) / cos a.

    nose       : nose of the tool, mm
    half_angle : half the included angle, degrees
    Returns    : mm, approximate
    Raises     : OutOfRange if the nose is negative
    Valid      : for chip areas; the corners of the round nose are neglected
    Source     : geometry: where the flanks, drawn on, meet the bottom of the arc

    >>> round(nose_width(Nose("radius", 1.0), 30.0), 4)
    1.1547
    """
    if nose.size < 0:
        raise OutOfRange("nose of the tool", f"{nose.size:g} mm", "must not be less than 0 mm")
    if nose.kind == "flat":
        return nose.size
    angle = radians(half_angle)
    return 2 * nose.size * (1 - sin(angle)) / cos(angle)


def chip_area(depth_on_radius: float, half_angle: float, nose: float = 0.0) -> float:
    """Cross-section cut out at a depth: A(t) = w t + t^2 tan(a).

    depth_on_radius : mm, zero or more
    half_angle      : half the included angle, degrees
    nose            : w, width of the groove at its bottom, mm
    Returns         : mm^2, approximate
    Raises          : nothing
    Valid           : symmetrical V or trapezoidal grooves
    Source          : geometry

    >>> round(chip_area(1.0, 30.0), 4)
    0.5774
    """
    return depth_on_radius * (nose + depth_on_radius * tan(radians(half_angle)))


@dataclass(frozen=True)
class PassPlan:
    """The passes of one thread; radial depths in mm from the crest of the blank."""

    depths: tuple[float, ...]
    """Cumulative, strictly rising; the last is the whole depth."""
    spring_passes: int
    """Passes at the last depth without more infeed."""
    most_first: float
    """The cap on the first pass that the plan keeps to, mm."""
    least: float
    """The least pass that the plan aims at, mm; where it does not divide the depth all are a little less."""
    half_angle: float
    """Degrees."""
    nose: float
    """Width of the groove at its bottom, mm."""

    @property
    def depth(self) -> float:
        """The whole radial depth, mm."""
        return self.depths[-1]

    @property
    def with_spring(self) -> tuple[float, ...]:
        """Every pass, the spring passes too, mm."""
        return self.depths + (self.depth,) * self.spring_passes


def _next_depth(present: float, area: float, plan: PassPlan) -> float:
    """Depth at which `area` more has been cut: the root of the quadratic A(t) = A(present) + area."""
    slope = tan(radians(plan.half_angle))
    total = chip_area(present, plan.half_angle, plan.nose) + area
    if total == 0:
        return present
    return 2 * total / (plan.nose + sqrt(plan.nose**2 + 4 * slope * total))


def _advance(present: float, area: float, count: int, least: float, plan: PassPlan) -> list[float]:
    """Depths of `count` passes of `area` each, none shallower than `least`."""
    depths = []
    for _ in range(count):
        present = max(present + least, _next_depth(present, area, plan))
        depths.append(present)
    return depths


def _fewest(present: float, depth: float, area: float, plan: PassPlan) -> int:
    """How many passes of `area` it takes to reach `depth`."""
    # The slack keeps a depth that is reached but for its last bit from costing one more pass.
    reached = depth * (1 - 1e-9)
    count = 0
    while present < reached:
        present = max(present + plan.least, _next_depth(present, area, plan))
        count += 1
        if count > MOST_PASSES:
            raise OutOfRange(
                "first pass",
                f"{plan.most_first:g} mm",
                f"would need more than {MOST_PASSES} passes",
            )
    return max(1, count)


def _schedule(present: float, depth: float, plan: PassPlan) -> tuple[float, ...]:
    """The fewest passes of equal area, none above the cap's area, that end at `depth`."""
    high = chip_area(plan.most_first, plan.half_angle, plan.nose)
    low = 0.0
    count = _fewest(present, depth, high, plan)
    # Where so many passes of the least depth would overshoot, they are made equal: the floor
    # gives way by less than one part in `count`, the cap never.
    least = min(plan.least, (depth - present) / count)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if _advance(present, middle, count, least, plan)[-1] < depth:
            low = middle
        else:
            high = middle
    return (*_advance(present, low, count, least, plan)[:-1], depth)


def _check_plan(plan: PassPlan) -> None:
    _positive("first pass", plan.most_first)
    _positive("last pass", plan.least)
    if plan.least > plan.most_first:
        raise OutOfRange(
            "last pass",
            f"{plan.least:g} mm",
            f"must not be deeper than the first, {plan.most_first:g} mm",
        )
    if not 0 <= plan.spring_passes <= MOST_PASSES:
        raise OutOfRange("spring passes", str(plan.spring_passes), f"must be 0 to {MOST_PASSES}")
    if not 0 < plan.half_angle < 90:
        raise OutOfRange(
            "half angle", f"{plan.half_angle:g} degrees", "must be between 0 and 90 degrees"
        )
    if plan.nose < 0:
        raise OutOfRange("nose of the tool", f"{plan.nose:g} mm", "must not be less than 0 mm")


def _by_practice(key: str, depth: float) -> float:
    """Practice's figure, mm, or its share of the depth where that is less."""
    return min(float(habit(key).value), depth * float(habit(f"{key}_share").value))


def passes(
    depth_on_radius: float,
    half_angle: float,
    *,
    nose: float = 0.0,
    first: float | None = None,
    least: float | None = None,
    spring_passes: int | None = None,
) -> PassPlan:
    """The passes of a thread: equal chip areas A(t) = w t + t^2 tan(a), capped at the start, floored at the end.

    depth_on_radius : whole radial depth, mm, greater than zero
    half_angle      : half the included angle, degrees
    nose            : w, width of the groove at its bottom, mm, 0 for a sharp tool
    first           : most depth of the first pass, mm; None takes the practice's
    least           : least depth of a pass, mm, not above `first`; None takes the practice's
    spring_passes   : passes at full depth without infeed; None takes the practice's
    Returns         : PassPlan in mm on radius, approximate, the last depth exactly the whole;
                      no pass is deeper than `first`; where both cannot be had `least` gives way
    Raises          : OutOfRange for zero, negative or crossed limits, or above 200 passes
    Valid           : every pass along the same flank or straight in
    Source          : equal areas, common practice; caps from tables/thread_practice.yaml

    >>> [round(depth, 2) for depth in passes(0.92, 30, first=0.46, least=0.05).depths]
    [0.46, 0.65, 0.8, 0.92]
    """
    _positive("thread depth", depth_on_radius)
    depth = float(depth_on_radius)
    if first is None:
        first = _by_practice("first_pass", depth)
    if least is None:
        least = min(_by_practice("last_pass", depth), first)
    if spring_passes is None:
        spring_passes = int(habit("spring_passes").value)
    frame = PassPlan((depth,), spring_passes, float(first), float(least), half_angle, nose)
    _check_plan(frame)
    return PassPlan(
        _schedule(0.0, depth, frame), spring_passes, frame.most_first, frame.least, half_angle, nose
    )


def rest(plan: PassPlan, present: float) -> PassPlan:
    """The passes that are left from a depth already cut: no chip larger than the plan's first.

    plan    : the plan that was being followed
    present : radial depth cut so far, mm from the crest of the blank, 0 or more
    Returns : PassPlan in mm, ending exactly at the same whole depth
    Raises  : OutOfRange for a depth below zero, or at or past the whole depth
    Valid   : the same tool and infeed
    Source  : as `passes`

    >>> [round(depth, 2) for depth in rest(passes(0.92, 30, first=0.46, least=0.05), 0.7).depths]
    [0.82, 0.92]
    """
    if not (isfinite(present) and present >= 0):
        raise OutOfRange("present depth", f"{present:g} mm", "must be 0 mm or more")
    if present >= plan.depth:
        raise OutOfRange(
            "present depth",
            f"{present:g} mm",
            f"the whole thread is {plan.depth:.3f} mm deep on the radius; measure it",
        )
    return PassPlan(
        _schedule(float(present), plan.depth, plan),
        plan.spring_passes,
        plan.most_first,
        plan.least,
        plan.half_angle,
        plan.nose,
    )


@dataclass(frozen=True)
class DialReading:
    """Where a graduated collar stands."""

    turns: int
    """Whole turns from the start, counted past the collar's zero."""
    division: int
    """Division that stands at the index, 0 up to one less than the collar has."""
    short_by: float
    """How much less the slide has travelled than was asked for, mm on radius or along the slide; never negative."""


def dial_reading(travel: float | Fraction, dial: SlideDial, start: int = 0) -> DialReading:
    """What the collar reads after a travel, rounded down to a whole division: never deeper than asked for.

    travel  : mm of slide travel (on radius for the cross slide), zero or more
    dial    : the slide's collar; one that reads diameter shows twice the travel
    start   : division at the index before, 0 up to one less than the collar has
    Returns : DialReading; turns and division exact, the rest approximate
    Raises  : OutOfRange for a negative travel, or a start that is not on the collar
    Valid   : feeding in one direction, backlash taken up
    Source  : arithmetic of the collar

    >>> dial_reading(Fraction(5, 4), SlideDial(Fraction(1, 20), 60, "radius"), start=50)
    DialReading(turns=1, division=15, short_by=0.0)
    """
    if not (isfinite(travel) and travel >= 0):
        raise OutOfRange("travel", f"{float(travel):g} mm", "must be 0 mm or more")
    if not 0 <= start < dial.divisions:
        raise OutOfRange(
            "dial", f"{start} divisions", f"the collar has divisions 0 to {dial.divisions - 1}"
        )
    each = dial.division / 2 if dial.reads == "diameter" else dial.division
    # A float travel that is whole but for its last bits must not lose a division.
    count = floor(Fraction(travel) / each + Fraction(1, 10**6))
    turns, division = divmod(start + count, dial.divisions)
    return DialReading(turns, division, max(0.0, float(Fraction(travel) - count * each)))


def dial_readings(
    depths: Sequence[float], angle: Fraction | float, dial: SlideDial, start: int = 0
) -> tuple[DialReading, ...]:
    """What the slide's collar reads at each pass: travel = depth / cos(angle), rounded down to a division.

    depths  : cumulative radial depths, mm, greater than zero
    angle   : degrees of the slide from the direction of the cross slide; 0 straight in
    dial    : the collar of the slide that is fed
    start   : division at the index when the tool touches the blank
    Returns : one DialReading per pass, counted from the touch
    Raises  : OutOfRange as `compound_travel` and `dial_reading`
    Valid   : feeding in one direction, backlash taken up
    Source  : geometry and arithmetic of the collar

    >>> [one.division for one in dial_readings([0.5, 1.0], 0, SlideDial(Fraction(1, 50), 100, "diameter"))]
    [50, 0]
    """
    return tuple(dial_reading(compound_travel(one, angle), dial, start) for one in depths)
