"""`swarfside learn-voice`: fits the ear to one operator by ten read sentences, and tells whether it helped."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from assistant.app import Assistant
from assistant.errors import DeviceError
from assistant.hearing.acoustic_model import bundled_model
from assistant.hearing.alignment import Aligner
from assistant.hearing.levels import Levels, decibels, levels, troubles
from assistant.hearing.listening import utterances
from assistant.hearing.microphone import Microphone
from assistant.hearing.mllr import transform_for
from assistant.hearing.noise import reduced
from assistant.hearing.operators import Operator, fitted_to
from assistant.hearing.recogniser import Heard, Recogniser, Samples
from assistant.hearing.warped import Fittable, stretched
from assistant.hearing.wav import read_wav
from assistant.recognition import heard_as
from grammar.understanding import pronunciations

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
class Tried:
    """One part of a fit, and how the held-back sentences are heard without and with it."""

    before: Score
    after: Score
    kept: bool

    @property
    def helps(self) -> bool:
        """True if they are heard better with it."""
        return self.after.better_than(self.before)


@dataclass(frozen=True)
class Learned:
    """What came of it."""

    operator: Operator
    """With what is kept."""
    warp: Tried
    """The change of frequencies that fits the other sentences best."""
    mean: Tried | None
    """Their cepstral mean as a start; None where the recogniser has none."""
    transform: Tried | None
    """Their change of the model's sounds, on top of both; None where none could be learned."""
    held_back: int
    """Sentences that tell whether it helped."""

    @property
    def parts(self) -> list[Tried]:
        """All that was tried."""
        return [each for each in (self.warp, self.mean, self.transform) if each is not None]

    @property
    def helps(self) -> bool:
        """True if anything does."""
        return any(each.helps for each in self.parts)


def learn(name: str, read: Sequence[Read], assistant: Assistant, ear: Recogniser) -> Learned:
    """The fit to `read`, part after part, each kept only for what it does for the sentences held back.

    `ear` is left as it hears anybody. Raises DeviceError where too few sentences were read.
    """
    if len(read) < LEAST:
        raise DeviceError(
            "operator", f"only {len(read)} sentences were read", f"read at least {LEAST}"
        )
    fitting, held_back = read[::2], read[1::2]
    trial = _Trial(assistant, ear, fitting)

    def scored(voice: Operator) -> Score:
        return trial.score(voice, held_back)

    best = _best_warp(lambda warp: trial.score(trial.settled(warp), fitting))
    before = scored(trial.settled(1.0))
    after = before if best == 1.0 else scored(trial.settled(best))
    warp = Tried(before, after, after.better_than(before))
    settled = trial.settled(best if warp.kept else 1.0)
    mean = transform = None
    if settled.mean is not None:
        before, after = scored(replace(settled, mean=None)), scored(settled)
        mean = Tried(before, after, not before.better_than(after))
        # Kept or not, the ear comes to this mean by itself: the transform is judged with it.
        changed = trial.transformed(settled)
        if changed is not None:
            before, after = after, scored(changed)
            transform = Tried(before, after, after.better_than(before))
            settled = changed if transform.kept else settled
    fitted_to(None, ear)
    measured = _levels(read)
    operator = replace(
        settled,
        name=name,
        speech=measured.speech,
        noise=measured.noise,
        mean=settled.mean if mean is not None and mean.kept else None,
    )
    return Learned(operator, warp, mean, transform, len(held_back))


class _Trial:
    """An ear fitted in one way and another. Every sentence is heard as the first after the fit."""

    def __init__(self, assistant: Assistant, ear: Recogniser, fitting: Sequence[Read]) -> None:
        self._assistant, self._fitting = assistant, fitting
        self._ear = fitted_to(None, ear)
        fittable = isinstance(self._ear, Fittable)
        self._aligner = Aligner(pronunciations()) if fittable else None
        self._settled: dict[float, Operator] = {}

    def settled(self, warp: float) -> Operator:
        """A voice with this warp, and the cepstral mean that the ear comes to with it."""
        if warp not in self._settled:
            sounds = [self._quiet(samples, warp) for _, samples in self._fitting]
            mean = self._aligner.mean(sounds) if self._aligner is not None else None
            self._settled[warp] = Operator("", warp, mean=mean)
        return self._settled[warp]

    def transformed(self, voice: Operator) -> Operator | None:
        """`voice` with the transform that fits; None where there is too little speech."""
        assert self._aligner is not None
        assert voice.mean is not None
        known = self._assistant.grammar.acceptor()
        aligned = [
            self._aligner.aligned(words, self._quiet(samples, voice.warp), voice.mean)
            for words, samples in self._fitting
            if known.accepts(words.split())
        ]
        found = transform_for([each for each in aligned if each is not None], bundled_model())
        return None if found is None else replace(voice, transform=found)

    def score(self, voice: Operator, sentences: Sequence[Read]) -> Score:
        """How well an ear fitted to `voice` hears them."""
        return score(sentences, self._assistant, lambda samples: self._heard(voice, samples))

    def _heard(self, voice: Operator, samples: Samples) -> Heard | None:
        ear = fitted_to(voice, self._ear)
        ear.start()
        ear.feed(samples)
        return ear.end()

    @staticmethod
    def _quiet(samples: Samples, warp: float) -> Samples:
        """What the quick ear gets to hear of it."""
        return reduced(samples if warp == 1.0 else stretched(samples, warp))[0]


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


def score(
    sentences: Sequence[Read], assistant: Assistant, hear: Callable[[Samples], Heard | None]
) -> Score:
    """How well `hear` understands them."""
    sure = []
    for words, samples in sentences:
        heard = hear(samples)
        right = heard_as(words, heard, assistant)
        sure.append(heard.confidence if heard is not None and right else 0.0)
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
    count = learned.held_back
    say(_of_warp(learned.operator.warp, learned.warp, count))
    if learned.mean is not None:
        say(_of_mean(learned.mean, count))
    if learned.transform is not None:
        say(_of_transform(learned.transform, count))
    if not learned.helps:
        say(
            f"Nothing improved: of {count} sentences held back {learned.warp.before.right} are understood, "
            "and no change of the ear that was tried makes it more."
        )


def _of_warp(warp: float, tried: Tried, count: int) -> str:
    if tried.kept:
        change = f"All frequencies are changed by {100 / warp - 100:+.0f} % from now on"
        return f"{change}: {_compared(tried, count)}."
    if tried.before is tried.after:
        return "Of the changes of all frequencies that were tried none is heard better."
    return f"A change of all frequencies does not help: {_compared(tried, count)}. It is not used."


def _of_mean(tried: Tried, count: int) -> str:
    begins = "The ear begins with the mean sound of your voice (cepstral mean)"
    if tried.helps:
        return f"{begins}: right after the start, {_compared(tried, count)}."
    if tried.kept:
        return f"{begins}; it neither helps nor harms: {_compared(tried, count)}."
    return f"To begin with the mean sound of your voice (cepstral mean) harms: {_compared(tried, count)}. It is not used."


def _of_transform(tried: Tried, count: int) -> str:
    if tried.kept:
        return f"The sounds of the quick ear's model are changed to yours (MLLR): {_compared(tried, count)}."
    return f"To change the sounds of the quick ear's model to yours (MLLR) does not help: {_compared(tried, count)}. It is not used."


def _compared(tried: Tried, count: int) -> str:
    surer = ", more surely" if tried.helps and tried.before.right == tried.after.right else ""
    return (
        f"of {count} sentences held back {tried.before.right} are understood without it, "
        f"{tried.after.right} with it{surer}"
    )
