"""Frames of sound -> utterances: waits for speech, feeds the recogniser, ends with the sentence."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from assistant.hearing.end_of_speech import (
    END_SECONDS,
    FRAME_SECONDS,
    SHORT_END_SECONDS,
    WHOLE_END_SECONDS,
    Speech,
    SpeechDetector,
)
from assistant.hearing.recogniser import Acceptor, Heard, Recogniser, Samples

PRE_ROLL = 0.7
"""Seconds kept from before the rule says that somebody speaks: its own 0.3 s and 0.4 s more."""
LOOK_EVERY = 5
"""Frames between two looks at the words so far: looking costs."""


@dataclass(frozen=True)
class Utterance:
    """Somebody spoke."""

    heard: Heard | None
    """None where the recogniser made no words of it."""
    samples: Samples


def utterances(
    frames: Iterable[Samples],
    ear: Recogniser,
    acceptor: Callable[[], Acceptor],
    on_state: Callable[[str], None],
) -> Iterator[Utterance]:
    """One Utterance for each time that somebody speaks.

    frames   : FRAME samples each
    acceptor : what can be said now; asked anew for each utterance, so that grammars may change between
    on_state : told 'listening' and 'thinking'
    """
    detector = SpeechDetector()
    before: deque[Samples] = deque(maxlen=round(PRE_ROLL / FRAME_SECONDS))
    said: list[Samples] = []
    wait, pausing = END_SECONDS, False
    try:
        for frame in frames:
            event = detector.feed(frame, wait=wait)
            if event is Speech.QUIET:
                before.append(frame)
            elif event is Speech.STARTED:
                on_state("listening")
                said = [*before, frame]
                before.clear()
                wait, pausing = END_SECONDS, False
                ear.start()
                ear.feed(np.concatenate(said))
            elif event is Speech.GOES_ON:
                said.append(frame)
                ear.feed(frame)
                if detector.rule.pausing and not pausing:
                    ear.pause()
                pausing = detector.rule.pausing
                if len(said) % LOOK_EVERY == 0:
                    wait = _wait(ear.partial(), acceptor())
            else:
                on_state("thinking")
                ear.feed(frame)
                spoken, said = [*said, frame], []
                wait = END_SECONDS
                yield Utterance(ear.end(), np.concatenate(spoken))
    finally:
        # The sound broke off within a sentence: the next one must find the ear free.
        if said:
            ear.end()


def _wait(words: str, acceptor: Acceptor) -> float:
    """Seconds of quiet after `words` that end the sentence."""
    split = words.split()
    if not acceptor.accepts(split):
        return END_SECONDS
    return WHOLE_END_SECONDS if acceptor.can_continue(split) else SHORT_END_SECONDS
