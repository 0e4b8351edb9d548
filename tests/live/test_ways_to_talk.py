"""Ways to talk on the virtual card: key held or tapped, wake phrase, and what is heard while the ear sleeps."""

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from assistant.app import Assistant
from assistant.hearing.microphone import Microphone
from assistant.hearing.recogniser import Recogniser, Samples
from assistant.hearing.wav import read_wav
from assistant.live_loop import LiveLoop
from assistant.speaking.earcons import Earcons
from assistant.speaking.silent import SilentVoice
from assistant.talking import WINDOW, Talking, Way
from tests.bench.corpus_noise import cough
from tests.bench.corpus_voices import as_loud
from tests.live.conftest import Starter, Watching, spoken, wait_for
from tests.live.virtual_card import VirtualCard, with_quiet

CALL = Path(__file__).parent / "wav" / "shop_assistant.wav"


class Clock:
    """Time moved by hand."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


def test_a_key_opens_the_ear_for_a_while_and_a_strange_key_does_not(clock: Clock) -> None:
    talking = Talking(Way.PEDAL, clock=clock)
    assert not talking.press("f7")
    assert not talking.called
    assert talking.press("spacebar")
    assert talking.called
    assert talking.down
    clock.now += WINDOW + 0.1
    assert not talking.called
    assert talking.was_called


def test_a_chosen_key_is_the_only_one_beside_a_touch(clock: Clock) -> None:
    talking = Talking(Way.PEDAL, "f7", clock)
    assert [talking.press(key) for key in ("spacebar", "enter", "f7", "touch")] == [
        False,
        False,
        True,
        True,
    ]
    assert not talking.down, "a touch has no release: it must not count as held"


def test_each_press_is_taken_once_and_one_that_waits_keeps_the_ear_open(clock: Clock) -> None:
    talking = Talking(Way.PEDAL, clock=clock)
    talking.press("enter")
    talking.close()
    assert talking.called, "a key pressed while the answer was spoken is a new question"
    assert talking.take_press() == clock.now
    assert talking.take_press() is None
    talking.close()
    assert not talking.was_called


def test_another_way_forgets_what_was_pressed(clock: Clock) -> None:
    talking = Talking(Way.PEDAL, clock=clock)
    talking.press("enter")
    talking.talk_by(Way.WAKE)
    assert not talking.pressed
    assert not talking.was_called
    assert not talking.down


def one_after_the_other(*sounds: Samples) -> Samples:
    return np.concatenate([with_quiet(each, 0.4) for each in sounds])


def heard_within(condition: Callable[[], object], seconds: float) -> bool:
    deadline = time.monotonic() + seconds
    while not condition() and time.monotonic() < deadline:
        time.sleep(0.05)
    return bool(condition())


def cough_like_a_word() -> Samples:
    """The search for emergency words alone takes this one for a shouted "stop"."""
    return as_loud(cough(np.random.default_rng(22)))


def test_asleep_only_an_emergency_is_heard_and_a_key_tapped_or_held_hears_one_question(
    card: VirtualCard, started: Starter
) -> None:
    loop, view = started(SilentVoice(), talking=Talking(Way.PEDAL, "f7"), earcons=Earcons())
    question, stop = spoken("half_inch_thirteen.wav"), spoken("stop.wav")
    with card.quiet_room():
        wait_for(lambda: "asleep" in view.ears, "the sleeping ear")
        card.play_into_room(with_quiet(question, 0.8))
        assert not view.shown, "a question is not for an ear that sleeps"
        card.play_into_room(with_quiet(cough_like_a_word(), 0.8))
        assert not heard_within(lambda: view.shown, 3), "a cough is no emergency"
        # Somebody in danger says it again: one word in three is let be lost here.
        for _ in range(3):
            card.play_into_room(with_quiet(stop, 0.8))
            if heard_within(lambda: view.shown, 4):
                break
        assert view.shown.pop().status == "alarm"
        assert set(view.ears) == {"asleep", "speaking"}, "a sleeping ear looks asleep"
        wait_for(lambda: view.ears[-1] == "asleep", "the ear to sleep again")
        loop.key("f7")
        loop.key_released("f7")
        wait_for(lambda: view.ears[-1] == "listening", "the open ear")
        with card.playing(with_quiet(question, 0.1)):
            wait_for(lambda: view.shown, "an answer")
        wait_for(lambda: view.ears[-1] == "asleep", "the ear to sleep after one question")
        loop.key("f7")
        wait_for(lambda: view.ears[-1] == "listening", "the open ear")
        # The pause after the question is longer than the wait that ends one without a key.
        card.play_into_room(with_quiet(question, 0.8))
        assert view.ears[-1] == "listening", "a pause ends nothing while the key is held"
        loop.key_released("f7")
        wait_for(lambda: view.ears[-1] == "asleep", "the end of the answer")
    assert [shown.heard for shown in view.shown] == ["half inch thirteen"] * 2


def test_one_who_calls_and_is_not_heard_is_told_so(
    card: VirtualCard, started: Starter, clock: Clock
) -> None:
    loop, view = started(SilentVoice(), talking=Talking(Way.PEDAL, clock=clock))
    # Longer than any emergency words: a short one, clipped, may pass for a shouted "stop".
    talk = spoken("speed_for_brass_forty_millimetres_high_speed_steel.wav")
    loud = np.clip(talk.astype(int) * 40, -32_768, 32_767).astype(np.int16)
    with card.quiet_room():
        wait_for(lambda: "asleep" in view.ears, "the sleeping ear")
        loop.key("touch")
        wait_for(lambda: view.ears[-1] == "listening", "the open ear")
        clock.now += WINDOW + 1
        wait_for(lambda: view.ears[-1] == "asleep", "the ear to sleep again")
        assert view.shown == []
        loop.key("touch")
        wait_for(lambda: view.ears[-1] == "listening", "the open ear")
        with card.playing(loud):
            wait_for(lambda: view.faults, "the fault")
        assert view.faults[0].startswith("the microphone is overdriven: turn its gain down")
        wait_for(lambda: view.shown, "the reply")
        assert view.shown[0].status == "not-understood"


def test_after_the_wake_phrase_one_question_is_heard_and_the_answer_to_a_question_back(
    card: VirtualCard, started: Starter
) -> None:
    _, view = started(SilentVoice(), talking=Talking(Way.WAKE), earcons=Earcons())
    question = spoken("when_do_i_close_the_half_nut.wav")
    with card.quiet_room():
        wait_for(lambda: "asleep" in view.ears, "the sleeping ear")
        with card.playing(one_after_the_other(question, read_wav(CALL))):
            wait_for(lambda: view.ears[-1] == "listening", "the ear to wake")
        assert view.shown == []
        with card.playing(with_quiet(question, 0.1)):
            wait_for(lambda: view.shown, "the question back")
        assert view.shown[0].status == "ask"
        wait_for(lambda: view.ears[-1] == "listening", "the ear to open for the answer")
        with card.playing(with_quiet(spoken("half_inch_thirteen.wav"), 0.1)):
            wait_for(lambda: len(view.shown) == 2, "the answer")
        wait_for(lambda: view.ears[-1] == "asleep", "the ear to sleep again")


@pytest.mark.parametrize(
    ("words", "way"),
    [("talk by pedal", Way.PEDAL), ("open ear", Way.OPEN), ("use the wake phrase", Way.WAKE)],
)
def test_the_way_is_changed_by_what_is_said(words: str, way: Way, engine: Recogniser) -> None:
    assistant = Assistant("heron")
    assistant.listen_with(engine)
    talking = Talking(Way.PEDAL if way is not Way.PEDAL else Way.OPEN)
    loop = LiveLoop(assistant, engine, Watching(), SilentVoice(), talking)
    reply = assistant.reply(words)
    assert reply.answered, reply.shown
    loop.follow(reply, Microphone())
    assert talking.way is way


def test_the_way_can_change_between_two_questions(card: VirtualCard, started: Starter) -> None:
    loop, view = started(SilentVoice(), talking=Talking(Way.OPEN))
    with card.quiet_room():
        wait_for(lambda: view.ears[-1:] == ["listening"], "the open ear")
        loop.talk_by("pedal")
        wait_for(lambda: view.ears[-1] == "asleep", "the ear to sleep")
        loop.talk_by("open")
        wait_for(lambda: view.ears[-1] == "listening", "the ear to open")
    with pytest.raises(ValueError, match="shouting"):
        loop.talk_by("shouting")
