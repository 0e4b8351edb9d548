"""What goes wrong with sound, on the virtual card: one sentence on the screen, and on it goes when it is mended."""

import time
from pathlib import Path

import miniaudio
import pytest

from assistant.errors import DeviceError
from assistant.hearing.microphone import Microphone
from assistant.hearing.recogniser import Acceptor, Heard, Meaning, Phones, Recogniser, Samples
from assistant.live_loop import AFTER_FAILURE
from assistant.speaking.espeak import EspeakVoice
from assistant.speaking.playback import Loudspeaker
from assistant.speaking.silent import SilentVoice
from assistant.talking import Talking, Way
from tests.live.conftest import Starter, Watching, spoken, use, wait_for
from tests.live.virtual_card import VirtualCard, with_quiet

QUESTION = "half_inch_thirteen.wav"


def ask(card: VirtualCard, view: Watching) -> None:
    """Asks, and waits for one more answer."""
    count = len(view.shown)
    with card.playing(with_quiet(spoken(QUESTION), 0.1)):
        wait_for(lambda: len(view.shown) > count, "an answer")
    assert view.shown[-1].headline == "13 per inch"


def test_a_microphone_pulled_out_is_told_once_and_used_again_when_back(
    card: VirtualCard, started: Starter
) -> None:
    _, view = started(SilentVoice(), device="mic")
    with card.quiet_room():
        wait_for(lambda: "listening" in view.ears, "the open ear")
        card.pull_out("source_name=mic")
        wait_for(lambda: len(view.faults) == 2, "the fault")
        assert view.faults[0].startswith("the microphone is gone: ")
        assert view.faults[1].startswith("there is no microphone called mic: there are: ")
        assert view.ears[-1] == "no microphone"
        tries = len(view.ears)
        wait_for(lambda: len(view.ears) > tries, "another try")
        assert len(view.faults) == 2, "the same fault is not told at each try"
        card.plug_in_microphone()
        wait_for(lambda: view.ears[-1] == "listening", "the ear to open again")
        assert view.welcomed == 1, "the fault still stands on the screen"
        card.control("suspend-source", "mic", "1")
        wait_for(lambda: len(view.faults) == 3, "the fault of a source that another one suspended")
        card.control("suspend-source", "mic", "0")
        wait_for(lambda: view.ears[-1] == "listening", "the ear to open again")
        ask(card, view)


def test_a_silent_microphone_of_another_rate_is_told_and_heard_when_it_is_switched_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, started: Starter
) -> None:
    card = VirtualCard(tmp_path, rate=44_100)
    card.start()
    use(card, monkeypatch)
    try:
        _, view = started(SilentVoice())
        wait_for(lambda: view.faults, "the fault")
        assert view.faults == ["the microphone gives no sound: switch it on or unmute it"]
        assert "listening" not in view.ears, "silence proves no microphone"
        with card.quiet_room():
            wait_for(lambda: view.ears[-1] == "listening", "the open ear")
            ask(card, view)
    finally:
        card.stop()


def test_without_the_loudspeaker_answers_are_shown_and_spoken_again_when_it_is_back(
    card: VirtualCard, started: Starter
) -> None:
    voice = EspeakVoice(280, loudspeaker=Loudspeaker("speaker"))
    _, view = started(voice)
    with card.quiet_room():
        wait_for(lambda: "listening" in view.ears, "the open ear")
        card.pull_out("sink_name=speaker")
        ask(card, view)
        wait_for(lambda: view.faults, "the fault")
        assert "there is no loudspeaker called speaker" in view.faults[0]
        wait_for(lambda: len(view.shown) == 2, "the answer to be shown again")
        wait_for(lambda: view.ears[-1] == "listening", "the ear to open again")
        card.plug_in_loudspeaker()
        with card.heard_from_speaker() as pieces:
            ask(card, view)
            wait_for(lambda: any(loud > 500 for _, loud in pieces), "the voice")
    assert len(view.faults) == 1


class Failing:
    """A recogniser that fails in its first utterance, as the decoder may."""

    def __init__(self, ear: Recogniser) -> None:
        self._ear = ear

    def use(self, acceptor: Acceptor, pronunciations: Phones, meaning: Meaning = str) -> None:
        self._ear.use(acceptor, pronunciations, meaning)

    def hear(self, samples: Samples) -> Heard | None:
        return self._ear.hear(samples)

    def start(self) -> None:
        self._ear.start()

    def feed(self, samples: Samples) -> None:
        raise RuntimeError("the decoder gave up")

    def nobody(self) -> bool:
        return self._ear.nobody()

    def pause(self) -> None: ...

    def settled(self) -> bool:
        return False

    def partial(self) -> str:
        return ""

    def end(self) -> Heard | None:
        return self._ear.end()


def test_a_recogniser_that_fails_is_told_and_replaced(
    card: VirtualCard, started: Starter, engine: Recogniser, caplog: pytest.LogCaptureFixture
) -> None:
    _, view = started(SilentVoice(), ear=Failing(engine), new_ear=lambda: engine)
    with card.quiet_room():
        wait_for(lambda: "listening" in view.ears, "the open ear")
        with card.playing(with_quiet(spoken(QUESTION), 0.1)) as player:
            wait_for(lambda: view.faults, "the fault")
            player.wait(10)
        assert view.faults == ["the recogniser failed: say it again"]
        ask(card, view)
    assert "the decoder gave up" in caplog.text


class FailingToConfirm(Failing):
    """It fails only when it is asked about an emergency word."""

    def feed(self, samples: Samples) -> None:
        self._ear.feed(samples)

    def says(self, samples: Samples, acceptor: Acceptor) -> bool:
        raise RuntimeError("the model gave up")


def test_an_ear_that_fails_while_it_sleeps_is_replaced_too(
    card: VirtualCard, started: Starter, engine: Recogniser, caplog: pytest.LogCaptureFixture
) -> None:
    failing = FailingToConfirm(engine)
    _, view = started(
        SilentVoice(), ear=failing, new_ear=lambda: engine, talking=Talking(Way.PEDAL)
    )
    stop = with_quiet(spoken("stop.wav"), 0.8)
    with card.quiet_room():
        wait_for(lambda: "asleep" in view.ears, "the sleeping ear")
        card.play_into_room(stop)
        wait_for(lambda: view.faults == ["the recogniser failed: say it again"], "the fault")
        time.sleep(AFTER_FAILURE)
        # Somebody in danger says it again: one word in three is let be lost here.
        for _ in range(3):
            card.play_into_room(stop)
            time.sleep(2)
            if view.shown:
                break
    assert view.shown[0].status == "alarm"
    assert "the model gave up" in caplog.text


def test_a_device_that_is_there_and_does_not_open_may_be_held_by_another_program(
    card: VirtualCard, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(**_: object) -> None:
        raise miniaudio.MiniaudioError("failed to init device", -22)

    monkeypatch.setattr(miniaudio, "CaptureDevice", refuse)
    with (
        pytest.raises(DeviceError, match="does not open: another program may hold it"),
        Microphone("mic"),
    ):
        pass
