"""Noise reduction, and what depends on it: the ratio of speech to noise and the end of a sentence in noise."""

from importlib.resources import as_file, files

import numpy as np
import pytest

from assistant.hearing.end_of_speech import FRAME, FRAME_SECONDS, Speech, SpeechDetector
from assistant.hearing.noise import FIRST, NoiseReducer, reduced
from assistant.hearing.recogniser import SAMPLE_RATE, Samples
from assistant.hearing.wav import read_wav


def question() -> Samples:
    name = "half_inch_thirteen.wav"
    with as_file(files("assistant.demo_sounds").joinpath(name)) as path:
        return read_wav(path)


def in_noise(sound: Samples, level: float, lead: float = 1.0, tail: float = 1.5) -> Samples:
    """`sound` with room around it and white noise of `level` over all."""
    room = [np.zeros(round(seconds * SAMPLE_RATE)) for seconds in (lead, tail)]
    whole = np.concatenate([room[0], sound.astype(float), room[1]])
    return (whole + np.random.default_rng(4).normal(0, level, whole.size)).astype(np.int16)


@pytest.mark.parametrize("size", [1, FRAME, 1000, 7777])
def test_in_pieces_the_same_comes_out_as_at_once(size: int) -> None:
    sound = in_noise(question(), 300)
    reducer = NoiseReducer()
    pieces = (
        [reducer.feed(sound[at : at + size]) for at in range(0, sound.size, size)]
        if size > 1
        else []
    )
    pieces = pieces or [reducer.feed(sound)]
    made = np.concatenate([*pieces, reducer.end()])[: sound.size]
    assert np.array_equal(made, reduced(sound)[0][: made.size])
    assert made.size == sound.size


def test_noise_alone_becomes_a_fifth_and_speech_stays() -> None:
    speech = question()
    quiet, _ = reduced(in_noise(speech, 300))
    room = quiet[round(0.3 * SAMPLE_RATE) : round(0.9 * SAMPLE_RATE)].astype(float)
    assert 40 < room.std() < 100
    clean = in_noise(speech, 0)
    loud = np.abs(clean) > 5000
    error = quiet[: clean.size][loud].astype(float) - clean[loud]
    assert error.std() < 0.15 * clean[loud].std()


def test_ten_decibels_more_noise_are_told_as_ten_less() -> None:
    ratios = [reduced(in_noise(question(), level))[1] for level in (30, 30 * 10**0.5, 300)]
    assert ratios[0] - ratios[1] == pytest.approx(10, abs=1.5)
    assert ratios[1] - ratios[2] == pytest.approx(10, abs=1.5)


def test_a_sound_shorter_than_a_window_is_nothing() -> None:
    quiet, _ = reduced(np.zeros(100, np.int16))
    assert quiet.size == 100
    assert not quiet.any()


def test_silence_stays_silent() -> None:
    quiet, ratio = reduced(np.zeros(SAMPLE_RATE, np.int16))
    assert not quiet.any()
    assert ratio < 3


@pytest.mark.parametrize("level", [6, 300, 700])
def test_a_sentence_begins_and_ends_in_steady_noise(level: float) -> None:
    """At 700 (about 12 dB) the detector on the sound as it is never finds the end."""
    speech = question()
    sound = in_noise(speech, level)
    detector = SpeechDetector()
    events = [
        (at / SAMPLE_RATE, detector.feed(sound[at : at + FRAME]))
        for at in range(0, sound.size - FRAME + 1, FRAME)
    ]
    begun = [time for time, event in events if event is Speech.STARTED]
    ended = [time for time, event in events if event is Speech.ENDED]
    assert len(begun) == len(ended) == 1
    assert FIRST < begun[0] < 2.2
    assert ended[0] > 1.0 + speech.size / SAMPLE_RATE - 0.5 + FRAME_SECONDS
