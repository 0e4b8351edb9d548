"""What can be asked: one frozen dataclass for each kind of question, and NotUnderstood.

The class name in snake case is the name of its rule in grammar/, and `kind` is its name in the
answer's JSON. A length is a Quantity of assistant.units; where the operator named no unit,
`assumed` says so.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, fields
from fractions import Fraction
from typing import Any, ClassVar

from assistant.units import Quantity

KINDS: dict[str, type[Query]] = {}
"""Rule name -> Query class; filled as the classes below are defined."""


@dataclass(frozen=True, kw_only=True)
class Query:
    """What every question has in common."""

    kind: ClassVar[str] = ""
    any_figure: ClassVar[bool] = False
    """True where a figure as it was measured, read off or written down is told: none of these is unusual."""
    assumed: tuple[str, ...] = ()
    """What was filled in while reading the words: catalogue keys such as 'unit-inch'."""
    bare: tuple[str, ...] = field(default=(), compare=False)
    """Fields whose number was said without a unit."""

    def __init_subclass__(cls) -> None:
        KINDS[rule_name(cls)] = cls

    def as_json(self) -> dict[str, Any]:
        """The fields as plain JSON values: quantities as 'FRACTION unit', fractions as text."""
        found: dict[str, Any] = {"kind": self.kind}
        for each in fields(self):
            if each.name not in ("assumed", "bare"):
                plain = _plain(getattr(self, each.name))
                if plain is not None:
                    found[each.name] = plain
        return found


def rule_name(cls: type[Query]) -> str:
    """The grammar rule of a Query class.

    >>> rule_name(SpindleSpeedFor)
    'spindle_speed_for'
    """
    return re.sub(r"(?<!^)(?=[A-Z])", "_", cls.__name__).lower()


def _plain(value: Any) -> Any:
    if isinstance(value, Fraction):
        return str(value)
    if hasattr(value, "magnitude"):
        return f"{value.magnitude} {value.units:~}".strip()
    if isinstance(value, ThreadNamed):
        pairs = {each.name: _plain(getattr(value, each.name)) for each in fields(value)}
        return {name: plain for name, plain in pairs.items() if plain not in (None, False)}
    return value


@dataclass(frozen=True)
class NotUnderstood:
    """Words that are no question: what was wrong and what could be said instead."""

    words: str
    problem: str
    """One sentence."""
    expected: tuple[str, ...] = ()
    """Words that could have stood at the place where it broke off."""


@dataclass(frozen=True)
class ThreadNamed:
    """A thread as it was named; which standard size it is, is decided in answering."""

    series: str | None = None
    """'M', 'UNC', 'BSW', 'Tr', …; None where size and pitch must tell."""
    size: Quantity | None = None
    """Nominal diameter."""
    gauge: int | None = None
    """Number size (Unified, BA)."""
    pitch: Quantity | None = None
    lead: Quantity | None = None
    threads_per_inch: Fraction | None = None
    starts: int = 1
    left_hand: bool = False
    tolerance_class: str | None = None


@dataclass(frozen=True, kw_only=True)
class SpindleSpeedFor(Query):
    """Which spindle speed for this material, diameter and tool?"""

    kind: ClassVar[str] = "speed"
    material: str
    """Key in tables/materials.csv."""
    diameter: Quantity
    """Work diameter before the cut; drill diameter when drilling."""
    tool: str | None = None
    """'hss', 'cobalt', 'carbide', 'coated-carbide'; None: the tool in hand."""
    operation: str | None = None
    """Key in tables/operations.csv; None: plain turning."""
    steps: int = 0
    """So many of the lathe's speeds above the one that it would give; below it if negative."""


@dataclass(frozen=True, kw_only=True)
class FeedOf(Query):
    """The lathe's nearest setting to a feed, by figure or by name."""

    kind: ClassVar[str] = "feed"
    feed: Quantity | None = None
    """Length per turn."""
    grade: str | None = None
    """'fine', 'medium' or 'coarse'."""


@dataclass(frozen=True, kw_only=True)
class ThreadFor(Query):
    """Pitch, depth, levers and re-engage rule of a thread."""

    kind: ClassVar[str] = "thread"
    thread: ThreadNamed


@dataclass(frozen=True, kw_only=True)
class ReengageFor(Query):
    """When may the half-nut be closed again: for the thread named, or the one in hand."""

    kind: ClassVar[str] = "engage"
    thread: ThreadNamed | None = None


@dataclass(frozen=True, kw_only=True)
class Conversion(Query):
    """A length in the other units, or as a fraction of an inch."""

    kind: ClassVar[str] = "convert"
    amount: Quantity
    to: str
    """'mm', 'inch', 'thou' or '64ths'."""


@dataclass(frozen=True, kw_only=True)
class Repeat(Query):
    """Say the last answer again; slower where asked."""

    kind: ClassVar[str] = "repeat"
    slower: bool = False


@dataclass(frozen=True, kw_only=True)
class Loudness(Query):
    """Speak louder or quieter from now on."""

    kind: ClassVar[str] = "loudness"
    change: str
    """'louder' or 'quieter'."""


@dataclass(frozen=True, kw_only=True)
class Pace(Query):
    """Speak faster or slower from now on."""

    kind: ClassVar[str] = "pace"
    change: str
    """'faster' or 'slower'."""


@dataclass(frozen=True, kw_only=True)
class UnitsChoice(Query):
    """Answer in these units from now on."""

    kind: ClassVar[str] = "units"
    units: str
    """'mm' or 'inch'."""


@dataclass(frozen=True, kw_only=True)
class UseLathe(Query):
    """Answer for this lathe from now on."""

    kind: ClassVar[str] = "lathe"
    lathe: str
    """Name of a profile."""


@dataclass(frozen=True, kw_only=True)
class WhatCanISay(Query):
    """Which questions are there?"""

    kind: ClassVar[str] = "help"


@dataclass(frozen=True, kw_only=True)
class ShowWorking(Query):
    """Show the formula with the figures of the last question."""

    kind: ClassVar[str] = "working"


@dataclass(frozen=True, kw_only=True)
class Cancel(Query):
    """Drop the last question and be quiet."""

    kind: ClassVar[str] = "cancel"


@dataclass(frozen=True, kw_only=True)
class EmergencyWords(Query):
    """'Stop', 'emergency': answered at once, by telling where the stop is and is not."""

    kind: ClassVar[str] = "stop"


import assistant.query_alongside  # noqa: E402  its classes register themselves
import assistant.query_cutting  # noqa: E402  its classes register themselves
import assistant.query_drilling  # noqa: E402  its classes register themselves
import assistant.query_following  # noqa: E402  its classes register themselves
import assistant.query_geometry  # noqa: E402  its classes register themselves
import assistant.query_levers  # noqa: E402  its classes register themselves
import assistant.query_sizing  # noqa: E402  its classes register themselves
import assistant.query_threading  # noqa: E402,F401  its classes register themselves
