"""The voice: every sentence becomes its own sound, slower, louder, and into files."""

import wave
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import DeviceError
from assistant.speaking.espeak import EspeakVoice
from assistant.speaking.playback import Player
from assistant.speaking.saving import SavingVoice
from assistant.speaking.silent import SilentVoice
from assistant.speaking.voice import DEFAULT_RATE, faster, louder, quieter, slower

SENTENCES = [f"{word} turns" for word in "ten twenty thirty forty fifty sixty".split()] + [
    "half inch thirteen: depth forty seven thou. close the half nut on numbered lines only"
]


@pytest.fixture(scope="module")
def voice() -> EspeakVoice:
    return EspeakVoice()


def test_sentences_one_after_another_each_have_their_own_sound(
    voice: EspeakVoice, tmp_path: Path
) -> None:
    sounds, lengths = [], []
    for number, sentence in enumerate([*SENTENCES, *SENTENCES]):
        path = tmp_path / f"{number}.wav"
        voice.save(sentence, path)
        with wave.open(str(path)) as file:
            sounds.append(file.readframes(file.getnframes()))
            lengths.append(file.getnframes() / file.getframerate())
    count = len(SENTENCES)
    assert len(set(sounds[:count])) == count
    assert min(lengths) > 0.4
    assert lengths[:count] == pytest.approx(lengths[count:], abs=0.1)
    assert lengths[count - 1] > 3 * lengths[0]


@pytest.mark.parametrize("command", ["SetParameter", "Synth"])
def test_what_the_engine_drops_is_told_again(
    voice: EspeakVoice, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    """The engine's thread drops a command that comes in the moment in which it goes to sleep."""
    from pyttsx3.drivers import _espeak

    usual = voice.sound(SENTENCES[0]).duration
    voice.rate = 260
    carry_out, dropped = getattr(_espeak, command), []

    def drop_the_first(*arguments: object, **named: object) -> object:
        if not dropped:
            return dropped.append(arguments)
        return carry_out(*arguments, **named)

    monkeypatch.setattr(_espeak, command, drop_the_first)
    try:
        fast = voice.sound(SENTENCES[0]).duration
    finally:
        voice.rate = DEFAULT_RATE
    assert dropped
    assert fast < 0.8 * usual
    assert voice.sound(SENTENCES[0]).duration == pytest.approx(usual, abs=0.1)


def test_slower_lasts_longer_and_louder_is_louder(voice: EspeakVoice) -> None:
    usual = voice.sound(SENTENCES[-1])
    assert slower(voice)
    slow = voice.sound(SENTENCES[-1])
    assert faster(voice)
    assert slow.duration > 1.05 * usual.duration
    assert quieter(voice)
    quiet = voice.sound(SENTENCES[-1])
    assert louder(voice)
    assert np.abs(quiet.samples).max() < np.abs(usual.samples).max()


def test_nothing_to_say_is_refused(voice: EspeakVoice) -> None:
    with pytest.raises(ValueError, match="nothing to say"):
        voice.sound(" ?! ")


def test_after_stop_the_device_gets_nothing_more() -> None:
    player = Player(np.ones(100_000, dtype=np.int16), 100)
    feeder = player.feeder()
    next(feeder)
    feeder.send(500)
    player.stop()
    before = player.delivered
    with pytest.raises(StopIteration):
        feeder.send(500)
    assert player.delivered == before


def test_without_a_loudspeaker_answers_become_files(voice: EspeakVoice, tmp_path: Path) -> None:
    written: list[Path] = []
    saving = SavingVoice(voice, tmp_path, written.append)
    assert saving.say("one")
    assert saving.say("two")
    assert [path.name for path in written] == ["answer-01.wav", "answer-02.wav"]
    assert all(path.stat().st_size > 1000 for path in written)
    saving.rate = 120
    assert voice.rate == 120
    voice.rate = 160


def test_the_silent_voice_says_so_when_asked_for_a_file(tmp_path: Path) -> None:
    with pytest.raises(DeviceError, match="switched off"):
        SilentVoice().save("one", tmp_path / "x.wav")
