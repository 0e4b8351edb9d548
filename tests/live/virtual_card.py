"""A sound card in user space: what is played into the room is what the microphone hears."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from assistant.hearing.recogniser import SAMPLE_RATE, Samples
from assistant.hearing.wav import read_wav

ROOM_NOISE = 6
"""Of a quiet room at the microphone: plain zeros would be a dead microphone."""

SPEAKER = "sink_name=speaker rate=16000 channels=1 sink_properties=device.description=Speaker"
MIC = "master=room.monitor source_name=mic source_properties=device.description=Mic"


class VirtualCard:
    """A running sound server with a room, a microphone in it, and a loudspeaker."""

    def __init__(self, folder: Path, rate: int = SAMPLE_RATE) -> None:
        """rate : of the room and the microphone, samples a second."""
        self._folder = folder
        self._rate = rate
        self._socket = folder / "pulse.sock"
        self.environment = {
            "PULSE_SERVER": f"unix:{self._socket}",
            "PULSE_COOKIE": str(folder / "cookie"),
            "HOME": str(folder),
            "XDG_RUNTIME_DIR": str(folder),
        }
        self._server: subprocess.Popen[bytes] | None = None
        self._prompt: list[subprocess.Popen[bytes]] = []

    def start(self) -> None:
        program = shutil.which("pulseaudio")
        assert program, "pulseaudio is missing: README's test command installs it"
        modules = [
            f"module-native-protocol-unix socket={self._socket} auth-anonymous=1",
            f"module-null-sink sink_name=room rate={self._rate} channels=1",
            f"module-null-sink {SPEAKER}",
            f"module-remap-source {MIC}",
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
            env=self._surroundings(),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        deadline = time.monotonic() + 10
        while not self._socket.exists():
            assert time.monotonic() < deadline, "the sound server does not start"
            time.sleep(0.05)
        self.control("set-default-source", "mic")
        self.control("set-default-sink", "speaker")
        for name in ("room", "speaker"):
            self._keep_prompt(name)

    def _keep_prompt(self, name: str) -> None:
        """Such a card deals with sound in pieces of two seconds unless somebody wants it sooner."""
        command = ["parec", f"--device={name}.monitor", "--latency-msec=10", "--raw"]
        self._prompt.append(
            subprocess.Popen(
                command,
                env=self._surroundings(),
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
            )
        )

    def _surroundings(self) -> dict[str, str]:
        return {**os.environ, **self.environment}

    def control(self, *words: str) -> str:
        """What the server says to these words, once it takes them."""
        deadline = time.monotonic() + 10
        while True:
            done = subprocess.run(["pactl", *words], env=self._surroundings(), capture_output=True)
            if not done.returncode:
                return done.stdout.decode().strip()
            assert time.monotonic() < deadline, f"pactl {words} fails"
            time.sleep(0.1)

    def pull_out(self, module: str) -> None:
        """Unplug what `module` ('module-remap-source', or with part of its settings) stands for."""
        for line in self.control("list", "short", "modules").splitlines():
            if module in line.replace("\t", " "):
                self.control("unload-module", line.split()[0])
                return
        raise AssertionError(f"there is no {module}")

    def plug_in_microphone(self) -> None:
        self.control("load-module", "module-remap-source", *MIC.split())
        self.control("set-default-source", "mic")

    def plug_in_loudspeaker(self) -> None:
        self.control("load-module", "module-null-sink", *SPEAKER.split())
        self.control("set-default-sink", "speaker")
        self._keep_prompt("speaker")

    def loudspeaker_heard_in_room(self, share: float = 1.0) -> None:
        """From now on the microphone hears the loudspeaker too, at this share of its loudness."""
        self.control(
            "load-module",
            "module-loopback",
            "source=speaker.monitor",
            "sink=room",
            "latency_msec=20",
        )
        for line in self.control("list", "short", "sink-inputs").splitlines():
            if "loopback" in line:
                self.control("set-sink-input-volume", line.split()[0], f"{share:.0%}")

    def play_into_room(self, samples: Samples) -> None:
        """Plays `samples` where the microphone hears it, and waits for the end."""
        with self.playing(samples) as player:
            player.wait(60)

    @contextmanager
    def playing(self, samples: Samples) -> Iterator[subprocess.Popen[bytes]]:
        """Plays `samples` into the room meanwhile."""
        command = [
            "pacat",
            "--playback",
            "--device=room",
            "--format=s16le",
            f"--rate={SAMPLE_RATE}",
            "--channels=1",
            "--latency-msec=1000",
        ]
        # From a file: a pipe that this process fills would run dry while it decodes.
        with tempfile.TemporaryFile() as file:
            file.write(samples.tobytes())
            file.seek(0)
            player = subprocess.Popen(command, env=self._surroundings(), stdin=file)
            try:
                yield player
            finally:
                player.terminate()
                player.wait(10)

    @contextmanager
    def quiet_room(self, noise: float = ROOM_NOISE) -> Iterator[None]:
        """A room's faint noise at the microphone meanwhile."""
        chance = np.random.default_rng(4)
        with self.playing(chance.normal(0, noise, 120 * SAMPLE_RATE).astype(np.int16)):
            yield

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
        recorder = subprocess.Popen(command, env=self._surroundings())
        time.sleep(0.5)
        try:
            yield
        finally:
            recorder.terminate()
            recorder.wait(10)

    @contextmanager
    def heard_from_speaker(self) -> Iterator[list[tuple[float, float]]]:
        """(time, loudest sample) of each piece that the loudspeaker plays, as it comes."""
        command = [
            "parec",
            "--device=speaker.monitor",
            f"--rate={SAMPLE_RATE}",
            "--channels=1",
            "--format=s16le",
            "--latency-msec=10",
            "--raw",
        ]
        recorder = subprocess.Popen(command, env=self._surroundings(), stdout=subprocess.PIPE)
        pieces: list[tuple[float, float]] = []

        def read() -> None:
            assert recorder.stdout is not None
            while piece := recorder.stdout.read(320):
                whole = piece[: len(piece) // 2 * 2]
                loudest = int(np.abs(np.frombuffer(whole, dtype="<i2").astype(int)).max(initial=0))
                pieces.append((time.monotonic(), loudest))

        reader = threading.Thread(target=read, daemon=True)
        reader.start()
        try:
            yield pieces
        finally:
            recorder.terminate()
            recorder.wait(10)
            reader.join(10)
            assert recorder.stdout is not None
            recorder.stdout.close()

    def stop(self) -> None:
        for listener in self._prompt:
            listener.terminate()
            listener.wait(10)
        self._prompt = []
        if self._server is not None:
            self._server.terminate()
            self._server.wait(10)
            self._server = None


def with_quiet(samples: Samples, seconds: float = 1.5) -> Samples:
    """`samples` with a room's quiet before and after: never plain zeros."""
    chance = np.random.default_rng(3)
    size = samples.size + 2 * int(seconds * SAMPLE_RATE)
    room = chance.normal(0, ROOM_NOISE, size)
    room[int(seconds * SAMPLE_RATE) :][: samples.size] += samples
    return np.clip(np.round(room), -32768, 32767).astype(np.int16)


def sound(path: Path) -> Samples:
    """A file with quiet around it."""
    return with_quiet(read_wav(path))
