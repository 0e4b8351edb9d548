"""The live loop: microphone, recogniser, answer, screen, voice, until the view is closed."""

from __future__ import annotations

import sys
import threading
import time
import wave
from pathlib import Path

from assistant.app import Assistant, tell, welcome_lines
from assistant.errors import AssistantError, DeviceError
from assistant.hearing.listening import Utterance, utterances
from assistant.hearing.microphone import Microphone
from assistant.hearing.recogniser import SAMPLE_RATE, Recogniser
from assistant.recognition import recogniser, reply_to, worth_answering
from assistant.speaking.silent import SilentVoice
from assistant.speaking.voice import Voice
from assistant.views import view_for, voice_for
from display.view import View

RETRY = 3.0
"""Seconds between two tries to find a microphone."""
PEDAL_KEYS = ("spacebar", "enter", "touch")
"""With --talk pedal: a key (a pedal types one) opens the ear for one question."""


def run_live(
    assistant: Assistant,
    display: str | None,
    engine: str,
    model: Path | None,
    talk: str,
    distance: str | None,
    screen: str | None,
    keep_audio: Path | None,
) -> int:
    """Runs until the view is closed.

    Raises DeviceError where no recogniser or view can start, or there never was a microphone.
    """
    if talk not in ("open", "pedal"):
        raise DeviceError("ear", f"--talk {talk} is not possible", "choose open or pedal")
    ear = recogniser(engine, model)
    assistant.listen_with(ear)
    view = view_for(display, distance, screen)
    view.welcome(list(welcome_lines()))
    loop = LiveLoop(assistant, ear, view, _voice(view), talk == "pedal", keep_audio)
    view.on_key = loop.key
    threading.Thread(target=loop.run, name="live", daemon=True).start()
    try:
        view.run()
    except KeyboardInterrupt:
        view.close()
    loop.stop()
    if loop.fault is not None and not loop.heard_a_microphone:
        raise loop.fault
    return 0


def _voice(view: View) -> Voice:
    """The loudspeaker's voice; without one the session goes on in silence, and says so on the screen."""
    from assistant.speaking.playback import output_available

    if output_available():
        return voice_for(None, lambda path: None)
    view.fault(
        "there is no sound output", "plug a loudspeaker in and start again; answers are shown only"
    )
    return SilentVoice()


class LiveLoop:
    """Listens, answers, and begins again after every fault."""

    def __init__(
        self,
        assistant: Assistant,
        ear: Recogniser,
        view: View,
        voice: Voice,
        by_pedal: bool = False,
        keep_audio: Path | None = None,
        device: str | None = None,
    ) -> None:
        """device : part of a microphone's name, or None for the usual one."""
        self._assistant, self._ear, self._view, self._voice = assistant, ear, view, voice
        self._by_pedal = by_pedal
        self._keep_audio = keep_audio
        self._device = device
        self._stopped = threading.Event()
        self._open_ear = threading.Event()
        self.heard_a_microphone = False
        self.fault: DeviceError | None = None
        """The last one of the microphone."""

    def key(self, name: str) -> None:
        """A key, a pedal or a touch: silences the voice and opens the ear."""
        if name in PEDAL_KEYS:
            self._voice.stop()
            self._open_ear.set()

    def stop(self) -> None:
        """End the loop."""
        self._stopped.set()
        self._voice.stop()

    def run(self) -> None:
        """Until stopped; a lost microphone is told and tried again."""
        while not self._stopped.is_set():
            try:
                with Microphone(self._device) as microphone:
                    self.heard_a_microphone = True
                    self._listen(microphone)
            except DeviceError as fault:
                self.fault = fault
                self._view.set_ear("no microphone")
                self._view.fault(fault.problem, fault.remedy)
                if not self.heard_a_microphone and _nobody_there():
                    self._view.close()
                    return
                self._stopped.wait(RETRY)

    def _listen(self, microphone: Microphone) -> None:
        self._view.set_ear("asleep" if self._by_pedal else "listening")
        for utterance in utterances(
            microphone.frames(), self._ear, self._assistant.grammar.acceptor, self._view.set_ear
        ):
            if self._stopped.is_set():
                return
            if not self._by_pedal or self._open_ear.is_set():
                self._open_ear.clear()
                self._answer(utterance, microphone)
            self._view.set_ear("asleep" if self._by_pedal else "listening")

    def _answer(self, utterance: Utterance, microphone: Microphone) -> None:
        """One utterance; no fault in answering ends the session."""
        if self._keep_audio is not None:
            keep(utterance, self._keep_audio)
        heard = utterance.heard
        # In an open shop most speech is not for us: what is no whole sentence is passed over in silence.
        if not self._by_pedal and (heard is None or not worth_answering(heard, self._assistant)):
            return
        reply = reply_to(heard, self._assistant)
        microphone.muted = True
        self._view.set_ear("speaking")
        try:
            tell(reply, self._view, self._voice)
        except DeviceError as fault:
            self._view.fault(fault.problem, fault.remedy)
        except AssistantError as fault:
            self._view.fault(str(fault), "ask again")
        finally:
            microphone.drain()
            microphone.muted = False
        self._assistant.refresh(self._ear)


def _nobody_there() -> bool:
    """True where neither a window nor a person at a terminal could ever mend the fault."""
    return not sys.stdout.isatty()


def keep(utterance: Utterance, folder: Path) -> Path:
    """Writes the sound of `utterance` into `folder`, named by the time; only for --keep-audio."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{time.strftime('%Y%m%d-%H%M%S')}-{time.monotonic_ns() % 1000:03d}.wav"
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(SAMPLE_RATE)
        file.writeframes(utterance.samples.tobytes())
    return path
