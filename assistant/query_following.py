"""What can be said to an answer: change the question, ask for more, go back, choose between readings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from assistant.query import Query, ThreadNamed
from assistant.units import Quantity


@dataclass(frozen=True, kw_only=True)
class FollowUp(Query):
    """The last question again, with what is said here in the place of what was said there."""

    kind: ClassVar[str] = "follow"
    material: str | None = None
    tool: str | None = None
    operation: str | None = None
    instead: Quantity | None = None
    """The size that the last question turned on."""
    thread: ThreadNamed | None = None
    units: str | None = None
    """Answer in these units, this once."""


@dataclass(frozen=True, kw_only=True)
class StepAlong(Query):
    """The last question for the next value: feed, size or speed."""

    kind: ClassVar[str] = "follow"
    way: str
    """'finer', 'coarser', 'up', 'down', 'faster' or 'slower'."""


@dataclass(frozen=True, kw_only=True)
class TellMore(Query):
    """Say what the screen shows besides what was said."""

    kind: ClassVar[str] = "more"


@dataclass(frozen=True, kw_only=True)
class Why(Query):
    """Why: the working of an answer, the reason of a step."""

    kind: ClassVar[str] = "why"


@dataclass(frozen=True, kw_only=True)
class GoBack(Query):
    """The answer before the last one, or the step before this one."""

    kind: ClassVar[str] = "back"


@dataclass(frozen=True, kw_only=True)
class NotThat(Query):
    """The last question was heard wrongly: the next reading of it."""

    kind: ClassVar[str] = "wrong"


@dataclass(frozen=True, kw_only=True)
class ChooseReading(Query):
    """Which of the readings asked about is meant."""

    kind: ClassVar[str] = "choice"
    place: int | None = None
    """1 for the first named, 2 for the second."""
    digits: str | None = None
    """The number digit by digit: '13'."""


@dataclass(frozen=True, kw_only=True)
class YesRight(Query):
    """What was read back is what was said."""

    kind: ClassVar[str] = "choice"


@dataclass(frozen=True, kw_only=True)
class ForgetAll(Query):
    """Forget tool, material, thread, levers and what is being done."""

    kind: ClassVar[str] = "forget"


@dataclass(frozen=True, kw_only=True)
class WhatDoYouKnow(Query):
    """What is remembered now?"""

    kind: ClassVar[str] = "known"


@dataclass(frozen=True, kw_only=True)
class TalkBy(Query):
    """How the assistant is spoken to from now on."""

    kind: ClassVar[str] = "talk"
    way: str
    """'open', 'pedal' or 'wake'."""


@dataclass(frozen=True, kw_only=True)
class ThisIs(Query):
    """Told: who speaks from now on."""

    kind: ClassVar[str] = "operator"
    operator: str
    """Name under which a voice was learned; empty where none was."""
