"""A recogniser fitted to one voice, above all behind a change of all frequencies.

The sound is stretched in time: frequencies fall as it grows longer. Recognisers hardly mind the
pace of speech, but much where its formants lie.
"""

from __future__ import annotations

from typing import Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.recogniser import Acceptor, Heard, Meaning, Phones, Recogniser, Samples
from assistant.hearing.transform import Transform

REACH = 8
"""Samples on either side from which each new one is made."""


class Stretcher:
    """Stretches sound that arrives in pieces, by a band-limited interpolation."""

    def __init__(self, factor: float) -> None:
        """factor : new duration by old; above 1 frequencies fall."""
        self._step = 1.0 / factor
        self.start()

    def start(self) -> None:
        """Begin a new sound."""
        self._held: NDArray[np.float64] = np.zeros(REACH)
        self._place = float(REACH)

    def feed(self, samples: Samples) -> Samples:
        """The next piece, stretched; the last few samples wait for those that follow."""
        self._held = np.concatenate([self._held, samples.astype(np.float64)])
        last = self._held.size - REACH
        count = max(0, int((last - self._place) / self._step))
        places: NDArray[np.float64] = self._place + self._step * np.arange(count, dtype=np.float64)
        made = _between(self._held, places, min(1.0, 1.0 / self._step))
        self._place += self._step * count
        gone = int(self._place) - REACH
        self._held, self._place = self._held[gone:], self._place - gone
        return np.clip(np.round(made), -32_768, 32_767).astype(np.int16)


def _between(
    sound: NDArray[np.float64], places: NDArray[np.float64], band: float
) -> NDArray[np.float64]:
    """`sound` at `places` between its samples; `band`: share of the frequencies that may stay."""
    near = places.astype(int)
    offsets = np.arange(1 - REACH, REACH + 1)
    distance = (places - near)[:, None] - offsets[None, :]
    weight = band * np.sinc(band * distance) * np.cos(np.pi * distance / (2 * REACH + 2)) ** 2
    made: NDArray[np.float64] = np.einsum("ij,ij->i", sound[near[:, None] + offsets], weight)
    return made


def stretched(samples: Samples, factor: float) -> Samples:
    """A whole sound, stretched.

    >>> stretched(np.zeros(16000, dtype=np.int16), 1.25).size
    20000
    """
    stretcher = Stretcher(factor)
    padded = np.concatenate([samples, np.zeros(2 * REACH, dtype=np.int16)])
    made = stretcher.feed(padded)
    return made[: round(samples.size * factor)]


class WarpedRecogniser:
    """`ear` behind the change of frequencies."""

    def __init__(self, ear: Recogniser, warp: float) -> None:
        """warp : see Operator."""
        self.inner = ear
        self.warp = warp
        self._stretcher = Stretcher(warp)

    def use(self, acceptor: Acceptor, pronunciations: Phones, meaning: Meaning = str) -> None:
        """Listen for the sentences of `acceptor`; see Recogniser."""
        self.inner.use(acceptor, pronunciations, meaning)

    def hear(self, samples: Samples) -> Heard | None:
        """The words of a whole sound, or None; see Recogniser."""
        return self.inner.hear(stretched(samples, self.warp))

    def start(self) -> None:
        """Begin an utterance that arrives in pieces."""
        self._stretcher.start()
        self.inner.start()

    def feed(self, samples: Samples) -> None:
        """The next piece of the utterance."""
        self.inner.feed(self._stretcher.feed(samples))

    def partial(self) -> str:
        """The words so far."""
        return self.inner.partial()

    def pause(self) -> None:
        """Whoever speaks has fallen silent; see Recogniser."""
        self.inner.pause()

    def settled(self) -> bool:
        """True where a sentence is over, though it is never quiet; see Recogniser."""
        return self.inner.settled()

    def nobody(self) -> bool:
        """True where all so far is noise; see Recogniser."""
        return self.inner.nobody()

    def end(self) -> Heard | None:
        """End the utterance: its words, or None."""
        return self.inner.end()


@runtime_checkable
class Fittable(Protocol):
    """A recogniser whose quick ear, pocketsphinx, can be fitted to one voice."""

    def fit(self, mean: str | None, transform: Transform | None) -> None:
        """Hear this voice from the next utterance on; between utterances only.

        mean      : cepstral mean that it begins with; None for the usual one
        transform : change of the model's sounds; None for none. Another one than before takes 0.3 s
        """


def fitted(
    ear: Recogniser,
    warp: float = 1.0,
    mean: str | None = None,
    transform: Transform | None = None,
) -> Recogniser:
    """`ear` for one voice: itself where its sound is not to be changed; what it was fitted to before is forgotten.

    mean, transform : see Fittable; a recogniser that is none goes without
    """
    plain = ear.inner if isinstance(ear, WarpedRecogniser) else ear
    if isinstance(plain, Fittable):
        plain.fit(mean, transform)
    return plain if abs(warp - 1.0) < 0.005 else WarpedRecogniser(plain, warp)
