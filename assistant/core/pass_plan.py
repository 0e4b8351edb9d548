"""A thread's passes while they are being cut: what is taken, what is left, and how the rest is planned anew.

Depths are cumulative, in mm on the radius from the crest of the blank. Whatever is said on the way
('skip', 'lighter', 'I am at eighteen'), the passes left rise from the present depth, end exactly at
the whole depth, and none of them goes deeper at once than the cap.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor, isfinite, radians, sqrt, tan

from assistant.core.infeed import HALVINGS, MOST_PASSES, PassPlan, chip_area
from assistant.errors import OutOfRange

LAST_BITS = 1e-6
"""Share by which two floats may differ and still be the same depth or area."""

EASING = Fraction(1, 4)
"""Share of the passes left that 'lighter' adds and 'heavier' takes away, at least one pass."""

HEAVIEST = 2
"""How many times the chip of the deepest first pass 'heavier' may ask for: as much as leaving a pass out. Ours."""


@dataclass(frozen=True)
class PassesInHand:
    """One thread as it is being cut; depths in mm on the radius from the crest of the blank."""

    whole_depth: float
    half_angle: float
    """Degrees."""
    nose: float
    """Width of the groove at its bottom, mm."""
    most_first: float
    """The cap: no pass goes deeper at once."""
    least: float
    """The floor that a pass aims at; a thinner chip rubs."""
    area: float
    """Chip area that a pass aims at, mm2."""
    taken: tuple[float, ...]
    """Cumulative depths cut, rising."""
    left: tuple[float, ...]
    """Cumulative depths to come; the last is the whole depth exactly; empty at full depth."""
    spring_left: int
    """Spring passes to come."""
    spring_passes: int
    """Spring passes as planned."""

    @property
    def present(self) -> float:
        """Depth cut so far, mm; 0 before the first pass."""
        return self.taken[-1] if self.taken else 0.0

    @property
    def springing(self) -> bool:
        """True where the next pass is a spring pass."""
        return not self.left and self.spring_left > 0

    @property
    def finished(self) -> bool:
        """True where no pass of any kind is left."""
        return not self.left and self.spring_left == 0

    @property
    def next_depth(self) -> float | None:
        """Depth of the pass to take now, mm; the same again for a spring pass; None when finished."""
        if self.left:
            return self.left[0]
        return self.present if self.springing else None

    @property
    def next_increase(self) -> float:
        """What the next pass goes deeper than the present depth, mm; 0 for a spring pass or none."""
        return self.left[0] - self.present if self.left else 0.0

    @property
    def total(self) -> int:
        """Passes taken and left, without spring passes."""
        return len(self.taken) + len(self.left)

    @property
    def number(self) -> int:
        """Number of the pass to take now, from 1; spring passes are counted on."""
        springs = 0 if self.left else self.spring_passes - self.spring_left
        return len(self.taken) + springs + 1

    @property
    def next_load(self) -> float:
        """Chip area of the next pass over that of the deepest first pass; above 1 after a skip."""
        if not self.left:
            return 0.0
        return _area_between(self, self.present, self.left[0]) / _cap_area(self)


def _area_between(state: PassesInHand, low: float, high: float) -> float:
    upper = chip_area(high, state.half_angle, state.nose)
    return upper - chip_area(low, state.half_angle, state.nose)


def _cap_area(state: PassesInHand) -> float:
    return chip_area(state.most_first, state.half_angle, state.nose)


def _deeper(state: PassesInHand, at: float, area: float, least: float) -> float:
    """Depth after `area` more, not under the floor nor over the cap: the root of A(t) = A(at) + area."""
    slope = tan(radians(state.half_angle))
    whole = chip_area(at, state.half_angle, state.nose) + area
    depth = 2 * whole / (state.nose + sqrt(state.nose**2 + 4 * slope * whole)) if whole else at
    return min(at + state.most_first, max(at + least, depth))


def _fewest(state: PassesInHand, area: float) -> int:
    """How many passes of `area` it takes from the present depth to the whole."""
    at, count = state.present, 0
    while at < state.whole_depth * (1 - LAST_BITS):
        at = _deeper(state, at, area * (1 + LAST_BITS), state.least)
        count += 1
        if count > MOST_PASSES:
            raise OutOfRange(
                "pass", f"{state.least:g} mm deep", f"would need more than {MOST_PASSES} passes"
            )
    return max(1, count)


def _shared(state: PassesInHand, count: int) -> PassesInHand:
    """The rest in `count` passes of one area, within floor and cap; the floor gives way, the cap never."""
    depth, present = state.whole_depth, state.present
    least = min(state.least, (depth - present) / count)

    def advance(area: float) -> list[float]:
        depths, at = [], present
        for _ in range(count):
            at = _deeper(state, at, area, least)
            depths.append(at)
        return depths

    low, high = 0.0, _area_between(state, present, depth)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if advance(middle)[-1] < depth:
            low = middle
        else:
            high = middle
    left = (*advance(low)[:-1], depth)
    return replace(state, left=left, area=high, spring_left=state.spring_passes)


def begin(plan: PassPlan) -> PassesInHand:
    """The passes of a plan with none of them taken.

    plan    : as `infeed.passes` gives it
    Returns : PassesInHand in mm on the radius, approximate
    Raises  : OutOfRange for a plan whose depths do not rise from above 0
    Valid   : every pass along the same flank or straight in
    Source  : the plan's

    >>> from assistant.core.infeed import passes
    >>> begin(passes(0.92, 30, first=0.46, least=0.05)).total
    4
    """
    if not plan.depths or any(high <= low for low, high in pairwise((0.0, *plan.depths))):
        raise OutOfRange("passes", f"{len(plan.depths)} in all", "must go deeper one by one")
    state = PassesInHand(
        whole_depth=plan.depth,
        half_angle=float(plan.half_angle),
        nose=plan.nose,
        most_first=plan.most_first,
        least=plan.least,
        area=0.0,
        taken=(),
        left=plan.depths,
        spring_left=plan.spring_passes,
        spring_passes=plan.spring_passes,
    )
    # Passes that the floor made deeper have larger areas; the least is the one that was planned with.
    areas = [_area_between(state, low, high) for low, high in pairwise((0.0, *plan.depths))]
    return replace(state, area=min(areas))


def _refuse_if_finished(state: PassesInHand) -> None:
    if state.finished:
        raise OutOfRange(
            "pass", f"number {state.number}", "every pass is taken; measure the thread"
        )


def taken(state: PassesInHand) -> PassesInHand:
    """The passes after the next one, or the next spring pass, has been cut.

    state   : the passes in hand
    Returns : PassesInHand one pass on
    Raises  : OutOfRange where no pass is left
    Valid   : the pass was cut at the depth given
    Source  : counting

    >>> from assistant.core.infeed import passes
    >>> taken(begin(passes(0.92, 30, first=0.46, least=0.05))).number
    2
    """
    _refuse_if_finished(state)
    if state.springing:
        return replace(state, spring_left=state.spring_left - 1)
    return replace(state, taken=(*state.taken, state.left[0]), left=state.left[1:])


def skip(state: PassesInHand) -> PassesInHand:
    """The passes with the next one left out: the one after is taken directly, if the cap allows it.

    state   : the passes in hand
    Returns : PassesInHand one pass shorter; a spring pass may always be left out
    Raises  : OutOfRange where the pass after would go deeper at once than the cap, or none follows
    Valid   : the chip is heavier than planned: see `next_load`
    Source  : definition; the cap as in `infeed.passes`

    >>> from assistant.core.infeed import passes
    >>> skip(taken(begin(passes(0.92, 30, first=0.46, least=0.05)))).next_increase < 0.46
    True
    """
    _refuse_if_finished(state)
    if state.springing:
        return replace(state, spring_left=state.spring_left - 1)
    if len(state.left) == 1:
        raise OutOfRange(
            "skip", f"pass {state.number}", "is the last one to the whole depth and must be cut"
        )
    increase = state.left[1] - state.present
    if increase > state.most_first * (1 + LAST_BITS):
        raise OutOfRange(
            "pass",
            f"{increase:.3f} mm deeper at once",
            f"must be at most {state.most_first:.3f} mm",
            f"{state.next_increase:.3f} mm",
        )
    return replace(state, left=state.left[1:])


def _easing(state: PassesInHand) -> int:
    return max(1, round(len(state.left) * EASING))


def _refuse_if_at_depth(state: PassesInHand) -> None:
    if not state.left:
        raise OutOfRange(
            "present depth",
            f"{state.present:.3f} mm",
            "is the whole depth on the radius; no pass is left to change",
        )


def lighter(state: PassesInHand) -> PassesInHand:
    """The rest in more passes of a smaller chip area: a quarter more passes, at least one.

    state   : the passes in hand
    Returns : PassesInHand with at least one pass more, equal areas, none shallower than the floor
    Raises  : OutOfRange at full depth, or where one pass more would be shallower than the floor
    Valid   : every pass along the same flank or straight in
    Source  : equal areas, common practice; the quarter is ours

    >>> from assistant.core.infeed import passes
    >>> len(lighter(begin(passes(0.92, 30, first=0.46, least=0.05))).left)
    5
    """
    _refuse_if_at_depth(state)
    remaining = state.whole_depth - state.present
    most = floor(remaining / state.least * (1 + LAST_BITS))
    if most <= len(state.left):
        raise OutOfRange(
            "pass",
            f"{remaining / (len(state.left) + 1):.3f} mm deeper",
            f"must be at least {state.least:.3f} mm; a thinner chip rubs",
        )
    return _shared(state, min(most, len(state.left) + _easing(state)))


def heavier(state: PassesInHand) -> PassesInHand:
    """The rest in fewer passes of a larger chip area: a quarter fewer passes, at least one.

    state   : the passes in hand
    Returns : PassesInHand with at least one pass fewer, equal areas, none deeper at once than the cap
    Raises  : OutOfRange at full depth, or where one pass fewer would pass the cap or twice its chip
    Valid   : every pass along the same flank or straight in
    Source  : equal areas, common practice; the quarter is ours

    >>> from assistant.core.infeed import passes
    >>> len(heavier(lighter(begin(passes(0.92, 30, first=0.46, least=0.05)))).left)
    4
    """
    _refuse_if_at_depth(state)
    now = len(state.left)
    reach = ceil((state.whole_depth - state.present) / state.most_first * (1 - LAST_BITS))
    for count in range(max(1, reach, now - _easing(state)), now):
        found = _shared(state, count)
        if found.area <= HEAVIEST * _cap_area(state) * (1 + LAST_BITS):
            return found
    raise OutOfRange(
        "passes left",
        f"{now - 1}",
        f"would be too heavy: at most {state.most_first:.3f} mm deeper at once, "
        f"and {HEAVIEST} times the chip of such a first pass",
        str(now),
    )


def at_depth(state: PassesInHand, depth: float, slack: float = 0.0) -> PassesInHand:
    """The passes from a depth that the dial shows: the rest planned anew with the same chip area.

    state   : the passes in hand
    depth   : mm on the radius, 0 or more; shallower than what counted as cut is believed
    slack   : mm on the radius: so near the whole depth counts as the whole (a division of the dial)
    Returns : PassesInHand, ending exactly at the same whole depth
    Raises  : OutOfRange for a depth or slack below zero, or deeper than the whole
    Valid   : the same tool and infeed
    Source  : equal areas, common practice

    >>> from assistant.core.infeed import passes
    >>> [round(left, 2) for left in at_depth(begin(passes(0.92, 30, first=0.46, least=0.05)), 0.7).left]
    [0.82, 0.92]
    """
    for name, length in (("present depth", depth), ("division of the dial", slack)):
        if not (isfinite(length) and length >= 0):
            raise OutOfRange(name, f"{length:g} mm", "must be 0 mm or more")
    whole = state.whole_depth
    if depth > whole * (1 + LAST_BITS):
        raise OutOfRange(
            "present depth",
            f"{depth:.3f} mm",
            f"the whole thread is {whole:.3f} mm deep on the radius; measure it",
        )
    before = tuple(each for each in state.taken if each < depth * (1 - LAST_BITS))
    if whole - depth <= max(slack, LAST_BITS * whole):
        if not state.left:
            return state
        return replace(state, taken=(*before, whole), left=(), spring_left=state.spring_passes)
    there = replace(state, taken=(*before, depth) if depth else ())
    return _shared(there, _fewest(there, state.area))


def deepen(state: PassesInHand, on_radius: float) -> PassesInHand:
    """The passes that take so much more on the radius from the present depth, then the spring passes again.

    state     : the passes in hand
    on_radius : mm that the tool still goes in, more than 0
    Returns   : PassesInHand whose whole depth is the present depth and `on_radius`
    Raises    : OutOfRange for zero or less, or more than the thread is deep
    Valid     : the same tool and infeed
    Source    : equal areas, common practice

    >>> from assistant.core.infeed import passes
    >>> done = at_depth(begin(passes(0.92, 30, first=0.46, least=0.05)), 0.92)
    >>> len(deepen(done, 0.02).left)
    1
    """
    if not (isfinite(on_radius) and on_radius > 0):
        raise OutOfRange("still to take", f"{on_radius:g} mm", "must be more than 0 mm")
    if on_radius > state.whole_depth:
        raise OutOfRange(
            "still to take",
            f"{on_radius:.3f} mm on the radius",
            f"the whole thread is only {state.whole_depth:.3f} mm deep; measure again",
        )
    deeper = replace(state, whole_depth=state.present + on_radius)
    return _shared(deeper, _fewest(deeper, state.area))
