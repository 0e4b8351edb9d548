"""The scripted session: shipped sounds through the recogniser, answered, shown and spoken."""

from __future__ import annotations

import threading
import time
from importlib.resources import as_file, files
from pathlib import Path

import yaml

from assistant.app import Assistant, tell, welcome_lines
from assistant.errors import AssistantError
from assistant.hearing.recogniser import SAMPLE_RATE, Recogniser
from assistant.hearing.wav import read_wav
from assistant.recognition import recogniser, reply_to
from assistant.speaking.voice import Voice
from assistant.views import view_for, voice_for
from display.terminal import TerminalView
from display.view import NoView, View

PAUSE = 1.5
"""Seconds that each answer stays on a window before the next question."""


def sounds() -> list[str]:
    """The names of the session's sounds, in order."""
    text = files("assistant.demo_sounds").joinpath("session.yaml").read_text(encoding="utf-8")
    return [str(each["file"]) for each in yaml.safe_load(text)]


def run_demo(assistant: Assistant, display: str | None, out: Path | None) -> int:
    """Runs the session; 0 if every sound was answered, 1 if not."""
    view = view_for(display)
    voice = voice_for(out, lambda path: print(f"spoken answer: {path}", flush=True))
    session = _Session(
        assistant, view, voice, 0.0 if isinstance(view, TerminalView | NoView) else PAUSE
    )
    thread = threading.Thread(target=session.run, name="demo", daemon=True)
    thread.start()
    view.run()
    thread.join()
    print(session.summary(), flush=True)
    return 0 if session.unanswered == 0 else 1


class _Session:
    """One run through the shipped sounds."""

    def __init__(self, assistant: Assistant, view: View, voice: Voice, pause: float) -> None:
        self._assistant, self._view, self._voice, self._pause = assistant, view, voice, pause
        self.unanswered = 0
        self._heard = 0
        self._sound_seconds = 0.0
        self._decoding_seconds = 0.0

    def run(self) -> None:
        """Every sound once; the view is closed at the end, whatever happens."""
        try:
            self._view.welcome(list(welcome_lines()))
            ear = recogniser("best")
            self._assistant.listen_with(ear)
            for name in sounds():
                self._one(name, ear)
        except AssistantError as fault:
            self.unanswered += 1
            self._view.fault(str(fault), "mend this, then start the demo again")
        finally:
            self._view.close()

    def _one(self, name: str, ear: Recogniser) -> None:
        with as_file(files("assistant.demo_sounds").joinpath(name)) as path:
            samples = read_wav(path)
        self._view.set_ear("listening")
        begun = time.thread_time()
        heard = ear.hear(samples)
        self._decoding_seconds += time.thread_time() - begun
        self._sound_seconds += samples.size / SAMPLE_RATE
        self._heard += 1
        reply = reply_to(heard, self._assistant)
        if not reply.answered:
            self.unanswered += 1
        self._view.set_ear("speaking")
        tell(reply, self._view, self._voice)
        self._assistant.refresh(ear)
        time.sleep(self._pause)

    def summary(self) -> str:
        """One line: how many were answered, and how fast the recogniser was."""
        factor = self._decoding_seconds / self._sound_seconds if self._sound_seconds else 0.0
        answered = self._heard - self.unanswered
        return (
            f"{answered} of {self._heard} spoken questions answered; "
            f"recognition took {factor:.2f} of the time that the sounds last, on one core"
        )
