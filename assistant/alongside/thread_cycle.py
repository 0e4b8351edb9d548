"""A thread from the levers to the gauge: where the operator stands, and what each word makes of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.alongside import thread_steps
from assistant.alongside.sequence import Going, only_while
from assistant.alongside.setting_up import SettingUp, SetUpFirst
from assistant.answer import Answer
from assistant.answering.infeed import compound_of
from assistant.answering.situation import Situation
from assistant.answering.thread_named import standard_thread
from assistant.core import dial_walk, pass_plan
from assistant.core.dial_types import SlideDial
from assistant.core.pass_plan import PassesInHand
from assistant.core.thread_cycle import Infeed, ThreadJob
from assistant.core.threads.thread import Thread
from assistant.errors import OutOfRange
from assistant.query import Query, ThreadNamed
from assistant.query_alongside import AtReading, DialZero, GoToStep, SequenceWord
from assistant.query_following import Why
from assistant.query_threading import MeasuredOverWires
from profiles.lathe import Lathe


@dataclass(frozen=True)
class ThreadCycle(SetUpFirst):
    """A thread at one of its steps."""

    named: ThreadNamed
    job: ThreadJob
    fresh: PassesInHand
    """The passes as planned: each start begins with them."""
    passes: PassesInHand
    up: SettingUp
    """What is set before the first pass."""
    phase: str = "setting"
    """'setting', 'cutting', 'starting' (on to another start), 'measuring' or 'done'."""
    start: int = 1
    zero: int = 0
    """What the dial of the slide that is fed reads where the tool touches."""

    @property
    def thread(self) -> Thread:
        """The thread as its standard has it."""
        return standard_thread(self.named)[0]

    @property
    def title(self) -> str:
        """Its designation."""
        return self.thread.designation

    @property
    def units(self) -> None:
        """The operator's own."""
        return None

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
        set_up = len(self.up.settings)
        each = self.passes.total + self.passes.spring_passes
        of = set_up + self.job.starts * each + (self.job.starts - 1) + 1
        if self.phase == "setting":
            return self.up.at + 1, of
        if self.phase in ("measuring", "done"):
            return of, of
        before = set_up + (self.start - 1) * (each + 1)
        if self.phase == "starting":
            return before + each + 1, of
        return min(before + self.passes.number, of), of

    def told(self, situation: Situation) -> Answer:
        """The present step, or what must be so before it is given."""
        return thread_steps.told(self, situation)

    def takes(self, query: Query) -> bool:
        """True where `query` is said to this thread."""
        if isinstance(query, MeasuredOverWires):
            return self.phase != "setting" and query.thread in (None, self.named)
        return super().takes(query)

    @property
    def in_work(self) -> bool:
        """True while passes are cut, or the next start is set."""
        return self.phase in ("cutting", "starting")

    def with_up(self, up: SettingUp) -> ThreadCycle:
        """The same with the settings as in `up`."""
        cutting = up.made and self.phase == "setting"
        return replace(self, up=up, phase="cutting" if cutting else self.phase)

    def after(self, query: Query, situation: Situation) -> Going:
        """The next state, and what is told where it is not the present step."""
        of_setting = self.of_setting(query, situation)
        if of_setting is not None:
            return of_setting
        match query:
            case GoToStep():
                return Going(self._gone_to(query))
            case DialZero():
                return self._zeroed(query, situation.lathe)
            case AtReading():
                return Going(self._at_reading(query, situation.lathe))
            case MeasuredOverWires():
                return thread_steps.measured(self, query, situation)
            case Why():
                return Going(self, thread_steps.reason(self, situation))
            case SequenceWord():
                return self._word(query.word, situation)
        raise TypeError(f"{type(query).__name__} is not said to a thread")

    def _word(self, word: str, situation: Situation) -> Going:
        of_any_step = self.of_any_step(word)
        if of_any_step is not None:
            return of_any_step
        match word:
            case "next":
                return self._next(situation)
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
        first = self.before_next(situation)
        if first is not None:
            return first
        if self.phase == "done":
            return Going(None, Answer("procedure-done", texts={"title": self.title}))
        return self.up.confirmed(Going(self.advanced()))

    def advanced(self) -> ThreadCycle:
        """The state one step further, whatever that step was."""
        match self.phase:
            case "setting":
                return self.with_up(self.up.advanced())
            case "cutting":
                passes = pass_plan.taken(self.passes)
                if not passes.finished:
                    return replace(self, passes=passes)
                more = self.start < self.job.starts
                return replace(self, passes=passes, phase="starting" if more else "measuring")
            case "starting":
                return replace(self, phase="cutting", passes=self.fresh, start=self.start + 1)
        return replace(self, phase="done")

    def _gone_to(self, query: GoToStep) -> ThreadCycle:
        """Another setting, the passes or the measuring."""
        if query.landmark in ("passes", "measuring"):
            phase = "cutting" if query.landmark == "passes" else "measuring"
            made = replace(self.up, at=len(self.up.settings), stopped=False)
            passes = self.passes
            if phase == "measuring" and passes.left:
                # Who goes on to measuring has cut to the depth.
                passes = pass_plan.at_depth(passes, passes.whole_depth)
            return replace(self, phase=phase, up=made, passes=passes)
        return replace(self, phase="setting", up=self.up.gone_to(query.step, query.landmark))

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
        _, dial = self.slide(lathe)
        if self.phase == "setting":
            raise OutOfRange(
                "dial", "reading", "counts from the touch; touch off and zero it first"
            )
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
