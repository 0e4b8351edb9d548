"""Where a slide's collar stands through a sequence of cuts, and how far to turn it from one to the next.

Everything is counted in whole divisions from the touch, so that a collar of any zero, turned round
any number of times, is one whole number. Turns are whole turns of the handle from the touch: a
collar that stood at 20 and shows 14 has not been once round, though it has passed its own nought.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import cos, floor, isfinite, radians

from assistant.core.bounds import Number
from assistant.core.dial_types import SlideDial
from assistant.core.infeed import compound_travel
from assistant.errors import OutOfRange

LAST_BITS = Fraction(1, 10**6)
"""Share of a division: a travel through a cosine that is whole but for its last bits keeps its division."""


@dataclass(frozen=True)
class DialPlace:
    """Where the collar stands after a travel from the touch."""

    count: int
    """Whole divisions from the touch."""
    turns: int
    """Whole turns of the handle from the touch."""
    division: int
    """What stands at the index then, 0 up to one less than the collar has."""
    short_by: Fraction = Fraction(0)
    """How much less the slide has travelled than was asked for, mm along the slide, never negative."""


@dataclass(frozen=True)
class Turning:
    """How far to turn the handle."""

    divisions: int
    """Whole divisions; negative where the slide comes back."""
    turns: int
    """Full turns in them, without sign."""
    rest: int
    """Divisions after the full turns, without sign."""

    @property
    def back(self) -> bool:
        """True where the slide comes back: go past the place and come up to it, or backlash is counted in."""
        return self.divisions < 0


@dataclass(frozen=True)
class WalkStep:
    """One stop of a sequence."""

    place: DialPlace
    turning: Turning
    """From the stop before; the first from the touch."""


def travel_of_division(dial: SlideDial) -> Fraction:
    """Slide travel for one division: what it stands for, halved where the collar reads diameter.

    dial    : the slide's collar
    Returns : mm along the slide, exact
    Raises  : OutOfRange for a collar without divisions, or that reads neither diameter nor radius
    Valid   : any graduated collar
    Source  : arithmetic of the collar

    >>> travel_of_division(SlideDial(Fraction(1, 20), 160, "diameter"))
    Fraction(1, 40)
    """
    if dial.division <= 0 or dial.divisions < 1:
        given = f"{dial.divisions} divisions of {float(dial.division):g} mm"
        raise OutOfRange("dial", given, "must have divisions of more than 0 mm")
    if dial.reads not in ("diameter", "radius"):
        raise OutOfRange("dial", f"reads '{dial.reads}'", "must read diameter or radius")
    return dial.division / 2 if dial.reads == "diameter" else dial.division


def _on_collar(division: int, dial: SlideDial) -> None:
    travel_of_division(dial)
    if not 0 <= division < dial.divisions:
        last = dial.divisions - 1
        raise OutOfRange(
            "dial",
            f"{division} divisions",
            f"the collar has divisions 0 to {last}",
            str(0 if division < 0 else last),
        )


def place_at(count: int, dial: SlideDial, zero: int = 0) -> DialPlace:
    """What the collar shows after whole divisions from the touch: (zero + count) modulo the turn.

    count   : divisions from the touch, 0 or more
    dial    : the slide's collar
    zero    : division at the index at the touch
    Returns : DialPlace, exact
    Raises  : OutOfRange for a negative count or a zero that is not on the collar
    Valid   : feeding in one direction, backlash taken up
    Source  : arithmetic of the collar

    >>> place_at(94, SlideDial(Fraction(1, 50), 100, "radius"), zero=20)
    DialPlace(count=94, turns=0, division=14, short_by=Fraction(0, 1))
    """
    _on_collar(zero, dial)
    if count < 0:
        raise OutOfRange("dial", f"{count} divisions from the touch", "must be 0 or more")
    return DialPlace(count, count // dial.divisions, (zero + count) % dial.divisions)


def place(travel: Number, dial: SlideDial, zero: int = 0) -> DialPlace:
    """What the collar shows after a travel from the touch, rounded down: never further than asked for.

    travel  : mm along the slide (on radius for the cross slide), 0 or more
    dial    : the slide's collar
    zero    : division at the index at the touch
    Returns : DialPlace; exact for an exact travel
    Raises  : OutOfRange for a travel that is negative or not a number, or a zero not on the collar
    Valid   : feeding in one direction, backlash taken up
    Source  : arithmetic of the collar

    >>> place(Fraction(57, 50), SlideDial(Fraction(1, 50), 50, "radius")).division
    7
    """
    if not (isfinite(travel) and travel >= 0):
        raise OutOfRange("travel", f"{float(travel):g} mm", "must be 0 mm or more")
    each = travel_of_division(dial)
    slack = LAST_BITS if isinstance(travel, float) else 0
    count = floor(Fraction(travel) / each + slack)
    found = place_at(count, dial, zero)
    short = max(Fraction(0), Fraction(travel) - count * each)
    return DialPlace(found.count, found.turns, found.division, short)


def travel_at(count: int, dial: SlideDial) -> Fraction:
    """Slide travel of whole divisions from the touch: count x travel of a division.

    count   : divisions from the touch; negative outside it
    dial    : the slide's collar
    Returns : mm along the slide, exact
    Raises  : OutOfRange for a collar that cannot be
    Valid   : backlash taken up
    Source  : arithmetic of the collar

    >>> travel_at(94, SlideDial(Fraction(1, 50), 100, "radius"))
    Fraction(47, 25)
    """
    return count * travel_of_division(dial)


def count_of(turns: int, division: int, dial: SlideDial, zero: int = 0) -> int:
    """Divisions from the touch of whole turns and a reading: turns x N + (division - zero) modulo N.

    turns    : whole turns of the handle from the touch, 0 or more
    division : what stands at the index
    dial     : the slide's collar
    zero     : division at the index at the touch
    Returns  : divisions from the touch, exact
    Raises   : OutOfRange for turns below zero or a division that is not on the collar
    Valid    : feeding in one direction, backlash taken up
    Source   : arithmetic of the collar

    >>> count_of(1, 14, SlideDial(Fraction(1, 50), 100, "radius"), zero=20)
    194
    """
    _on_collar(zero, dial)
    _on_collar(division, dial)
    if turns < 0:
        raise OutOfRange("turns of the dial", str(turns), "must be 0 or more")
    return turns * dial.divisions + (division - zero) % dial.divisions


def counts_reading(
    division: int, dial: SlideDial, zero: int, least: int, most: int
) -> tuple[int, ...]:
    """Every place between two counts at which the collar shows a division: one for each turn of it.

    division : what stands at the index
    dial     : the slide's collar
    zero     : division at the index at the touch
    least    : divisions from the touch from which to look, 0 or more
    most     : divisions from the touch up to which to look
    Returns  : divisions from the touch, rising; empty where the collar does not show it on the way
    Raises   : OutOfRange for a division or a zero that is not on the collar
    Valid    : feeding in one direction, backlash taken up
    Source   : arithmetic of the collar

    >>> counts_reading(18, SlideDial(Fraction(1, 50), 100, "radius"), 0, 0, 250)
    (18, 118, 218)
    """
    first = count_of(0, division, dial, zero)
    behind = max(0, -((first - least) // dial.divisions)) if least > first else 0
    return tuple(range(first + behind * dial.divisions, most + 1, dial.divisions))


def nearest_count(division: int, dial: SlideDial, zero: int, present: int) -> int:
    """The place nearest to where the slide is thought to be at which the collar shows a division.

    division : what stands at the index
    dial     : the slide's collar
    zero     : division at the index at the touch
    present  : divisions from the touch where the slide is thought to be, 0 or more
    Returns  : divisions from the touch, 0 or more; of two equally near the shallower
    Raises   : OutOfRange for a division or a zero that is not on the collar
    Valid    : where half a turn either way is beyond doubt; otherwise ask
    Source   : arithmetic of the collar

    >>> nearest_count(18, SlideDial(Fraction(1, 50), 100, "radius"), 0, 130)
    118
    """
    around = counts_reading(division, dial, zero, present - dial.divisions, present)
    after = counts_reading(division, dial, zero, present, present + dial.divisions)
    return min((*around, *after), key=lambda count: (abs(count - present), count))


def turning(present: int, wanted: int, dial: SlideDial) -> Turning:
    """How far to turn the handle from one place to another: wanted - present.

    present : divisions from the touch
    wanted  : divisions from the touch
    dial    : the slide's collar
    Returns : Turning, exact
    Raises  : OutOfRange for a collar that cannot be
    Valid   : backlash taken up
    Source  : arithmetic of the collar

    >>> turning(94, 310, SlideDial(Fraction(1, 50), 100, "radius"))
    Turning(divisions=216, turns=2, rest=16)
    """
    travel_of_division(dial)
    turns, rest = divmod(abs(wanted - present), dial.divisions)
    return Turning(wanted - present, turns, rest)


def walk(travels: Sequence[Number], dial: SlideDial, zero: int = 0) -> tuple[WalkStep, ...]:
    """The stops of a sequence of travels from the touch, each rounded down, and the turning between them.

    travels : mm along the slide from the touch, in the order in which they are taken
    dial    : the slide's collar
    zero    : division at the index at the touch
    Returns : one WalkStep for each; two that fall on one division have a turning of 0
    Raises  : OutOfRange as `place`
    Valid   : feeding in one direction, backlash taken up
    Source  : arithmetic of the collar

    >>> [step.turning.divisions for step in walk([Fraction(1), Fraction(2)], SlideDial(Fraction(1, 50), 40, "radius"))]
    [50, 50]
    """
    steps = []
    before = 0
    for travel in travels:
        stop = place(travel, dial, zero)
        steps.append(WalkStep(stop, turning(before, stop.count, dial)))
        before = stop.count
    return tuple(steps)


def thread_walk(
    depths: Sequence[float], angle: Number, dial: SlideDial, zero: int = 0
) -> tuple[WalkStep, ...]:
    """The stops of a thread's passes on the slide that is fed: travel = depth / cos(angle), rounded down.

    depths  : cumulative radial depths, mm, more than zero
    angle   : degrees of the slide from the direction of the cross slide; 0 straight in
    dial    : the collar of the slide that is fed
    zero    : division at the index at the touch
    Returns : one WalkStep for each pass
    Raises  : OutOfRange as `infeed.compound_travel` and `place`
    Valid   : feeding in one direction, backlash taken up
    Source  : geometry and arithmetic of the collar

    >>> [step.place.division for step in thread_walk([0.5, 1.25], 0, SlideDial(Fraction(1, 20), 20, "radius"))]
    [10, 5]
    """
    return walk([compound_travel(depth, angle) for depth in depths], dial, zero)


def depth_at(count: int, angle: Number, dial: SlideDial) -> float:
    """Radial depth of whole divisions on a slide that stands at an angle: travel x cos(angle).

    count   : divisions from the touch, 0 or more
    angle   : degrees of the slide from the direction of the cross slide, 0 to below 90
    dial    : the collar of the slide that is fed
    Returns : mm on the radius, approximate (cosine)
    Raises  : OutOfRange for a negative count, or an angle outside the limits above
    Valid   : backlash taken up
    Source  : geometry and arithmetic of the collar

    >>> round(depth_at(50, 60, SlideDial(Fraction(1, 50), 100, "radius")), 3)
    0.5
    """
    if count < 0:
        raise OutOfRange("dial", f"{count} divisions from the touch", "must be 0 or more")
    if not 0 <= angle < 90:
        raise OutOfRange(
            "compound angle", f"{float(angle):g} degrees", "must be from 0 to below 90 degrees"
        )
    return float(travel_at(count, dial)) * cos(radians(angle))
