"""What a recogniser is, what it needs to know of a grammar, and what it hands on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeAlias, runtime_checkable

import numpy as np
from numpy.typing import NDArray

SAMPLE_RATE = 16_000
"""Samples per second of every sound that is recognised; one channel."""

Samples: TypeAlias = NDArray[np.int16]
"""Sound: 16 bit, one channel, SAMPLE_RATE."""

Phones: TypeAlias = Mapping[str, Sequence[str]]
"""Word -> one or several pronunciations, ARPAbet, blanks between."""

Meaning: TypeAlias = Callable[[str], object]
"""What a sentence means: equal for sentences between which nobody need choose."""


@dataclass(frozen=True)
class Heard:
    """One utterance in words."""

    words: str
    """Lower case, one blank between words."""
    confidence: float
    """0 to 1: how well the sound fits the sentence against how well it fits any speech at all.
    Below 0.5 it is probably other talk. Says nothing of look-alike numbers (thirteen, thirty)."""
    complete: bool
    """True if the words are a whole sentence of the grammar; never act on one that is not."""
    alternatives: tuple[str, ...] = ()
    """Other whole sentences of the grammar that fit the sound less well, best first."""
    close: int = 0
    """So many of `alternatives`, from the first, fit about as well: whoever spoke must choose."""
    ratio: float | None = None
    """Speech to noise, dB; None where it is not known."""

    @property
    def sure(self) -> bool:
        """True if it may be acted on: a whole sentence that is no other talk.

        >>> Heard("feed point one", 0.9, complete=False).sure
        False
        """
        return self.complete and self.confidence >= 0.5


class Acceptor(Protocol):
    """The sentences of a grammar as an acyclic word graph."""

    @property
    def start(self) -> int:
        """The first state."""

    @property
    def finals(self) -> frozenset[int]:
        """The states in which a sentence may end."""

    @property
    def unusual(self) -> frozenset[tuple[int, str]]:
        """Steps (state, word) that no usual sentence takes; less likely where the sound leaves a doubt."""

    @property
    def unusual_ends(self) -> frozenset[int]:
        """Final states in which no usual sentence ends."""

    def words(self) -> frozenset[str]:
        """Every word that stands in a sentence."""

    def arcs(self) -> Iterable[tuple[int, str, int]]:
        """Every step of the graph: state, word, next state."""

    def accepts(self, words: Sequence[str]) -> bool:
        """True if `words` are a whole sentence."""

    def unusual_steps(self, words: Sequence[str]) -> int:
        """How many steps of the whole sentence `words` no usual sentence takes."""

    def can_continue(self, words: Sequence[str]) -> bool:
        """True if at least one more word may follow `words`."""


@runtime_checkable
class Confirming(Protocol):
    """A recogniser that can be asked whether what another one found in a sound was said."""

    def says(self, samples: Samples, acceptor: Acceptor) -> bool:
        """True where a sentence of the small `acceptor` is about what anybody would write down.

        Between utterances only; changes nothing of what is listened for.
        """


class Recogniser(Protocol):
    """Sound to words. One utterance at a time; grammars change only between utterances."""

    def use(self, acceptor: Acceptor, pronunciations: Phones, meaning: Meaning = str) -> None:
        """Listen for the sentences of `acceptor` from the next utterance on.

        pronunciations : of the words that the engine's own dictionary lacks
        meaning        : of a sentence; without it no two sentences mean the same
        Raises         : DeviceError naming every word that has no pronunciation; RuntimeError
                         in the middle of an utterance
        """

    def hear(self, samples: Samples) -> Heard | None:
        """The words of a whole sound; None if nobody speaks in it."""

    def start(self) -> None:
        """Begin an utterance that arrives in pieces."""

    def feed(self, samples: Samples) -> None:
        """The next piece of the utterance."""

    def partial(self) -> str:
        """The words so far; may change until the end."""

    def pause(self) -> None:
        """Whoever speaks has fallen silent, perhaps for good: what takes time may begin now."""

    def settled(self) -> bool:
        """True where a whole sentence was said and nothing more for long, though it is never quiet."""

    def nobody(self) -> bool:
        """True where all that was fed so far, or all of the utterance that ended last, is noise."""

    def end(self) -> Heard | None:
        """End the utterance: its words, or None if there were none."""
