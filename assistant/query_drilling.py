"""What can be asked about drills, tapped and bored holes, and the taper of pipe threads.

`thread` is None throughout for the thread in hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar

from assistant.query import Query, ThreadNamed
from assistant.units import Quantity


@dataclass(frozen=True, kw_only=True)
class DrillSizeOf(Query):
    """The diameter of a drill: by number, by letter, or by size with what comes near it."""

    kind: ClassVar[str] = "drill"
    drill_number: int | None = None
    """Number drill."""
    letter: str | None = None
    """Letter drill, lower case."""
    size: Quantity | None = None
    """Diameter, where the drill is named by it."""


@dataclass(frozen=True, kw_only=True)
class NearestDrillFor(Query):
    """The nearest drill to a diameter in each set."""

    kind: ClassVar[str] = "drill"
    hole: Quantity
    """Wanted diameter."""
    drills: str | None = None
    """'number', 'letter', 'fraction', 'metric', 'inch' (the first three); None: all."""


@dataclass(frozen=True, kw_only=True)
class TapDrillFor(Query):
    """The drill before tapping."""

    kind: ClassVar[str] = "tap"
    thread: ThreadNamed | None = None
    percentage: Fraction | int | None = None
    """Per cent of full thread; None: the usual."""
    drills: str | None = None
    """As in NearestDrillFor; None: those usual with the series."""


@dataclass(frozen=True, kw_only=True)
class ThreadShareOf(Query):
    """Per cent of full thread that a drill leaves for a tap."""

    kind: ClassVar[str] = "tap"
    thread: ThreadNamed | None = None
    drill_number: int | None = None
    letter: str | None = None
    size: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class BoreFor(Query):
    """The bore before an internal thread is cut with a single-point tool."""

    kind: ClassVar[str] = "bore"
    thread: ThreadNamed | None = None


@dataclass(frozen=True, kw_only=True)
class PipeTaperFor(Query):
    """Small end, taper and gauge length of a taper pipe thread."""

    kind: ClassVar[str] = "pipe"
    thread: ThreadNamed | None = None
