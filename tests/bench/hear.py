"""How well questions are heard, on sounds made for it: right, asked back, wrong, nothing; delay and load.

python -m tests.bench hear [--split tuning|test] [--clips N] [--snr clean 20 10] [--beds NAME ...] [--engine best|sphinx]
                           [--quick] [--list]
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from concurrent.futures import wait
from dataclasses import dataclass, field
from functools import cache

from assistant.app import Assistant
from assistant.hearing.end_of_speech import FRAME, FRAME_SECONDS
from assistant.hearing.listening import Utterance, utterances
from assistant.hearing.neural.engine import NeuralRecogniser
from assistant.hearing.neural.model import model_folder, shared_model
from assistant.hearing.recogniser import SAMPLE_RATE, Heard, Recogniser, Samples
from assistant.hearing.stop_words import OnlyStopWords
from assistant.recognition import Verdict, acted_on, emergency_search, recogniser, reply_to, verdict
from tests.bench.corpus import LEAD, TAIL, Clip, Corpus
from tests.bench.corpus_noise import BEDS
from tests.bench.corpus_voices import voices

TARGETS = {"clean": (98.0, 0.5), "20": (93.0, 1.0), "15": (85.0, 2.0), "10": (65.0, 3.0)}
"""Signal-to-noise ratio -> right or asked back with the right reading, at least; wrong, at most; %."""
RATIOS = ("clean", "30", "20", "15", "10", "5")
TARGET_FACTOR, TARGET_DELAY, TARGET_DELAY_95 = 0.15, 0.6, 1.2
UNITS = "inch"
TIMED = 24
"""Sentences that are heard at the pace of a microphone, to time the wait for the answer."""
BED_SECONDS = 60.0
UNUSUAL = "metric forty one by two"
"""A question that is read back."""
ANSWERS = ("yes", "that is right", "no", "that is wrong")


@dataclass
class Result:
    """What became of one clip."""

    clip: Clip
    outcome: str
    """'right', 'asked' (the right reading is among the choices), 'missed' (asked, not among them),
    'wrong' or 'nothing'."""
    heard: list[Heard | None]
    """Whether worth an answer or not."""
    busy: float
    """Seconds of computing."""


@dataclass
class Tally:
    """The results of one condition."""

    results: list[Result] = field(default_factory=list)
    sound_seconds: float = 0.0

    def share(self, *outcomes: str) -> float:
        """Per cent."""
        count = sum(each.outcome in outcomes for each in self.results)
        return 100 * count / max(1, len(self.results))


class Clock:
    """Frames of a sound, and how many were given out."""

    def __init__(self, samples: Samples, paced: bool = False) -> None:
        """paced: as fast as from a microphone, not faster."""
        self._samples, self._paced = samples, paced
        self.given = 0
        self.begun = time.perf_counter()

    def frames(self) -> Iterator[Samples]:
        for start in range(0, self._samples.size - FRAME + 1, FRAME):
            self.given += 1
            if self._paced:
                ahead = self.begun + self.given * FRAME_SECONDS - time.perf_counter()
                time.sleep(max(0.0, ahead))
            yield self._samples[start : start + FRAME]


class PatientEar(NeuralRecogniser):
    """For sound that comes faster than from a microphone: what is read meanwhile is waited for."""

    def _free(self) -> bool:
        if self._ahead is not None:
            wait([self._ahead.found])
        return True


def ear_for(engine: str) -> Recogniser:
    """The recogniser named, so that it hears a sound alike at any pace."""
    if engine == "best" and model_folder() is not None:
        return PatientEar(shared_model)
    return recogniser(engine)


def listen(
    samples: Samples, ear: Recogniser, assistant: Assistant, paced: bool = False
) -> list[tuple[Utterance, float]]:
    """Each utterance of `samples` from a running microphone, and when it was heard: s from the start."""
    clock = Clock(samples, paced)
    # As in the live loop: the grammar itself would read its compiled file anew at each look.
    spoken = utterances(clock.frames(), ear, lambda: assistant.acceptor, lambda _: None)
    return [(each, time.perf_counter() - clock.begun) for each in spoken]


@cache
def stop_words(assistant: Assistant, ear: Recogniser) -> OnlyStopWords:
    """Loaded once for each assistant and ear."""
    return emergency_search(assistant, lambda: ear)


def done_about(utterance: Utterance, ear: Recogniser, assistant: Assistant) -> Verdict:
    """What the live loop with an open ear does about it."""
    return verdict(acted_on(utterance, assistant, stop_words(assistant, ear)), assistant)


def judge(
    clip: Clip,
    spoken: Sequence[Utterance],
    ear: Recogniser,
    assistant: Assistant,
    corpus: Corpus,
) -> str:
    """The outcome of `clip`; of several utterances the first that is acted on counts."""
    wanted = corpus.meaning(clip.words) if clip.words else None
    for each in spoken:
        what = done_about(each, ear, assistant)
        if not what.choices:
            continue
        meanings = [corpus.meaning(words) for words in what.choices]
        if not what.ask:
            return "right" if meanings[0] == wanted else "wrong"
        return "asked" if wanted in meanings else "missed"
    return "nothing"


def measure(
    clips: Sequence[Clip], ratio: str, ear: Recogniser, assistant: Assistant, corpus: Corpus
) -> Tally:
    """All `clips` at one signal-to-noise ratio; as in a shop, speaker and noise stay for a while."""
    tally = Tally()
    for samples, clip in in_rooms(clips, ratio, corpus):
        begun = time.process_time()
        found = listen(samples, ear, assistant)
        busy = time.process_time() - begun
        spoken = [each for each, _ in found]
        outcome = judge(clip, spoken, ear, assistant, corpus)
        tally.results.append(Result(clip, outcome, [each.heard for each in spoken], busy))
        tally.sound_seconds += (samples.size - LEAD - TAIL) / SAMPLE_RATE
    return tally


def in_rooms(clips: Sequence[Clip], ratio: str, corpus: Corpus) -> Iterator[tuple[Samples, Clip]]:
    """Each clip as a microphone hears it at `ratio`, 'clean' or dB."""
    for bed, clip in in_turn(clips, corpus.beds):
        noisy = ratio != "clean"
        yield (
            clip.in_room(bed if noisy else None, float(ratio) if noisy else None, corpus.beds_of),
            clip,
        )


def in_turn(clips: Sequence[Clip], beds: Sequence[str]) -> Iterator[tuple[str | None, Clip]]:
    """Each clip and its bed: speaker by speaker, and each speaker in all beds one after the other."""
    by_voice: dict[str, list[Clip]] = defaultdict(list)
    for clip in clips:
        by_voice[clip.voice].append(clip)
    for said in by_voice.values():
        for number, clip in enumerate(said):
            yield beds[number * len(beds) // len(said)], clip


def noise_alone(ear: Recogniser, assistant: Assistant, corpus: Corpus, seconds: float) -> float:
    """How many times an hour a bed alone is acted on."""
    acted = 0
    for bed in corpus.beds:
        for spoken, _ in listen(corpus.bed(bed, seconds), ear, assistant):
            acted += bool(done_about(spoken, ear, assistant).choices)
    return acted * 3600 / (seconds * len(corpus.beds))


def delays(
    clips: Sequence[Clip], ratio: str, ear: Recogniser, assistant: Assistant, corpus: Corpus
) -> list[float]:
    """Seconds from the end of each sentence to its words, the sound coming as from a microphone."""
    found = []
    for samples, _ in in_rooms(clips, ratio, corpus):
        heard = listen(samples, ear, assistant, paced=True)
        if heard:
            found.append(heard[-1][1] - (samples.size - TAIL) / SAMPLE_RATE)
    return found


def percentile(values: Sequence[float], share: float) -> float:
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def row(label: str, tally: Tally) -> str:
    """One line of the table."""
    told = tally.share("right", "asked")
    wrong = tally.share("wrong")
    factor = sum(each.busy for each in tally.results) / max(tally.sound_seconds, 1e-9)
    aim = TARGETS.get(label)
    wanted = f"{aim[0]:4.0f} / {aim[1]:g}" if aim else ""
    return (
        f"{label:>8} {len(tally.results):5} {tally.share('right'):6.1f} {tally.share('asked'):6.1f} {told:8.1f} "
        f"{wrong:6.1f} {tally.share('missed'):7.1f} {tally.share('nothing'):8.1f}   {factor:5.2f}   {wanted}"
    )


HEAD = (
    f"{'SNR dB':>8} {'clips':>5} {'right':>6} {'asked':>6} {'together':>8} {'wrong':>6} {'missed':>7} "
    f"{'nothing':>8}   {'RTF':>5}   targets: together / wrong"
)


def run(arguments: Sequence[str] = ()) -> None:
    """Print the table."""
    chosen = _options(arguments)
    assistant = Assistant("heron", UNITS)
    corpus = Corpus(chosen.split, assistant, UNITS)
    corpus.beds = chosen.beds or corpus.beds
    ear = ear_for(chosen.engine)
    begun = time.process_time()
    assistant.listen_with(ear)
    graph = assistant.acceptor
    print(
        f"grammar: {len(graph.transitions)} states, {sum(1 for _ in graph.arcs())} arcs, "
        f"loaded in {time.process_time() - begun:.2f} s"
    )
    print(
        f"split '{chosen.split}': synthetic voices {', '.join(v.name for v in voices(chosen.split))}; "
        f"beds {', '.join(corpus.beds)}; scored by meaning, in %"
    )
    print(HEAD)
    clips = corpus.sentences(chosen.clips)
    for ratio in chosen.snr:
        tally = measure(clips, ratio, ear, assistant, corpus)
        print(row(ratio, tally), flush=True)
        if chosen.list:
            _details(tally, assistant)
        _by_kind(tally)
    # Nothing is waited for that a microphone would not wait for.
    prompt = recogniser(chosen.engine)
    assistant.listen_with(prompt)
    timed = clips[:: max(1, len(clips) // TIMED)]
    for ratio in [each for each in chosen.snr if each in ("clean", "15")]:
        waits = delays(timed, ratio, prompt, assistant, corpus)
        print(
            f"from the end of speech to the words at {ratio}: median {statistics.median(waits):.2f} s, "
            f"95 % {percentile(waits, 0.95):.2f} s ({len(waits)} sentences)",
            flush=True,
        )
    if not chosen.quick:
        _pauses(chosen, ear, assistant, corpus)
    _not_for_us(chosen, ear, assistant, corpus)
    if not chosen.quick:
        _read_back(chosen, ear, assistant, corpus)


def _pauses(
    chosen: argparse.Namespace, ear: Recogniser, assistant: Assistant, corpus: Corpus
) -> None:
    print("with a pause of half a second inside:")
    for ratio in [each for each in chosen.snr if each in ("clean", "15")]:
        clips = corpus.pauses(max(10, chosen.clips // 3))
        print(row(ratio, measure(clips, ratio, ear, assistant, corpus)), flush=True)


def _not_for_us(
    chosen: argparse.Namespace, ear: Recogniser, assistant: Assistant, corpus: Corpus
) -> None:
    few = max(12, chosen.clips // 3)
    for name, clips in (("other talk", corpus.talk(few)), ("coughs", corpus.coughs(few))):
        for ratio in [each for each in chosen.snr if each in ("clean", "15")]:
            tally = measure(clips, ratio, ear, assistant, corpus)
            acted = tally.share("wrong")
            asked = tally.share("missed", "asked")
            print(
                f"{name} at {ratio}: {len(clips)} clips, accepted {acted:.1f} %, asked back {asked:.1f} %",
                flush=True,
            )
            if chosen.list:
                _details(tally, assistant, only=("wrong", "missed"))
    seconds = BED_SECONDS if chosen.clips >= 100 else BED_SECONDS / 3
    hourly = noise_alone(ear, assistant, corpus, seconds)
    print(
        f"noise alone: acted on {hourly:.0f} times an hour ({seconds * len(corpus.beds):.0f} s heard)"
    )
    print(
        f"targets: other talk 1 %, noise and coughs 0; delay {TARGET_DELAY} s, 95 % {TARGET_DELAY_95} s; RTF {TARGET_FACTOR}"
    )


def _read_back(
    chosen: argparse.Namespace, ear: Recogniser, assistant: Assistant, corpus: Corpus
) -> None:
    """Short answers where an unusual question was read back, and what else may be taken for one."""
    reply_to(Heard(UNUSUAL, 1.0, complete=True), assistant)
    assistant.refresh(ear)
    few = max(12, chosen.clips // 3)
    kinds = (
        ("answers", corpus.said("answer", ANSWERS, few)),
        ("talk", corpus.talk(few)),
        ("coughs", corpus.coughs(few)),
    )
    for ratio in [each for each in chosen.snr if each in ("clean", "15")]:
        told = []
        for name, clips in kinds:
            taken = right = 0
            for samples, clip in in_rooms(clips, ratio, corpus):
                choices = [
                    done_about(each, ear, assistant).choices
                    for each, _ in listen(samples, ear, assistant)
                ]
                first = next((each[0] for each in choices if each), None)
                taken += first is not None
                right += first == clip.words
            told.append(
                f"{name} taken {taken} of {len(clips)}" + (f", right {right}" if right else "")
            )
        print(f"after a question read back at {ratio}: {'; '.join(told)}", flush=True)


def _by_kind(tally: Tally) -> None:
    kinds: dict[str, Counter[str]] = defaultdict(Counter)
    for each in tally.results:
        kinds[each.clip.kind][each.outcome] += 1
        kinds[each.clip.voice][each.outcome] += 1
    parts = []
    for kind, counts in sorted(kinds.items()):
        total = counts.total()
        parts.append(
            f"{kind} {100 * (counts['right'] + counts['asked']) / total:.0f}/{100 * counts['wrong'] / total:.0f}"
        )
    print(f"{'':14} together/wrong: {', '.join(parts)}")


def _details(
    tally: Tally, assistant: Assistant, only: Sequence[str] = ("wrong", "missed", "nothing")
) -> None:
    for each in tally.results:
        if each.outcome in only:
            heard = " | ".join(
                f"{h.words} ({h.confidence:.2f}{'' if h.complete else ', no whole sentence'})"
                if h
                else "-"
                for h in each.heard
            )
            print(
                f"    {each.outcome:8} {each.clip.voice:14} {each.clip.words}  <-  {heard or 'no utterance'}"
            )


def _options(arguments: Sequence[str]) -> argparse.Namespace:
    known = argparse.ArgumentParser(prog="python -m tests.bench hear")
    known.add_argument("--split", choices=("tuning", "test", "apart"), default="test")
    known.add_argument("--clips", type=int, default=150)
    known.add_argument("--engine", choices=("best", "sphinx"), default="best")
    known.add_argument("--snr", nargs="+", choices=RATIOS, default=list(RATIOS))
    known.add_argument("--beds", nargs="+", help="only these")
    known.add_argument("--quick", action="store_true", help="without pauses and short answers")
    known.add_argument(
        "--list", action="store_true", help="name every clip that was not heard right"
    )
    chosen = known.parse_args(list(arguments))
    beds = BEDS["tuning" if chosen.split == "tuning" else "test"]
    for bed in chosen.beds or ():
        if bed not in beds:
            known.error(f"split {chosen.split} has no bed '{bed}', but {', '.join(beds)}")
    return chosen
