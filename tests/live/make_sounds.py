"""Speaks the sounds of these tests anew with flite: `python -m tests.live.make_sounds`."""

from pathlib import Path

from tests.make_sounds import make

FOLDER = Path(__file__).parent / "wav"
SAID = {"shop_assistant.wav": "slt"}
"""File, named by its words -> flite's voice."""

if __name__ == "__main__":
    for file, voice in SAID.items():
        make(voice, file.removesuffix(".wav").replace("_", " "), FOLDER / file)
        print(file)
