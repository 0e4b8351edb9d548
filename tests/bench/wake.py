"""The wake phrase: calls that are missed, what else wakes it, and its load while it waits.

python -m tests.bench wake [--split tuning|test] [--calls N] [--talk N] [--seconds N] [--list]
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Iterator, Sequence

from assistant.app import Assistant
from assistant.hearing.listening import utterances
from assistant.hearing.recogniser import SAMPLE_RATE, Recogniser, Samples
from assistant.hearing.wake import PHRASE, WakePhrase
from assistant.recognition import emergency_search
from tests.bench.corpus import Clip, Corpus, quiet_room
from tests.bench.corpus_voices import voices
from tests.bench.hear import UNITS, Clock, in_turn

CALLED_AT = ("clean", "20", "15", "10")
TALKED_AT = ("clean", "15", "10")
"""Signal-to-noise ratios, dB."""
ALIKE = (
    "chop the system",
    "shopping assistant",
    "the shop is distant",
    "stop the assistant",
    "shop assistance",
    "sharp resistance",
)
"""Made up to sound as near to the phrase as talk may come; nobody says these all day."""


def wakings(samples: Samples, wake: WakePhrase) -> int:
    """How often `samples` wake an ear that sleeps; after each the loop begins anew."""
    wake.reset()
    found = 0
    for frame in Clock(samples).frames():
        if wake.feed(frame):
            found += 1
            wake.reset()
    return found


def woken(
    clips: Sequence[Clip], ratio: str, wake: WakePhrase, corpus: Corpus
) -> list[tuple[Clip, str, int]]:
    """Each of `clips`, its bed, and how often it woke: speaker and noise stay for a while, as in a shop."""
    found = []
    for bed, clip in in_turn(clips, corpus.beds):
        bed = None if ratio == "clean" else bed
        samples = clip.in_room(bed, None if bed is None else float(ratio), corpus.beds_of)
        found.append((clip, bed or "quiet", wakings(samples, wake)))
    return found


def waiting(sound: Samples, wake: WakePhrase, asleep: Recogniser, assistant: Assistant) -> None:
    """The whole of an ear that sleeps: the spotter, and beside it the search for emergency words."""

    def frames() -> Iterator[Samples]:
        for frame in Clock(sound).frames():
            yield frame
            wake.feed(frame)

    for _ in utterances(frames(), asleep, lambda: assistant.acceptor, lambda _: None):
        pass


def share_of_core(work: Callable[[], object], sound: Samples) -> float:
    """Per cent of one core that `work` on `sound` takes, were it paced as from a microphone."""
    begun = time.process_time()
    work()
    return 100 * (time.process_time() - begun) / (sound.size / SAMPLE_RATE)


def run(arguments: Sequence[str] = ()) -> None:
    """Print all of it."""
    chosen = _options(arguments)
    assistant = Assistant("heron", UNITS)
    corpus = Corpus(chosen.split, assistant, UNITS)
    print(
        f"'{PHRASE}', split '{chosen.split}': synthetic voices "
        f"{', '.join(v.name for v in voices(chosen.split))}; beds {', '.join(corpus.beds)}"
    )
    calls = corpus.said("call", [PHRASE], chosen.calls)
    for ratio in CALLED_AT:
        found = woken(calls, ratio, WakePhrase(), corpus)
        missed = [(clip, bed) for clip, bed, count in found if not count]
        print(f"calls at {ratio}: {len(missed)} of {len(found)} missed", flush=True)
        if chosen.list:
            _list(missed)
    talk = corpus.talk(chosen.talk)
    # The pauses between are left out: an hour of talk without a breath.
    minutes = sum(clip.samples.size for clip in talk) / SAMPLE_RATE / 60
    for ratio in TALKED_AT:
        found = woken(talk, ratio, WakePhrase(), corpus)
        _alarms(f"other talk at {ratio}", sum(count for *_, count in found), minutes)
        if chosen.list:
            _list([(clip, bed) for clip, bed, count in found if count])
    _alone(chosen.seconds, corpus, assistant)
    alike = corpus.said("alike", ALIKE, len(ALIKE) * len(voices(chosen.split)))
    took = [
        (clip, bed) for clip, bed, count in woken(alike, "clean", WakePhrase(), corpus) if count
    ]
    print(f"made to sound like it, clean: {len(took)} of {len(alike)} taken for it:")
    for words in ALIKE:
        print(
            f"    {words}: {sum(clip.words == words for clip, _ in took)} of {len(alike) // len(ALIKE)}"
        )


def _alone(seconds: float, corpus: Corpus, assistant: Assistant) -> None:
    """What a quiet room and each noise bed alone do to it."""
    _room("quiet room", quiet_room(seconds), assistant)
    for bed in corpus.beds:
        _room(f"{bed} alone", corpus.bed(bed, seconds), assistant)


def _room(name: str, sound: Samples, assistant: Assistant) -> None:
    wake, asleep = WakePhrase(), emergency_search(assistant)
    _alarms(name, wakings(sound, wake), sound.size / SAMPLE_RATE / 60, end="; ")
    spotter = share_of_core(lambda: wakings(sound, wake), sound)
    whole = share_of_core(lambda: waiting(sound, wake, asleep, assistant), sound)
    print(
        f"of one core the spotter {spotter:.1f} %, the sleeping ear in all {whole:.1f} %",
        flush=True,
    )


def _alarms(label: str, count: int, minutes: float, end: str = "\n") -> None:
    print(
        f"{label}: wakes it {count} times in {minutes:.1f} min, {count * 60 / minutes:.0f} an hour",
        end=end,
        flush=True,
    )


def _list(clips: Sequence[tuple[Clip, str]]) -> None:
    for clip, bed in clips:
        print(f"    {clip.voice:14} {bed:10} {clip.words}")


def _options(arguments: Sequence[str]) -> argparse.Namespace:
    known = argparse.ArgumentParser(prog="python -m tests.bench wake")
    known.add_argument("--split", choices=("tuning", "test"), default="test")
    known.add_argument("--calls", type=int, default=24)
    known.add_argument("--talk", type=int, default=140, help="sentences of other talk")
    known.add_argument("--seconds", type=float, default=60.0, help="of each bed alone")
    known.add_argument("--list", action="store_true", help="name each miss and each false waking")
    return known.parse_args(list(arguments))
