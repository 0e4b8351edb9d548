"""Which view and which voice this machine can have."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from assistant.speaking.espeak import EspeakVoice
from assistant.speaking.playback import output_available
from assistant.speaking.saving import SavingVoice
from assistant.speaking.voice import Voice
from display import available
from display.terminal import TerminalView
from display.view import NoView, View

USUAL_SCREEN = "24in"
"""Taken where nothing says how large the screen is: smaller than a wall screen, so letters come out larger."""


def view_for(wanted: str | None, distance: str = "3m", screen: str | None = None) -> View:
    """The view named: 'kivy', 'terminal', 'none'; for None a window where one opens, else the terminal.

    Raises DeviceError where a window was asked for and none can open.
    """
    if wanted == "none":
        return NoView()
    if wanted == "terminal" or (wanted is None and not available()):
        return TerminalView(sys.stdout)
    from display.legibility import reading_distance, screen_diagonal
    from display.screen import Screen

    return Screen(reading_distance(distance), screen_diagonal(screen or USUAL_SCREEN))


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
