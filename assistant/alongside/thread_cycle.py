"""A thread from the levers to the gauge: where the operator stands, and what each word makes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from assistant.alongside import thread_steps
from assistant.alongside.sequence import Going, Sequence, only_while
from assistant.answer import Answer
from assistant.answering.infeed import compound_of
from assistant.answering.situation import Situation
from assistant.answering.thread_named import standard_thread
from assistant.core import dial_walk, pass_plan
from assistant.core.dial_types import SlideDial
from assistant.core.levers import GearTrain, Move, WhenToShift
from assistant.core.pass_plan import PassesInHand
from assistant.core.thread_cycle import Infeed, ThreadJob
from assistant.core.threads.thread import Thread
from assistant.errors import NoSuchSize, OutOfRange
from assistant.query import Query, ThreadNamed
from assistant.query_alongside import AtReading, DialZero, GoToStep, NowTrue, SequenceWord
from assistant.query_following import Why
from assistant.query_levers import GearsMounted, LeversDone
from assistant.query_threading import MeasuredOverWires
from profiles.lathe import Lathe

STANDING = frozenset({WhenToShift.STOPPED, WhenToShift.BY_HAND})
STOPPED_FOR = frozenset({"gears", "taper", "compound", "tool"})
"""Settings that are made with the spindle stopped; of the levers each tells itself."""
TURNING_FOR = frozenset({"touch"})
PARTS = {
    "levers": ("gears", "lever"),
    "compound": ("compound",),
    "tool": ("tool",),
    "touching off": ("touch",),
}
"""Parts that may be gone to by name, and their settings."""


@dataclass(frozen=True)
class ThreadCycle:
    """A thread at one of its steps."""

    named: ThreadNamed
    job: ThreadJob
    fresh: PassesInHand
    """The passes as planned: each start begins with them."""
    passes: PassesInHand
    settings: tuple[str, ...]
    """'gears', 'lever 0' …, 'speed', 'taper', 'compound', 'tool', 'touch', 'zero'."""
    moves: tuple[Move, ...] = ()
    target: Mapping[str, str] = field(default_factory=dict)
    """Lever -> position while the thread is cut."""
    mount: str = ""
    train: GearTrain | None = None
    spindle_speed: Fraction | None = None
    """Turns per minute; None where no material was named."""
    phase: str = "setting"
    """'setting', 'cutting', 'starting' (on to another start), 'measuring' or 'done'."""
    at: int = 0
    """Place in `settings`."""
    start: int = 1
    zero: int = 0
    """What the dial of the slide that is fed reads where the tool touches."""
    stopped: bool = False
    """True where the operator said that the spindle stands still, and nothing has started it since."""

    @property
    def thread(self) -> Thread:
        """The thread as its standard has it."""
        return standard_thread(self.named)[0]

    @property
    def title(self) -> str:
        """Its designation."""
        return self.thread.designation

    @property
    def setting(self) -> str:
        """The setting to be made now; empty once all are."""
        return self.settings[self.at] if self.phase == "setting" else ""

    @property
    def move(self) -> Move | None:
        """The lever to be moved now."""
        name, _, place = self.setting.partition(" ")
        return self.moves[int(place)] if name == "lever" else None

    @property
    def waits_for_stop(self) -> bool:
        """True where the present step may only be told with the spindle stopped, and that was not said."""
        if self.stopped:
            return False
        move = self.move
        return self.setting in STOPPED_FOR or (move is not None and move.when in STANDING)

    @property
    def angle(self) -> Fraction:
        """Degrees of the slide that is fed from the direction of the cross slide."""
        if self.job.infeed is Infeed.STRAIGHT:
            return Fraction(0)
        return compound_of(self.thread, self.job.internal).angle

    def slide(self, lathe: Lathe) -> tuple[str, SlideDial]:
        """Name and dial of the slide that is fed."""
        if self.job.infeed is Infeed.STRAIGHT:
            return "cross slide", lathe.cross_slide
        return "compound", lathe.compound

    @property
    def steps(self) -> tuple[int, int]:
        """Number of the present step, from 1, and how many there are."""
        set_up = len(self.settings)
        each = self.passes.total + self.passes.spring_passes
        of = set_up + self.job.starts * each + (self.job.starts - 1) + 1
        if self.phase == "setting":
            return self.at + 1, of
        if self.phase in ("measuring", "done"):
            return of, of
        before = set_up + (self.start - 1) * (each + 1)
        if self.phase == "starting":
            return before + each + 1, of
        return min(before + self.passes.number, of), of

    def astray(self, situation: Situation) -> dict[str, str]:
        """Levers that a question since may have moved from where this thread needs them."""
        if self.phase == "setting":
            return {}
        set_up = situation.set_up
        return {
            lever: place
            for lever, place in self.target.items()
            if lever in set_up.doubtful or set_up.confirmed.get(lever, place) != place
        }

    def told(self, situation: Situation) -> Answer:
        """The present step, or what must be so before it is given."""
        return thread_steps.told(self, situation)

    def takes(self, query: Query) -> bool:
        """True where `query` is said to this thread."""
        if isinstance(query, MeasuredOverWires):
            return self.phase != "setting" and query.thread in (None, self.named)
        if isinstance(query, LeversDone | GearsMounted):
            return self.phase == "setting" or isinstance(query, LeversDone)
        return isinstance(query, SequenceWord | NowTrue | GoToStep | AtReading | DialZero | Why)

    def after(self, query: Query, situation: Situation) -> Going:
        """The next state, and what is told where it is not the present step."""
        match query:
            case NowTrue():
                stopped = self.stopped or query.need in ("spindle-stopped", "isolated")
                return Going(replace(self, stopped=stopped))
            case GoToStep():
                return Going(self._gone_to(query))
            case DialZero():
                return self._zeroed(query, situation.lathe)
            case AtReading():
                return Going(self._at_reading(query, situation.lathe))
            case LeversDone() | GearsMounted():
                return self._levers_done(situation)
            case MeasuredOverWires():
                return thread_steps.measured(self, query, situation)
            case Why():
                return Going(self, thread_steps.reason(self, situation))
            case SequenceWord():
                return self._word(query.word, situation)
        raise TypeError(f"{type(query).__name__} is not said to a thread")

    def _word(self, word: str, situation: Situation) -> Going:
        match word:
            case "next":
                return self._next(situation)
            case "again" | "where" | "left":
                return Going(self)
            case "end":
                return Going(None, Answer("sequence-ended", texts={"title": self.title}))
            case "skip" if self.phase == "setting":
                return Going(self.advanced())
            case "deeper" if self.phase in ("cutting", "measuring", "done"):
                return Going(self._deeper(situation.lathe))
            case "skip" | "lighter" | "heavier" if self.phase == "cutting":
                change = {
                    "skip": pass_plan.skip,
                    "lighter": pass_plan.lighter,
                    "heavier": pass_plan.heavier,
                }[word]
                return Going(replace(self, passes=change(self.passes)))
        return Going(self, only_while(f"'{word}' is for the passes: say next, or where am I"))

    def _next(self, situation: Situation) -> Going:
        away = self.astray(situation)
        if away and self.phase in ("cutting", "starting"):
            # 'next' says that they are back; each is told with when it may be moved.
            return Going(self, levers=away)
        if self.waits_for_stop:
            return Going(self)
        levers = {self.move.lever: self.move.to} if self.move is not None else {}
        gears_on = self.setting == "gears"
        ahead = self.advanced()
        if ahead.phase == "done" and self.phase == "done":
            return Going(None, Answer("procedure-done", texts={"title": self.title}))
        return Going(ahead, levers=levers, mounted=self.train, gears_on=gears_on)

    def advanced(self) -> ThreadCycle:
        """The state one step further, whatever that step was."""
        match self.phase:
            case "setting":
                slow = self.move is not None and self.move.when is WhenToShift.SLOW
                stopped = self.stopped and not slow
                if self.at + 1 < len(self.settings):
                    ahead = replace(self, at=self.at + 1, stopped=stopped)
                    turns = ahead.setting in TURNING_FOR
                    return replace(ahead, stopped=stopped and not turns)
                return replace(self, phase="cutting", stopped=False)
            case "cutting":
                passes = pass_plan.taken(self.passes)
                if not passes.finished:
                    return replace(self, passes=passes, stopped=False)
                more = self.start < self.job.starts
                return replace(self, passes=passes, phase="starting" if more else "measuring")
            case "starting":
                return replace(self, phase="cutting", passes=self.fresh, start=self.start + 1)
        return replace(self, phase="done")

    def _gone_to(self, query: GoToStep) -> ThreadCycle:
        """Another setting, the passes or the measuring."""
        if query.step is not None:
            if not 1 <= query.step <= len(self.settings):
                raise NoSuchSize(
                    "step",
                    str(query.step),
                    f"of the settings there are {len(self.settings)}; say 'go to the passes'",
                )
            return replace(self, phase="setting", at=query.step - 1)
        if query.landmark == "passes":
            return replace(self, phase="cutting", stopped=False)
        if query.landmark == "measuring":
            return replace(self, phase="measuring")
        for place, setting in enumerate(self.settings):
            if setting.partition(" ")[0] in PARTS.get(query.landmark or "", ()):
                return replace(self, phase="setting", at=place)
        raise NoSuchSize("step", query.landmark or "", "is no part of this thread")

    def _zeroed(self, query: DialZero, lathe: Lathe) -> Going:
        name, dial = self.slide(lathe)
        if query.slide.replace("-", " ") != name:
            return Going(self, only_while(f"this thread is fed by the {name}"))
        if not 0 <= query.dial_start < dial.divisions:
            raise OutOfRange(
                "dial", str(query.dial_start), f"the {name} has divisions 0 to {dial.divisions - 1}"
            )
        return Going(replace(self, zero=query.dial_start))

    def _at_reading(self, query: AtReading, lathe: Lathe) -> ThreadCycle:
        """The passes that are left from what the dial reads: the depth is believed, the rest planned anew."""
        name, dial = self.slide(lathe)
        if self.phase == "setting":
            raise OutOfRange("dial", "reading", "counts from the touch; touch off and zero it first")
        if Fraction(query.reading).denominator != 1:
            raise OutOfRange("dial", f"{float(query.reading):g}", "say whole divisions")
        division = int(query.reading)
        if query.turns:
            count = dial_walk.count_of(query.turns, division, dial, self.zero)
        else:
            count = dial_walk.nearest_count(division, dial, self.zero, self.count(lathe))
        depth = dial_walk.depth_at(count, self.angle, dial)
        slack = dial_walk.depth_at(1, self.angle, dial)
        passes = pass_plan.at_depth(self.passes, depth, slack)
        return replace(self, passes=passes, phase="cutting")

    def count(self, lathe: Lathe) -> int:
        """Divisions from the touch at which the slide stands after the last pass."""
        present = self.passes.present
        if present == 0:
            return 0
        [step] = dial_walk.thread_walk([present], self.angle, self.slide(lathe)[1], self.zero)
        return step.place.count

    def _deeper(self, lathe: Lathe) -> ThreadCycle:
        """One division more than the plan: the gauge does not go yet."""
        more = dial_walk.depth_at(1, self.angle, self.slide(lathe)[1])
        return replace(self, passes=pass_plan.deepen(self.passes, more), phase="cutting")

    def _levers_done(self, situation: Situation) -> Going:
        """All levers, and gears, as told."""
        if self.phase != "setting":
            return Going(self, levers=self.astray(situation))
        past = [place for place, each in enumerate(self.settings) if each[:5] in ("lever", "gears")]
        if not past:
            return Going(self)
        ahead = replace(self, at=max(self.at, past[-1]))
        gears = "gears" in self.settings
        return Going(
            ahead.advanced() if self.at <= past[-1] else self,
            levers=dict(self.target),
            mounted=self.train,
            gears_on=gears,
        )

    def standing(self) -> ThreadCycle:
        """The same place; whether the spindle stands still is asked anew."""
        return replace(self, stopped=False)

    def again(self, present: Sequence) -> ThreadCycle:
        """This earlier state, gone back to from `present`."""
        assert isinstance(present, ThreadCycle)
        return replace(self, stopped=present.stopped)
