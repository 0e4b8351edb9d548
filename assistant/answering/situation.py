"""What an answer may depend on besides the question: the lathe and what is remembered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from assistant.answering.set_up import SetUp
from assistant.query import ThreadNamed
from profiles.lathe import Lathe


@dataclass(frozen=True)
class Situation:
    """The operator's lathe, units and what is in hand."""

    lathe: Lathe
    units: str
    """'mm' or 'inch'."""
    tool: str | None = None
    """Tool last named: 'hss', 'cobalt', 'carbide', 'coated-carbide'."""
    thread: ThreadNamed | None = None
    """The thread in hand."""
    levers: Mapping[str, str] = field(default_factory=dict)
    """Where levers are known to stand."""
    set_up: SetUp = field(default_factory=SetUp)
    """Levers as confirmed, change gears, and the plan last told."""
    first_mark: str | None = None
    """Mark of the thread dial on which the half-nut was first closed for the thread in hand."""
    spindle_speed: Fraction | None = None
    """Spindle speed last asked for, turns per minute."""
    material: str | None = None
    """Key of the material last named."""
