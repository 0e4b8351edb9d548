"""The microphone: 16 kHz mono, proven by listening to it and not by a list of devices."""

from __future__ import annotations

import queue
import time
from collections.abc import Generator, Iterator
from types import TracebackType
from typing import Any

import miniaudio
import numpy as np

from assistant.errors import DeviceError
from assistant.hearing.end_of_speech import FRAME, FRAME_SECONDS
from assistant.hearing.recogniser import SAMPLE_RATE, Samples

BACKENDS = [miniaudio.Backend.PULSEAUDIO, miniaudio.Backend.ALSA]
"""Named, because the library otherwise falls back on one that fakes a silent microphone."""
PERIODS = 32
"""Of one frame each that the device may fall behind before sound is lost: about a second on a busy machine."""
LOST_AFTER = 2.0
"""Seconds without a sample after which the microphone is lost."""
SILENT_AFTER = 3.0
"""Seconds of plain zeros after which it counts as muted or not connected."""
CLIPPED = 32_700
REMEDY = "plug one in or switch it on; it is tried again"


class Microphone:
    """An open microphone; a context manager that gives frames."""

    def __init__(self, device: str | None = None) -> None:
        """device : part of the name of an input; None for the machine's usual one."""
        self._name = device
        self._pieces: queue.Queue[bytes] = queue.Queue()
        self._device: miniaudio.CaptureDevice | None = None
        self.level = 0.0
        """Root mean square of the last frame, as a share of full scale."""
        self.clipping = False
        """True if the last frame reached full scale: too loud or too near."""

    def __enter__(self) -> Microphone:
        """Open it. Raises DeviceError where there is none or it does not start."""
        try:
            self._device = miniaudio.CaptureDevice(
                input_format=miniaudio.SampleFormat.SIGNED16,
                nchannels=1,
                sample_rate=SAMPLE_RATE,
                buffersize_msec=round(FRAME_SECONDS * 1000),
                callback_periods=PERIODS,
                device_id=self._identity(),
                backends=BACKENDS,
                app_name="Swarfside",
            )
            keeper = self._keeper()
            next(keeper)
            self._device.start(keeper)
        except miniaudio.MiniaudioError as fault:
            self._close()
            raise _will_not_open(self._name) from fault
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._close()

    def _close(self) -> None:
        if self._device is not None:
            self._device.close()
            self._device = None

    def _identity(self) -> object:
        if self._name is None:
            return None
        found = _inputs()
        for each in found:
            if self._name.lower() in each["name"].lower():
                return each["id"]
        listed = ", ".join(each["name"] for each in found) or "none"
        raise DeviceError(
            "microphone", f"there is no microphone called {self._name}", f"there are: {listed}"
        )

    def _keeper(self) -> Generator[None, bytes, None]:
        while True:
            self._pieces.put(bytes((yield)))

    def frames(self) -> Iterator[Samples]:
        """Frames as they come, without end; the first is the first with a sound in it.

        Raises DeviceError if nothing comes any more, or nothing but plain zeros.
        """
        held = np.zeros(0, dtype=np.int16)
        last_sound = time.monotonic()
        proven = False
        while True:
            try:
                piece = self._pieces.get(timeout=LOST_AFTER)
            except queue.Empty:
                raise DeviceError("microphone", "the microphone is gone", REMEDY) from None
            held = np.concatenate([held, np.frombuffer(piece, dtype=np.int16)])
            while held.size >= FRAME:
                frame, held = held[:FRAME], held[FRAME:]
                if frame.any():
                    proven = True
                    last_sound = time.monotonic()
                elif time.monotonic() - last_sound > SILENT_AFTER:
                    raise DeviceError(
                        "microphone", "the microphone gives no sound", "switch it on or unmute it"
                    )
                self._measure(frame)
                if proven:
                    yield frame

    def _measure(self, frame: Samples) -> None:
        wide = frame.astype(np.float64)
        self.level = float(np.sqrt(np.mean(wide**2)) / 32_768)
        self.clipping = bool(np.abs(wide).max(initial=0) >= CLIPPED)

    def drain(self) -> None:
        """Throw away what waits: the assistant's own voice must not be heard as a question."""
        while not self._pieces.empty():
            self._pieces.get_nowait()


def input_names() -> list[str]:
    """Names of the inputs that the machine lists; being listed does not prove that one works."""
    return [str(found["name"]) for found in _inputs()]


def _inputs() -> list[dict[str, Any]]:
    try:
        return list(miniaudio.Devices(BACKENDS).get_captures())
    except miniaudio.MiniaudioError:
        return []


def _will_not_open(name: str | None) -> DeviceError:
    if not _inputs():
        return DeviceError("microphone", "there is no microphone", REMEDY)
    which = "the microphone" if name is None else f"the microphone called {name}"
    return DeviceError(
        "microphone",
        f"{which} does not open",
        "another program may hold it: close that one; it is tried again",
    )
