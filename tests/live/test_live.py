"""The live loop on a sound card in user space: a question into the room, the answer out of the loudspeaker."""

import os
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import DeviceError
from assistant.hearing.microphone import Microphone
from assistant.hearing.recogniser import SAMPLE_RATE
from assistant.hearing.wav import read_wav
from assistant.speaking.espeak import EspeakVoice
from assistant.speaking.playback import output_available
from tests.live.conftest import Starter, spoken, wait_for
from tests.live.virtual_card import VirtualCard, with_quiet


def test_a_spoken_question_is_answered_on_the_screen_and_aloud(
    card: VirtualCard, started: Starter, tmp_path: Path
) -> None:
    _, view = started(EspeakVoice(280))
    with card.quiet_room(), card.recorded_speaker(tmp_path / "answer.wav"):
        wait_for(lambda: "listening" in view.ears, "the open ear")
        with card.playing(with_quiet(spoken("half_inch_thirteen.wav"), 0.1)):
            wait_for(lambda: view.shown, "an answer")
        wait_for(lambda: view.ears[-1] == "listening", "the end of the voice")
    assert view.shown[0].headline == "13 per inch"
    assert view.shown[0].heard == "half inch thirteen"
    assert "speaking" in view.ears
    loud = np.abs(read_wav(tmp_path / "answer.wav").astype(int)) > 500
    assert loud.sum() > 0.3 * SAMPLE_RATE, "the loudspeaker stayed silent"


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
