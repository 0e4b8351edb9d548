"""A size while it is being cut: where the dial stands, what the last measurement showed, what to cut next."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from math import floor

from assistant.core.bounds import Number, with_unit
from assistant.core.cut_depths import Finishing, practice
from assistant.core.dial_error import (
    CutTaken,
    cuts_to_learn_from,
    doubt_share,
    excess_share,
    last_divisions,
)
from assistant.core.dial_types import SlideDial
from assistant.core.dial_walk import DialPlace, Turning, place_at, travel_at, turning
from assistant.core.to_size import SizeState, Target, ToSize, to_size
from assistant.core.turning_plan import (
    CutKind,
    PlannedCut,
    Work,
    metal_between,
    planned_cuts,
    size_after,
    size_of_division,
)
from assistant.errors import OutOfRange


@dataclass(frozen=True)
class CutsInHand:
    """One size as it is being cut; mm, exact. Sizes are diameters, in facing lengths."""

    work: Work
    target: Target
    dial: SlideDial
    most: Fraction
    """Deepest cut, per side."""
    finish: Finishing
    zero: int
    """What the collar showed at the touch."""
    size: Fraction
    """Last known: as measured, or by the dial."""
    measured_size: bool
    """True where `size` was measured, False where only the dial says so."""
    count: int
    """Divisions from the touch where the slide stands when it cuts."""
    last_measured: Fraction
    """The size when it was last measured."""
    last_measured_count: int
    """Divisions from the touch at that time."""
    since: tuple[CutKind, ...]
    """Cuts since the last measurement."""
    left: tuple[PlannedCut, ...]
    """Cuts to come; empty where none is needed or none helps."""
    done: int
    """Cuts taken."""
    cuts: tuple[CutTaken, ...]
    """From one measurement to the next."""

    @property
    def standing(self) -> ToSize:
        """The last known size against its limits: take off, within, or past and by how much."""
        return to_size(self.size, self.target, self.work is Work.BORE)

    @property
    def must_measure(self) -> bool:
        """True where nothing more may be cut before the size is measured."""
        return not self.left and not self.measured_size

    @property
    def total(self) -> int:
        """Cuts taken and left."""
        return self.done + len(self.left)


@dataclass(frozen=True)
class NextCut:
    """The next cut; mm, exact."""

    kind: CutKind
    number: int
    """From 1."""
    total: int
    planned: PlannedCut
    """What was aimed at before rounding to the dial."""
    place: DialPlace
    """Where the collar shall stand."""
    turning: Turning
    """From where it stood at the last cut."""
    depth: Fraction
    """Per side, in whole divisions."""
    size: Fraction
    """What it should measure afterwards, the learnt error counted in."""
    correction: Fraction
    """On the size: how much less is dialled for the learnt error; negative where more is."""
    measure: bool
    """True where the work is to be measured after this cut."""
    last: bool
    """True where the size should lie within its limits afterwards."""


class Reading(Enum):
    """What was made of a measurement."""

    FIRST = "first"
    """The first after the touch: it holds the touch's own error, so nothing is learnt."""
    LEARNT = "learnt"
    TAKEN = "taken"
    """Taken as the size, nothing learnt."""
    AGAIN = "again"
    """Measured again without a cut in between: it takes the place of the reading before."""
    ASK_FAR_OFF = "ask far off"
    """Too far from what the dial says: ask, nothing is changed."""
    ASK_GREW = "ask grew"
    """Metal would have grown back: ask, nothing is changed."""


@dataclass(frozen=True)
class Measured:
    """What a measurement says; mm on the size, exact."""

    reading: Reading
    state: CutsInHand
    """As before where the reading has to be asked about."""
    expected: Fraction
    """The size that the dial led to expect."""
    took: Fraction
    """What came off since the last measurement; 0 where the tool only rubbed."""
    excess: Fraction
    """How much more came off than the dial said; negative where less did."""

    @property
    def divisions_off(self) -> Fraction:
        """The same in divisions of the dial, without sign."""
        return abs(self.excess) / size_of_division(self.state.work, self.state.dial)


def begin(
    size: Fraction,
    target: Target,
    work: Work,
    dial: SlideDial,
    most: Fraction,
    finish: Finishing,
    *,
    zero: int = 0,
) -> CutsInHand:
    """A size to be cut, the tool touching the work.

    size    : mm, measured now
    target  : limits and aim, mm
    work    : what is cut
    dial    : collar of the slide that is fed
    most    : deepest cut, mm per side
    finish  : what is left for finishing
    zero    : what the collar shows at the touch
    Returns : CutsInHand; its `standing` says whether the size is within limits, or past them, already
    Raises  : OutOfRange as `turning_plan.planned_cuts`, and for a zero that is not on the collar
    Valid   : backlash taken up at the touch
    Source  : tables/finishing_allowances.csv

    >>> from assistant.core.cut_depths import finishing
    >>> from assistant.core.to_size import plain_target
    >>> dial = SlideDial(Fraction(1, 20), 160, "diameter")
    >>> begin(Fraction(53), plain_target(50), Work.TURN, dial, Fraction(1), finishing("turn")).total
    4
    """
    place_at(0, dial, zero)
    size = Fraction(size)
    state = CutsInHand(
        work, target, dial, most, finish, zero, size, True, 0, size, 0, (), (), 0, ()
    )
    return replace(state, left=_left(state, finish.cuts))


