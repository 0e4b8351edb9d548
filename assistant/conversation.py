"""Turn-taking: what is remembered between questions, and the words that steer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from assistant.answer import Answer
from assistant.answering import Situation, answer_to
from assistant.query import (
    Cancel,
    EmergencyWords,
    Loudness,
    NotUnderstood,
    Pace,
    Query,
    ReengageFor,
    Repeat,
    ShowWorking,
    SpindleSpeedFor,
    ThreadFor,
    ThreadNamed,
    UnitsChoice,
    UseLathe,
    WhatCanISay,
)
from assistant.wording import Outcome
from profiles.lathe import Lathe


@dataclass
class Memory:
    """What is carried from one question to the next."""

    lathe: Lathe
    units: str
    tool: str | None = None
    thread: ThreadNamed | None = None
    levers: dict[str, str] = field(default_factory=dict)
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

    def __init__(self, memory: Memory, find_lathe: Callable[[str], Lathe], examples: Callable[[], list[str]]) -> None:
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
        outcome = answer_to(query, self._situation())
        self._remember(query, outcome, heard)
        return Turn(outcome, heard)

    def _situation(self) -> Situation:
        memory = self.memory
        return Situation(memory.lathe, memory.units, memory.tool, memory.thread, dict(memory.levers))

    def _remember(self, query: Query, outcome: Outcome, heard: str) -> None:
        self.memory.last, self.memory.last_heard = outcome, heard
        if not isinstance(outcome, Answer):
            return
        if isinstance(query, SpindleSpeedFor) and query.tool:
            self.memory.tool = query.tool
        if isinstance(query, ThreadFor | ReengageFor) and query.thread:
            self.memory.thread = query.thread

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
                return Turn(Answer("cancelled"), heard, silence=True)
        return None

    def _use(self, name: str) -> Answer:
        self.memory.lathe = self._find_lathe(name)
        self.memory.levers.clear()
        self.memory.units = "inch" if self.memory.lathe.inch else "mm"
        return Answer(f"lathe-{self.memory.units}", texts={"lathe": name, "about": self.memory.lathe.description})

    def _phrases(self) -> Answer:
        texts = {f"example{number}": text for number, text in enumerate(self._examples()[:5], start=1)}
        return Answer("help", texts=texts)


def assumed_start(lathe: Lathe) -> Memory:
    """The memory at the start of a session: the lathe and its own units, nothing else known."""
    return Memory(lathe, "inch" if lathe.inch else "mm")


