"""The wake phrase is heard, other talk and questions are not taken for it."""

from pathlib import Path

import numpy as np
import pytest

from assistant.demo import sounds
from assistant.hearing.end_of_speech import FRAME
from assistant.hearing.recogniser import Samples
from assistant.hearing.wake import WakePhrase
from assistant.hearing.wav import read_wav
from tests.live.conftest import spoken
from tests.live.virtual_card import with_quiet

CALL = Path(__file__).parent.parent / "live" / "wav" / "shop_assistant.wav"
TALK = Path(__file__).parent.parent / "wav"


def fires(phrase: WakePhrase, samples: Samples) -> bool:
    phrase.reset()
    return any(
        phrase.feed(samples[at : at + FRAME]) for at in range(0, samples.size - FRAME, FRAME)
    )


@pytest.fixture(scope="module")
def phrase() -> WakePhrase:
    return WakePhrase()


def test_the_wake_phrase_is_found_and_found_again(phrase: WakePhrase) -> None:
    called = with_quiet(read_wav(CALL), 0.5)
    assert fires(phrase, called)
    assert fires(phrase, called)


@pytest.mark.parametrize("file", sorted(TALK.glob("*.wav")), ids=lambda file: file.stem)
def test_other_talk_does_not_wake(phrase: WakePhrase, file: Path) -> None:
    assert not fires(phrase, with_quiet(read_wav(file), 0.5))


@pytest.mark.parametrize("name", sounds())
def test_a_question_does_not_wake(phrase: WakePhrase, name: str) -> None:
    assert not fires(phrase, with_quiet(spoken(name), 0.5))


def test_the_wake_phrase_is_found_in_steady_noise(phrase: WakePhrase) -> None:
    called = with_quiet(read_wav(CALL), 0.5).astype(float)
    level = np.sqrt(np.mean(called[np.abs(called) > 500] ** 2)) / 10
    noisy = called + np.random.default_rng(2).normal(0, level, called.size)
    assert fires(phrase, np.clip(noisy, -32_768, 32_767).astype(np.int16))
