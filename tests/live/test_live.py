"""The live loop on a sound card in user space: a question into the room, the answer out of the loudspeaker."""

import os
import threading
import time
from collections.abc import Iterator
from importlib.resources import as_file, files
from pathlib import Path

import numpy as np
import pytest

from assistant.answer import Answer, Shown
from assistant.app import Assistant
from assistant.errors import DeviceError
from assistant.hearing.microphone import Microphone
from assistant.hearing.recogniser import SAMPLE_RATE, Samples
from assistant.hearing.wav import read_wav
from assistant.live import LiveLoop
from assistant.recognition import recogniser
from assistant.speaking.espeak import EspeakVoice
from assistant.speaking.playback import output_available
from display.view import NoView
from tests.live.virtual_card import VirtualCard, sound

LONGEST = 40.0


class Watching(NoView):
    """A view that keeps what it was told."""

    def __init__(self) -> None:
        super().__init__()
        self.shown: list[Shown] = []
        self.faults: list[str] = []
        self.ears: list[str] = []

    def show(self, shown: Shown, answer: Answer | None = None) -> None:
        self.shown.append(shown)

    def fault(self, sentence: str, remedy: str) -> None:
        self.faults.append(f"{sentence}: {remedy}")

    def set_ear(self, state: str) -> None:
        super().set_ear(state)
        self.ears.append(state)


def shipped(name: str) -> Samples:
    with as_file(files("assistant.demo_sounds").joinpath(name)) as path:
        return sound(path)


def wait_for(condition: object, what: str) -> None:
    deadline = time.monotonic() + LONGEST
    while not condition():  # type: ignore[operator]
        assert time.monotonic() < deadline, f"waited in vain for {what}"
        time.sleep(0.05)


@pytest.fixture
def card(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[VirtualCard]:
    made = VirtualCard(tmp_path)
    made.start()
    for name in ("PULSE_SERVER", "PULSE_COOKIE"):
        monkeypatch.setenv(name, made.environment[name])
    yield made
    made.stop()


@pytest.fixture
def loop() -> Iterator[tuple[LiveLoop, Watching]]:
    assistant = Assistant("heron")
    ear = recogniser("sphinx")
    assistant.listen_with(ear)
    view = Watching()
    made = LiveLoop(assistant, ear, view, EspeakVoice())
    thread = threading.Thread(target=made.run, daemon=True)
    thread.start()
    yield made, view
    made.stop()


def test_a_spoken_question_is_answered_on_the_screen_and_aloud(
    card: VirtualCard, loop: tuple[LiveLoop, Watching], tmp_path: Path
) -> None:
    _, view = loop
    wait_for(lambda: "listening" in view.ears, "the open ear")
    with card.quiet_room(), card.recorded_speaker(tmp_path / "answer.wav"):
        card.play_into_room(shipped("eleven_and_a_half_threads_per_inch.wav"))
        wait_for(lambda: view.shown, "an answer")
        wait_for(lambda: view.ears[-1] == "listening", "the end of the voice")
    assert view.shown[0].headline == "11.5 per inch"
    assert view.shown[0].heard.startswith("eleven and a half threads")
    assert "speaking" in view.ears
    spoken = read_wav(tmp_path / "answer.wav")
    loud = np.abs(spoken.astype(int)) > 500
    assert loud.sum() > 0.3 * SAMPLE_RATE, "the loudspeaker stayed silent"
    # Half duplex: its own answer, played into another sink, is no second question either way.
    assert len(view.shown) == 1


def test_a_microphone_that_goes_is_told_and_one_that_comes_back_is_used(
    card: VirtualCard, loop: tuple[LiveLoop, Watching]
) -> None:
    _, view = loop
    wait_for(lambda: "listening" in view.ears, "the open ear")
    card.stop()
    wait_for(lambda: view.faults, "the fault")
    assert "microphone" in view.faults[0]
    assert "no microphone" in view.ears
    count = len(view.ears)
    card.start()
    with card.quiet_room():
        wait_for(lambda: "listening" in view.ears[count:], "the ear to open again")
        card.play_into_room(shipped("when_do_i_close_the_half_nut.wav"))
        wait_for(lambda: view.shown, "an answer")
    assert view.shown[0].heard == "when do i close the half nut"


def test_without_a_sound_server_there_is_no_microphone_and_no_loudspeaker(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PULSE_SERVER", f"unix:{tmp_path / 'nothing.sock'}")
    if not os.path.exists("/dev/snd"):
        with pytest.raises(DeviceError, match="there is no microphone"), Microphone():
            pass
        assert not output_available()
    else:
        with (
            pytest.raises(DeviceError, match="there is no microphone called nothing"),
            Microphone("nothing"),
        ):
            pass
