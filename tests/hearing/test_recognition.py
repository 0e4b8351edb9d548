"""Real sound through the real recogniser: right words, or none."""

import wave
from importlib.resources import as_file, files
from pathlib import Path

import numpy as np
import pytest

from assistant.app import Assistant
from assistant.demo import sounds
from assistant.errors import DeviceError
from assistant.hearing.end_of_speech import FRAME
from assistant.hearing.listening import utterances
from assistant.hearing.recogniser import SAMPLE_RATE, Samples
from assistant.hearing.sphinx import SphinxRecogniser
from assistant.hearing.wav import read_wav
from assistant.query import NotUnderstood, Query
from assistant.recognition import reply_to
from grammar.automaton import Acceptor
from tests.live.virtual_card import with_quiet

NAMES = sounds()
TALK = Path(__file__).parent.parent / "wav"


def shipped(name: str) -> Samples:
    with as_file(files("assistant.demo_sounds").joinpath(name)) as path:
        return read_wav(path)


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant("heron")


@pytest.fixture(scope="module")
def ear(assistant: Assistant) -> SphinxRecogniser:
    made = SphinxRecogniser()
    assistant.listen_with(made)
    return made


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_question_is_heard_with_the_right_meaning(
    name: str, assistant: Assistant, ear: SphinxRecogniser
) -> None:
    heard = ear.hear(shipped(name))
    assert heard is not None
    assert heard.complete
    wanted = assistant.grammar.read(name.removesuffix(".wav").replace("_", " "), "inch")
    assert isinstance(wanted, Query)
    assert assistant.grammar.read(heard.words, "inch") == wanted


@pytest.mark.parametrize("name", ["half_inch_thirteen.wav", "which_line.wav", "stop.wav"])
def test_from_a_running_microphone_the_same_is_heard(
    name: str, assistant: Assistant, ear: SphinxRecogniser
) -> None:
    samples = with_quiet(shipped(name))
    frames = [samples[at : at + FRAME] for at in range(0, samples.size - FRAME, FRAME)]
    states: list[str] = []
    [spoken] = utterances(frames, ear, lambda: assistant.acceptor, states.append)
    assert spoken.heard is not None
    assert spoken.heard.words == name.removesuffix(".wav").replace("_", " ")
    assert states == ["listening", "thinking"]


def test_another_sound_in_the_same_place_gives_another_answer(
    assistant: Assistant, ear: SphinxRecogniser
) -> None:
    one = reply_to(ear.hear(shipped("half_inch_thirteen.wav")), assistant)
    other = reply_to(ear.hear(shipped("eleven_and_a_half_threads_per_inch.wav")), assistant)
    assert (one.shown.headline, other.shown.headline) == ("13 per inch", "11.5 per inch")


@pytest.mark.parametrize("kind", ["silence", "hiss", "hum"])
def test_noise_alone_is_no_question(kind: str, assistant: Assistant, ear: SphinxRecogniser) -> None:
    time = np.arange(3 * SAMPLE_RATE) / SAMPLE_RATE
    chance = np.random.default_rng(5)
    sound = {
        "silence": np.zeros(time.size),
        "hiss": chance.normal(0, 1500, time.size),
        "hum": 4000 * np.sin(2 * np.pi * 50 * time) + 2000 * np.sin(2 * np.pi * 150 * time),
    }[kind]
    reply = reply_to(ear.hear(sound.astype(np.int16)), assistant)
    assert isinstance(reply.query, NotUnderstood) or reply.query.kind == "stop"
    assert not isinstance(reply.query, Query)


@pytest.mark.parametrize("name", sorted(file.name for file in TALK.glob("*.wav")))
def test_other_talk_is_no_question(name: str, assistant: Assistant, ear: SphinxRecogniser) -> None:
    heard = ear.hear(read_wav(TALK / name))
    assert isinstance(reply_to(heard, assistant).query, NotUnderstood), heard


def test_a_sentence_that_breaks_off_is_not_accepted(
    assistant: Assistant, ear: SphinxRecogniser
) -> None:
    whole = shipped("speed_for_stainless_steel_one_and_three_quarter_inch_carbide.wav")
    reply = reply_to(ear.hear(whole[: int(1.1 * SAMPLE_RATE)]), assistant)
    assert isinstance(reply.query, NotUnderstood)


def test_a_word_without_pronunciation_is_named() -> None:
    acceptor = Acceptor(({"qwrtzk": 1}, {}), frozenset({1}))
    with pytest.raises(DeviceError, match="qwrtzk"):
        SphinxRecogniser().use(acceptor, {})


def test_a_grammar_cannot_change_within_an_utterance(
    assistant: Assistant, ear: SphinxRecogniser
) -> None:
    ear.start()
    with pytest.raises(RuntimeError, match="middle of an utterance"):
        assistant.listen_with(ear)
    ear.end()


@pytest.mark.parametrize(
    ("rate", "width", "channels"), [(8000, 2, 1), (44100, 2, 2), (48000, 3, 1), (16000, 1, 1)]
)
def test_any_rate_width_and_number_of_channels_is_read(
    rate: int, width: int, channels: int, tmp_path: Path
) -> None:
    seconds = np.arange(rate) / rate
    sound = np.sin(2 * np.pi * 440 * seconds)
    if width == 1:
        data = np.round(sound * 100 + 128).astype(np.uint8).tobytes()
    elif width == 2:
        data = np.repeat(np.round(sound * 20000).astype("<i2"), channels).tobytes()
    else:
        wide = np.round(sound * 5_000_000).astype("<i4")
        data = wide.view(np.uint8).reshape(-1, 4)[:, :3].tobytes()
    path = tmp_path / "tone.wav"
    with wave.open(str(path), "wb") as file:
        file.setnchannels(channels)
        file.setsampwidth(width)
        file.setframerate(rate)
        file.writeframes(data)
    read = read_wav(path).astype(float)
    assert abs(read.size - SAMPLE_RATE) <= 2
    spectrum = np.abs(np.fft.rfft(read[: SAMPLE_RATE - 2]))
    assert abs(int(spectrum.argmax()) - 440) <= 1
