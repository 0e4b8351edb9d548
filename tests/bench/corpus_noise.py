"""Noise made by rule: beds of a shop, coughs, and their mixing with speech at a given ratio."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.recogniser import SAMPLE_RATE, Samples

Sound = NDArray[np.float64]
BAND = (150.0, 6500.0)
"""Hz within which levels are compared: what the recogniser listens to; hum below costs no words."""


def shaped(count: int, chance: np.random.Generator, power: Callable[[Sound], Sound]) -> Sound:
    """Noise whose power at each frequency (Hz) is `power`."""
    spectrum = np.fft.rfft(chance.normal(size=count))
    frequency = np.maximum(np.fft.rfftfreq(count, 1 / SAMPLE_RATE), 20.0)
    return np.fft.irfft(spectrum * np.sqrt(power(frequency)), count)


def pink(count: int, chance: np.random.Generator) -> Sound:
    """As much power in each octave."""
    return shaped(count, chance, lambda f: 1 / f)


def motor_hum(count: int, chance: np.random.Generator) -> Sound:
    """Mains hum with harmonics, brushes and a fan."""
    time = np.arange(count) / SAMPLE_RATE
    hum = sum(
        np.sin(2 * np.pi * 100 * n * time + chance.uniform(0, 6)) / n**1.2 for n in range(1, 25)
    )
    return level(np.asarray(hum)) + level(shaped(count, chance, lambda f: 1 / (1 + (f / 900) ** 2)))


def gear_mesh(count: int, chance: np.random.Generator) -> Sound:
    """Teeth of a headstock meeting, louder once a turn, over the rush of oil and belts."""
    return _mesh(count, chance, tooth=430.0, turn=9.0, rush=lambda f: 1 / f)


def old_headstock(count: int, chance: np.random.Generator) -> Sound:
    """Two worn meshes, one with a side band, over a duller rush."""
    one = _mesh(count, chance, tooth=610.0, turn=6.3, rush=lambda f: 1 / f**1.3)
    return one + 0.7 * _mesh(count, chance, tooth=1130.0, turn=14.0, rush=lambda f: 1 / f)


def tool_chatter(count: int, chance: np.random.Generator) -> Sound:
    """A long boring bar singing now and then, over the hiss of the cut."""
    time = np.arange(count) / SAMPLE_RATE
    slow = shaped(count, chance, lambda f: (f < 21).astype(float))
    sings = np.clip(slow / slow.std(), 0, None)
    phase = 2 * np.pi * np.cumsum(780 + 12 * np.sin(2 * np.pi * 4 * time)) / SAMPLE_RATE
    tone = sum(np.sin(n * phase) / n for n in (1, 2, 3, 4))
    return level(np.asarray(tone) * sings) + 0.8 * level(
        shaped(count, chance, lambda f: 1 / (1 + (1500 / f) ** 2))
    )


@dataclass(frozen=True)
class Blows:
    """Things that strike each other."""

    a_second: float
    part: int
    """One lasts a second divided by this."""
    dull: float
    """How fast the thud dies away."""
    rings: tuple[float, float, int]
    """Hz from and to, and how many at once."""
    fading: tuple[float, float]
    """How fast a ring dies away."""

    def over(self, sound: Sound, chance: np.random.Generator) -> Sound:
        """`sound` with blows at random moments."""
        count = sound.size
        for _ in range(max(1, round(count / SAMPLE_RATE * self.a_second))):
            length = min(count, SAMPLE_RATE // self.part)
            time = np.arange(length) / SAMPLE_RATE
            blow = chance.normal(size=length) * np.exp(-time * self.dull)
            for ring in chance.uniform(*self.rings):
                blow += np.sin(2 * np.pi * ring * time) * np.exp(
                    -time * chance.uniform(*self.fading)
                )
            start = int(chance.integers(0, count - length + 1))
            sound[start : start + length] += blow * chance.uniform(1, 3)
        return sound


def bangs(count: int, chance: np.random.Generator) -> Sound:
    """Plates and hammers somewhere in the room, over a compressor."""
    sound = level(shaped(count, chance, lambda f: 1 / f**1.2))
    return Blows(1.2, 3, 25, (300, 3500, 4), (8, 30)).over(sound, chance)


def clatter(count: int, chance: np.random.Generator) -> Sound:
    """Stock thrown into a rack and a door, over a blower."""
    sound = level(shaped(count, chance, lambda f: 1 / (1 + (f / 500) ** 1.5)))
    return Blows(0.8, 2, 35, (200, 2600, 3), (12, 24)).over(sound, chance)


def belt_squeal(count: int, chance: np.random.Generator) -> Sound:
    """A slipping belt that squeals for a while, again and again, over the rush of a drill."""
    time = np.arange(count) / SAMPLE_RATE
    swell = shaped(count, chance, lambda f: (f < 21).astype(float))
    phase = 2 * np.pi * np.cumsum(1250 + 60 * np.sin(2 * np.pi * 1.7 * time)) / SAMPLE_RATE
    tone = sum(np.sin(n * phase) / n**1.5 for n in (1, 2, 3))
    squeal = np.asarray(tone) * np.clip(swell / swell.std(), 0, None)
    return level(squeal) + level(shaped(count, chance, lambda f: 1 / (1 + (f / 1200) ** 2)))


BEDS: dict[str, dict[str, Callable[[int, np.random.Generator], Sound]]] = {
    "tuning": {
        "pink": pink,
        "hum": motor_hum,
        "mesh": gear_mesh,
        "clatter": clatter,
        "squeal": belt_squeal,
    },
    "test": {"headstock": old_headstock, "chatter": tool_chatter, "bangs": bangs},
}


def cough(chance: np.random.Generator) -> Sound:
    """One to three bursts of breath through a throat."""
    parts: list[Sound] = []
    for _ in range(int(chance.integers(1, 4))):
        count = int(chance.uniform(0.15, 0.4) * SAMPLE_RATE)
        time = np.arange(count) / count
        peaks = chance.uniform([400, 1100, 2200], [800, 1700, 3200])
        burst = shaped(
            count, chance, lambda f, peaks=peaks: sum(1 / (1 + ((f - p) / 250) ** 2) for p in peaks)
        )
        buzz = 1 + 0.5 * np.sin(2 * np.pi * chance.uniform(90, 180) * time * count / SAMPLE_RATE)
        parts += [
            level(burst * buzz * np.minimum(1, time * 12) * (1 - time) ** 1.5),
            np.zeros(int(chance.uniform(0.05, 0.2) * SAMPLE_RATE)),
        ]
    return np.concatenate(parts)


def level(sound: Sound) -> Sound:
    """`sound` at a root mean square of 1 within BAND."""
    return sound / max(_loudness(sound), 1e-9)


def mixed(speech: Samples, bed: Sound | None, ratio: float | None, lead: int, tail: int) -> Samples:
    """`speech` with `lead` and `tail` samples of room around it, over `bed`, which is `ratio` dB weaker."""
    sound = np.zeros(lead + speech.size + tail)
    sound[lead : lead + speech.size] = speech
    if bed is not None and ratio is not None:
        wanted = _spoken_level(speech.astype(float)) / 10 ** (ratio / 20)
        sound += level(bed[: sound.size]) * wanted
    loudest = np.abs(sound).max()
    if loudest > 32_000:
        sound *= 32_000 / loudest
    return np.round(sound).astype(np.int16)


def _mesh(
    count: int,
    chance: np.random.Generator,
    tooth: float,
    turn: float,
    rush: Callable[[Sound], Sound],
) -> Sound:
    time = np.arange(count) / SAMPLE_RATE
    drift = np.cumsum(tooth * (1 + 0.004 * np.sin(2 * np.pi * turn * time))) / SAMPLE_RATE
    swell = 1 + 0.6 * np.sin(2 * np.pi * turn * time + chance.uniform(0, 6))
    tone = sum(np.sin(2 * np.pi * n * drift) / n for n in range(1, 8))
    return level(np.asarray(tone) * swell) + level(shaped(count, chance, rush))


def _loudness(sound: Sound) -> float:
    power = np.abs(np.fft.rfft(sound)) ** 2
    frequency = np.fft.rfftfreq(sound.size, 1 / SAMPLE_RATE)
    inside = (frequency >= BAND[0]) & (frequency <= BAND[1])
    return float(np.sqrt(2 * power[inside].sum()) / sound.size)


def _spoken_level(sound: Sound) -> float:
    """The level of the louder parts, so that pauses do not make speech count as quiet."""
    frame = SAMPLE_RATE // 50
    pieces = sound[: sound.size // frame * frame].reshape(-1, frame)
    power = (pieces**2).mean(axis=1)
    return _loudness(pieces[power > power.max() * 1e-3].ravel())
