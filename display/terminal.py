"""The same answers as lines of text: in colour on a terminal, plain in a pipe or for a screen reader."""

from __future__ import annotations

from collections.abc import Sequence
from threading import Event, Lock
from typing import TextIO

from rich.console import Console
from rich.text import Text

from assistant.answer import Answer, Shown
from display.view import OnKey, known_ear_state

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
    "fault": "bold red",
}
"""Role of a line -> how rich draws it; the words alone always carry the meaning."""


def text_lines(shown: Shown) -> list[tuple[str, str]]:
    """The lines of `shown` as (role, words), in the order in which they are read.

    The caution stands before the rows, because rows may hold the moves that it concerns.

    >>> text_lines(Shown("answered", "speed", "380 rpm", units="mm"))
    [('heard', 'heard: speed'), ('headline', '380 rpm'), ('foot', 'units: mm')]
    """
    lines: list[tuple[str, str]] = []
    if shown.heard:
        lines.append(("heard", f"heard: {shown.heard}"))
    role = {"alarm": "alarm", "ask": "question"}.get(shown.status, "headline")
    lines.append((role, shown.headline))
    lines += [("caution", f"caution: {sentence}") for sentence in shown.cautions]
    for row in shown.rows:
        lines.append(("row", f"{row.label}: {row.text}") if row.label else ("note", row.text))
    lines += [("assumed", f"assumed: {sentence}") for sentence in shown.assumed]
    place = ", ".join(part for part in (shown.lathe, f"units: {shown.units}") if part)
    lines.append(("foot", place))
    return lines


class TerminalView:
    """A view on a terminal; `plain` leaves out colour and the lines that tell of the ear."""

    def __init__(self, stream: TextIO | None = None, plain: bool | None = None) -> None:
        self._console = Console(file=stream, highlight=False, soft_wrap=True)
        self._plain = not self._console.is_terminal if plain is None else plain
        self._lock = Lock()
        self._closed = Event()
        self._ear = ""
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
        self._print([*text_lines(shown), ("foot", "")])

    def set_ear(self, state: str) -> None:
        """Print `state` when it changes."""
        if known_ear_state(state) != self._ear:
            self._ear = state
            self._print([("foot", f"ear: {state}")])

    def fault(self, sentence: str, remedy: str) -> None:
        """Print what does not work and what to do about it."""
        self._print([("fault", f"fault: {sentence}"), ("headline", f"do this: {remedy}")])

    def welcome(self, lines: Sequence[str]) -> None:
        """Print the lines to read before the work starts."""
        self._print([*(("headline", line) for line in lines), ("foot", "")])

    def run(self) -> None:
        """Wait until closed."""
        self._closed.wait()

    def close(self) -> None:
        """End `run`."""
        self._closed.set()


def _row(words: str) -> Text:
    label, colon, value = words.partition(": ")
    return Text.assemble((label + colon, STYLES["label"]), (value, STYLES["value"]))
