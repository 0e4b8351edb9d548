"""What is no question is searched for emergency words: a shouted one is found, a cough is none."""

from collections.abc import Iterator

import numpy as np
import pytest

from assistant.app import Assistant
from assistant.hearing.levels import clipped_share
from assistant.hearing.listening import Utterance, utterances
from assistant.hearing.neural.engine import NeuralRecogniser
from assistant.hearing.neural.model import shared_model
from assistant.hearing.recogniser import Heard, Samples
from assistant.hearing.stop_words import OnlyStopWords, StopWords, sentences_of
from assistant.recognition import RUINED, acted_on
from tests.bench.corpus_noise import cough
from tests.bench.corpus_voices import LOUD
from tests.bench.hear import Clock, PatientEar
from tests.live.conftest import spoken
from tests.live.virtual_card import with_quiet

COUGHS = (1, 2, 3, 22, 29, 44, 50, 52, 53)
"""Some that are plain noise to the search, and all of the first sixty that are like a word to it."""


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant("heron", "inch")


@pytest.fixture(scope="module")
def ear(assistant: Assistant) -> NeuralRecogniser:
    made = PatientEar(shared_model)
    assistant.listen_with(made)
    return made


@pytest.fixture(scope="module")
def stop_words(assistant: Assistant) -> OnlyStopWords:
    words = sentences_of(assistant.grammar.acceptor_of("emergency_words"))
    return OnlyStopWords(StopWords(words))


def coughs() -> Iterator[Samples]:
    for number in COUGHS:
        sound = cough(np.random.default_rng(number))
        loud = np.round(sound * (LOUD / np.abs(sound).max())).astype(np.int16)
        yield with_quiet(loud, 1.0)


def shouted(times: float, quiet: float = 1.0) -> Samples:
    """Too near the microphone: the tops are cut off; `quiet` seconds before and after."""
    wide = spoken("stop.wav").astype(float) * times
    return with_quiet(np.clip(wide, -32_768, 32_767).astype(np.int16), quiet)


def heard_in(sound: Samples, ear: NeuralRecogniser, assistant: Assistant) -> list[Utterance]:
    frames = Clock(sound).frames()
    return list(utterances(frames, ear, lambda: assistant.acceptor, lambda _: None))


def test_coughs_are_no_emergency_though_the_search_takes_some_for_one(
    assistant: Assistant, ear: NeuralRecogniser, stop_words: OnlyStopWords
) -> None:
    said = [each for sound in coughs() for each in heard_in(sound, ear, assistant)]
    assert any(stop_words.hear(each.samples) is not None for each in said)
    assert [acted_on(each, assistant, stop_words) for each in said] == [None] * len(said)


@pytest.mark.parametrize("times", [1, 8, 15, 30])
def test_a_shouted_word_is_found(
    times: float, assistant: Assistant, ear: NeuralRecogniser, stop_words: OnlyStopWords
) -> None:
    [said] = heard_in(shouted(times), ear, assistant)
    found = acted_on(said, assistant, stop_words)
    assert found is not None
    assert assistant.is_emergency(found.words)


def test_what_is_worth_an_answer_is_not_searched(
    assistant: Assistant, stop_words: OnlyStopWords
) -> None:
    sure, unsure = (Heard("half inch thirteen", each, True) for each in (0.9, 0.1))
    stop = shouted(1)
    assert acted_on(Utterance(sure, stop), assistant, stop_words) == sure
    found = acted_on(Utterance(unsure, stop), assistant, stop_words)
    assert found is not None
    assert found.words == "stop"
    assert acted_on(Utterance(None, stop, nobody=True), assistant, stop_words) is None
    ruined = shouted(30, quiet=0.0)
    assert clipped_share(ruined) > RUINED
    found = acted_on(Utterance(sure, ruined, nobody=True), assistant, stop_words)
    assert found is not None, "of a ruined sound nothing else is sure"
    assert found.words == "stop"


def test_the_search_finds_the_same_whatever_it_heard_before(stop_words: OnlyStopWords) -> None:
    for sound in coughs():
        stop_words.hear(sound)
        found = stop_words.hear(shouted(1))
        assert found is not None
        assert found.words == "stop"


def test_after_noise_and_after_speech_the_ear_says_which_it_was(
    assistant: Assistant, ear: NeuralRecogniser, stop_words: OnlyStopWords
) -> None:
    assert ear.hear(with_quiet(spoken("half_inch_thirteen.wav"), 0.5)) is not None
    assert not ear.nobody()
    assert ear.hear(next(coughs())) is None
    assert ear.nobody()
    assert stop_words.hear(shouted(1)) is not None
    assert not stop_words.nobody()
    assert stop_words.hear(with_quiet(spoken("half_inch_thirteen.wav"), 0.5)) is None
    assert stop_words.nobody()
