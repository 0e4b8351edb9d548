"""`swarfside learn-voice`: fits the ear to one operator by ten read sentences, and tells whether it helped."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.app import Assistant
from assistant.errors import DeviceError
from assistant.hearing.levels import Levels, decibels, levels, troubles
from assistant.hearing.listening import utterances
from assistant.hearing.microphone import Microphone
from assistant.hearing.operators import Operator
from assistant.hearing.recogniser import Recogniser, Samples
from assistant.hearing.warped import fitted
from assistant.hearing.wav import read_wav
from assistant.query import Query
from assistant.recognition import worth_answering

SENTENCES = (
    "half inch thirteen",
    "when do i close the half nut",
    "metric twelve by one point seven five",
    "speed for brass forty millimetres high speed steel",
    "seven sixteenths in millimetres",
    "eleven and a half threads per inch",
    "feed point one five",
    "show the working",
    "tap drill for metric ten",
    "morse taper three",
)
"""Read in this order; every other one is held back and only tells whether the fit helped."""
LEAST = 4
"""Sentences without which nothing can be learned and checked."""
STEP, FURTHEST = 0.06, 0.18
"""Of the warps tried: from one to the next, and away from none."""
Say = Callable[[str], None]
Read = tuple[str, Samples]
"""The words and their sound."""


@dataclass(frozen=True)
class Score:
    """How well some sentences are heard."""

    right: int
    sure: float
    """Mean confidence, 0 to 1; that of a sentence heard wrong counts as 0."""

    def better_than(self, other: Score) -> bool:
        """More sentences right, or as many and clearly surer."""
        return self.right > other.right or (
            self.right == other.right and self.sure > other.sure + 0.02
        )


@dataclass(frozen=True)
class Learned:
    """What came of it."""

    operator: Operator
    before: Score
    """On the held-back sentences, as the ear was."""
    after: Score
    """The same with the warp that fits the other sentences best."""
    tried: float
    """That warp; the operator's is 1 where it did not help."""


def learn(name: str, read: Sequence[Read], assistant: Assistant, ear: Recogniser) -> Learned:
    """The warp that fits `read` best, kept only where it helps with the sentences held back.

    Raises DeviceError where too few sentences were read.
    """
    if len(read) < LEAST:
        raise DeviceError(
            "operator", f"only {len(read)} sentences were read", f"read at least {LEAST}"
        )
    fitting, held_back = read[::2], read[1::2]

    def scored(warp: float, sentences: Sequence[Read]) -> Score:
        return score(sentences, assistant, fitted(ear, warp))

    best = _best_warp(lambda warp: scored(warp, fitting))
    before = scored(1.0, held_back)
    after = before if best == 1.0 else scored(best, held_back)
    measured = _levels(read)
    kept = best if after.better_than(before) else 1.0
    return Learned(Operator(name, kept, measured.speech, measured.noise), before, after, best)


def _best_warp(scored: Callable[[float], Score]) -> float:
    """Goes up, then down, as long as it gets no worse."""
    best, usual = 1.0, scored(1.0)
    best_score = usual
    for direction in (1, -1):
        last = usual
        for step in range(1, round(FURTHEST / STEP) + 1):
            warp = round(1.0 + direction * step * STEP, 2)
            now = scored(warp)
            if last.better_than(now):
                break
            if now.better_than(best_score):
                best, best_score = warp, now
            last = now
    return best


def score(sentences: Sequence[Read], assistant: Assistant, ear: Recogniser) -> Score:
    """How well `ear` hears them."""
    units = assistant.conversation.memory.units
    sure = []
    for words, samples in sentences:
        heard = ear.hear(samples)
        wanted = assistant.grammar.read(words, units)
        right = (
            heard is not None
            and worth_answering(heard, assistant)
            and isinstance(wanted, Query)
            and assistant.grammar.read(heard.words, units) == wanted
        )
        sure.append(heard.confidence if right and heard is not None else 0.0)
    return Score(sum(each > 0 for each in sure), float(np.mean(sure)) if sure else 0.0)


def _levels(read: Sequence[Read]) -> Levels:
    each = [levels(samples) for _, samples in read]
    speech = [one.speech for one in each if one.speech is not None]
    return Levels(
        float(np.mean(speech)) if speech else None,
        float(np.median([one.noise for one in each])),
        max(one.clipped for one in each),
    )


def read_from_files(folder: Path) -> list[Read]:
    """The WAV files of `folder`, each named by its words ('half_inch_thirteen.wav')."""
    return [(file.stem.replace("_", " "), read_wav(file)) for file in sorted(folder.glob("*.wav"))]


def read_aloud(
    assistant: Assistant, ear: Recogniser, say: Say, device: str | None
) -> Iterator[Read]:
    """Each of SENTENCES as the operator reads it. Raises DeviceError where the microphone fails."""
    with Microphone(device) as microphone:
        frames = microphone.frames()
        for number, words in enumerate(SENTENCES, start=1):
            say(f"{number} of {len(SENTENCES)}, read aloud: {words}")
            microphone.drain()
            acceptor = assistant.grammar.acceptor
            utterance = next(utterances(frames, ear, acceptor, lambda state: None))
            say(f"  {decibels(utterance.samples):.0f} dB of full scale")
            yield words, utterance.samples


def report(learned: Learned, read: Sequence[Read], say: Say) -> None:
    """Tells what was measured and, honestly, whether it helped."""
    measured = _levels(read)
    if measured.speech is not None:
        say(f"Speech {measured.speech:.0f}, noise {measured.noise:.0f} dB of full scale.")
    for sentence in troubles(measured):
        say(sentence)
    count = len(read[1::2])
    if learned.operator.warp != 1.0:
        say(
            f"All frequencies are changed by {100 / learned.operator.warp - 100:+.0f} % from now on: "
            f"of {count} sentences held back {learned.before.right} were understood before, "
            f"{learned.after.right} now."
        )
        return
    say(
        f"Nothing improved: of {count} sentences held back {learned.before.right} are understood, "
        "and no change of the ear that was tried makes it more. The ear stays as it is."
    )
