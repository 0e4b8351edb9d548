"""What can be asked about cutting and measuring a thread, beyond its pitch and levers.

`thread` is None throughout for the thread in hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from assistant.query import Query, ThreadNamed
from assistant.units import Quantity


@dataclass(frozen=True, kw_only=True)
class ThreadLimitsFor(Query):
    """Limits of size of the screw and the nut."""

    kind: ClassVar[str] = "thread"
    thread: ThreadNamed | None = None


@dataclass(frozen=True, kw_only=True)
class GaugeLimitsFor(Query):
    """Pitch diameters that the go and the no-go gauge stand for."""

    kind: ClassVar[str] = "thread"
    thread: ThreadNamed | None = None


@dataclass(frozen=True, kw_only=True)
class PassesFor(Query):
    """The passes of a thread, with what the dial reads at each."""

    kind: ClassVar[str] = "thread"
    thread: ThreadNamed | None = None
    internal: bool = False
    straight_in: bool = False
    """True: fed by the cross slide; False: down the flank by the compound."""
    first_pass: Quantity | None = None
    """Most depth of the first pass, on the radius; None: practice."""


@dataclass(frozen=True, kw_only=True)
class PassesLeft(Query):
    """The passes that are left from a depth already cut."""

    kind: ClassVar[str] = "thread"
    depth_now: Quantity
    """Depth cut so far, on the radius."""
    thread: ThreadNamed | None = None
    internal: bool = False


@dataclass(frozen=True, kw_only=True)
class CompoundFor(Query):
    """How the compound slide is set for a thread, and how far it travels."""

    kind: ClassVar[str] = "thread"
    thread: ThreadNamed | None = None
    internal: bool = False


@dataclass(frozen=True, kw_only=True)
class ThreadToolFor(Query):
    """Nose, included angle and side clearance of the tool."""

    kind: ClassVar[str] = "thread"
    thread: ThreadNamed | None = None
    internal: bool = False


@dataclass(frozen=True, kw_only=True)
class ThreadBlankFor(Query):
    """Diameter to turn, or to bore, before threading."""

    kind: ClassVar[str] = "thread"
    thread: ThreadNamed | None = None
    internal: bool = False


@dataclass(frozen=True, kw_only=True)
class ThreadReliefFor(Query):
    """Width and diameter of the groove that the thread runs out into."""

    kind: ClassVar[str] = "thread"
    thread: ThreadNamed | None = None
    internal: bool = False


@dataclass(frozen=True, kw_only=True)
class WiresFor(Query):
    """Wires for a thread and the measurement over them."""

    kind: ClassVar[str] = "wires"
    thread: ThreadNamed | None = None
    wire: Quantity | None = None
    """Diameter of the wires at hand; None: the best wire."""


@dataclass(frozen=True, kw_only=True)
class MeasuredOverWires(Query):
    """The pitch diameter that a measurement over wires means."""

    kind: ClassVar[str] = "wires"
    any_figure: ClassVar[bool] = True
    over: Quantity
    """What was measured over the wires."""
    thread: ThreadNamed | None = None
    wire: Quantity | None = None
    """Diameter of the wires; None: the best wire."""
