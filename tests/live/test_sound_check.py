"""The sound check on the virtual card: somebody reads what it asks for, well, overdriven, in noise, or not at all."""

from collections.abc import Callable

import numpy as np
import pytest

from assistant.app import Assistant
from assistant.hearing.levels import Levels, levels, remark, troubles
from assistant.hearing.recogniser import SAMPLE_RATE, Recogniser, Samples
from assistant.sound_check import sound_check
from tests.live.conftest import spoken
from tests.live.virtual_card import VirtualCard, with_quiet

READ = "Read aloud: "


class Reader:
    """Reads into the room what it is told to."""

    def __init__(self, card: VirtualCard, how: Callable[[Samples], Samples]) -> None:
        self._card, self._how = card, how
        self.lines: list[str] = []

    def say(self, line: str) -> None:
        self.lines.append(line)
        if line.startswith(READ):
            name = f"{line.removeprefix(READ).replace(' ', '_')}.wav"
            self._card.play_into_room(self._how(spoken(name)))


def checked(reader: Reader, engine: Recogniser, phrases: tuple[str, ...]) -> bool:
    assistant = Assistant("heron")
    assistant.listen_with(engine)
    return sound_check(assistant, engine, reader.say, "mic", phrases)


def test_a_good_microphone_is_said_to_be_good(card: VirtualCard, engine: Recogniser) -> None:
    reader = Reader(card, lambda samples: samples)
    with card.quiet_room():
        assert checked(reader, engine, ("half inch thirteen",)), reader.lines
    assert reader.lines[-1] == "All 1 phrases were understood. Nothing is wrong."
    assert "  understood" in reader.lines


def test_one_that_is_overdriven_is_told_and_fails(card: VirtualCard, engine: Recogniser) -> None:
    def overdriven(samples: Samples) -> Samples:
        return np.clip(samples.astype(int) * 30, -32_768, 32_767).astype(np.int16)

    reader = Reader(card, overdriven)
    with card.quiet_room():
        assert not checked(reader, engine, ("half inch thirteen",))
    assert any("overdriven: turn its gain down" in line for line in reader.lines), reader.lines


def test_a_dead_one_is_told_with_what_else_the_machine_has(
    card: VirtualCard, engine: Recogniser
) -> None:
    reader = Reader(card, lambda samples: samples)
    assert not checked(reader, engine, ("half inch thirteen",))
    assert reader.lines[-2] == "The microphone gives no sound: switch it on or unmute it."
    assert "Mic" in reader.lines[-1]


def test_a_voice_and_the_noise_around_it_are_measured() -> None:
    chance = np.random.default_rng(1)
    voice = spoken("half_inch_thirteen.wav").astype(float)
    quiet, hum = with_quiet(voice.astype(np.int16), 1.0), chance.normal(0, 800, 10 * SAMPLE_RATE)
    clean = levels(quiet)
    assert clean.noise == pytest.approx(20 * np.log10(6 / 32_768), abs=1.5)
    assert clean.speech is not None
    assert clean.speech > -25
    assert troubles(clean) == []
    noisy = levels(np.clip(quiet + hum[: quiet.size], -32_768, 32_767).astype(np.int16))
    assert noisy.noise == pytest.approx(20 * np.log10(800 / 32_768), abs=1.5)
    assert noisy.above_noise is not None
    assert noisy.above_noise < 20


@pytest.mark.parametrize(
    ("measured", "words"),
    [
        (Levels(None, -100, 0), "plain silence"),
        (Levels(None, -60, 0), "Nobody was heard"),
        (Levels(-50, -80, 0), "too faint"),
        (Levels(-20, -30, 0), "only 10 dB above the noise"),
        (Levels(-5, -60, 0.1), "overdriven"),
    ],
)
def test_what_is_wrong_is_said_in_words(measured: Levels, words: str) -> None:
    [sentence] = troubles(measured)
    assert words in sentence


def test_where_it_will_just_do_this_is_said() -> None:
    assert troubles(Levels(-20, -38, 0)) == []
    assert "it will do" in remark(Levels(-20, -38, 0))
