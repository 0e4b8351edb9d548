"""What there is to show, whichever kind of outcome it comes from; no sizes yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from assistant.answer import Answer, Shown, ShownPlace
from display.illustration import pictures_of
from display.levers import Step, steps
from display.picture import Picture
from display.table import Row
from display.words import section, word

KICKERS: Final = section("kickers")
"""Kind of message -> the word above it; an answer needs none."""
HINTS: Final = 3
"""Phrases shown at a time."""


@dataclass(frozen=True)
class Content:
    """Everything that one outcome brings to the screen."""

    kind: str
    """'answered', one of KICKERS, 'welcome', 'hints' or 'sleep'."""
    headline: str
    rows: tuple[Row, ...] = ()
    cautions: tuple[str, ...] = ()
    heard: str = ""
    place: str = ""
    """Lathe and units."""
    pictures: tuple[Picture, ...] = ()
    levers: tuple[Step, ...] = ()
    step: ShownPlace | None = None
    """Where in a sequence it stands: the headline is then the action, and its caution stands above it."""
    signed: bool = True
    """False where there is no room for the sign and the word above a message."""
    brief: bool = False
    """True where there is no room for the name of a sequence."""
    flagged: bool = False
    """True where the caution stands on an earlier page and only its sign is repeated."""

    @property
    def message(self) -> bool:
        """True for a sentence, which may take several lines; False for an answer's one figure."""
        return self.kind != "answered" or self.step is not None

    @property
    def following(self) -> str:
        """The step after this one in words; '' where there is none."""
        following = self.step.following if self.step is not None else ""
        return word("steps", "following", step=following) if following else ""

    def ways(self) -> tuple[Content, ...]:
        """The same with less and less of what may be left out, which is tried in this order."""
        if self.step is not None:
            brief = replace(self, brief=True)
            alone = replace(brief, step=replace(self.step, following=""))
            return (self, brief, alone, replace(alone, signed=False))
        return (self, replace(self, signed=False)) if self.message else (self,)


def of_outcome(shown: Shown, answer: Answer | None) -> Content:
    """The content of `shown`, with the pictures that `answer` allows.

    >>> of_outcome(Shown("answered", "speed", "380 rpm", lathe="Heron"), None).place
    'Heron · mm'
    """
    assumed = Row(word("rows", "assumed"), "; ".join(shown.assumed), strong=False)
    rows = (
        *(Row(row.label, row.text, strong=row.label != "") for row in shown.rows),
        *((assumed,) if shown.assumed else ()),
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
        pictures=pictures_of(answer, shown.units, shown.place is None) if answer else (),
        levers=steps(answer) if answer else (),
        step=shown.place,
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


def of_hints(phrases: Sequence[str], place: str) -> Content:
    """A few things that can be said now.

    >>> of_hints(["feed point one five"], "heron").rows[0].text
    '“feed point one five”'
    """
    rows = tuple(Row("", f"“{phrase}”", strong=False) for phrase in phrases[:HINTS])
    return Content("hints", "", rows, place=place)


def of_sleep(clock: str, last: str, heard: str, place: str) -> Content:
    """The time, and the answer that was given last, for a screen that nobody asks.

    >>> of_sleep("14:05", "380 rpm", "", "heron").rows[0].text
    '380 rpm'
    """
    rows = [Row(word("rows", "last"), last)] if last else []
    return Content(
        "sleep", clock, (*rows, *((Row("", heard, False),) if heard else ())), place=place
    )
