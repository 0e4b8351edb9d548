"""A voice for machines without a loudspeaker: every sentence becomes a numbered WAV file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from assistant.speaking.voice import Voice


class SavingVoice:
    """Speaks into files of `folder` and reports each path."""

    def __init__(self, voice: Voice, folder: Path, report: Callable[[Path], None]) -> None:
        """voice: makes the sound; report: called with each file written."""
        self._voice = voice
        self._folder = folder
        self._report = report
        self._count = 0

    @property
    def rate(self) -> int:
        """Words per minute."""
        return self._voice.rate

    @rate.setter
    def rate(self, value: int) -> None:
        self._voice.rate = value

    @property
    def volume(self) -> float:
        """0 to 1."""
        return self._voice.volume

    @volume.setter
    def volume(self, value: float) -> None:
        self._voice.volume = value

    def say(self, text: str) -> bool:
        """Write `text` as the next file. Raises DeviceError if the folder cannot be written."""
        self._count += 1
        path = self._folder / f"answer-{self._count:02d}.wav"
        self._voice.save(text, path)
        self._report(path)
        return True

    def save(self, text: str, path: str | Path) -> None:
        """Write `text` to `path`."""
        self._voice.save(text, path)

    def stop(self) -> None:
        """Nothing sounds, so nothing is to be stopped."""
