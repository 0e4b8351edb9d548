"""A voice that says nothing: for a shop that wants the screen alone."""

from __future__ import annotations

from pathlib import Path

from assistant.errors import DeviceError
from assistant.speaking.voice import DEFAULT_RATE, DEFAULT_VOLUME


class SilentVoice:
    """Voice without sound."""

    def __init__(self) -> None:
        self.rate = DEFAULT_RATE
        self.volume = DEFAULT_VOLUME

    def say(self, text: str) -> bool:
        """Nothing is spoken; True, since nothing stopped it."""
        return True

    def save(self, text: str, path: str | Path) -> None:
        """Raises DeviceError: there is no sound to write."""
        raise DeviceError("voice", "the voice is switched off", "switch it on to save speech")

    def stop(self) -> None:
        """Nothing to stop."""
