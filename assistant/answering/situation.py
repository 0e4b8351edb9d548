"""What an answer may depend on besides the question: the lathe and what is remembered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

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
