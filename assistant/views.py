"""Which view and which voice this machine can have."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from platformdirs import user_data_path

from assistant.errors import OutOfRange
from assistant.speaking.espeak import EspeakVoice
from assistant.speaking.playback import output_available
from assistant.speaking.saving import SavingVoice
from assistant.speaking.voice import Voice
from display import available
from display.edid import system_diagonal
from display.legibility import screen_diagonal
from display.setting import Setting, Wish, setting_for, shop_wish
from display.terminal import TerminalView
from display.view import NoView, View
from display.words import word
from profiles.load import shop_folder

REMEMBERED = "screen.txt"
"""In the user's data folder: the size of the screen as it was told."""


def view_for(
    wanted: str | None,
    distance: str | None = None,
    screen: str | None = None,
    scheme: str | None = None,
    monitor: int | None = None,
) -> View:
    """The view named: 'kivy', 'terminal', 'none'; for None a window where one opens, else the terminal.

    What is None is taken from `display:` in the shop's file, then from the system.

    Raises DeviceError where a window was asked for and none can open, OutOfRange or ProfileError for
    a setting that cannot be.
    """
    if wanted == "none":
        return NoView()
    if wanted == "terminal" or (wanted is None and not available()):
        return TerminalView(sys.stdout)
    from display.screen import Screen

    return Screen.as_set(screen_setting(Wish(distance, screen, scheme, monitor)))


def shop_talk_key() -> str | None:
    """The key that a pedal types, from the shop's file; None where it names none."""
    return shop_wish(_shop()).talk_key


def shop_talk_line() -> str | None:
    """The GPIO line of a foot switch, from the shop's file; None where it names none."""
    return shop_wish(_shop()).talk_line


def screen_setting(wish: Wish) -> Setting:
    """The setting of the window for what was asked for on the command line."""
    path = user_data_path("swarfside") / REMEMBERED
    return setting_for(
        wish.over(shop_wish(_shop())), system_diagonal, _remembered(path), lambda: _ask(path)
    )


def _shop() -> Path:
    chosen = os.environ.get("SWARFSIDE_PROFILES")
    return Path(chosen) if chosen else shop_folder()


def _remembered(path: Path) -> str | None:
    """The size told earlier; None where there is none that can be read."""
    try:
        told = path.read_text(encoding="utf-8").strip()
        screen_diagonal(told)
    except (OSError, UnicodeDecodeError, OutOfRange):
        return None
    return told


def _ask(path: Path) -> str | None:
    """Ask once how large the screen is, and remember it; None where nobody is at a terminal."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return None
    while True:
        try:
            told = input(word("setting", "ask")).strip()
        except EOFError:
            return None
        if not told:
            return None
        try:
            screen_diagonal(told)
        except OutOfRange as fault:
            print(fault)
            continue
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"{told}\n", encoding="utf-8")
        return told


def voice_for(folder: Path | None, report: Callable[[Path], None]) -> Voice:
    """The loudspeaker's voice where a sound device opens, else one that writes files.

    folder : where files go; a new temporary folder for None
    report : called with each file written
    Raises : DeviceError where neither sound nor files are possible
    """
    voice = EspeakVoice()
    if folder is None and output_available():
        return voice
    target = folder or Path(tempfile.mkdtemp(prefix="swarfside-answers-"))
    target.mkdir(parents=True, exist_ok=True)
    return SavingVoice(voice, target, report)
