"""The screens of the tests: sizes in px, read from so far, and the longest plausible contents."""

from __future__ import annotations

from dataclasses import replace

from assistant.answer import Answer, Line, Shown
from display.contact_examples import PICTURED, VIEWS
from display.contact_sheet import CONTENTS, LONGEST, STANDS, THREAD_ANSWER, Stand
from display.content import Content, of_outcome

SMALL = Stand("small-24in-4m", (1920, 1080), 4000.0, 298.9)
"""The smallest screen for its distance that is not refused: eight lines."""
LOW = Stand("low-24in-5m", (1920, 1080), 5000.0, 298.9)
"""Smaller than what is accepted; still nothing may be lost or overlap."""
ALL_STANDS = (*STANDS, SMALL, LOW)

HEARD = "what is the finish turning speed for forty two millimetre stainless with carbide"
CAUTION = "Stop the spindle before you move a lever; take the key out of the chuck and stand clear."
assert 78 <= len(HEARD) <= 82
assert 86 <= len(CAUTION) <= 92

FULL_ROWS = tuple(
    Line(label, "101 m/min (330 ft/min)")
    for label in ("Surface speed", "Surface feed", "Surface depth", "Surface power", "Surface time")
)
FULLEST = Shown(
    "answered", HEARD, "1234.5 turns/min", FULL_ROWS, (CAUTION,), ("carbide tool",), lathe="Heron"
)
assert len(FULLEST.headline) == 16

EXTREMES: dict[str, Content] = {
    "fullest": of_outcome(FULLEST, None),
    "fullest-with-pictures": of_outcome(FULLEST, THREAD_ANSWER),
    "two-cautions": of_outcome(replace(LONGEST, cautions=(CAUTION, CAUTION)), None),
    "nothing-but-a-headline": of_outcome(Shown("answered", "", "380 rpm"), None),
    "question-of-80": of_outcome(Shown("ask", HEARD, f"{HEARD[:79].capitalize()}?"), None),
    "long-alarm": of_outcome(
        Shown(
            "alarm",
            HEARD,
            "HIT THE MACHINE'S EMERGENCY STOP NOW",
            (Line("", "This assistant controls nothing: hit the machine's emergency stop."),),
            (CAUTION,),
        ),
        None,
    ),
    "a-word-too-wide": of_outcome(
        Shown("refused", "x", "thermohygrobarographically", (Line("Word", "y" * 60),)), None
    ),
    "settings-without-moves": of_outcome(
        Shown("answered", "set up", "380 rpm", (Line("For", "brass"),), lathe="Heron"),
        Answer("speed", settings={}),
    ),
}
EVERYTHING = {**CONTENTS, **EXTREMES}

FEW = ("speed", "thread", "fullest-with-pictures", "long-step", "pass", "alarm", "form", "fit")
"""A view or two of each make, for the screens that take long to draw."""
RENDERED = {
    "panel-7in-80cm": tuple(EVERYTHING),
    "wall-32in-4m": (*FEW, *PICTURED, *VIEWS, "longest", "fault", "question", "two-cautions"),
    "wall-55in-4m": FEW,
    "upright-32in-3m": (*FEW, *PICTURED, "hints", "sleep", "long-alarm"),
}
"""Screen -> what is drawn on it and looked at in pixels; what is laid out is looked at everywhere."""
RENDERED = {stand: tuple(dict.fromkeys(names)) for stand, names in RENDERED.items()}
