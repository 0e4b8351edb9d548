"""The sounds that hearing is measured on: made here, seeded, split in two that share nothing.

Sentences, speakers and noise beds of 'tuning' are other ones than those of 'test'. Settings are
chosen on 'tuning' alone.
"""

from __future__ import annotations

import hashlib
import random
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.app import Assistant
from assistant.hearing.recogniser import SAMPLE_RATE, Samples
from assistant.query import NotUnderstood, Query
from grammar.written import Unreadable, words_of
from tests.bench.core import questions
from tests.bench.corpus_noise import BEDS, cough, mixed
from tests.bench.corpus_talk import TALK
from tests.bench.corpus_voices import as_loud, spoken, varied, voices

CACHE = Path(tempfile.gettempdir()) / "swarfside-bench"
LEAD, TAIL = round(1.0 * SAMPLE_RATE), round(3.0 * SAMPLE_RATE)
"""Samples of the room before and after each sentence: the noise goes on when nobody speaks."""
TEMPOS = (1.0, 1.0, 0.87, 1.13)
CENTS = {
    "flite-slt": (0, -100),
    "hibari": (0, -100, -200),
    "flite-rms": (0, 200),
    "flite-awb": (0, -150),
}
"""Hundredths of a semitone by which a speaker is shifted."""
PAUSE_SECONDS = 0.5
ODD_SHARE = 0.25
"""Of the sentences, so many are random ones of the grammar: sizes that no table knows."""
LONGEST_SENTENCE = 16
"""Words: random sentences beyond are left out, as nobody would say them in one breath."""


@dataclass(frozen=True)
class Clip:
    """One spoken sentence, or other talk, or a cough."""

    name: str
    kind: str
    """'standard', 'odd', 'pause', 'talk', 'call', 'alike' or 'cough'."""
    words: str
    voice: str
    samples: Samples

    def in_room(self, bed: str | None, ratio: float | None, split: str) -> Samples:
        """This clip with the room's noise around it; the same noise each time."""
        count = LEAD + self.samples.size + TAIL
        noise = None if bed is None else BEDS[split][bed](count, _noise_of(self.name, bed))
        quiet = _faint(count, self.name, "room")
        return np.clip(
            mixed(self.samples, noise, ratio, LEAD, TAIL) + np.round(quiet), -32_768, 32_767
        ).astype(np.int16)


def quiet_room(seconds: float) -> Samples:
    """A room in which nothing is to be heard: the faint noise of the microphone itself."""
    return np.round(_faint(round(seconds * SAMPLE_RATE), "quiet room")).astype(np.int16)


def _faint(count: int, *names: str) -> NDArray[np.float64]:
    return _noise_of(*names).normal(0, 6, count)


def _noise_of(*names: str) -> np.random.Generator:
    return np.random.default_rng(_number("/".join(names)))


def _number(text: str) -> int:
    return int(hashlib.sha256(text.encode()).hexdigest()[:12], 16)


