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


def view_for(wanted: str | None, distance: str | None = None, screen: str | None = None) -> View:
    """The view named: 'kivy', 'terminal', 'none'; for None a window where one opens, else the terminal.

    Raises DeviceError where a window was asked for and none can open.
    """
    if wanted == "none":
        return NoView()
    if wanted == "terminal" or (wanted is None and not available()):
        return TerminalView(sys.stdout)
    from display.legibility import (
        DEFAULT_DISTANCE_MM,
        DEFAULT_SCREEN,
        reading_distance,
        screen_diagonal,
    )
    from display.screen import Screen

    distance_mm = reading_distance(distance) if distance else DEFAULT_DISTANCE_MM
    return Screen(distance_mm, screen_diagonal(screen or DEFAULT_SCREEN))


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
