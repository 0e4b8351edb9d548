"""Contents for the contact sheet: every picture and every view, with texts as long as they come.

The figures are invented to fill a page; they answer nothing.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from assistant.answer import Answer, Engage, Ladder, Line, Shown, ShownPlace, Value
from assistant.core.levers import Move, WhenToShift
from display.content import Content, of_fault, of_hints, of_outcome, of_sleep
from display.words import word

HERON: Final = "Heron"
DIAL: Final = tuple(
    (str(mark // 2 + 1) if mark % 2 == 0 else "", Fraction(mark, 8), mark % 2 == 0)
    for mark in range(8)
)
LADDER: Final = Ladder(
    ("15", "22", "28", "33", "37", "1 turn 1", "1 turn 4", "1 turn 7"),
    (0.38, 0.56, 0.71, 0.84, 0.94, 1.04, 1.12, 1.2),
    3,
)


def _mm(**figures: float) -> dict[str, Value]:
    return {name: Value(number, "mm") for name, number in figures.items()}


def _degrees(**figures: float) -> dict[str, Value]:
    return {name: Value(number, "degree") for name, number in figures.items()}


COMPOUND: Final = Answer(
    "thread-compound",
    _degrees(compound_angle=29.5, from_axis=60.5),
    {"swung": "handle end to the tailstock"},
)
FORM: Final = Answer(
    "thread-tool",
    {**_degrees(included_angle=60.0), **_mm(thread_depth=1.534, nose=0.361)},
    {"nose_kind": "radius"},
)
TAPER: Final = Answer(
    "taper",
    {**_degrees(half_angle=1.438), **_mm(large_end=23.825, small_end=19.761, taper_length=80.963)},
)
FIT: Final = Answer(
    "fit-clearance",
    _mm(
        hole_upper_deviation=0.021,
        hole_lower_deviation=0.0,
        shaft_upper_deviation=-0.007,
        shaft_lower_deviation=-0.02,
    ),
)
GEARS: Final = Answer("gears", gears=(((70, 120), (127, 60)),))
PASS: Final = Answer(
    "pass", ladder=LADDER, engage=Engage(False, ("1", "2", "3", "4"), 8, 32, None, DIAL)
)


def _answered(heard: str, headline: str, answer: Answer, *rows: Line) -> Content:
    return of_outcome(Shown("answered", heard, headline, rows, lathe=HERON), answer)


PICTURED: Final[dict[str, Content]] = {
    "compound": _answered(
        "compound angle for half inch thirteen",
        "29.5°",
        COMPOUND,
        Line("Counted", "from the cross slide"),
        Line("Travel", "1.38 mm (0.054 in)"),
    ),
    "form": _answered("threading tool for metric twenty", "60°", FORM, Line("Thread", "M20x2.5")),
    "taper": _answered("morse taper three", "1.44°", TAPER, Line("Taper", "MT3")),
    "fit": _answered(
        "fit thirty h seven g six",
        "0.007–0.041 mm",
        FIT,
        Line("Fit", "30 H7/g6, clearance"),
    ),
    "gears": _answered(
        "change gears for one point seven five pitch",
        "70/127 × 120/60",
        GEARS,
        Line("Error", "none, exact"),
    ),
}

STEP: Final = Shown(
    "answered",
    "next",
    "Turn the chuck by hand one whole turn and see that every jaw holds",
    (),
    ("Chuck key out before you let go of it.",),
    lathe=HERON,
    place=ShownPlace(
        "mount work in the three-jaw chuck", "step 3 of 9", "tighten the jaws a second time"
    ),
)
LONG_STEP: Final = Shown(
    "answered",
    "what now",
    "Bring the tool up until it just marks a strip of paper held between it and the work, "
    "then set the dials of the cross slide and of the compound to zero",
    (Line("Cross slide", "0"), Line("Compound", "0"), Line("Levers", "as they stand")),
    ("Spindle stopped while your fingers hold the paper near the tool.",),
    lathe=HERON,
    place=ShownPlace("thread 1 1/8-7 UNC-2A left hand", "step 12 of 21", "first pass at 15"),
)
PASS_STEP: Final = Shown(
    "answered",
    "next",
    "33",
    (Line("Cross slide", "back to 0"), Line("Close on", "1, 2, 3 or 4")),
    ("Tool clear of the work before the half-nut is closed.",),
    lathe=HERON,
    place=ShownPlace("thread 1/2-13 UNC", "pass 4 of 8", "pass 5 at 37"),
)
LEVER_STEP: Final = Shown(
    "answered",
    "next step",
    "Range low",
    (Line("When", "spindle stopped"),),
    ("Wait until the spindle is at rest.",),
    lathe=HERON,
    place=ShownPlace("set 380 rpm", "step 1 of 2", "feed box C"),
)
LEVER_MOVE: Final = Answer("step", moves=(Move("Range", "low", WhenToShift.STOPPED, "high"),))

VIEWS: Final[dict[str, Content]] = {
    "step": of_outcome(STEP, Answer("procedure")),
    "long-step": of_outcome(LONG_STEP, Answer("procedure")),
    "lever-step": of_outcome(LEVER_STEP, LEVER_MOVE),
    "pass": of_outcome(PASS_STEP, PASS),
    "hints": of_hints(
        [
            "speed for fifty millimetre brass",
            "when do I close the half nut",
            "measured thirty point five two want thirty h seven",
        ],
        "Heron · mm",
    ),
    "sleep": of_sleep("14:05", "380 rpm", "speed for fifty millimetre brass", "Heron · mm"),
    "muted": of_fault(word("faults", "muted"), word("faults", "muted_remedy", key="the space bar")),
    "wrong-profile": of_fault(
        "profiles/gull.yaml line 12: spindle.steps[3] is '210 rpn'; expected a speed such as "
        "'210 rpm'",
        "Mend the profile, or use another lathe",
    ),
}
