"""The voice is cut short by a key at once and by a loud word; it is never taken for a question itself."""

import threading
import time
from pathlib import Path

import numpy as np
import pytest
from gpiozero.pins.mock import MockFactory

from assistant.app import Assistant
from assistant.demo import sounds
from assistant.hearing.cut_in import CutIn
from assistant.hearing.end_of_speech import FRAME
from assistant.hearing.recogniser import SAMPLE_RATE, Samples
from assistant.hearing.stop_words import OnlyStopWords, StopWords, sentences_of
from assistant.hearing.wav import read_wav, resample
from assistant.speaking.espeak import EspeakVoice
from assistant.talk_line import TalkLine
from assistant.talking import Talking, Way
from tests.live.conftest import Starter, spoken, wait_for
from tests.live.virtual_card import VirtualCard, with_quiet

TALK = Path(__file__).parent.parent / "wav"
SILENT = 200
"""Of a loudspeaker, 16 bit."""
AT_ONCE = 0.15
ANSWER = (
    "put the lever a to three and the lever b to two. close the half nut on numbered lines only"
)
STOP_WORDS = ("stop", "stop stop", "emergency", "emergency stop")


class Saying(threading.Thread):
    """The voice says something long, meanwhile."""

    def __init__(self, voice: EspeakVoice) -> None:
        super().__init__()
        self._voice = voice
        self.to_the_end = True
        self.start()

    def run(self) -> None:
        self.to_the_end = self._voice.say(ANSWER)


@pytest.mark.parametrize("how", ["a key", "the switch on a line"])
def test_a_key_silences_the_loudspeaker_at_once(
    card: VirtualCard, started: Starter, pins: MockFactory, how: str
) -> None:
    """From the key to the last sound that leaves the loudspeaker; the best of some, on a busy machine."""
    voice = EspeakVoice()
    loop, _ = started(voice, talking=Talking(Way.PEDAL))
    line = TalkLine("17", loop.key, loop.key_released)
    waits = []
    with card.quiet_room(), card.heard_from_speaker() as pieces:
        for _ in range(3):
            before = len(pieces)
            speaking = Saying(voice)
            wait_for(
                lambda before=before: sum(loud > SILENT for _, loud in pieces[before:]) > 30,
                "the voice",
            )
            pressed = time.monotonic()
            if how == "a key":
                loop.key("spacebar")
            else:
                pins.pin(17).drive_low()
            speaking.join()
            time.sleep(0.4)
            heard_last = max(at for at, loud in pieces if loud > SILENT)
            waits.append(heard_last - pressed)
            assert not speaking.to_the_end
            pins.pin(17).drive_high()
    line.close()
    assert min(waits) < AT_ONCE, waits


def at_level(sound: Samples | np.ndarray, level: float) -> np.ndarray:
    wide = sound.astype(float)
    return wide * level / np.sqrt(np.mean(wide[np.abs(wide) > np.abs(wide).max() / 50] ** 2))


@pytest.fixture(scope="module")
def own() -> np.ndarray:
    """The own voice as the microphone hears it, in a room with some noise."""
    made = EspeakVoice().sound(ANSWER)
    voice = at_level(resample(made.samples.astype(float), made.rate, SAMPLE_RATE), 900)
    return voice + np.random.default_rng(8).normal(0, 60, voice.size)


@pytest.fixture(scope="module")
def cut_in() -> CutIn:
    return CutIn(StopWords(STOP_WORDS))


def heard_in(cut_in: CutIn, sound: np.ndarray) -> list[str]:
    cut_in.begin()
    frames = np.clip(sound, -32_768, 32_767).astype(np.int16)
    places = range(0, frames.size - FRAME, FRAME)
    return [said for at in places if (said := cut_in.feed(frames[at : at + FRAME]))]


def test_the_own_voice_does_not_cut_itself_short(cut_in: CutIn, own: np.ndarray) -> None:
    assert heard_in(cut_in, np.concatenate([own, own])) == []


def with_word(own: np.ndarray, word: np.ndarray, second: float) -> np.ndarray:
    at = round(second * SAMPLE_RATE)
    both = own.copy()
    both[at : at + word.size] += word
    return both


def test_a_word_called_much_louder_than_the_own_voice_is_mostly_heard(
    cut_in: CutIn, own: np.ndarray
) -> None:
    """Mostly: what the own voice says at that moment decides, so the key stays the sure way."""
    word = spoken("stop.wav")
    heard_in(cut_in, own)
    tries = [
        bool(heard_in(cut_in, with_word(own, at_level(word, 900 * times), second)))
        for times in (4, 6, 8)
        for second in (0.8, 1.4, 2.0, 2.6)
    ]
    assert sum(tries) >= 0.6 * len(tries), tries


def test_the_same_word_no_louder_than_the_own_voice_is_not_listened_to(
    cut_in: CutIn, own: np.ndarray
) -> None:
    heard_in(cut_in, own)
    word = at_level(spoken("stop.wav"), 900)
    assert heard_in(cut_in, with_word(own, word, 1.0)) == []


def test_bangs_do_not_cut_it_short(cut_in: CutIn, own: np.ndarray) -> None:
    heard_in(cut_in, own)
    chance = np.random.default_rng(9)
    fading = np.exp(-np.arange(2400) / 500)
    for second in (1.0, 2.0, 3.0):
        bang = chance.normal(0, 9000, 2400) * fading
        assert heard_in(cut_in, with_word(own, bang, second)) == []


def test_a_stop_word_is_found_alone_and_in_no_other_speech() -> None:
    ear = OnlyStopWords(StopWords(STOP_WORDS))
    found = ear.hear(with_quiet(spoken("stop.wav"), 0.3))
    assert found is not None
    assert (found.words, found.sure) == ("stop", True)
    others = [spoken(name) for name in sounds() if name != "stop.wav"]
    others += [read_wav(file) for file in TALK.glob("*.wav")]
    others.append(np.zeros(SAMPLE_RATE, dtype=np.int16))
    assert len(others) > 15
    assert [ear.hear(with_quiet(each, 0.3)) for each in others] == [None] * len(others)


def test_the_words_are_those_of_the_grammar() -> None:
    words = sentences_of(Assistant("heron").grammar.acceptor_of("emergency_words"))
    assert {"stop", "emergency stop"} <= set(words)


def test_the_own_voice_in_the_room_is_no_question_and_a_loud_stop_ends_it(
    card: VirtualCard, started: Starter
) -> None:
    """The microphone hears the loudspeaker, as in a shop."""
    card.loudspeaker_heard_in_room(0.5)
    _, view = started(EspeakVoice(volume=0.2))
    with card.quiet_room(), card.heard_from_speaker() as pieces:
        wait_for(lambda: "listening" in view.ears, "the open ear")
        with card.playing(with_quiet(spoken("half_inch_thirteen.wav"), 0.1)):
            wait_for(lambda: any(loud > SILENT for _, loud in pieces), "the voice")
        begun = time.monotonic()
        time.sleep(0.8)
        card.play_into_room(spoken("stop.wav"))
        wait_for(lambda: view.ears[-1] == "listening", "the end of the voice")
        last = max(at for at, loud in pieces if loud > SILENT)
    assert last - begun < 5, "the answer was spoken to its end"
    assert [shown.heard for shown in view.shown] == ["half inch thirteen"]
