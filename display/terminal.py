"""The same answers as lines of text: in colour on a terminal, plain in a pipe or for a screen reader."""

from __future__ import annotations

from collections.abc import Sequence
from threading import Event, Lock
from typing import TextIO

from rich.console import Console
from rich.text import Text

from assistant.answer import Answer, Shown
from display.view import OnKey, known_ear_state
from display.words import word

STYLES = {
    "heard": "dim",
    "headline": "bold",
    "question": "bold",
    "caution": "bold black on yellow",
    "alarm": "bold white on red",
    "label": "",
    "value": "bold",
    "note": "",
    "assumed": "dim",
    "foot": "dim",
    "place": "dim",
    "following": "dim",
    "fault": "bold red",
}
"""Role of a line -> how rich draws it; the words alone always carry the meaning."""
HINTS = 3
"""Phrases told at the start."""


def text_lines(shown: Shown, answer: Answer | None = None) -> list[tuple[str, str]]:
    """The lines of `shown` as (role, words), in the order in which they are read.

    The caution stands before the rows, because rows may hold the moves that it concerns; in a
    sequence it stands before the headline, which is then what to do.

    >>> text_lines(Shown("answered", "speed", "380 rpm", units="mm"))
    [('heard', 'heard: speed'), ('headline', '380 rpm'), ('foot', 'units: mm')]
    """
    role = {"alarm": "alarm", "ask": "question"}.get(shown.status, "headline")
    headline = [(role, shown.headline)]
    cautions = [("caution", _said("caution", sentence)) for sentence in shown.cautions]
    lines = [("heard", _said("heard", shown.heard))] if shown.heard else []
    if shown.place is not None:
        place = word("terminal", "place", sequence=shown.place.sequence, count=shown.place.count)
        lines += [("place", place), *cautions, *headline]
    else:
        lines += [*headline, *cautions]
    for row in shown.rows:
        lines.append(("row", f"{row.label}: {row.text}") if row.label else ("note", row.text))
    lines += _of_pass(answer)
    lines += [("assumed", _said("assumed", sentence)) for sentence in shown.assumed]
    if shown.place is not None and shown.place.following:
        following = word("steps", "following", step=shown.place.following)
        lines.append(("following", following))
    where = [shown.lathe, _said("units", shown.units)]
    lines.append(("foot", ", ".join(part for part in where if part)))
    return lines


def _said(key: str, words: str) -> str:
    return word("terminal", key, words=words)


def _of_pass(answer: Answer | None) -> list[tuple[str, str]]:
    """The present pass of a ladder, as a line; nothing where there is none."""
    ladder = answer.ladder if answer is not None else None
    if ladder is None or not ladder.readings:
        return []
    count = len(ladder.readings)
    if ladder.present >= count:
        return [("note", word("pictures", "all_passes", count=count))]
    reading = ladder.readings[ladder.present]
    figures = {"now": ladder.present + 1, "count": count, "reading": reading}
    return [("note", word("terminal", "pass", slide=ladder.slide, **figures))]


class TerminalView:
    """A view on a terminal; `plain` leaves out colour and the lines that tell of the ear."""

    def __init__(self, stream: TextIO | None = None, plain: bool | None = None) -> None:
        self._console = Console(file=stream, highlight=False, soft_wrap=True)
        self._plain = not self._console.is_terminal if plain is None else plain
        self._lock = Lock()
        self._closed = Event()
        self._ear = ""
        self._suggested = False
        self.on_key: OnKey | None = None

    def _print(self, lines: Sequence[tuple[str, str]]) -> None:
        with self._lock:
            for role, words in lines:
                if self._plain:
                    print(words, file=self._console.file, flush=True)
                elif role == "row":
                    self._console.print(_row(words))
                else:
                    self._console.print(Text(words, style=STYLES[role]))

    def show(self, shown: Shown, answer: Answer | None = None) -> None:
        """Print the outcome and an empty line."""
        self._print([*text_lines(shown, answer), ("foot", "")])

    def set_ear(self, state: str) -> None:
        """Print `state` when it changes."""
        if known_ear_state(state) != self._ear:
            self._ear = state
            self._print([("foot", _said("ear", word("ear", state)))])

    def fault(self, sentence: str, remedy: str) -> None:
        """Print what does not work and what to do about it."""
        self._print([("fault", _said("fault", sentence)), ("headline", _said("remedy", remedy))])

    def welcome(self, lines: Sequence[str]) -> None:
        """Print the lines to read before the work starts."""
        self._print([*(("headline", line) for line in lines), ("foot", "")])

    def suggest(self, phrases: Sequence[str], place: str = "") -> None:
        """Print the first few `phrases` on a terminal, once; a pipe is not told what to say."""
        if not self._suggested and not self._plain:
            self._suggested = True
            self._print([("foot", _said("hint", phrase)) for phrase in phrases[:HINTS]])

    def run(self) -> None:
        """Wait until closed."""
        self._closed.wait()

    def close(self) -> None:
        """End `run`."""
        self._closed.set()


def _row(words: str) -> Text:
    label, colon, value = words.partition(": ")
    return Text.assemble((label + colon, STYLES["label"]), (value, STYLES["value"]))
