"""Frames of sound -> utterances: waits for speech, feeds the recogniser, ends with the sentence."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from assistant.hearing.end_of_speech import (
    END_SECONDS,
    FRAME_SECONDS,
    LONGEST,
    SHORT_END_SECONDS,
    WHOLE_END_SECONDS,
    Speech,
    SpeechDetector,
)
from assistant.hearing.recogniser import Acceptor, Heard, Recogniser, Samples

PRE_ROLL = 0.7
"""Seconds kept from before the rule says that somebody speaks: its own 0.3 s and 0.4 s more."""
STEADY = 1.2
"""Seconds without another word that end a whole sentence where the machine hides the quiet."""
KEPT = round(LONGEST / FRAME_SECONDS)
"""Frames kept of noise in which nobody speaks: a short piece of it might pass for an emergency word."""
LOOK_EVERY = 5
"""Frames between two looks at the words so far: looking costs."""


@dataclass(frozen=True)
class Utterance:
    """Somebody spoke."""

    heard: Heard | None
    """None where the recogniser made no words of it."""
    samples: Samples
    nobody: bool = False
    """True where the recogniser is sure that nothing was said that might be for it."""


def utterances(
    frames: Iterable[Samples],
    ear: Recogniser,
    acceptor: Callable[[], Acceptor],
    on_state: Callable[[str], None],
) -> Iterator[Utterance]:
    """One Utterance for each time that somebody speaks.

    frames   : FRAME samples each
    acceptor : what can be said now; asked anew for each utterance, so that grammars may change between
    on_state : told 'listening', 'thinking', and 'noise' while what opened the ear is no speech
    """
    detector = SpeechDetector()
    before: deque[Samples] = deque(maxlen=round(PRE_ROLL / FRAME_SECONDS))
    said: list[Samples] = []
    progress = _Progress()
    pausing = nobody = False
    looks = 0
    try:
        for frame in frames:
            event = detector.feed(frame, wait=progress.wait)
            if event is Speech.QUIET:
                before.append(frame)
                continue
            if event is Speech.STARTED:
                on_state("listening")
                said = [*before, frame]
                before.clear()
                progress, pausing, nobody = _Progress(), False, False
                ear.start()
                ear.feed(np.concatenate(said))
                continue
            said.append(frame)
            ear.feed(frame)
            if detector.rule.pausing and not pausing:
                ear.pause()
            pausing = detector.rule.pausing
            looks += 1
            if event is Speech.GOES_ON and looks % LOOK_EVERY == 0:
                progress.look(ear.partial(), acceptor())
                if ear.nobody() != nobody:
                    nobody = not nobody
                    on_state("noise" if nobody else "listening")
                if nobody:
                    detector.rule.go_on()
                    del said[:-KEPT]
            if event is Speech.ENDED or progress.over or ear.settled():
                on_state("thinking")
                detector.rule.reset()
                spoken, said = said, []
                progress = _Progress()
                heard = ear.end()
                yield Utterance(heard, np.concatenate(spoken), ear.nobody())
    finally:
        # The sound broke off within a sentence: the next one must find the ear free.
        if said:
            ear.end()


class _Progress:
    """The words so far of one utterance, and what follows from them for its end."""

    def __init__(self) -> None:
        self.wait = END_SECONDS
        """Seconds of quiet that end it."""
        self._words = ""
        self._steady = 0.0

    def look(self, words: str, acceptor: Acceptor) -> None:
        """`words` are those so far; asked every LOOK_EVERY frames."""
        same = words == self._words
        self._steady = self._steady + LOOK_EVERY * FRAME_SECONDS if same else 0.0
        self._words = words
        split = words.split()
        if not acceptor.accepts(split):
            self.wait = END_SECONDS
        else:
            self.wait = WHOLE_END_SECONDS if acceptor.can_continue(split) else SHORT_END_SECONDS

    @property
    def over(self) -> bool:
        """True for a whole sentence to which nothing was added for long, though it is never quiet."""
        return self.wait < END_SECONDS and self._steady >= STEADY
