"""What `swarfside learn-voice` gains: sentences understood before and after it, by voices raised and lowered by machine.

python -m tests.bench learn [--engine sphinx best] [--voices NAME ...] [--cents 0 300 -300] [--snr clean 20] [--sentences N]

Voices and noise of the tuning split only. Ten sentences are read in the same room; others are
then heard as the live loop hears them, one after the other. No voice is counted that says both.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.app import Assistant
from assistant.hearing.operators import Operator, fitted_to
from assistant.hearing.recogniser import SAMPLE_RATE, Recogniser, Samples
from assistant.learning import SENTENCES, Learned, Tried, learn
from assistant.recognition import recogniser
from tests.bench.corpus import CACHE, LEAD, TAIL, Clip, Corpus
from tests.bench.corpus_voices import Voice, spoken, varied, voices
from tests.bench.hear import judge, listen

SPLIT, UNITS = "tuning", "inch"
LEAST_WORDS = 3
BEFORE, BEYOND = round(0.3 * SAMPLE_RATE), round(0.6 * SAMPLE_RATE)
"""Samples of the room around a sentence that is read."""
HEAD = (
    f"{'voice':13} {'cents':>5} {'SNR':>5} | {'right':>5} {'asked':>5} {'wrong':>5} {'talk':>4} | "
    f"{'right':>5} {'asked':>5} {'wrong':>5} {'talk':>4} | of   what was kept and what helped of 5 held back (without, with)"
)


@dataclass(frozen=True)
class Counted:
    """Of some sentences and some talk."""

    right: int
    asked: int
    wrong: int
    talk: int
    """Other talk that was taken for a question."""

    def __str__(self) -> str:
        return f"{self.right:5} {self.asked:5} {self.wrong:5} {self.talk:4}"

    def __add__(self, other: Counted) -> Counted:
        return Counted(
            self.right + other.right,
            self.asked + other.asked,
            self.wrong + other.wrong,
            self.talk + other.talk,
        )


class Bench:
    """One recogniser, before and after."""

    def __init__(self, engine: str, chosen: argparse.Namespace) -> None:
        self._assistant = Assistant("heron", UNITS)
        self._corpus = Corpus(SPLIT, self._assistant, UNITS)
        self.beds = self._corpus.beds
        self._ear: Recogniser = recogniser(engine)
        self._assistant.listen_with(self._ear)
        read = {str(self._corpus.meaning(words)) for words in SENTENCES}
        usable = [
            words
            for words in self._corpus.standard
            if len(words.split()) >= LEAST_WORDS and str(self._corpus.meaning(words)) not in read
        ]
        self._asked = usable[: chosen.sentences]
        self._talk = sorted({clip.words for clip in self._corpus.talk(100)})[: chosen.talk]

    def line(self, voice: Voice, cents: float, ratio: str, bed: str) -> tuple[Counted, Counted]:
        """Prints one line of the table."""

        def said(kind: str, wanted: Sequence[str]) -> list[tuple[Clip, Samples]]:
            sounds = spoken(voice, sorted(wanted), CACHE)
            clips = [
                Clip(f"{kind}-{words}", kind, words, voice.name, varied(sounds[words], 1.0, cents))
                for words in wanted
            ]
            noise = (None, None) if ratio == "clean" else (bed, float(ratio))
            return [(clip, clip.in_room(*noise, SPLIT)) for clip in clips]

        # As they are cut out of what the microphone hears: with little of the room around them.
        cut = slice(LEAD - BEFORE, BEYOND - TAIL)
        read = [(clip.words, sound[cut]) for clip, sound in said("read", SENTENCES)]
        asked, talk = said("standard", self._asked), said("talk", self._talk)

        def counted(operator: Operator | None) -> Counted:
            ear = fitted_to(operator, self._ear)
            found = [self._outcome(clip, sound, ear) for clip, sound in asked]
            other = [self._outcome(clip, sound, ear) for clip, sound in talk]
            return Counted(
                found.count("right"),
                found.count("asked"),
                found.count("wrong"),
                sum(each in ("wrong", "right") for each in other),
            )

        before = counted(None)
        begun = time.process_time()
        learned = learn("bench", read, self._assistant, self._ear)
        busy = time.process_time() - begun
        after = counted(learned.operator)
        print(
            f"{voice.name:13} {cents:5.0f} {ratio:>5} | {before} | {after} | {len(asked):3}  "
            f"{_told(learned)}; learnt in {busy:.0f} s",
            flush=True,
        )
        return before, after

    def _outcome(self, clip: Clip, sound: Samples, ear: Recogniser) -> str:
        heard = [each for each, _ in listen(sound, ear, self._assistant)]
        return judge(clip, heard, self._assistant, self._corpus)


def _told(learned: Learned) -> str:
    parts = (
        (f"warp {learned.operator.warp:g}", learned.warp),
        ("mean", learned.mean),
        ("transform", learned.transform),
    )
    return ", ".join(f"{name} {_part(tried)}" for name, tried in parts if tried is not None)


def _part(tried: Tried) -> str:
    state = "helps" if tried.helps else "kept" if tried.kept else "no"
    return f"{state} {tried.before.right}/{tried.after.right}"


def run(arguments: Sequence[str] = ()) -> None:
    """Print the tables."""
    chosen = _options(arguments)
    for engine in chosen.engine:
        bench = Bench(engine, chosen)
        beds = bench.beds
        print(f"engine {engine}; {'before':>34} {'after':>25}\n{HEAD}", flush=True)
        none = Counted(0, 0, 0, 0)
        totals = dict.fromkeys(chosen.snr, (none, none))
        known = [each for each in voices(SPLIT) if not chosen.voices or each.name in chosen.voices]
        for number, voice in enumerate(known):
            for cents in chosen.cents:
                for ratio in chosen.snr:
                    found = bench.line(voice, cents, ratio, beds[number % len(beds)])
                    sums = zip(totals[ratio], found, strict=True)
                    totals[ratio] = tuple(one + other for one, other in sums)  # type: ignore[assignment]
        for ratio, (before, after) in totals.items():
            print(f"{'together':19} {ratio:>5} | {before} | {after} |", flush=True)


def _options(arguments: Sequence[str]) -> argparse.Namespace:
    known = argparse.ArgumentParser(prog="python -m tests.bench learn")
    known.add_argument(
        "--engine", nargs="+", choices=("sphinx", "best"), default=["sphinx", "best"]
    )
    known.add_argument("--voices", nargs="+", default=[], help="all where none is named")
    known.add_argument("--cents", nargs="+", type=float, default=[0, 300, -300])
    known.add_argument("--snr", nargs="+", default=["clean", "20"])
    known.add_argument("--sentences", type=int, default=20)
    known.add_argument("--talk", type=int, default=6)
    return known.parse_args(list(arguments))
