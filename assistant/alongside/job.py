"""What is kept with a job: its number, material, settings, sizes, notes, counted parts and timers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.alongside.sequence import Sequence
from assistant.query import Query

KEPT = 200
"""Sizes, settings and notes of each kind that are kept; older ones make room."""


@dataclass(frozen=True)
class Remark:
    """Something kept with a job, and when."""

    text: str
    at: float
    """Seconds since 1970."""


@dataclass(frozen=True)
class KeptSetting:
    """A setting that served: the question that gives it and what it was."""

    query: Query
    """Asked again it gives the levers of the lathe in use."""
    question: str
    """Its words."""
    headline: str
    """What it gave, in words."""
    lathe: str
    at: float


@dataclass(frozen=True)
class Timer:
    """A time to tell."""

    due: float
    """Seconds since 1970."""
    seconds: int
    """As it was asked for."""


@dataclass(frozen=True)
class Job:
    """One job; without a number until one is said."""

    number: str = ""
    material: str | None = None
    settings: tuple[KeptSetting, ...] = ()
    sizes: tuple[Remark, ...] = ()
    """What was measured."""
    notes: tuple[Remark, ...] = ()
    counting: bool = False
    parts: int = 0
    timers: tuple[Timer, ...] = ()
    sequence: Sequence | None = None
    """Where the work stood when another job was taken up."""

    @property
    def empty(self) -> bool:
        """True where nothing is kept yet."""
        return self == Job(self.number)

    def noted(self, text: str, now: float) -> Job:
        """With one note more."""
        return replace(self, notes=(*self.notes, Remark(text, now))[-KEPT:])

    def sized(self, text: str, now: float) -> Job:
        """With one measured size more."""
        return replace(self, sizes=(*self.sizes, Remark(text, now))[-KEPT:])

    def with_setting(self, setting: KeptSetting) -> Job:
        """With this setting; the same question asked again takes the place of the former."""
        others = [each for each in self.settings if each.question != setting.question]
        return replace(self, settings=(*others, setting)[-KEPT:])

    def timed(self, seconds: Fraction | int, now: float) -> Job:
        """With a timer that is due in so many seconds."""
        return replace(self, timers=(*self.timers, Timer(now + float(seconds), int(seconds))))

    def due(self, now: float) -> tuple[Job, tuple[Timer, ...]]:
        """The job without the timers whose time is over, and those."""
        over = tuple(each for each in self.timers if each.due <= now)
        left = tuple(each for each in self.timers if each.due > now)
        return replace(self, timers=left), over
