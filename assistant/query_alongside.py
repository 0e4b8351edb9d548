"""What is said while a sequence goes on: start it, go on, tell what was measured; and what is kept of a job."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar

from assistant.query import Query, ThreadNamed
from assistant.units import Quantity


@dataclass(frozen=True, kw_only=True)
class StartThread(Query):
    """Lead through a thread from the levers to the gauge; None: the thread in hand."""

    kind: ClassVar[str] = "start"
    thread: ThreadNamed | None = None
    internal: bool = False
    straight_in: bool = False


@dataclass(frozen=True, kw_only=True)
class StartFacing(Query):
    """Lead from the present length to the one wanted."""

    kind: ClassVar[str] = "start"
    start_length: Quantity
    wanted_length: Quantity


@dataclass(frozen=True, kw_only=True)
class StartParting(Query):
    """Lead through parting off."""

    kind: ClassVar[str] = "start"
    diameter: Quantity
    material: str | None = None


@dataclass(frozen=True, kw_only=True)
class StartDrilling(Query):
    """Lead through drilling from the tailstock."""

    kind: ClassVar[str] = "start"
    diameter: Quantity
    hole_depth: Quantity
    material: str | None = None


@dataclass(frozen=True, kw_only=True)
class StartProcedure(Query):
    """Lead through a procedure, one step at a time."""

    kind: ClassVar[str] = "start"
    procedure: str
    """Name of a procedure."""


@dataclass(frozen=True, kw_only=True)
class SequenceWord(Query):
    """What is done, or asked, in the sequence that goes on."""

    kind: ClassVar[str] = "sequence"
    word: str
    """'next', 'back', 'again', 'skip', 'lighter', 'heavier', 'where', 'left' or 'end'."""


@dataclass(frozen=True, kw_only=True)
class NowTrue(Query):
    """Told: what a step waits for is true now."""

    kind: ClassVar[str] = "sequence"
    need: str
    """'spindle-stopped', 'isolated' or 'chuck-key-out'."""


@dataclass(frozen=True, kw_only=True)
class GoToStep(Query):
    """Another step of the sequence, by its number or by what it is about."""

    kind: ClassVar[str] = "sequence"
    step: int | None = None
    landmark: str | None = None
    """Name of a step or of a part of the sequence: 'levers', 'touch off', 'passes'."""


@dataclass(frozen=True, kw_only=True)
class AtReading(Query):
    """Told: the slide's dial stands here, the depth so far."""

    kind: ClassVar[str] = "sequence"
    any_figure: ClassVar[bool] = True
    turns: int = 0
    reading: Fraction | int = 0
    """Divisions past the whole turns."""


@dataclass(frozen=True, kw_only=True)
class ItMeasures(Query):
    """Told: what the work measures now."""

    kind: ClassVar[str] = "sequence"
    any_figure: ClassVar[bool] = True
    measured_size: Quantity


@dataclass(frozen=True, kw_only=True)
class DialZero(Query):
    """Told: a slide's dial reads this where the tool touches; nothing said: it was set to zero."""

    kind: ClassVar[str] = "sequence"
    any_figure: ClassVar[bool] = True
    slide: str
    """'compound' or 'cross-slide'."""
    dial_start: int = 0


@dataclass(frozen=True, kw_only=True)
class TimerFor(Query):
    """Tell when this time is over."""

    kind: ClassVar[str] = "timer"
    minutes: Fraction | int | None = None
    seconds: int | None = None


@dataclass(frozen=True, kw_only=True)
class PartsWord(Query):
    """Counting of finished parts."""

    kind: ClassVar[str] = "parts"
    word: str
    """'start', 'done', 'undo' or 'how_many'."""


@dataclass(frozen=True, kw_only=True)
class NoteThat(Query):
    """A remark to keep with the job."""

    kind: ClassVar[str] = "note"
    text: str


@dataclass(frozen=True, kw_only=True)
class UseJob(Query):
    """Start, or go on with, the job of this number."""

    kind: ClassVar[str] = "job"
    number: str
    """Digits as said."""


@dataclass(frozen=True, kw_only=True)
class JobWord(Query):
    """Of the job in hand."""

    kind: ClassVar[str] = "job"
    word: str
    """'save' the setting told last, 'which', or 'notes'."""


@dataclass(frozen=True, kw_only=True)
class SameAsJob(Query):
    """The settings kept with an earlier job."""

    kind: ClassVar[str] = "job"
    number: str
