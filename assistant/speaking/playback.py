"""The loudspeaker: plays a sound, falls silent at once when told to."""

from __future__ import annotations

import threading
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from typing import Any

import miniaudio
import numpy as np
from numpy.typing import NDArray

from assistant.errors import DeviceError
from assistant.speaking.voice import Sound

BACKENDS = [miniaudio.Backend.PULSEAUDIO, miniaudio.Backend.ALSA]
"""Named, because the library otherwise falls back on one that plays into nothing."""
PERIOD = 0.025
"""Seconds that the device takes at a time."""
PERIODS = 3
"""Pieces under way at once: after `stop` no more than these are heard."""
OPENING = 2.0
"""Seconds in which an opened device must have asked for sound."""
GRACE = 3.0
"""Seconds by which a sound may be late before the device counts as lost."""
PROOF_RATE = 22_050

Feeder = Generator[NDArray[np.int16] | bytes, int, None]


class Player:
    """One sound on its way to the device: hands out pieces until the end or until stopped."""

    def __init__(self, samples: NDArray[np.int16], tail: int) -> None:
        """Play `samples`, then `tail` frames of silence, so that the last words leave the device."""
        self._samples = samples
        self._tail = tail
        self._stopped = threading.Event()
        self.asked = threading.Event()
        """Set once the device has asked for sound."""
        self.finished = threading.Event()
        self.delivered = 0
        """Frames of the sound handed to the device."""

    def stop(self) -> None:
        """Nothing but silence from now on."""
        self._stopped.set()
        self.finished.set()

    @property
    def stopped(self) -> bool:
        """True if it was stopped."""
        return self._stopped.is_set()

    def feeder(self) -> Feeder:
        """What the device calls: gets a number of frames, gives as many samples."""
        silent = 0
        frames = yield b""
        while not self._stopped.is_set() and silent < self._tail:
            self.asked.set()
            piece = self._samples[self.delivered : self.delivered + frames]
            self.delivered += piece.size
            silent += frames - piece.size
            frames = yield np.pad(piece, (0, frames - piece.size)).tobytes()
        self.finished.set()


class Loudspeaker:
    """The machine's sound output; opened for each sentence, so it may come and go."""

    def __init__(self, device: str | None = None) -> None:
        """device : part of the name of an output; None for the machine's usual one."""
        self._device = device
        self._lock = threading.Lock()
        self._player: Player | None = None
        self._stops = 0

    def ticket(self) -> int:
        """Take before a sentence is made: a `stop` that comes before it is heard then counts too."""
        with self._lock:
            return self._stops

    def play(self, sound: Sound, ticket: int | None = None) -> bool:
        """Play `sound` and wait; True if to the end, False if stopped. Raises DeviceError."""
        player = Player(sound.samples, round(PERIOD * PERIODS * sound.rate))
        with self._lock:
            if ticket is not None and ticket != self._stops:
                return False
            self._player = player
        try:
            with _playing(player, sound.rate, self._device):
                if not player.asked.wait(OPENING) or not player.finished.wait(
                    sound.duration + GRACE
                ):
                    raise _no_output("the loudspeaker does not take sound")
        finally:
            with self._lock:
                self._player = None
        return not player.stopped

    def stop(self) -> None:
        """Fall silent at once; may be called from any thread, also when nothing plays."""
        with self._lock:
            self._stops += 1
            if self._player is not None:
                self._player.stop()


def output_available(device: str | None = None) -> bool:
    """True if a real output could be opened and took (silent) sound."""
    player = Player(np.zeros(round(PERIOD * PROOF_RATE), dtype=np.int16), 1)
    try:
        with _playing(player, PROOF_RATE, device):
            return player.finished.wait(OPENING)
    except DeviceError:
        return False


def output_names() -> list[str]:
    """Names of the outputs that the machine lists; being listed does not prove that one works."""
    return [str(found["name"]) for found in _outputs()]


def _outputs() -> list[dict[str, Any]]:
    try:
        return list(miniaudio.Devices(BACKENDS).get_playbacks())
    except miniaudio.MiniaudioError:
        return []


@contextmanager
def _playing(player: Player, rate: int, name: str | None) -> Iterator[None]:
    feeder = player.feeder()
    next(feeder)
    identity = None
    if name is not None:
        matches = [found for found in _outputs() if name.lower() in found["name"].lower()]
        if not matches:
            listed = ", ".join(output_names()) or "none"
            raise _no_output(f"there is no loudspeaker called {name} (there are: {listed})")
        identity = matches[0]["id"]
    try:
        device = miniaudio.PlaybackDevice(
            output_format=miniaudio.SampleFormat.SIGNED16,
            nchannels=1,
            sample_rate=rate,
            buffersize_msec=round(PERIOD * 1000),
            callback_periods=PERIODS,
            device_id=identity,
            backends=BACKENDS,
            app_name="Swarfside",
        )
    except miniaudio.MiniaudioError as fault:
        raise _no_output("there is no loudspeaker") from fault
    try:
        device.start(feeder)
        yield
    except miniaudio.MiniaudioError as fault:
        raise _no_output("the loudspeaker does not start") from fault
    finally:
        device.close()


def _no_output(problem: str) -> DeviceError:
    return DeviceError(
        "loudspeaker", problem, "plug one in, choose one by name, or save speech to a file"
    )
