"""What every sequence is: a frozen state that tells its present step and takes what the operator says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

from assistant.answer import Answer, Ask, Refusal
from assistant.answering.situation import Situation
from assistant.core.levers import GearTrain
from assistant.query import Query

Outcome = Answer | Ask | Refusal
CYCLE_PARTS = ("levers", "compound", "tool", "touching off", "passes", "measuring")
"""Parts of a sequence that may be gone to by name."""


class Sequence(Protocol):
    """A sequence at one moment. Frozen: what the operator says makes another one."""

    @property
    def title(self) -> str:
        """What is being done, in a few words."""

    @property
    def units(self) -> str | None:
        """The system in which its sizes were said; None for the operator's own."""

    def told(self, situation: Situation) -> Outcome:
        """The present step as an answer."""

    def takes(self, query: Query) -> bool:
        """True where `query` is said to this sequence, and is no question beside it."""

    def after(self, query: Query, situation: Situation) -> Going:
        """What comes of `query`, which `takes` has accepted. Raises OutOfRange: nothing has changed then."""

    def standing(self) -> Sequence:
        """The same place with nothing taken for granted: whether the spindle stands still is asked anew."""

    def again(self, present: Sequence) -> Sequence:
        """This earlier state, gone back to from `present`: what is true now stays so."""


@dataclass(frozen=True)
class Going:
    """How a sequence goes on after something was said."""

    sequence: Sequence | None
    """None where it is over."""
    outcome: Outcome | None = None
    """What is told; None for the present step of `sequence`."""
    levers: Mapping[str, str] = field(default_factory=dict)
    """Levers that now stand where they were to be moved, as the operator said."""
    mounted: GearTrain | None = None
    """Change gears that are on now."""
    gears_on: bool = False
    """True where `mounted` was confirmed; None then stands for the usual ones."""


def only_while(what: str) -> Refusal:
    """The refusal of a word that belongs to another part of a sequence."""
    return Refusal(reason=what, say_next="Say: next, or where am I", spoken=what)


NOTHING_GOES_ON = Refusal(
    reason="no sequence is being followed now",
    say_next="Say: start thread half inch thirteen",
    spoken="nothing is being followed now",
)
