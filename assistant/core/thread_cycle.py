"""Which steps a thread needs, in order: what has to be set, and every pass of every start."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from assistant.core.infeed import MOST_PASSES
from assistant.core.thread_dial import StartClosings
from assistant.errors import OutOfRange

MOST_STARTS = 12
"""A thread of more starts is a slip of the tongue."""


class Infeed(Enum):
    """How the tool goes in."""

    FLANK = "flank"
    """By the compound slide along the flank; the cross slide goes back to one reading."""
    STRAIGHT = "straight"
    """By the cross slide."""


class Reach(Enum):
    """How the next start of a multiple-start thread is reached."""

    DIAL = "dial"
    """By the marks of the thread dial."""
    COMPOUND = "compound"
    """By the compound, set along the axis, moved on by one pitch: only with straight infeed."""


class Step(Enum):
    """One thing to be done."""

    SPEED = "speed"
    LEVERS = "levers"
    TAPER = "taper"
    """Set the taper attachment."""
    COMPOUND = "compound"
    TOOL = "tool"
    TOUCH = "touch"
    ZERO = "zero"
    START = "start"
    """Go on to the next start."""
    PASS = "pass"
    SPRING = "spring"
    MEASURE = "measure"


class Flag(Enum):
    """What is particular about a step."""

    SPINDLE_STOPPED = "spindle stopped"
    KEEP_CLOSED = "keep closed"
    """The half-nut stays closed; the spindle is reversed to bring the tool back."""
    CLOSE_ON_MARKS = "close on marks"
    AWAY_FROM_CHUCK = "away from chuck"
    """Left hand with the spindle forward: the cut runs from the relief towards the tailstock."""
    INTERNAL = "internal"
    """The tool goes in towards the operator and is withdrawn towards the axis."""
    STRAIGHT_IN = "straight in"
    ALONG_AXIS = "along axis"
    """The compound stands parallel to the axis, to move on by one pitch."""
    BY_DIAL = "by dial"
    BY_COMPOUND = "by compound"
    TAPERED = "tapered"
    NEEDS_ATTACHMENT = "needs attachment"
    SQUARE_TO_AXIS = "square to axis"
    """The tool is set square to the axis of the work, not to its tapered surface."""
    BY_WIRES = "by wires"
    BY_GAUGE = "by gauge"
    FIRST = "first"
    LAST = "last"


@dataclass(frozen=True)
class ThreadJob:
    """One thread and the way in which it is cut."""

    internal: bool
    left_hand: bool
    starts: int
    tapered: bool
    infeed: Infeed
    keep_closed: bool
    """True where the half-nut stays closed and the spindle is reversed."""
    reach: Reach | None
    """How the next start is reached; None for a single start."""
    infeed_changed: bool
    """True where straight infeed was not asked for but is needed, as the compound moves the starts on."""


@dataclass(frozen=True)
class CycleStep:
    """One step of a thread."""

    kind: Step
    start: int
    """Number of the start, from 1; 0 for what is set once for all."""
    number: int
    """Number of the pass or spring pass within its start, from 1; 0 for other steps."""
    flags: frozenset[Flag]


def thread_job(
    *,
    internal: bool = False,
    left_hand: bool = False,
    starts: int = 1,
    tapered: bool = False,
    infeed: Infeed = Infeed.FLANK,
    keep_closed: bool = False,
    closings: StartClosings | None = None,
) -> ThreadJob:
    """The way in which a thread is cut: starts by the dial where it has marks for all, else by the compound.

    internal    : True for a thread in a bore
    left_hand   : True for a left-hand thread
    starts      : of the thread
    tapered     : True for a tapered pipe thread
    infeed      : as asked for
    keep_closed : True where the thread dial does not serve: `thread_dial.Closings.keep_closed`
    closings    : `thread_dial.start_closings` of the gear in mesh; None without a dial or with one start
    Returns     : ThreadJob; with straight infeed where the compound moves the starts on
    Raises      : OutOfRange for less than one start or more than twelve, for closings of another
                  number of starts, or for a tapered thread of several starts
    Valid       : single-point threading
    Source      : geometry: a compound along the flank cannot move along the axis as well

    >>> thread_job(starts=2).infeed
    <Infeed.STRAIGHT: 'straight'>
    """
    if not 1 <= starts <= MOST_STARTS:
        raise OutOfRange("number of starts", str(starts), f"must be 1 to {MOST_STARTS}")
    if tapered and starts > 1:
        raise OutOfRange(
            "number of starts", str(starts), "a tapered pipe thread has one start", "1"
        )
    if closings is not None and len(closings.starts) != starts:
        raise OutOfRange(
            "number of starts", str(starts), f"the marks are for {len(closings.starts)} starts"
        )
    reach = None
    if starts > 1:
        # With the half-nut kept closed no mark can bring another start.
        on_dial = closings is not None and closings.by_dial and not keep_closed
        reach = Reach.DIAL if on_dial else Reach.COMPOUND
    way = Infeed.STRAIGHT if reach is Reach.COMPOUND else infeed
    return ThreadJob(
        internal, left_hand, starts, tapered, way, keep_closed, reach, way is not infeed
    )


def _running(job: ThreadJob) -> set[Flag]:
    """What holds for every pass."""
    flags = {Flag.KEEP_CLOSED if job.keep_closed else Flag.CLOSE_ON_MARKS}
    if job.left_hand:
        flags.add(Flag.AWAY_FROM_CHUCK)
    if job.internal:
        flags.add(Flag.INTERNAL)
    if job.infeed is Infeed.STRAIGHT:
        flags.add(Flag.STRAIGHT_IN)
    if job.tapered:
        flags.add(Flag.TAPERED)
    return flags


def _setting_up(job: ThreadJob) -> list[CycleStep]:
    stopped = Flag.SPINDLE_STOPPED
    hand = {Flag.AWAY_FROM_CHUCK} if job.left_hand else set()
    inside = {Flag.INTERNAL} if job.internal else set()
    straight = {Flag.STRAIGHT_IN} if job.infeed is Infeed.STRAIGHT else set()
    along = {Flag.ALONG_AXIS} if job.reach is Reach.COMPOUND else set()
    steps = [(Step.SPEED, {stopped}), (Step.LEVERS, {stopped, *hand})]
    if job.tapered:
        steps.append((Step.TAPER, {stopped, Flag.TAPERED, Flag.NEEDS_ATTACHMENT}))
    steps += [
        (Step.COMPOUND, {stopped, *straight, *along, *inside, *hand}),
        (Step.TOOL, {stopped, *inside, *({Flag.SQUARE_TO_AXIS} if job.tapered else set())}),
        (Step.TOUCH, inside),
        (Step.ZERO, straight),
    ]
    return [CycleStep(kind, 0, 0, frozenset(flags)) for kind, flags in steps]


def _one_start(job: ThreadJob, start: int, passes: int, springs: int) -> list[CycleStep]:
    running = _running(job)
    steps = []
    if start > 1:
        way = Flag.BY_DIAL if job.reach is Reach.DIAL else Flag.BY_COMPOUND
        steps.append(CycleStep(Step.START, start, 0, frozenset({way})))
    for number in range(1, passes + 1):
        ends = {flag for flag, at in ((Flag.FIRST, 1), (Flag.LAST, passes)) if number == at}
        steps.append(CycleStep(Step.PASS, start, number, frozenset(running | ends)))
    steps += [
        CycleStep(Step.SPRING, start, number, frozenset(running))
        for number in range(1, springs + 1)
    ]
    return steps


def thread_cycle(job: ThreadJob, passes: int, spring_passes: int) -> tuple[CycleStep, ...]:
    """Every step of a thread in order: setting up once, then each start with its passes, then measuring.

    job           : the thread and the way in which it is cut
    passes        : passes to the whole depth, of each start
    spring_passes : passes at the whole depth without infeed, of each start
    Returns       : the steps; each start is cut to its depth before the next is begun
    Raises        : OutOfRange for less than one pass, spring passes below 0, or more than 200 of either
    Valid         : single-point threading
    Source        : common practice, no source

    >>> [step.kind.name for step in thread_cycle(thread_job(), 1, 1)][4:]
    ['TOUCH', 'ZERO', 'PASS', 'SPRING', 'MEASURE']
    """
    if not 1 <= passes <= MOST_PASSES:
        raise OutOfRange("number of passes", str(passes), f"must be 1 to {MOST_PASSES}")
    if not 0 <= spring_passes <= MOST_PASSES:
        raise OutOfRange("spring passes", str(spring_passes), f"must be 0 to {MOST_PASSES}")
    steps = _setting_up(job)
    for start in range(1, job.starts + 1):
        steps += _one_start(job, start, passes, spring_passes)
    by_gauge = job.internal or job.tapered
    measured = {Flag.SPINDLE_STOPPED, Flag.BY_GAUGE if by_gauge else Flag.BY_WIRES}
    steps.append(CycleStep(Step.MEASURE, 0, 0, frozenset(measured)))
    return tuple(steps)
