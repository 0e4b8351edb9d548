"""A size from the present one to the wanted one: where the operator stands, and what each word makes of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.alongside import cut_steps
from assistant.alongside.sequence import Going, only_while
from assistant.alongside.setting_up import SettingUp, SetUpFirst
from assistant.answer import Answer, Phrase
from assistant.answering.situation import Situation
from assistant.core.cuts_in_hand import CutsInHand, cut_taken, dial_too_coarse, measured, next_cut
from assistant.core.cuts_in_hand import Reading as Verdict
from assistant.core.to_size import SizeState
from assistant.core.turning_plan import Work, planned_cuts
from assistant.errors import OutOfRange
from assistant.query import Query
from assistant.query_alongside import (
    AtReading,
    DialZero,
    GoToStep,
    ItMeasures,
    SequenceWord,
)
from assistant.query_following import Why
from assistant.units import magnitude_in, quantity

LIGHTER = Fraction(3, 4)
"""What 'lighter' makes of the deepest cut; 'heavier' undoes it."""


@dataclass(frozen=True)
class CutsToSize(SetUpFirst):
    """Turning, boring or facing at one of its steps."""

    hand: CutsInHand
    name: str
    """The size wanted, in words: '50 h7'."""
    deepest: Fraction
    """Deepest roughing cut allowed, mm per side."""
    held_by: str
    """What holds it: 'power', 'material', 'lathe' or 'bar'."""
    material: str
    feed: Fraction | None
    """mm per turn; None where the slide is fed by hand."""
    cautions: tuple[Phrase, ...]
    """What concerns the first cut."""
    units: str
    """'mm' or 'inch', as the size wanted was said."""
    up: SettingUp
    phase: str = "setting"
    """'setting', 'cutting', 'measuring' or 'done'."""
    doubted: Fraction | None = None
    """A measurement that was asked about; said again it is believed."""

    @property
    def title(self) -> str:
        """What is being done."""
        return f"{self.hand.work.value} {self.name}"

    @property
    def slide(self) -> str:
        """The slide that is fed."""
        return "compound" if self.hand.work is Work.FACE else "cross slide"

    @property
    def steps(self) -> tuple[int, int]:
        """Number of the present step, from 1, and how many there are."""
        of = len(self.up.settings) + self.hand.total + 1
        if self.phase == "setting":
            return self.up.at + 1, of
        if self.phase == "done":
            return of, of
        shift = 1 if self.phase == "cutting" else 0
        return min(len(self.up.settings) + self.hand.done + shift, of), of

    def told(self, situation: Situation) -> Answer:
        """The present step, or what must be so before it is given."""
        return cut_steps.told(self, situation)

    def takes(self, query: Query) -> bool:
        """True where `query` is said to this work."""
        if isinstance(query, ItMeasures):
            return self.phase != "setting"
        return super().takes(query)

    @property
    def in_work(self) -> bool:
        """True while cuts are taken."""
        return self.phase == "cutting"

    def with_up(self, up: SettingUp) -> CutsToSize:
        """The same with the settings as in `up`."""
        cutting = up.made and self.phase == "setting"
        return replace(self, up=up, phase="cutting" if cutting else self.phase)

    def after(self, query: Query, situation: Situation) -> Going:
        """The next state, and what is told where it is not the present step."""
        of_setting = self.of_setting(query, situation)
        if of_setting is not None:
            return of_setting
        match query:
            case ItMeasures():
                return self._measured(query, situation)
            case DialZero():
                return self._zeroed(query)
            case GoToStep():
                return Going(self._gone_to(query))
            case Why():
                return Going(self, cut_steps.reason(self, situation))
            case AtReading():
                return Going(
                    self, only_while("say what the work measures: I measure, and the size")
                )
            case SequenceWord():
                return self._word(query.word, situation)
        raise TypeError(f"{type(query).__name__} is not said to a size")

    def _word(self, word: str, situation: Situation) -> Going:
        of_any_step = self.of_any_step(word)
        if of_any_step is not None:
            return of_any_step
        match word:
            case "next":
                return self._next(situation)
            case "skip" if self.phase == "setting":
                return Going(self.with_up(self.up.advanced()))
            case "skip" if self.phase == "measuring" and not self.hand.must_measure:
                return Going(replace(self, phase="cutting"))
            case "lighter" | "heavier" if self.phase == "cutting":
                return Going(self._with_most(word))
            case "skip" if self.phase == "measuring":
                return Going(
                    self, only_while("the size must be measured now: I measure, and the size")
                )
        return Going(self, only_while(f"'{word}' does not fit here: say next, or where am I"))

    def _next(self, situation: Situation) -> Going:
        first = self.before_next(situation)
        if first is not None:
            return first
        if self.phase == "setting":
            return self.up.confirmed(Going(self.advanced()))
        if self.phase == "measuring":
            return Going(self, only_while("measure first: say I measure, and the size"))
        if self.phase == "done" or next_cut(self.hand) is None:
            return Going(None, Answer("procedure-done", texts={"title": self.title}))
        return Going(self.advanced())

    def advanced(self) -> CutsToSize:
        """The state one step further, whatever that step was."""
        if self.phase == "setting":
            return self.with_up(self.up.advanced())
        if self.phase == "cutting":
            cut = next_cut(self.hand)
            if cut is None:
                return replace(self, phase="done")
            hand = cut_taken(self.hand)
            return replace(self, hand=hand, phase="measuring" if cut.measure else "cutting")
        return replace(self, phase="cutting" if self.phase == "measuring" else "done")

    def _measured(self, query: ItMeasures, situation: Situation) -> Going:
        """What a measurement shows: the rest of the cuts, or the end."""
        size = self._size(query, situation)
        found = measured(self.hand, size, sure=size == self.doubted)
        if found.reading in (Verdict.ASK_FAR_OFF, Verdict.ASK_GREW):
            ahead = replace(self, doubted=size)
            return Going(ahead, cut_steps.doubt(found, size))
        ahead = replace(self, hand=found.state, doubted=None)
        over = found.state.standing.state is not SizeState.TAKE_OFF
        stuck = dial_too_coarse(found.state)
        ahead = replace(ahead, phase="done" if over or stuck else "cutting")
        return Going(ahead, cut_steps.after_measuring(ahead, found, situation))

    def _size(self, query: ItMeasures, situation: Situation) -> Fraction:
        """The measured size, mm; without a unit in the system that brings it nearer to what is expected."""
        size = query.measured_size
        if "measured_size" not in query.bare:
            return magnitude_in(size, "mm")
        number = Fraction(size.magnitude)
        if number <= 0:
            raise OutOfRange("measured size", f"{float(number):g}", "must be more than 0")
        own = magnitude_in(quantity(number, situation.units), "mm")
        other = magnitude_in(quantity(number, "inch" if situation.units == "mm" else "mm"), "mm")
        expected = self.hand.size
        return min((own, other), key=lambda each: abs(each - expected))

    def _zeroed(self, query: DialZero) -> Going:
        if query.slide.replace("-", " ") != self.slide:
            return Going(self, only_while(f"this work is fed by the {self.slide}"))
        if self.hand.done:
            return Going(self, only_while("cuts are counted from the first zero already"))
        divisions = self.hand.dial.divisions
        if not 0 <= query.dial_start < divisions:
            raise OutOfRange(
                "dial", str(query.dial_start), f"it has divisions 0 to {divisions - 1}"
            )
        return Going(replace(self, hand=replace(self.hand, zero=query.dial_start)))

    def _with_most(self, word: str) -> CutsToSize:
        """The rest planned with lighter or heavier roughing cuts. Raises OutOfRange."""
        hand = self.hand
        most = hand.most * LIGHTER if word == "lighter" else hand.most / LIGHTER
        if most > self.deepest:
            limit = (
                f"{float(self.deepest):.3g} mm per side is the most: the {self.held_by} holds it"
            )
            raise OutOfRange("depth of cut", f"{float(most):.3g} mm", limit)
        left = planned_cuts(hand.size, hand.target, hand.work, hand.dial, most, hand.finish)
        return replace(self, hand=replace(hand, most=most, left=left))

    def _gone_to(self, query: GoToStep) -> CutsToSize:
        if query.landmark in ("passes", "measuring"):
            made = replace(self.up, at=len(self.up.settings), stopped=False)
            return replace(
                self, phase="cutting" if query.landmark == "passes" else "measuring", up=made
            )
        return replace(self, phase="setting", up=self.up.gone_to(query.step, query.landmark))
