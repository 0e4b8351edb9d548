"""Sound written to disk: only where --keep-audio asks for it."""

from __future__ import annotations

import time
import wave
from pathlib import Path

from assistant.hearing.listening import Utterance
from assistant.hearing.recogniser import SAMPLE_RATE


def keep(utterance: Utterance, folder: Path) -> Path:
    """Writes the sound of `utterance` into `folder`, named by the time."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{time.strftime('%Y%m%d-%H%M%S')}-{time.monotonic_ns() % 1000:03d}.wav"
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(SAMPLE_RATE)
        file.writeframes(utterance.samples.tobytes())
    return path
