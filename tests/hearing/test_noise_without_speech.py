"""Noise that is never quiet and in which nobody speaks: it opens the ear, and must neither cost nor cut off."""

import numpy as np
import pytest

from assistant.app import Assistant
from assistant.hearing.end_of_speech import FRAME, FRAME_SECONDS, LONGEST
from assistant.hearing.listening import KEPT, Utterance, utterances
from assistant.hearing.look_alikes import Sentences
from assistant.hearing.neural.engine import NeuralRecogniser
from assistant.hearing.neural.model import shared_model
from assistant.hearing.noise import HOP, NoiseReducer
from assistant.hearing.noise import LONGEST as LEVELS_SECONDS
from assistant.hearing.recogniser import SAMPLE_RATE, Heard, Samples
from assistant.live_loop import LiveLoop
from assistant.speaking.silent import SilentVoice
from assistant.talking import Talking, Way
from tests.bench.corpus_noise import belt_squeal, mixed
from tests.bench.hear import PatientEar
from tests.live.conftest import Watching, spoken

SOUND = "metric_twelve_by_one_point_seven_five.wav"
WORDS = "metric twelve by one point seven five"


def frames(samples: Samples) -> list[Samples]:
    return [samples[at : at + FRAME] for at in range(0, samples.size - FRAME + 1, FRAME)]


def clatter(seconds: float) -> Samples:
    """Bangs in steady noise: the speech detector takes them for somebody who speaks without an end."""
    chance = np.random.default_rng(8)
    size = round(seconds * SAMPLE_RATE)
    bangs = np.zeros(size)
    for at in range(0, size - 1600, 1700):
        bangs[at : at + 1600] += chance.normal(0, 1, 1600) * np.exp(-np.arange(1600) / 500)
    return np.round(2500 * bangs + chance.normal(0, 250, size)).astype(np.int16)


class Scripted:
    """Finds somebody from a frame on, by its number; keeps what it was fed."""

    def __init__(self, somebody_from: int) -> None:
        self.fed = 0
        self._from = somebody_from

    def start(self) -> None:
        self.fed = 0

    def feed(self, samples: Samples) -> None:
        self.fed += samples.size // FRAME

    def partial(self) -> str:
        return ""

    def pause(self) -> None: ...

    def settled(self) -> bool:
        return False

    def nobody(self) -> bool:
        return self.fed < self._from

    def end(self) -> Heard | None:
        return None


def heard_of(ear: Scripted, seconds: float, states: list[str]) -> list[Utterance]:
    loud = [np.full(FRAME, 0, np.int16)] * round(seconds / FRAME_SECONDS)
    return list(utterances(loud, ear, lambda: Sentences.of(["stop"]), states.append))  # type: ignore[arg-type]


@pytest.fixture
def _always_voiced(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("assistant.hearing.end_of_speech.SpeechDetector._near", lambda *_: True)

    class Vad:
        def __init__(self, *_: object) -> None: ...

        def is_speech(self, _: bytes) -> bool:
            return True

    monkeypatch.setattr("assistant.hearing.end_of_speech.Vad", Vad)


@pytest.mark.usefixtures("_always_voiced")
def test_noise_without_speech_is_not_cut_off_and_only_the_last_of_it_is_kept() -> None:
    states: list[str] = []
    assert heard_of(Scripted(10_000), 3 * LONGEST, states) == []
    assert states == ["listening", "noise"]
    somebody = round(2 * LONGEST / FRAME_SECONDS)
    states.clear()
    [spoken] = heard_of(Scripted(somebody), 3.5 * LONGEST, states)
    assert states == ["listening", "noise", "listening", "thinking", "listening", "noise"]
    longest = round(LONGEST / FRAME_SECONDS)
    assert longest <= spoken.samples.size // FRAME <= longest + KEPT + 1


def test_in_noise_the_loop_does_not_think_that_somebody_speaks() -> None:
    """A timer would else never be told in it; and nobody sees the ear change."""
    view = Watching()
    assistant = Assistant("heron")
    ear: NeuralRecogniser = Scripted(0)  # type: ignore[assignment]
    loop = LiveLoop(assistant, ear, view, SilentVoice(), Talking(Way.OPEN))
    loop._state("listening")
    assert loop._in_speech
    loop._state("noise")
    assert not loop._in_speech
    assert view.ears == ["listening"]


def test_a_sentence_in_endless_squealing_is_found_though_it_begins_when_the_time_is_up() -> None:
    assistant = Assistant("heron", "inch")
    ear = PatientEar(shared_model)
    assistant.listen_with(ear)
    sentence = spoken(SOUND)
    lead, tail = round((LONGEST - 0.5) * SAMPLE_RATE), 3 * SAMPLE_RATE
    bed = belt_squeal(lead + sentence.size + tail, np.random.default_rng(3))
    states: list[str] = []
    found = utterances(
        frames(mixed(sentence, bed, 25.0, lead, tail)),
        ear,
        lambda: assistant.acceptor,
        states.append,
    )
    words = [each.heard.words for each in found if each.heard is not None and each.heard.sure]
    assert "noise" in states
    assert [assistant.grammar.read(each, "inch") for each in words] == [
        assistant.grammar.read(WORDS, "inch")
    ]


def test_who_speaks_so_loud_that_the_noise_does_not_count_is_looked_for_too() -> None:
    """Above the ratio from which pauses are seen nothing is looked at unless the noise opened the ear."""
    ear = PatientEar(shared_model)
    Assistant("heron", "inch").listen_with(ear)
    ear.start()
    for piece in frames(np.concatenate([clatter(3.0) // 8, spoken(SOUND)])):
        ear.feed(piece)
    assert not ear.nobody()
    ear.end()


def test_the_quick_ear_does_not_follow_noise_and_little_of_it_is_kept(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    ear = PatientEar(shared_model)
    Assistant("heron", "inch").listen_with(ear)
    followed: list[int] = []
    real = ear._quick.feed

    def feed(samples: Samples) -> None:
        followed.append(samples.size)
        real(samples)

    monkeypatch.setattr(ear._quick, "feed", feed)
    ear.start()
    pieces = frames(clatter(8.0))
    for piece in pieces:
        ear.feed(piece)
    assert ear.nobody()
    assert sum(followed) < 2 * SAMPLE_RATE
    assert sum(each.size for each in ear._sound) < 3 * SAMPLE_RATE
    ear.end()


def test_a_shift_of_noise_does_not_fill_the_memory() -> None:
    reducer = NoiseReducer()
    noise = clatter(2 * LEVELS_SECONDS)
    for start in range(0, noise.size, SAMPLE_RATE):
        reducer.feed(noise[start : start + SAMPLE_RATE])
    assert len(reducer._levels) == round(LEVELS_SECONDS * SAMPLE_RATE / HOP)


def test_what_is_forgotten_no_longer_counts_for_the_ratio() -> None:
    reducer = NoiseReducer()
    reducer.feed(np.concatenate([clatter(1.0), spoken(SOUND), clatter(2.0)]))
    before = reducer.ratio()
    reducer.forget(SAMPLE_RATE)
    assert reducer.ratio() < before - 3
