"""The commands about hearing, as a user runs them."""

import subprocess
import sys
import wave
from pathlib import Path

import pytest

from tests.live.conftest import spoken

RUN = "from assistant.cli import main; main()"


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", RUN, *arguments], capture_output=True, text=True, timeout=120
    )


def test_a_sound_check_without_a_microphone_fails_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PULSE_SERVER", f"unix:{tmp_path / 'nothing.sock'}")
    done = run("sound-check", "--microphone", "nothing of the kind")
    assert done.returncode == 1
    assert "There is no loudspeaker" in done.stdout or "there is no" in done.stdout.lower()
    assert "microphone called nothing of the kind" in done.stdout
    assert done.stderr == ""


def test_learning_a_voice_from_files_keeps_it_in_the_users_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    folder = tmp_path / "read"
    folder.mkdir()
    for name in ("half_inch_thirteen", "which_line", "stop", "show_the_working"):
        with wave.open(str(folder / f"{name}.wav"), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(16_000)
            file.writeframes(spoken(f"{name}.wav").tobytes())
    done = run("learn-voice", "Ann", "--from-files", str(folder))
    assert done.returncode == 0, done.stderr
    assert "of 2 sentences held back" in done.stdout
    for other in ("ann.json", "ann.mllr"):
        told = "are changed to yours (MLLR)" in done.stdout or other == "ann.json"
        assert (tmp_path / "data" / "swarfside" / "operators" / other).exists() == told
    done = run("learn-voice", "Ann", "--from-files", str(tmp_path))
    assert done.returncode == 1
    assert "only 0 sentences were read: read at least 4" in done.stderr