def _left(state: CutsInHand, finish_cuts: int) -> tuple[PlannedCut, ...]:
    planned = planned_cuts(
        state.size, state.target, state.work, state.dial, state.most, state.finish, finish_cuts
    )
    return planned if state.standing.state is SizeState.TAKE_OFF else ()


def _beyond_aim(target: Target, work: Work) -> Fraction:
    """From the aim to the limit past which the work is spoiled."""
    return metal_between(target.aim, target.maximum if work is Work.BORE else target.minimum, work)


def _divisions(state: CutsInHand) -> int:
    """Divisions of the next planned cut; 0 where no whole division serves."""
    planned = state.left[0]
    each = size_of_division(state.work, state.dial)
    amount = metal_between(state.size, planned.size, state.work)
    if planned.kind is CutKind.ROUGH:
        return floor(amount / each)
    if len(state.left) > 1:
        # No finishing cut is planned thinner than a division, and more are to follow.
        return max(1, floor(amount / (each * (1 + excess_share(state.cuts, planned.kind)))))
    room = amount + _beyond_aim(state.target, state.work)
    return last_divisions(amount, room, each, state.cuts)


def _to_be_measured(state: CutsInHand, amount: Fraction) -> bool:
    """After the first cut, before and after a finishing cut, and before doubt eats half the finishing allowance."""
    if state.done == 0 or any(cut.kind is CutKind.FINISH for cut in state.left[:2]):
        return True
    each = size_of_division(state.work, state.dial)
    since = (state.count - state.last_measured_count) * each + amount
    following = state.work.sides * state.left[1].depth
    doubt = doubt_share(state.cuts, CutKind.ROUGH) * (since + following)
    return 2 * doubt > state.finish.allowance


def dial_too_coarse(state: CutsInHand) -> bool:
    """Whether metal is left but no whole division of the dial stands within the limits.

    state   : the cuts in hand
    Returns : True where the rest needs a finer way: the compound at a small angle, or lapping
    Raises  : nothing
    Valid   : after a measurement
    Source  : arithmetic of the collar

    >>> from assistant.core.cut_depths import finishing
    >>> dial = SlideDial(Fraction(1, 20), 160, "diameter")
    >>> near = Target(Fraction(50), Fraction(5001, 100), Fraction(10001, 200))
    >>> dial_too_coarse(begin(Fraction(5003, 100), near, Work.TURN, dial, Fraction(1), finishing("turn")))
    True
    """
    return bool(state.left) and _divisions(state) < 1


def next_cut(state: CutsInHand) -> NextCut | None:
    """The next cut, on whole divisions: rounded to leave metal, but for the last one, which takes the nearest.

    state   : the cuts in hand
    Returns : NextCut; None where nothing is to be cut: see `standing`, `must_measure`, `dial_too_coarse`
    Raises  : nothing
    Valid   : backlash taken up; the same tool
    Source  : arithmetic of the collar; the error is learnt from the cuts themselves

    >>> from assistant.core.cut_depths import finishing
    >>> from assistant.core.to_size import plain_target
    >>> dial = SlideDial(Fraction(1, 20), 160, "diameter")
    >>> cut = next_cut(begin(Fraction(53), plain_target(50), Work.TURN, dial, Fraction(1), finishing("turn"), zero=150))
    >>> cut.place.division, float(cut.size)
    (15, 51.75)
    """
    if not state.left or dial_too_coarse(state):
        return None
    planned, each = state.left[0], size_of_division(state.work, state.dial)
    divisions = _divisions(state)
    share = Fraction(0) if planned.kind is CutKind.ROUGH else excess_share(state.cuts, planned.kind)
    after = size_after(state.size, divisions * each * (1 + share), state.work)
    return NextCut(
        kind=planned.kind,
        number=state.done + 1,
        total=state.total,
        planned=planned,
        place=place_at(state.count + divisions, state.dial, state.zero),
        turning=turning(state.count, state.count + divisions, state.dial),
        depth=travel_at(divisions, state.dial),
        size=after,
        correction=divisions * each * share,
        measure=_to_be_measured(state, divisions * each),
        last=state.target.minimum <= after <= state.target.maximum,
    )


