"""Draws README's picture from real answers: `python -m tests.pictures [FOLDER]`."""

import sys
from pathlib import Path

from assistant.app import Assistant
from display.render import render

FOLDER = Path(__file__).parent.parent / "display" / "pictures"
SHOTS = {
    "thread": ("heron", ["half inch thirteen"]),
    "speed": ("heron", ["speed for stainless one and three quarter inch carbide"]),
    "engage": ("badger", ["metric twelve", "which line"]),
    "alarm": ("heron", ["stop"]),
}
SIZE = (1920, 1080)
DISTANCE, HEIGHT = 3000.0, 398.0
"""Read from 3 m on a 32-inch screen, whose height is 398 mm."""


def draw(folder: Path, names: list[str]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for name in names:
        lathe, questions = SHOTS[name]
        assistant = Assistant(lathe)
        for question in questions:
            reply = assistant.reply(question)
        render(reply.shown, reply.answer, SIZE, folder / f"{name}.png", DISTANCE, HEIGHT)


if __name__ == "__main__":
    draw(Path(sys.argv[1]), list(SHOTS)) if len(sys.argv) > 1 else draw(FOLDER, ["thread"])
