"""Speaks the sounds of the demo and of the spoken conversations anew: `python -m tests.make_sounds`.

Needs flite for the voices, and sox, which packs the conversations' sounds into a quarter (ADPCM).
"""

import subprocess
import tempfile
import wave
from pathlib import Path

import numpy as np
import yaml

from assistant.hearing.recogniser import SAMPLE_RATE
from assistant.hearing.wav import read_wav
from tests.spoken_sentences import aloud_sentences, file_of

SPOKEN = Path(__file__).parent / "spoken"
VOICES = ("slt", "rms", "awb")
FOLDER = Path(__file__).parent.parent / "assistant" / "demo_sounds"
QUIET = 0.35
"""Seconds of room before and after the words."""
ROOM = 6
"""Standard deviation of the room's noise: a microphone never gives plain zeros."""


def spoken(voice: str, words: str) -> np.ndarray:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "said.wav"
        subprocess.run(["flite", "-voice", voice, "-t", words, "-o", str(file)], check=True)
        return read_wav(file)


def make(voice: str, words: str, path: Path) -> None:
    samples = spoken(voice, words).astype(float)
    samples *= 20_000 / np.abs(samples).max()
    pause = np.zeros(int(QUIET * SAMPLE_RATE))
    samples = np.concatenate([pause, samples, pause])
    samples += np.random.default_rng(len(words)).normal(0, ROOM, samples.size)
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(SAMPLE_RATE)
        file.writeframes(np.round(samples).astype("<i2").tobytes())


def make_conversations() -> None:
    """Every sentence of a conversation with `aloud: true`, each voice in turn."""
    SPOKEN.mkdir(exist_ok=True)
    for old in SPOKEN.glob("*.wav"):
        old.unlink()
    with tempfile.TemporaryDirectory() as folder:
        plain = Path(folder) / "plain.wav"
        for number, words in enumerate(aloud_sentences()):
            make(VOICES[number % len(VOICES)], words, plain)
            packed = SPOKEN / file_of(words)
            subprocess.run(["sox", str(plain), "-e", "ima-adpcm", str(packed)], check=True)
            print(packed.name)


if __name__ == "__main__":
    for entry in yaml.safe_load((FOLDER / "session.yaml").read_text(encoding="utf-8")):
        make(
            entry["voice"],
            entry["file"].removesuffix(".wav").replace("_", " "),
            FOLDER / entry["file"],
        )
        print(entry["file"])
    make_conversations()