def cut_taken(state: CutsInHand) -> CutsInHand:
    """The cuts after the next one was cut at the reading that was given; the size is the dial's until measured.

    state   : the cuts in hand
    Returns : CutsInHand one cut on
    Raises  : OutOfRange where no cut is left
    Valid   : as `next_cut`
    Source  : arithmetic of the collar

    >>> from assistant.core.cut_depths import finishing
    >>> from assistant.core.to_size import plain_target
    >>> dial = SlideDial(Fraction(1, 20), 160, "diameter")
    >>> cut_taken(begin(Fraction(53), plain_target(50), Work.TURN, dial, Fraction(1), finishing("turn"))).size
    Fraction(207, 4)
    """
    cut = next_cut(state)
    if cut is None:
        raise OutOfRange("cut", f"number {state.done + 1}", "no cut is left; measure the work")
    return replace(
        state,
        size=cut.size,
        measured_size=False,
        count=cut.place.count,
        since=(*state.since, cut.kind),
        left=state.left[1:],
        done=state.done + 1,
    )


def _asked(state: CutsInHand, size: Fraction, expected: Fraction) -> Reading | None:
    """The question that a reading raises; None where it is to be believed."""
    each = size_of_division(state.work, state.dial)
    widest = min(practice("wild_divisions") * each, max(practice("wild_size"), each))
    if abs(size - expected) > widest:
        return Reading.ASK_FAR_OFF
    if state.since and metal_between(size, state.last_measured, state.work) > 0:
        return Reading.ASK_GREW
    return None


def _again(state: CutsInHand, size: Fraction) -> tuple[CutTaken, ...]:
    """The cuts with the last one's reading replaced."""
    if not state.cuts:
        return ()
    last = state.cuts[-1]
    more = metal_between(state.last_measured, size, state.work)
    return (*state.cuts[:-1], replace(last, took=last.took + more))


def measured(state: CutsInHand, size: Number, *, sure: bool = False) -> Measured:
    """The cuts after a measurement: what was learnt from it, and the rest planned from the measured size.

    state   : the cuts in hand
    size    : mm, measured now
    sure    : True where the reading was asked about and confirmed: it is the size, nothing is learnt
    Returns : Measured; a reading further off than tables/cutting_practice.yaml allows, or where metal would
              have grown, is to be asked about and leaves the state as it was
    Raises  : OutOfRange for a size of zero or less
    Valid   : the slide stands where the last cut was taken; work at the measuring tool's temperature
    Source  : differences; the limits of doubt from tables/cutting_practice.yaml

    >>> from assistant.core.cut_depths import finishing
    >>> from assistant.core.to_size import plain_target
    >>> dial = SlideDial(Fraction(1, 20), 160, "diameter")
    >>> state = begin(Fraction(53), plain_target(50), Work.TURN, dial, Fraction(1), finishing("turn"))
    >>> measured(cut_taken(state), Fraction(15)).reading
    <Reading.ASK_FAR_OFF: 'ask far off'>
    """
    if not size > 0:
        raise OutOfRange("measured size", with_unit(size, "mm"), "must be more than 0 mm")
    size = Fraction(size)
    each = size_of_division(state.work, state.dial)
    dialled = (state.count - state.last_measured_count) * each
    took = metal_between(state.last_measured, size, state.work)
    question = None if sure else _asked(state, size, state.size)
    if question is not None:
        return Measured(question, state, state.size, took, took - dialled)
    reading = _reading(state, sure)
    if reading is Reading.AGAIN:
        cuts = _again(state, size)
    else:
        learnt = reading is Reading.LEARNT
        cuts = (*state.cuts, CutTaken(state.since[-1], dialled, took, learnt))
    finishes = sum(cut.kind is CutKind.FINISH for cut in state.left)
    after = replace(
        state,
        size=size,
        measured_size=True,
        last_measured=size,
        last_measured_count=state.count,
        since=(),
        cuts=cuts,
    )
    after = replace(after, left=_left(after, max(1, finishes)))
    return Measured(reading, after, state.size, took, took - dialled)


def _reading(state: CutsInHand, sure: bool) -> Reading:
    if not state.since:
        return Reading.AGAIN
    if sure:
        return Reading.TAKEN
    if state.last_measured_count == 0:
        return Reading.FIRST
    return Reading.LEARNT if len(set(state.since)) == 1 else Reading.TAKEN


def learnt_error(state: CutsInHand) -> Fraction | None:
    """What the next cut is expected to take off the size beyond what is dialled.

    state   : the cuts in hand
    Returns : mm on the size; negative where less comes off; None where nothing has been learnt yet
    Raises  : nothing
    Valid   : as believed by `next_cut`: see core.dial_error
    Source  : mean of the excess over cuts of the same kind

    >>> from assistant.core.cut_depths import finishing
    >>> from assistant.core.to_size import plain_target
    >>> dial = SlideDial(Fraction(1, 20), 160, "diameter")
    >>> learnt_error(begin(Fraction(53), plain_target(50), Work.TURN, dial, Fraction(1), finishing("turn")))
    """
    if not state.left or not cuts_to_learn_from(state.cuts, state.left[0].kind):
        return None
    amount = metal_between(state.size, state.left[0].size, state.work)
    return amount * excess_share(state.cuts, state.left[0].kind)
