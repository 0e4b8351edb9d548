"""A procedure as a sequence: one step at a time, its caution before it, on the lathe in use."""

from __future__ import annotations

from dataclasses import dataclass, replace

from assistant.alongside.procedures.load import find, needs
from assistant.alongside.procedures.steps import LeverRole, Need, Step
from assistant.alongside.procedures.walk import (
    Confirm,
    Ended,
    Noted,
    Result,
    Walk,
    begin,
    confirm,
    next_step,
    repeat,
    skip_to,
)
from assistant.alongside.sequence import Going, Sequence, only_while
from assistant.answer import Answer, Phrase, Place
from assistant.answering.situation import Situation
from assistant.query import Query
from assistant.query_alongside import GoToStep, NowTrue, SequenceWord
from assistant.query_following import Why
from profiles.lathe import Lathe

MOST_TOLD = 2
"""Conditions that are said with a step; the screen shows them all."""
GROUPS = {LeverRole.SPEED: "spindle", LeverRole.FEED: "feed", LeverRole.PITCH: "feed"}


@dataclass(frozen=True)
class Guided:
    """A procedure at one of its steps."""

    walk: Walk

    @property
    def title(self) -> str:
        """What is being done."""
        return find(self.walk.procedure).title

    @property
    def units(self) -> None:
        """The operator's own."""
        return None

    def told(self, situation: Situation) -> Answer:
        """The present step, or what must be confirmed before the next one is given."""
        if self.walk.wanted is not None:
            return self._confirm()
        procedure = find(self.walk.procedure)
        step = procedure.steps[self.walk.step]
        texts = {
            "do": step.do,
            "say": step.spoken,
            "have": ", ".join(procedure.have) if self.walk.step == 0 else "",
            "with": ", ".join(needs()[each].shown for each in step.needs),
            "told": ", ".join(
                needs()[each].told for each in step.needs[:MOST_TOLD] if not needs()[each].asked
            ),
            "levers": levers_of(step, situation.lathe),
            "title": procedure.title,
            "asks": step.asks or "",
        }
        cautions = (Phrase("said-text", {"text": step.caution}),) if step.caution else ()
        return Answer(
            kind="procedure-step" if self.walk.step else "procedure-opening",
            texts={name: text for name, text in texts.items() if text},
            cautions=cautions,
            place=self._place(),
            sources=(step.source,),
        )

    def _place(self) -> Place:
        procedure = find(self.walk.procedure)
        following = procedure.steps[self.walk.step + 1 : self.walk.step + 2]
        return Place(
            procedure.title,
            self.walk.step,
            procedure.last,
            Phrase("said-text", {"text": following[0].do}) if following else None,
        )

    def _confirm(self) -> Answer:
        """Asks for the first thing that the waiting step needs and that is not confirmed."""
        assert self.walk.wanted is not None
        step = find(self.walk.procedure).steps[self.walk.wanted]
        missing = [
            each for each in step.needs if needs()[each].asked and each not in self.walk.confirmed
        ]
        words = needs()[missing[0]]
        return Answer(
            kind="confirm-first",
            texts={"shown": words.shown, "prompt": words.prompt or "", "words": words.words[0]},
            place=self._place(),
        )

    def takes(self, query: Query) -> bool:
        """True where `query` is said to this procedure."""
        return isinstance(query, SequenceWord | NowTrue | GoToStep | Why)

    def after(self, query: Query, situation: Situation) -> Going:
        """The next state and what is told."""
        match query:
            case NowTrue():
                return self._gone(*confirm(self.walk, Need(query.need)))
            case GoToStep():
                target = query.step if query.step is not None else query.landmark
                assert target is not None
                return self._gone(*skip_to(self.walk, target))
            case Why():
                return Going(self, self._why())
            case SequenceWord():
                return self._word(query.word)
        raise TypeError(f"{type(query).__name__} is not said to a procedure")

    def _word(self, word: str) -> Going:
        match word:
            case "next" | "skip":
                return self._gone(*next_step(self.walk))
            case "again" | "where" | "left":
                return self._gone(*repeat(self.walk))
            case "end":
                return Going(None, Answer("sequence-ended", texts={"title": self.title}))
        return Going(self, only_while("there are no passes in a procedure"))

    def _gone(self, walk: Walk, result: Result) -> Going:
        if isinstance(result, Ended):
            if result.first:
                return Going(replace(self, walk=walk))
            return Going(None, Answer("procedure-done", texts={"title": self.title}))
        if isinstance(result, Noted):
            noted = Answer("noted", texts={"shown": needs()[result.needs[0]].shown})
            return Going(replace(self, walk=walk), noted)
        if isinstance(result, Confirm):
            return Going(replace(self, walk=walk))
        return Going(replace(self, walk=walk))

    def _why(self) -> Answer:
        at = self.walk.step if self.walk.wanted is None else self.walk.wanted
        step = find(self.walk.procedure).steps[at]
        reason = step.why or step.caution
        if reason is None:
            return Answer("no-reason", texts={"do": step.do}, place=self._place())
        return Answer("reason", texts={"why": reason, "do": step.do}, place=self._place())

    def standing(self) -> Guided:
        """The same place, nothing confirmed."""
        return Guided(repeat(replace(self.walk, confirmed=frozenset(), wanted=None))[0])

    def again(self, present: Sequence) -> Guided:
        """This earlier step, gone back to from `present`: what is confirmed now stays so."""
        assert isinstance(present, Guided)
        return Guided(repeat(replace(self.walk, confirmed=present.walk.confirmed, wanted=None))[0])


def guided(procedure: str) -> Guided:
    """The procedure at its opening. Raises NoSuchSize."""
    return Guided(begin(procedure)[0])


def levers_of(step: Step, lathe: Lathe) -> str:
    """Which levers of this lathe a step is about."""
    if step.lever in GROUPS:
        group = GROUPS[step.lever]
        return ", ".join(lever.name for lever in lathe.levers if lever.group == group)
    if step.lever is LeverRole.FEED_DIRECTION and lathe.reversing:
        return lathe.reversing.lever
    if step.lever is LeverRole.SPINDLE and lathe.spindle_direction:
        return lathe.spindle_direction.lever
    return ""
