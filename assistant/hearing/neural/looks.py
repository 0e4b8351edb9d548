"""In noise that hides every pause: what was said so far, read again and again, until nothing is added."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.hearing.neural.both_ears import Read
from assistant.hearing.neural.judging import SURE

ENOUGH, ENOUGH_OPEN = 2, 3
"""Times running that a sentence must be read, nothing added, until it is over; where more could follow."""


@dataclass
class Looks:
    """The readings of one utterance in noise, in their order."""

    last: Read | None = None
    """The last one that was sure."""
    best: Read | None = None
    """The surest of those that came twice running."""
    running: int = 0
    """How often the last one came without a break."""

    def add(self, read: Read | None) -> None:
        """The next reading; one that is not sure breaks the row."""
        if read is None or read.sure < SURE:
            self.last, self.running = None, 0
            return
        same = self.last is not None and self.last.order[0][0] == read.order[0][0]
        self.running = self.running + 1 if same else 1
        self.last = read
        better = self.best is None or read.sure > self.best.sure
        if self.running > 1 and (self.running == ENOUGH or better):
            self.best = read

    def over(self, can_continue: bool) -> bool:
        """True where the sentence is over, though it is never quiet."""
        return self.running >= (ENOUGH_OPEN if can_continue else ENOUGH)
