"""Pictures of every kind of page at several sizes: `python -m display.contact_sheet --out DIR`.

The figures are invented to fill a page; they answer nothing.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from assistant.answer import Answer, Engage, Line, Shown
from assistant.core.levers import Move, WhenToShift
from display.contact_examples import DIAL as _DIAL
from display.contact_examples import HERON, PICTURED, VIEWS
from display.content import Content, of_fault, of_outcome, of_welcome
from display.theme import SCHEMES


@dataclass(frozen=True)
class Stand:
    """A screen and where it is read from."""

    name: str
    size: tuple[int, int]
    """px."""
    distance: float
    """mm."""
    screen_height: float
    """mm."""


STANDS: Final = (
    Stand("panel-7in-80cm", (800, 480), 800.0, 91.5),
    Stand("wall-32in-4m", (1920, 1080), 4000.0, 398.5),
    Stand("wall-55in-4m", (3840, 2160), 4000.0, 684.9),
    Stand("upright-32in-3m", (1080, 1920), 3000.0, 708.4),
)
"""A panel at the machine, two screens on the wall, and one standing upright."""

_HALF_DIAL: Final = tuple((label, position, label in ("1", "3")) for label, position, _ in _DIAL)
MOVES: Final = (
    Move("Range", "low", WhenToShift.STOPPED, "high"),
    Move("Feed box", "C", WhenToShift.SLOW, "A"),
    Move("Feed step", "3", WhenToShift.SLOW),
)

SPEED: Final = Shown(
    "answered",
    "speed for fifty millimetre brass",
    "380 rpm",
    (Line("Levers", "A 2"), Line("Feed", "0.12 mm/turn")),
    lathe=HERON,
)
LONGEST: Final = Shown(
    "answered",
    "finish turning speed for forty two millimetre free machining steel with carbide",
    "382 turns/min",
    (
        Line("Surface speed", "101 m/min (330 ft/min)"),
        Line("Feed", "0.12 mm/turn"),
        Line("Depth of cut", "1.5 mm"),
        Line("Levers", "Range high, step B 2"),
        Line("Motor power", "1.1 kW of 1.5 kW"),
    ),
    ("Stop the spindle before you move a lever; take the key out of the chuck and stand clear.",),
    ("carbide tool",),
    lathe=HERON,
)
THREAD: Final = Shown(
    "answered",
    "thirteen threads per inch",
    "13 per inch",
    (Line("Depth", "1.20 mm"), Line("Compound", "29.5°"), Line("Half-nut", "marks 1 2 3 4")),
    ("Stop the spindle before you shift.",),
    lathe=HERON,
)
THREAD_ANSWER: Final = Answer(
    "thread", moves=MOVES, engage=Engage(False, ("1", "2", "3", "4"), 8, 32, None, _DIAL)
)
DIAL: Final = Shown(
    "answered", "half nut marks", "marks 1 and 3", (Line("Pitch", "1.25 mm"),), lathe=HERON
)
DIAL_ANSWER: Final = Answer("engage", engage=Engage(False, ("1", "3"), 16, 32, None, _HALF_DIAL))
LEVERS: Final = Shown("answered", "three eighty", "380 rpm", lathe=HERON)
LEVERS_ANSWER: Final = Answer("speed", moves=MOVES[:2])

CONTENTS: Final[dict[str, Content]] = {
    "speed": of_outcome(SPEED, None),
    "longest": of_outcome(LONGEST, None),
    "thread": of_outcome(THREAD, THREAD_ANSWER),
    "dial": of_outcome(DIAL, DIAL_ANSWER),
    "levers": of_outcome(LEVERS, LEVERS_ANSWER),
    "question": of_outcome(
        Shown("ask", "thirty threads per inch", "One three, or three zero?", lathe=HERON), None
    ),
    "refused": of_outcome(
        Shown(
            "refused",
            "metric thirteen",
            "M13 is not listed; nearest are M12 and M14",
            (Line("", "Say: metric twelve"),),
            lathe=HERON,
        ),
        None,
    ),
    "not-understood": of_outcome(
        Shown(
            "not-understood",
            "speed for the",
            "Speed for what?",
            (Line("", "Say: speed for fifty millimetre brass"),),
            lathe=HERON,
        ),
        None,
    ),
    "alarm": of_outcome(
        Shown(
            "alarm",
            "stop",
            "HIT THE EMERGENCY STOP",
            (Line("", "This assistant controls nothing: hit the machine's emergency stop."),),
            lathe=HERON,
        ),
        None,
    ),
    "welcome": of_welcome(
        [
            "Swarfside",
            "It controls nothing and stops nothing.",
            "All figures are starting values. The machine's manual, the shop's rules and a "
            "qualified person come first.",
        ]
    ),
    "fault": of_fault("The microphone does not answer.", "Plug it in again, then wait."),
    **PICTURED,
    **VIEWS,
}
"""One of each view, with texts as long as they come."""

EARS: Final = {
    "speed": "speaking",
    "longest": "asleep",
    "levers": "thinking",
    "question": "listening",
    "refused": "muted",
    "fault": "no microphone",
    "sleep": "asleep",
    "muted": "muted",
}
"""What the ear does on a picture; listening where nothing is said."""


def draw(folder: Path, stands: Sequence[Stand] = STANDS, scheme: str = "dark") -> list[Path]:
    """Draw every page of CONTENTS for each of `stands` into `folder`; returns the files."""
    from display.render import pages, picture

    written = []
    for stand in stands:
        for name, content in CONTENTS.items():
            ear = EARS.get(name, "listening")
            found = pages(content, stand.size, stand.distance, stand.screen_height, ear)
            for number, page in enumerate(found, start=1):
                path = folder / f"{stand.name}-{scheme}-{name}-{number}.png"
                written.append(picture(page, stand.size, scheme, path))
    return written


def main(arguments: Sequence[str] | None = None) -> int:
    """Draw all pictures in both schemes and say where they are."""
    parser = argparse.ArgumentParser(prog="python -m display.contact_sheet", description=__doc__)
    parser.add_argument("--out", type=Path, required=True, help="folder for the pictures")
    folder = parser.parse_args(arguments).out
    written = [path for scheme in SCHEMES for path in draw(folder, scheme=scheme)]
    print(f"{len(written)} pictures in {folder}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