class Corpus:
    """The clips of one split."""

    def __init__(self, split: str, assistant: Assistant, units: str = "inch") -> None:
        """split: 'tuning' or 'test'; 'apart' has test sentences in a voice that is not counted."""
        self.split, self._assistant, self._units = split, assistant, units
        self._sentences_of = "test" if split == "apart" else split
        self.beds_of = self._sentences_of

    @cached_property
    def beds(self) -> list[str]:
        """Names of the noise beds."""
        return list(BEDS[self.beds_of])

    def meaning(self, words: str) -> Query | NotUnderstood:
        """What the grammar reads in `words`."""
        return self._assistant.grammar.read(words, self._units)

    @cached_property
    def standard(self) -> list[str]:
        """Sentences that somebody wrote down: the grammar's examples and the tests' questions."""
        acceptor = self._assistant.grammar.acceptor()
        found = set()
        for text in [*self._assistant.grammar.examples(), *(str(q["say"]) for q in questions())]:
            try:
                words = words_of(text)
            except Unreadable:
                continue
            if acceptor.accepts(words.split()):
                found.add(words)
        return self._own(found)

    @cached_property
    def odd(self) -> list[str]:
        """Random sentences of the grammar."""
        sampled = self._assistant.grammar.sample(random.Random(77))
        acceptor = self._assistant.grammar.acceptor()
        found: set[str] = set()
        while len(found) < 900:
            words = next(sampled)
            # Some sentences can be said only where something was asked back.
            may_be_said = acceptor.accepts(words.split()) and len(words.split()) <= LONGEST_SENTENCE
            if may_be_said and isinstance(self.meaning(words), Query):
                found.add(words)
        return self._own(found)

    def _own(self, sentences: set[str]) -> list[str]:
        """Those of this split, in an order of their own; two of one meaning are in the same split."""
        mine = [
            words
            for words in sentences
            if ("tuning" if _number(str(self.meaning(words))) % 2 else "test") == self._sentences_of
        ]
        return sorted(mine, key=lambda words: _number(f"order {words}"))

    def sentences(self, count: int) -> list[Clip]:
        """`count` questions in all voices by turns, some of them odd."""
        odd = round(count * ODD_SHARE)
        wanted = [("standard", words) for words in self.standard[: count - odd]]
        # Fewer sentences than asked for: the same ones again, in other voices.
        while len(wanted) < count - odd:
            wanted += wanted[: count - odd - len(wanted)]
        wanted += [("odd", words) for words in self.odd[:odd]]
        return list(self._clips(wanted))

    def pauses(self, count: int) -> list[Clip]:
        """Standard questions with a pause in them."""
        long = [words for words in self.standard if len(words.split()) >= 5]
        return [
            Clip(f"{clip.name}-pause", "pause", clip.words, clip.voice, _with_pause(clip.samples))
            for clip in self._clips([("pause", words) for words in long[:count]])
        ]

    def talk(self, count: int) -> list[Clip]:
        """Talk that is not for the assistant."""
        mine = [
            words
            for place, words in enumerate(TALK)
            if (place % 2 == 0) == (self._sentences_of == "tuning")
        ]
        wanted = [("talk", words) for words in mine]
        wanted = (wanted * (1 + count // len(wanted)))[:count]
        return list(self._clips(wanted))

    def said(self, kind: str, phrases: Sequence[str], count: int) -> list[Clip]:
        """`count` clips: the first of `phrases` in every voice, then the next, and so on around."""
        speakers = len(voices(self.split))
        return list(
            self._clips(
                [(kind, phrases[place // speakers % len(phrases)]) for place in range(count)]
            )
        )

    def coughs(self, count: int) -> list[Clip]:
        """Coughs and throats cleared."""
        clips = []
        for number in range(count):
            sound = cough(_noise_of(self.split, "cough", str(number)))
            clips.append(Clip(f"cough-{number}", "cough", "", "", as_loud(sound)))
        return clips

    def bed(self, name: str, seconds: float) -> Samples:
        """A bed alone, as loud as it is under speech at 10 dB."""
        sound = BEDS[self.beds_of][name](
            round(seconds * SAMPLE_RATE), _noise_of(self.split, name, "alone")
        )
        return np.clip(sound * 800, -32_000, 32_000).astype(np.int16)

    def _clips(self, wanted: list[tuple[str, str]]) -> Iterator[Clip]:
        speakers = voices(self.split)
        turns: dict[str, set[str]] = {voice.name: set() for voice in speakers}
        rows = []
        for place, (kind, words) in enumerate(wanted):
            voice = speakers[place % len(speakers)]
            chance = random.Random(_number(f"{words} {voice.name} {place}"))
            rows.append((kind, words, voice, chance))
            turns[voice.name].add(words)
        said = {voice.name: spoken(voice, sorted(turns[voice.name]), CACHE) for voice in speakers}
        for place, (kind, words, voice, chance) in enumerate(rows):
            tempo, cents = chance.choice(TEMPOS), chance.choice(CENTS.get(voice.name, (0,)))
            samples = varied(said[voice.name][words], tempo, cents)
            yield Clip(f"{self.split}-{place}-{words}", kind, words, voice.name, samples)


def _with_pause(samples: Samples) -> Samples:
    """`samples` with a pause set in at the quietest place of the middle third."""
    frame = SAMPLE_RATE // 100
    third = samples.size // 3
    starts = range(third, 2 * third, frame)
    quietest = min(
        starts, key=lambda at: float(np.square(samples[at : at + frame], dtype=float).sum())
    )
    pause = np.zeros(round(PAUSE_SECONDS * SAMPLE_RATE), np.int16)
    return np.concatenate([samples[:quietest], pause, samples[quietest:]])
