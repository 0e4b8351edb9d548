"""Turn-taking: what is remembered between questions, and the words that steer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from assistant.answer import Answer, Refusal
from assistant.answering import Situation, answer_to
from assistant.answering.set_up import SetUp, set_up_at_start
from assistant.errors import ProfileError
from assistant.lever_memory import set_up_after, without_plan
from assistant.query import (
    Cancel,
    EmergencyWords,
    Loudness,
    NotUnderstood,
    Pace,
    Query,
    Repeat,
    ShowWorking,
    SpindleSpeedFor,
    ThreadNamed,
    UnitsChoice,
    UseLathe,
    WhatCanISay,
)
from assistant.query_levers import ClosedOn
from assistant.wording import Outcome
from profiles.lathe import Lathe


@dataclass
class Memory:
    """What is carried from one question to the next."""

    lathe: Lathe
    units: str
    tool: str | None = None
    thread: ThreadNamed | None = None
    set_up: SetUp = field(default_factory=SetUp)
    """Levers, change gears and the plan in hand."""
    first_mark: str | None = None
    """Mark of the first closing, for the thread in hand."""
    spindle_speed: Fraction | None = None
    """Turns per minute, as last asked for."""
    last: Outcome | None = None
    last_heard: str = ""


@dataclass(frozen=True)
class Turn:
    """One question and what comes back."""

    outcome: Outcome
    heard: str
    """The words that the outcome belongs to: for 'repeat' those of the question repeated."""
    pace: str | None = None
    """'slower' or 'faster' where the voice shall change from now on."""
    once_slower: bool = False
    """True where only this answer is said slowly."""
    loudness: str | None = None
    silence: bool = False
    """True where the voice shall stop at once."""
    with_working: bool = False


class Conversation:
    """Answers one Query after another; knows the memory and nothing of sound or screen."""

    def __init__(
        self, memory: Memory, find_lathe: Callable[[str], Lathe], examples: Callable[[], list[str]]
    ) -> None:
        """find_lathe: profile by name; examples: sentences that can be said now."""
        self.memory = memory
        self._find_lathe = find_lathe
        self._examples = examples

    def turn(self, query: Query | NotUnderstood, heard: str) -> Turn:
        """What comes back to `query`; `heard` are its words."""
        if isinstance(query, NotUnderstood):
            return Turn(query, heard)
        steering = self._steered(query, heard)
        if steering is not None:
            return steering
        situation = self._situation()
        outcome = answer_to(query, situation)
        self._remember(query, outcome, heard, situation)
        return Turn(outcome, heard)

    def _situation(self) -> Situation:
        memory = self.memory
        return Situation(
            memory.lathe,
            memory.units,
            memory.tool,
            memory.thread,
            memory.set_up.known,
            memory.set_up,
            memory.first_mark,
            memory.spindle_speed,
        )

    def _remember(self, query: Query, outcome: Outcome, heard: str, situation: Situation) -> None:
        self.memory.last, self.memory.last_heard = outcome, heard
        if not isinstance(outcome, Answer):
            return
        if isinstance(query, SpindleSpeedFor) and query.tool:
            self.memory.tool = query.tool
        named = getattr(query, "thread", None)
        if isinstance(named, ThreadNamed):
            if named != self.memory.thread:
                self.memory.first_mark = None
            self.memory.thread = named
        if isinstance(query, ClosedOn):
            self.memory.first_mark = outcome.texts.get("first")
        speed = outcome.values.get("spindle_speed")
        if (
            "spindle" in outcome.settings
            and speed is not None
            and isinstance(speed.number, Fraction)
        ):
            self.memory.spindle_speed = speed.number
        self.memory.set_up = set_up_after(query, outcome, situation)

    def _steered(self, query: Query, heard: str) -> Turn | None:
        """The turn for a word that steers; None for a question."""
        match query:
            case EmergencyWords():
                return Turn(Answer("stop"), heard)
            case Repeat():
                if self.memory.last is None:
                    return Turn(Answer("nothing-yet"), heard)
                return Turn(self.memory.last, self.memory.last_heard, once_slower=query.slower)
            case ShowWorking():
                if not isinstance(self.memory.last, Answer):
                    return Turn(Answer("nothing-yet"), heard)
                return Turn(self.memory.last, self.memory.last_heard, with_working=True)
            case Loudness():
                return Turn(Answer(query.change), heard, loudness=query.change)
            case Pace():
                return Turn(Answer(query.change), heard, pace=query.change)
            case UnitsChoice():
                self.memory.units = query.units
                return Turn(Answer(f"units-{query.units}"), heard)
            case UseLathe():
                return Turn(self._use(query.lathe), heard)
            case WhatCanISay():
                return Turn(self._phrases(), heard)
            case Cancel():
                self.memory.last, self.memory.last_heard = None, ""
                self.memory.set_up = without_plan(self.memory.set_up)
                return Turn(Answer("cancelled"), heard, silence=True)
        return None

    def _use(self, name: str) -> Answer | Refusal:
        try:
            self.memory.lathe = self._find_lathe(name)
        except ProfileError as fault:
            # The lathe in use is kept: its levers are what the operator stands at.
            return Refusal(
                str(fault), "Mend the profile, or use another lathe", "That profile does not load"
            )
        self.memory.set_up = set_up_at_start(self.memory.lathe)
        self.memory.first_mark = self.memory.spindle_speed = None
        self.memory.units = "inch" if self.memory.lathe.inch else "mm"
        return Answer(
            f"lathe-{self.memory.units}",
            texts={"lathe": name, "about": self.memory.lathe.description},
        )

    def _phrases(self) -> Answer:
        texts = {
            f"example{number}": text for number, text in enumerate(self._examples()[:5], start=1)
        }
        return Answer("help", texts=texts)


def assumed_start(lathe: Lathe) -> Memory:
    """The memory at the start of a session: the lathe and its own units, nothing else known."""
    return Memory(lathe, "inch" if lathe.inch else "mm", set_up=set_up_at_start(lathe))
