"""The terminal says the same as the screen, in an order that a screen reader can follow."""

from __future__ import annotations

import io
import re
import threading
from dataclasses import replace

import pytest

from assistant.answer import Answer, Ladder, Line, Shown, ShownPlace
from display.terminal import STYLES, TerminalView, text_lines
from display.view import EAR_STATES, NoView, View, known_ear_state

SHOWN = Shown(
    "answered",
    "thirteen threads per inch",
    "13 per inch",
    (Line("Depth", "1.20 mm"), Line("Set", "range: low"), Line("", "a note")),
    ("Stop the spindle before you shift.",),
    ("60 degree form",),
    lathe="heron",
    units="inch",
)
PLAIN = """\
heard: thirteen threads per inch
13 per inch
caution: Stop the spindle before you shift.
Depth: 1.20 mm
Set: range: low
a note
assumed: 60 degree form
heron, units: inch

"""


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def without_looks(text: str) -> str:
    return re.sub(r"\x1b\[[0-9;]*m", "", text)


def test_a_pipe_gets_plain_lines_in_order() -> None:
    stream = io.StringIO()
    TerminalView(stream).show(SHOWN)
    assert stream.getvalue() == PLAIN


def test_the_caution_stands_before_the_rows() -> None:
    roles = [role for role, _ in text_lines(SHOWN)]
    assert roles == ["heard", "headline", "caution", "row", "row", "note", "assumed", "foot"]


def test_a_terminal_gets_the_same_words_with_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    stream = Terminal()
    TerminalView(stream).show(SHOWN)
    assert "\x1b[" in stream.getvalue()
    assert without_looks(stream.getvalue()) == PLAIN


def test_plain_is_plain_on_a_terminal_too() -> None:
    stream = Terminal()
    TerminalView(stream, plain=True).show(SHOWN)
    assert stream.getvalue() == PLAIN


@pytest.mark.parametrize("words", ["[bold]13[/bold]", ":warning: 1/2", "a [link=x]b"])
def test_words_are_never_taken_for_looks(words: str) -> None:
    for stream in (Terminal(), io.StringIO()):
        TerminalView(stream).show(Shown("answered", words, words, (Line("", words),)))
        assert without_looks(stream.getvalue()).count(words) == 3


def test_nothing_heard_is_not_told() -> None:
    assert text_lines(Shown("answered", "", "13"))[0] == ("headline", "13")


@pytest.mark.parametrize(
    ("status", "role"),
    [
        ("ask", "question"),
        ("alarm", "alarm"),
        ("refused", "headline"),
        ("not-understood", "headline"),
    ],
)
def test_each_outcome_has_its_look(status: str, role: str) -> None:
    assert (role, "words") in text_lines(Shown(status, "", "words"))
    assert role in STYLES


def test_the_ear_is_told_once_for_each_change() -> None:
    stream = io.StringIO()
    view = TerminalView(stream)
    for state in ("asleep", "listening", "listening", "muted"):
        view.set_ear(state)
    assert stream.getvalue() == "ear: asleep\near: listening\near: muted\n"


def test_a_fault_tells_what_to_do() -> None:
    stream = io.StringIO()
    TerminalView(stream).fault("The microphone is silent.", "Plug it in.")
    assert stream.getvalue() == "fault: The microphone is silent.\ndo this: Plug it in.\n"


def test_the_welcome_is_every_line() -> None:
    stream = io.StringIO()
    TerminalView(stream).welcome(["one", "two"])
    assert stream.getvalue() == "one\ntwo\n\n"


@pytest.mark.parametrize("view", [TerminalView(io.StringIO()), NoView()], ids=["terminal", "none"])
def test_run_ends_when_closed_from_another_thread(view: View) -> None:
    thread = threading.Thread(target=view.run)
    thread.start()
    assert thread.is_alive()
    view.close()
    thread.join(5)
    assert not thread.is_alive()


@pytest.mark.parametrize("view", [TerminalView(io.StringIO()), NoView()], ids=["terminal", "none"])
def test_an_ear_that_does_not_exist_is_an_error(view: View) -> None:
    with pytest.raises(ValueError, match="ear state 'deaf': expected one of asleep, listening"):
        view.set_ear("deaf")


@pytest.mark.parametrize("state", EAR_STATES)
def test_known_ears_are_known(state: str) -> None:
    assert known_ear_state(state) == state


def test_no_view_shows_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    view = NoView()
    view.show(SHOWN)
    view.welcome(["x"])
    view.fault("x", "y")
    view.set_ear("asleep")
    assert capfd.readouterr() == ("", "")


LADDER = Answer("pass", ladder=Ladder(("15", "22", "28"), (0.4, 0.6, 0.7), 1))
STEP = replace(
    SHOWN, place=ShownPlace("thread 1/2-13 UNC", "pass 2 of 3", "pass 3 at 28"), assumed=()
)


def test_a_step_tells_its_place_then_the_caution_then_what_to_do() -> None:
    assert [role for role, _ in text_lines(STEP, LADDER)] == [
        *("heard", "place", "caution", "headline", "row", "row", "note", "note"),
        *("following", "foot"),
    ]
    told = [words for _, words in text_lines(STEP, LADDER)]
    assert "thread 1/2-13 UNC: pass 2 of 3" in told
    assert "pass 2 of 3: 22 on the compound dial" in told
    assert "then: pass 3 at 28" in told


def test_a_ladder_without_a_place_is_told_too() -> None:
    assert ("note", "pass 2 of 3: 22 on the compound dial") in text_lines(SHOWN, LADDER)


def test_a_ladder_that_is_done_says_so() -> None:
    done = Answer("pass", ladder=Ladder(("15", "22"), (0.4, 0.6), 2))
    assert ("note", "all 2 taken") in text_lines(SHOWN, done)


def test_every_role_of_a_step_has_its_look() -> None:
    assert {role for role, _ in text_lines(STEP, LADDER)} - {"row"} <= set(STYLES)


def test_phrases_are_suggested_once_and_only_on_a_terminal(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TERM", "xterm")
    terminal, pipe = Terminal(), io.StringIO()
    for stream in (terminal, pipe):
        view = TerminalView(stream)
        view.suggest(["one", "two", "three", "four"])
        view.suggest(["five"])
    assert without_looks(terminal.getvalue()) == "say: one\nsay: two\nsay: three\n"
    assert pipe.getvalue() == ""
