"""A sound card in user space: what is played into the room is what the microphone hears."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from assistant.hearing.recogniser import SAMPLE_RATE, Samples
from assistant.hearing.wav import read_wav


class VirtualCard:
    """A running sound server with a room, a microphone in it, and a loudspeaker."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._socket = folder / "pulse.sock"
        self.environment = {
            "PULSE_SERVER": f"unix:{self._socket}",
            "PULSE_COOKIE": str(folder / "cookie"),
            "HOME": str(folder),
            "XDG_RUNTIME_DIR": str(folder),
        }
        self._server: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        program = shutil.which("pulseaudio")
        assert program, "pulseaudio is missing: README's test command installs it"
        modules = [
            f"module-native-protocol-unix socket={self._socket} auth-anonymous=1",
            "module-null-sink sink_name=room rate=16000 channels=1",
            "module-null-sink sink_name=speaker rate=16000 channels=1",
            "module-remap-source master=room.monitor source_name=mic",
        ]
        command = [
            program,
            "-n",
            "--daemonize=no",
            "--exit-idle-time=-1",
            "--disallow-exit",
            "--use-pid-file=no",
        ]
        for module in modules:
            command += ["-L", module]
        self._server = subprocess.Popen(
            command,
            env={**os.environ, **self.environment},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        deadline = time.monotonic() + 10
        while not self._socket.exists():
            assert time.monotonic() < deadline, "the sound server does not start"
            time.sleep(0.05)
        self.control("set-default-source", "mic")
        self.control("set-default-sink", "speaker")

    def control(self, *words: str) -> None:
        deadline = time.monotonic() + 10
        while subprocess.run(
            ["pactl", *words], env={**os.environ, **self.environment}, capture_output=True
        ).returncode:
            assert time.monotonic() < deadline, f"pactl {words} fails"
            time.sleep(0.1)

    def play_into_room(self, samples: Samples) -> None:
        """Plays `samples` where the microphone hears it, and waits for the end."""
        command = [
            "pacat",
            "--playback",
            "--device=room",
            "--format=s16le",
            f"--rate={SAMPLE_RATE}",
            "--channels=1",
        ]
        subprocess.run(
            command,
            input=samples.tobytes(),
            env={**os.environ, **self.environment},
            check=True,
            timeout=60,
        )

    @contextmanager
    def quiet_room(self) -> Iterator[None]:
        """A room's faint noise at the microphone meanwhile: plain zeros would be a dead microphone."""
        command = [
            "pacat",
            "--playback",
            "--device=room",
            "--format=s16le",
            f"--rate={SAMPLE_RATE}",
            "--channels=1",
        ]
        noise = np.random.default_rng(4).normal(0, 6, 120 * SAMPLE_RATE).astype(np.int16).tobytes()
        with tempfile.TemporaryFile() as file:
            file.write(noise)
            file.seek(0)
            player = subprocess.Popen(command, env={**os.environ, **self.environment}, stdin=file)
            try:
                yield
            finally:
                player.terminate()
                player.wait(10)

    @contextmanager
    def recorded_speaker(self, path: Path) -> Iterator[None]:
        """What the loudspeaker plays meanwhile, as WAV file `path`."""
        command = [
            "parecord",
            "--device=speaker.monitor",
            f"--rate={SAMPLE_RATE}",
            "--channels=1",
            "--file-format=wav",
            str(path),
        ]
        recorder = subprocess.Popen(command, env={**os.environ, **self.environment})
        time.sleep(0.5)
        try:
            yield
        finally:
            recorder.terminate()
            recorder.wait(10)

    def stop(self) -> None:
        if self._server is not None:
            self._server.terminate()
            self._server.wait(10)
            self._server = None


def with_quiet(samples: Samples, seconds: float = 1.5) -> Samples:
    """`samples` with a room's quiet before and after: never plain zeros."""
    chance = np.random.default_rng(3)
    size = samples.size + 2 * int(seconds * SAMPLE_RATE)
    room = chance.normal(0, 6, size)
    room[int(seconds * SAMPLE_RATE) :][: samples.size] += samples
    return np.clip(np.round(room), -32768, 32767).astype(np.int16)


def sound(path: Path) -> Samples:
    """A file with quiet around it."""
    return with_quiet(read_wav(path))
