"""What an open ear costs while nobody speaks: its share of one core, its memory, and how often it opens by mistake.

python -m tests.bench idle [--engine best|sphinx] [--seconds N] [--fast]
"""

from __future__ import annotations

import argparse
import resource
import time
from collections.abc import Sequence
from pathlib import Path

from assistant.app import Assistant
from assistant.hearing.listening import utterances
from assistant.hearing.recogniser import SAMPLE_RATE, Recogniser, Samples
from assistant.recognition import recogniser
from tests.bench.corpus import Corpus, quiet_room
from tests.bench.hear import UNITS, Clock, done_about

BEDS_OF = "tuning"
WARMING = 8.0
"""Seconds before the measuring, of noise and of quiet: what is loaded once belongs to the start, not to the waiting."""


def wait(sound: Samples, ear: Recogniser, assistant: Assistant, paced: bool) -> tuple[int, int]:
    """How often the ear opened in `sound`, and how often what it took for words was acted on or asked about."""
    opened = acted = 0

    def on_state(state: str) -> None:
        nonlocal opened
        opened += state == "listening"

    frames = Clock(sound, paced).frames()
    for each in utterances(frames, ear, lambda: assistant.acceptor, on_state):
        acted += bool(done_about(each, ear, assistant).choices)
    return opened, acted


def run(arguments: Sequence[str] = ()) -> None:
    """Print one line for each room."""
    chosen = _options(arguments)
    assistant = Assistant("heron", UNITS)
    corpus = Corpus(BEDS_OF, assistant, UNITS)
    ear = recogniser(chosen.engine)
    assistant.listen_with(ear)
    rooms = [("quiet room", quiet_room(chosen.seconds))]
    rooms += [(bed, corpus.bed(bed, chosen.seconds)) for bed in corpus.beds]
    ear.hear(corpus.bed(corpus.beds[0], WARMING))
    wait(quiet_room(WARMING), ear, assistant, paced=True)
    print(f"memory: {_resident():.0f} MB, {_most():.0f} MB while loading (Linux)")
    pace = "faster than" if chosen.fast else "paced as"
    print(f"engine {chosen.engine}; {chosen.seconds:g} s of each, {pace} from a microphone")
    print(f"{'room':>12} {'of one core':>12} {'opened':>20} {'acted on':>20}")
    for name, sound in rooms:
        minutes = sound.size / SAMPLE_RATE / 60
        begun = time.process_time()
        opened, acted = wait(sound, ear, assistant, paced=not chosen.fast)
        share = 100 * (time.process_time() - begun) / (sound.size / SAMPLE_RATE)
        print(
            f"{name:>12} {share:10.1f} % {opened / minutes:9.1f} a minute {acted / minutes:9.1f} a minute",
            flush=True,
        )


def _resident() -> float:
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * resource.getpagesize() / 2**20


def _most() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**10


def _options(arguments: Sequence[str]) -> argparse.Namespace:
    known = argparse.ArgumentParser(prog="python -m tests.bench idle")
    known.add_argument("--engine", choices=("best", "sphinx"), default="best")
    known.add_argument("--seconds", type=float, default=60.0, help="of each room")
    known.add_argument("--fast", action="store_true", help="not at the pace of a microphone")
    return known.parse_args(list(arguments))
