"""One question and what comes back, and what is added to it on the way out."""

from __future__ import annotations

from dataclasses import dataclass, replace

from assistant.alongside.sequence import Sequence
from assistant.answer import Answer, Phrase
from assistant.wording import Outcome

IN_SEQUENCE = (
    "next step",
    "where am I",
    "one back",
    "why this",
    "skip this step",
    "lighter passes",
    "end the sequence",
)
"""What may be said at any step of a sequence."""


@dataclass(frozen=True)
class Turn:
    """One question and what comes back."""

    outcome: Outcome
    heard: str
    """The words that the outcome belongs to: for 'repeat' those of the question repeated."""
    pace: str | None = None
    """'slower' or 'faster' where the voice shall change from now on."""
    once_slower: bool = False
    """True where only this answer is said slowly."""
    loudness: str | None = None
    silence: bool = False
    """True where the voice shall stop at once."""
    with_working: bool = False
    more: bool = False
    """True where the rows of the screen shall be said."""
    units: str | None = None
    """Units of this answer alone."""
    talk: str | None = None
    """'open', 'pedal' or 'wake' where the ear shall be spoken to so from now on."""
    operator: str | None = None
    """Whose voice it is from now on."""


def with_next(outcome: Outcome | None, sequence: Sequence | None) -> Outcome | None:
    """The end of a sequence, and what goes on now that waited for it."""
    if sequence is None or not isinstance(outcome, Answer):
        return outcome
    return replace(outcome, texts={**outcome.texts, "goes_on": sequence.title})


def with_count(outcome: Outcome) -> Outcome:
    """The present step, said with its number and how many are left."""
    if not isinstance(outcome, Answer) or outcome.place is None:
        return outcome
    return replace(outcome, texts={**outcome.texts, "counted": "yes"})


def not_kept(turn: Turn) -> Turn:
    """The same turn with the caution that memory and jobs are not kept any more."""
    if not isinstance(turn.outcome, Answer):
        return turn
    cautions = (*turn.outcome.cautions, Phrase("not-kept"))
    return replace(turn, outcome=replace(turn.outcome, cautions=cautions))


def with_example(outcome: Outcome, example: str) -> Outcome:
    """A step that belongs to a question, with an example of that question."""
    if not isinstance(outcome, Answer) or not example:
        return outcome
    return replace(outcome, texts={**outcome.texts, "example": example})
