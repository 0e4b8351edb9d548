"""The espeak-ng voice by way of pyttsx3, tamed: one engine, in one thread, to a file, one sentence at a time."""

from __future__ import annotations

import ctypes
import os
import tempfile
import threading
import time
import wave
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path
from typing import Any

import espeakng_loader
import numpy as np

from assistant.errors import DeviceError
from assistant.speaking.playback import Loudspeaker
from assistant.speaking.voice import DEFAULT_RATE, DEFAULT_VOLUME, Sound, scaled

LONGEST_WAIT = 10.0
"""Seconds for one sentence to be made; some hundredths of a second is usual."""
LOST_AFTER = 0.3
"""Seconds without work and without a result after which the engine has dropped what it was told."""
ACCENT = "gmw/en-us"
"""The name under which espeak-ng keeps its voice."""


class EspeakVoice:
    """Voice that works offline and needs nothing installed on the machine."""

    def __init__(
        self,
        rate: int = DEFAULT_RATE,
        volume: float = DEFAULT_VOLUME,
        loudspeaker: Loudspeaker | None = None,
    ) -> None:
        """Load the engine (some hundredths of a second); the loudspeaker is opened only to speak.

        rate   : words per minute
        volume : 0 (silent) to 1 (as loud as it goes without distortion)
        """
        self.rate = rate
        self.volume = volume
        self._loudspeaker = loudspeaker or Loudspeaker()
        _thread().submit(_engine).result(LONGEST_WAIT)

    def say(self, text: str) -> bool:
        """Speak and wait for the end; True if spoken to the end, False if stopped.

        Raises DeviceError where there is no loudspeaker; `save` then still works.
        """
        ticket = self._loudspeaker.ticket()
        sound = self.sound(text)
        return self._loudspeaker.play(sound, ticket)

    def save(self, text: str, path: str | Path) -> None:
        """Write what `say` would speak to WAV file `path`, 16 bit mono."""
        sound = self.sound(text)
        try:
            with open(path, "wb") as target, wave.open(target, "wb") as file:
                file.setnchannels(1)
                file.setsampwidth(2)
                file.setframerate(sound.rate)
                file.writeframes(sound.samples.tobytes())
        except OSError as fault:
            problem = f"{path} cannot be written ({fault.strerror})"
            raise DeviceError("sound file", problem, "choose another folder") from fault

    def stop(self) -> None:
        """Fall silent at once; may be called from any thread."""
        self._loudspeaker.stop()

    def sound(self, text: str) -> Sound:
        """`text` as sound at the present rate and volume.

        Raises ValueError if there is nothing to say, DeviceError if the engine fails.
        """
        if not any(character.isalnum() for character in text):
            raise ValueError(f"nothing to say in {text!r}")
        made = _thread().submit(_synthesise, text, self.rate).result()
        return Sound(scaled(made.samples, self.volume), made.rate)


@cache
def _thread() -> ThreadPoolExecutor:
    # The engine keeps its state per process and is not safe between threads: every voice object
    # shares one engine, in one thread.
    return ThreadPoolExecutor(max_workers=1, thread_name_prefix="espeak")


@cache
def _library() -> ctypes.CDLL:
    return ctypes.CDLL(espeakng_loader.get_library_path(), mode=ctypes.RTLD_GLOBAL)


@cache
def _engine() -> Any:
    """The engine; called only in its own thread."""
    os.environ["ESPEAK_DATA_PATH"] = os.path.dirname(espeakng_loader.get_data_path())
    try:
        # Loaded first and globally, so that pyttsx3 finds it under its usual name.
        _library()
        import pyttsx3
        import pyttsx3.driver
        from pyttsx3.drivers import espeak as driver

        # It prints a line for each file; only its own print is silenced, not the program's.
        driver.print = lambda *_, **__: None
        # Its finaliser needs modules that are gone by the end of the program, and complains.
        pyttsx3.driver.DriverProxy.__del__ = lambda _: None
        engine = pyttsx3.init("espeak")
        engine.setProperty("voice", ACCENT)
        # Until it has spoken once it takes itself for busy and only queues what it is told; a rate
        # from the queue may be cancelled by what comes after it.
        engine.proxy.setBusy(False)
    except (OSError, RuntimeError, ImportError, ValueError) as fault:
        raise DeviceError(
            "voice", f"the voice cannot be loaded ({fault})", "install the program again"
        ) from fault
    return engine


def _synthesise(text: str, rate: int) -> Sound:
    """`text` as sound, at full loudness; called only in the engine's thread."""
    engine = _engine()
    finished = threading.Event()
    token = engine.connect(
        "finished-utterance", lambda completed, **_: finished.set() if completed else None
    )
    deadline = time.monotonic() + LONGEST_WAIT
    try:
        with tempfile.TemporaryDirectory(prefix="voice-") as folder:
            file = os.path.join(folder, "sentence.wav")
            # The engine's own thread drops what it is told in the moment in which it goes to
            # sleep: both commands are given until they are seen to have been carried out.
            _set_rate(engine, rate, deadline)
            while not finished.is_set() and time.monotonic() < deadline:
                engine.save_to_file(text, file)
                watch = threading.Thread(target=_end_if_lost, args=(engine, finished, deadline))
                watch.start()
                # This ends only with the file or by the watch.
                engine.runAndWait()
                watch.join()
            # The engine still tidies up after it has said that it is finished.
            _wait_until_idle(deadline)
            return _read(file)
    finally:
        engine.disconnect(token)


def _set_rate(engine: Any, rate: int, deadline: float) -> None:
    from pyttsx3.drivers import _espeak

    engine.setProperty("rate", rate)
    given = time.monotonic()
    # Asked of the library: pyttsx3 leaves out the argument that asks for the present value.
    while _library().espeak_GetParameter(_espeak.RATE, 1) != rate and time.monotonic() < deadline:
        if time.monotonic() - given > LOST_AFTER:
            engine.setProperty("rate", rate)
            given = time.monotonic()
        time.sleep(0.001)
    # A sentence that comes while the engine is still at it would be cancelled.
    _wait_until_idle(deadline)


def _end_if_lost(engine: Any, finished: threading.Event, deadline: float) -> None:
    """End the engine's loop where the sentence has plainly been dropped, or at the deadline."""
    from pyttsx3.drivers import _espeak

    last_busy = time.monotonic()
    while not finished.wait(0.01):
        now = time.monotonic()
        if _espeak.IsPlaying():
            last_busy = now
        if now > min(last_busy + LOST_AFTER, deadline):
            engine.proxy.endLoop(True)
            return


def _wait_until_idle(deadline: float) -> None:
    from pyttsx3.drivers import _espeak

    while _espeak.IsPlaying() and time.monotonic() < deadline:
        time.sleep(0.001)


def _read(file: str) -> Sound:
    if os.path.exists(file):
        with wave.open(file) as sound:
            samples = np.frombuffer(sound.readframes(sound.getnframes()), dtype=np.int16)
            if samples.any():
                return Sound(samples, sound.getframerate())
    raise DeviceError("voice", "the voice made no sound", "start the program again")
