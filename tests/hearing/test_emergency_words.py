"""What is no question is searched for emergency words: a shouted one is found, a cough is none."""

from collections.abc import Iterator

import numpy as np
import pytest

from assistant.app import Assistant
from assistant.hearing.levels import RUINED, clipped_share
from assistant.hearing.listening import Utterance, utterances
from assistant.hearing.look_alikes import Sentences
from assistant.hearing.neural.engine import NeuralRecogniser
from assistant.hearing.neural.model import shared_model
from assistant.hearing.recogniser import SAMPLE_RATE, Heard, Samples
from assistant.hearing.sphinx import SphinxRecogniser
from assistant.hearing.stop_words import ALONE, PROPOSED, OnlyStopWords
from assistant.hearing.warped import WarpedRecogniser
from assistant.recognition import acted_on, emergency_search
from tests.bench.corpus_noise import cough
from tests.bench.corpus_voices import as_loud
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
def stop_words(assistant: Assistant, ear: NeuralRecogniser) -> OnlyStopWords:
    return emergency_search(assistant, lambda: ear)


def coughs() -> Iterator[Samples]:
    for number in COUGHS:
        yield with_quiet(as_loud(cough(np.random.default_rng(number))), 1.0)


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
    assert any(emergency_search(assistant).hear(each.samples) is not None for each in said)
    assert [acted_on(each, assistant, stop_words) for each in said] == [None] * len(said)
    assert [stop_words.hear(each.samples) for each in said] == [None] * len(said)


@pytest.mark.parametrize("times", [1, 8, 15, 30])
def test_a_shouted_word_is_found(
    times: float, assistant: Assistant, ear: NeuralRecogniser, stop_words: OnlyStopWords
) -> None:
    [said] = heard_in(shouted(times), ear, assistant)
    found = acted_on(said, assistant, stop_words)
    assert found is not None
    assert assistant.is_emergency(found.words)
    warped = emergency_search(assistant, lambda: WarpedRecogniser(ear, 1.1))
    assert warped.hear(said.samples) is not None


def test_the_better_ear_tells_the_words_from_others_like_them(ear: NeuralRecogniser) -> None:
    few = Sentences.of(["stop", "emergency stop"])
    assert ear.says(shouted(1), few)
    assert not ear.says(shouted(1), Sentences.of(["emergency", "emergency stop"]))
    assert not ear.says(with_quiet(spoken("half_inch_thirteen.wav"), 0.5), few)
    assert not ear.says(np.zeros(SAMPLE_RATE, np.int16), few)


def test_only_where_a_better_ear_is_asked_does_the_search_take_what_it_doubts(
    assistant: Assistant, ear: NeuralRecogniser
) -> None:
    quick = SphinxRecogniser()
    alone = emergency_search(assistant, lambda: quick)
    sound = with_quiet(np.clip(spoken("stop.wav").astype(float) * 4, -32_768, 32_767), 1.0)
    words = (alone, emergency_search(assistant, lambda: ear))
    assert [each.hear(sound) is not None for each in words] == [False, True]
    warped = emergency_search(assistant, lambda: WarpedRecogniser(ear, 1.1))
    assert warped.hear(sound) is not None
    assert ALONE < PROPOSED


def test_what_is_worth_an_answer_is_not_searched(
    assistant: Assistant, stop_words: OnlyStopWords
) -> None:
    def done(utterance: Utterance) -> Heard | None:
        return acted_on(utterance, assistant, stop_words)

    sure, unsure = (Heard("half inch thirteen", each, True) for each in (0.9, 0.1))
    stop = shouted(1)
    assert done(Utterance(sure, stop)) == sure
    found = done(Utterance(unsure, stop))
    assert found is not None
    assert found.words == "stop"
    assert done(Utterance(None, stop, nobody=True)) is None
    ruined = shouted(30, quiet=0.0)
    assert clipped_share(ruined) > RUINED
    found = done(Utterance(sure, ruined, nobody=True))
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
