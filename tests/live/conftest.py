"""A sound card, and the live loop on it."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

import pytest

from assistant.answer import Answer, Shown
from assistant.app import Assistant
from assistant.hearing.recogniser import Recogniser, Samples
from assistant.hearing.wav import read_wav
from assistant.live_loop import LiveLoop
from assistant.recognition import recogniser
from assistant.speaking.espeak import EspeakVoice
from assistant.speaking.voice import Voice
from display.view import NoView
from tests.live.virtual_card import VirtualCard

LONGEST = 40.0


class Watching(NoView):
    """A view that keeps what it was told."""

    def __init__(self) -> None:
        super().__init__()
        self.shown: list[Shown] = []
        self.faults: list[str] = []
        self.ears: list[str] = []
        self.welcomed = 0

    def __repr__(self) -> str:
        told = [f"{shown.status}: {shown.heard}" for shown in self.shown]
        return f"ears {self.ears}, faults {self.faults}, shown {told}"

    def show(self, shown: Shown, answer: Answer | None = None) -> None:
        self.shown.append(shown)

    def fault(self, sentence: str, remedy: str) -> None:
        self.faults.append(f"{sentence}: {remedy}")

    def set_ear(self, state: str) -> None:
        super().set_ear(state)
        self.ears.append(state)

    def welcome(self, lines: object) -> None:
        self.welcomed += 1


def wait_for(condition: Callable[[], object], what: str) -> None:
    deadline = time.monotonic() + LONGEST
    while not condition():
        assert time.monotonic() < deadline, f"waited in vain for {what}"
        time.sleep(0.02)


def spoken(name: str) -> Samples:
    """A shipped question, without quiet around it."""
    with as_file(files("assistant.demo_sounds").joinpath(name)) as path:
        return read_wav(path)


def use(card: VirtualCard, monkeypatch: pytest.MonkeyPatch) -> None:
    """Everything in this process and its children that plays or records does so on `card`."""
    for name in ("PULSE_SERVER", "PULSE_COOKIE"):
        monkeypatch.setenv(name, card.environment[name])


@pytest.fixture(autouse=True)
def _impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody has to walk to the socket here: shorter waits than in a shop."""
    monkeypatch.setattr("assistant.live_loop.RETRY", 0.3)
    monkeypatch.setattr("assistant.live_loop.NOTICE", 0.5)
    monkeypatch.setattr("assistant.hearing.microphone.SILENT_AFTER", 2.5)


@pytest.fixture
def card(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[VirtualCard]:
    made = VirtualCard(tmp_path)
    made.start()
    use(made, monkeypatch)
    yield made
    made.stop()


@pytest.fixture(scope="session")
def engine() -> Recogniser:
    """One recogniser for the loops of all tests: loading it takes longer than many a test."""
    return recogniser("best")


Starter = Callable[..., tuple[LiveLoop, Watching]]


@pytest.fixture
def started(engine: Recogniser) -> Iterator[Starter]:
    """Starts a live loop on the heron; what LiveLoop takes may be given."""
    loops: list[tuple[LiveLoop, threading.Thread]] = []

    def start(
        voice: Voice | None = None, ear: Recogniser | None = None, **settings: Any
    ) -> tuple[LiveLoop, Watching]:
        assistant = Assistant("heron")
        used = ear or engine
        assistant.listen_with(used)
        view = Watching()
        loop = LiveLoop(assistant, used, view, voice or EspeakVoice(), **settings)
        thread = threading.Thread(target=loop.run, daemon=True)
        thread.start()
        loops.append((loop, thread))
        return loop, view

    yield start
    for loop, thread in loops:
        loop.stop()
        thread.join(20)
        assert not thread.is_alive()
