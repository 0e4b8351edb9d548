"""What there is to show, whichever kind of outcome it comes from; no sizes yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from assistant.answer import Answer, Shown
from display.dial import Mark
from display.levers import Step, steps
from display.table import Row

KICKERS: Final = {
    "ask": "Question",
    "refused": "No answer",
    "not-understood": "Not understood",
    "fault": "Fault",
    "alarm": "Emergency",
}
"""Kind of message -> the word above it; an answer needs none."""


@dataclass(frozen=True)
class Content:
    """Everything that one outcome brings to the screen."""

    kind: str
    """'answered', one of KICKERS, or 'welcome'."""
    headline: str
    rows: tuple[Row, ...] = ()
    cautions: tuple[str, ...] = ()
    heard: str = ""
    place: str = ""
    """Lathe and units."""
    marks: tuple[Mark, ...] = ()
    levers: tuple[Step, ...] = ()
    signed: bool = True
    """False where there is no room for the sign and the word above a message."""
    flagged: bool = False
    """True where the caution stands on an earlier page and only its sign is repeated."""

    @property
    def message(self) -> bool:
        """True for a sentence, which may take several lines; False for an answer's one figure."""
        return self.kind != "answered"


def of_outcome(shown: Shown, answer: Answer | None) -> Content:
    """The content of `shown`, with the pictures that `answer` allows.

    >>> of_outcome(Shown("answered", "speed", "380 rpm", lathe="Heron"), None).place
    'Heron · mm'
    """
    engage = answer.engage if answer is not None else None
    marks = engage.all_marks if engage is not None and not engage.keep_closed else ()
    if not any(safe for _, _, safe in marks):
        marks = ()
    rows = (
        *(Row(row.label, row.text, strong=row.label != "") for row in shown.rows),
        *((Row("Assumed", "; ".join(shown.assumed), strong=False),) if shown.assumed else ()),
    )
    cautions = shown.cautions
    if shown.status == "alarm":
        rows = (*(Row("", sentence, strong=False) for sentence in cautions), *rows)
        cautions = ()
    return Content(
        kind=shown.status,
        headline=shown.headline,
        rows=rows,
        cautions=cautions,
        heard=shown.heard,
        place="" if shown.status == "alarm" else _place(shown),
        marks=marks,
        levers=steps(answer) if answer is not None else (),
    )


def _place(shown: Shown) -> str:
    return " · ".join(part for part in (shown.lathe, shown.units) if part)


def of_fault(sentence: str, remedy: str) -> Content:
    """What does not work, and under it what to do."""
    return Content("fault", sentence, (Row("", remedy, strong=False),))


def of_welcome(lines: Sequence[str]) -> Content:
    """The lines to read before the work starts; the first one is the largest.

    >>> of_welcome(["Swarfside", "It controls nothing."]).headline
    'Swarfside'
    """
    first, *rest = lines
    return Content("welcome", first, tuple(Row("", line, strong=False) for line in rest))
