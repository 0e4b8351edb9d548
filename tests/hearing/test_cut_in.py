"""A loud word cuts the voice short; the voice itself, bangs and other speech do not."""

from pathlib import Path

import numpy as np
import pytest

from assistant.app import Assistant
from assistant.demo import sounds
from assistant.hearing.cut_in import CutIn
from assistant.hearing.end_of_speech import FRAME
from assistant.hearing.recogniser import SAMPLE_RATE, Samples
from assistant.hearing.stop_words import OnlyStopWords, StopWords, sentences_of
from assistant.hearing.wav import read_wav, resample
from assistant.speaking.espeak import EspeakVoice
from tests.live.conftest import spoken
from tests.live.virtual_card import with_quiet

TALK = Path(__file__).parent.parent / "wav"
ANSWER = (
    "put the lever a to three and the lever b to two. close the half nut on numbered lines only"
)
STOP_WORDS = ("stop", "stop stop", "emergency", "emergency stop")


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
