"""What can be asked and told of levers, change gears and the thread dial."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from assistant.query import Query, ThreadNamed


@dataclass(frozen=True, kw_only=True)
class LeversAt(Query):
    """Told, not asked: where levers stand now."""

    kind: ClassVar[str] = "levers"
    places: tuple[tuple[str, str], ...]
    """(lever, position) as the profile names them, in the order in which they were said."""

    def as_json(self) -> dict[str, Any]:
        """The places as {lever: position}.

        >>> LeversAt(places=(("range", "low"),)).as_json()
        {'kind': 'levers', 'places': {'range': 'low'}}
        """
        return {"kind": self.kind, "places": dict(self.places)}


@dataclass(frozen=True, kw_only=True)
class LeversDone(Query):
    """Told: the moves of the last plan are made."""

    kind: ClassVar[str] = "levers"
    gears_too: bool = False
    """True where the change gears of that plan are mounted as well."""


@dataclass(frozen=True, kw_only=True)
class LeversStandWhere(Query):
    """Where do the levers stand, as far as known?"""

    kind: ClassVar[str] = "levers"


@dataclass(frozen=True, kw_only=True)
class LeversForgotten(Query):
    """Told: somebody has moved levers; none is known any more."""

    kind: ClassVar[str] = "levers"


@dataclass(frozen=True, kw_only=True)
class StepOfPlan(Query):
    """One move of the last plan: the next, the one before, the first, or the same again."""

    kind: ClassVar[str] = "step"
    which: str
    """'next', 'back', 'first' or 'again'."""


@dataclass(frozen=True, kw_only=True)
class ChangeGearsFor(Query):
    """Which change gears cut this thread?"""

    kind: ClassVar[str] = "gears"
    thread: ThreadNamed | None = None
    """None: the thread in hand."""


@dataclass(frozen=True, kw_only=True)
class GearsMounted(Query):
    """Told: the change gears of the last plan, or the usual ones, are mounted."""

    kind: ClassVar[str] = "mounted"
    usual: bool = False


@dataclass(frozen=True, kw_only=True)
class ClosedOn(Query):
    """The half-nut was first closed on this mark: on which may it be closed again?"""

    kind: ClassVar[str] = "engage"
    first_mark: str
    """'2', 'plain after 1', 'second plain after 1', or another label of the dial."""


@dataclass(frozen=True, kw_only=True)
class StartOnDial(Query):
    """Which marks give another start of a multiple-start thread?"""

    kind: ClassVar[str] = "engage"
    start: int
    """1 for the start that is cut first."""
    thread: ThreadNamed | None = None


@dataclass(frozen=True, kw_only=True)
class WaitAtDial(Query):
    """How far does the dial turn, and how long does it take, from one safe mark to the next?"""

    kind: ClassVar[str] = "wait"
    spindle_speed: int | None = None
    """Turns per minute; None: the speed last asked for."""
    thread: ThreadNamed | None = None
