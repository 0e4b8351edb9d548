"""An utterance whose beginning and end the operator gives with a key; no speech detector decides."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from assistant.hearing.end_of_speech import FRAME, LONGEST
from assistant.hearing.listening import Utterance
from assistant.hearing.recogniser import SAMPLE_RATE, Recogniser, Samples

AFTER = 0.2
"""Seconds heard after the key is let go: a foot is quicker than the end of a word."""


def held_utterance(
    first: Sequence[Samples],
    frames: Iterator[Samples],
    ear: Recogniser,
    down: Callable[[], bool],
    on_state: Callable[[str], None],
) -> Utterance:
    """What is said while the key is down, recognised as a whole once it is up.

    first    : frames that came since it went down
    frames   : those that follow
    down     : False once the key is up; a key that never comes up counts as up after LONGEST seconds
    on_state : told 'thinking'
    """
    said = list(first)
    left = round(AFTER * SAMPLE_RATE / FRAME)
    most = round(LONGEST * SAMPLE_RATE / FRAME)
    for frame in frames:
        said.append(frame)
        if not down():
            left -= 1
        if left <= 0 or len(said) >= most:
            break
    on_state("thinking")
    samples = np.concatenate(said)
    heard = ear.hear(samples)
    return Utterance(heard, samples, ear.nobody())
