"""Screens from real answers: `python -m tests.pictures FOLDER` draws many with all their pages.

Without a folder it draws the pictures of README anew.
"""

import sys
from pathlib import Path

from assistant.app import Assistant
from display.content import of_outcome
from display.render import pages, picture

FOLDER = Path(__file__).parent.parent / "display" / "pictures"
SHOTS = {
    "thread": ("heron", ["half inch thirteen"]),
    "speed": ("heron", ["speed for stainless one and three quarter inch carbide"]),
    "engage": ("badger", ["metric twelve", "which line"]),
    "compound": ("badger", ["compound angle for metric twelve"]),
    "form": ("badger", ["threading tool for metric twenty"]),
    "taper": ("badger", ["morse taper three"]),
    "fit": ("badger", ["fit thirty h seven g six"]),
    "gears": ("juniper", ["change gears for one point seven five pitch"]),
    "step": ("heron", ["start thread half inch thirteen"]),
    "pass": (
        "heron",
        [
            *("start thread half inch thirteen", "levers done", "spindle stopped"),
            *("next step",) * 6,
        ],
    ),
    "alarm": ("heron", ["stop"]),
}
SIZE = (1920, 1080)
DISTANCE, HEIGHT = 3000.0, 398.0
"""Read from 3 m on a 32-inch screen, whose height is 398 mm."""


def draw(folder: Path, names: list[str], all_pages: bool = True) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for name in names:
        lathe, questions = SHOTS[name]
        assistant = Assistant(lathe)
        for question in questions:
            reply = assistant.reply(question)
        content = of_outcome(reply.shown, reply.answer)
        found = pages(content, SIZE, DISTANCE, HEIGHT, "listening")
        for number, page in enumerate(found, start=1):
            path = folder / (f"{name}.png" if number == 1 else f"{name}-{number}.png")
            if number == 1 or all_pages:
                picture(page, SIZE, "dark", path)


if __name__ == "__main__":
    draw(Path(sys.argv[1]), list(SHOTS)) if len(sys.argv) > 1 else draw(
        FOLDER, ["thread", "pass"], False
    )
