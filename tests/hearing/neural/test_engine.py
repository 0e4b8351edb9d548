"""Both ears together, on sounds."""

from pathlib import Path

import numpy as np
import pytest

from assistant.app import Assistant
from assistant.demo import sounds
from assistant.errors import DeviceError
from assistant.hearing.end_of_speech import spoken_slice
from assistant.hearing.neural import model as model_room
from assistant.hearing.neural.engine import NeuralRecogniser
from assistant.hearing.neural.judging import PLAIN
from assistant.hearing.neural.model import shared_model
from assistant.hearing.neural.quick_ear import QuickEar
from assistant.hearing.neural.search import SentenceSearch
from assistant.hearing.recogniser import SAMPLE_RATE, Samples
from assistant.hearing.sphinx import SphinxRecogniser
from assistant.hearing.wav import read_wav
from assistant.recognition import recogniser, verdict
from tests.bench.corpus_noise import mixed, pink

SOUNDS = Path("assistant/demo_sounds")
LEAD = SAMPLE_RATE // 2
PIECE = 480


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant("heron", "inch")


@pytest.fixture(scope="module")
def ear(assistant: Assistant) -> NeuralRecogniser:
    made = NeuralRecogniser(shared_model)
    assistant.listen_with(made)
    return made


def meant(name: str, assistant: Assistant) -> object:
    return assistant.grammar.read(name.removesuffix(".wav").replace("_", " "), "inch")


def in_noise(samples: Samples, ratio: float) -> Samples:
    noise = pink(samples.size + 2 * LEAD, np.random.default_rng(5))
    return mixed(samples, noise, ratio, LEAD, LEAD)


@pytest.mark.parametrize("name", sorted(set(sounds())))
def test_every_sound_of_the_demo_is_heard(
    name: str, assistant: Assistant, ear: NeuralRecogniser
) -> None:
    what = verdict(ear.hear(read_wav(SOUNDS / name)), assistant)
    assert not what.ask
    assert assistant.grammar.read(what.choices[0], "inch") == meant(name, assistant)


def test_clear_questions_are_spelled_as_the_model_writes_them(assistant: Assistant) -> None:
    """Where the spelling is another one, every reading is strained, and nothing tells talk from questions."""
    search = SentenceSearch(shared_model())
    plain = 0
    for name in sorted(set(sounds())):
        samples = read_wav(SOUNDS / name)
        place = spoken_slice(samples)
        assert place is not None
        plain += search.readings(samples[place], assistant.acceptor)[0].strain <= PLAIN
    assert plain >= 9


def test_at_ten_decibels_most_are_heard_and_none_wrong(
    assistant: Assistant, ear: NeuralRecogniser
) -> None:
    right, wrong = 0, []
    for name in sorted(set(sounds()))[::2]:
        what = verdict(ear.hear(in_noise(read_wav(SOUNDS / name), 10.0)), assistant)
        read = [assistant.grammar.read(words, "inch") for words in what.choices]
        right += meant(name, assistant) in read
        if read and not what.ask and read[0] != meant(name, assistant):
            wrong.append((name, what.choices))
    assert right >= 4
    assert not wrong


def test_what_is_said_after_a_pause_counts(assistant: Assistant, ear: NeuralRecogniser) -> None:
    """What was read ahead while nobody spoke is thrown away."""
    samples = read_wav(SOUNDS / "metric_twelve_by_one_point_seven_five.wav")
    whole = ear.hear(samples)
    ear.start()
    for place, start in enumerate(range(0, samples.size, PIECE)):
        ear.feed(samples[start : start + PIECE])
        if place % 20 == 19:
            ear.pause()
    assert whole is not None
    again = ear.end()
    assert again is not None
    assert again.words == whole.words


def test_silence_and_a_knock_are_no_words(ear: NeuralRecogniser) -> None:
    assert ear.hear(np.zeros(SAMPLE_RATE, np.int16)) is None
    knock = np.zeros(SAMPLE_RATE)
    knock[8000:8400] = np.random.default_rng(1).normal(0, 9000, 400)
    heard = ear.hear(knock.astype(np.int16))
    assert heard is None or not heard.sure


def test_a_grammar_does_not_change_within_an_utterance(
    assistant: Assistant, ear: NeuralRecogniser
) -> None:
    ear.start()
    with pytest.raises(RuntimeError, match="middle of an utterance"):
        ear.use(assistant.acceptor, {})
    ear.end()


def test_what_keeps_the_strong_ear_from_being_ready_is_raised_not_swallowed(
    assistant: Assistant, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise DeviceError("recogniser", "no memory is left", "start the program again")

    monkeypatch.setattr(QuickEar, "know", fails)
    ear = NeuralRecogniser(shared_model)
    assistant.listen_with(ear)
    with pytest.raises(DeviceError, match="no memory is left"):
        ear.hear(read_wav(SOUNDS / "half_inch_thirteen.wav"))
    assert ear.hear(np.zeros(SAMPLE_RATE, np.int16)) is None


def test_without_a_grammar_it_says_so() -> None:
    with pytest.raises(RuntimeError, match="no grammar"):
        NeuralRecogniser(shared_model).start()


def test_without_the_models_package_the_quick_ear_listens_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(model_room, "model_folder", lambda: None)
    assert isinstance(recogniser("best"), SphinxRecogniser)
