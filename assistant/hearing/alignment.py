"""Which state of which sound each moment of a known sentence is in, as pocketsphinx hears it."""

from __future__ import annotations

import shutil
import tempfile
import weakref
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.acoustic_model import AcousticModel, bundled_model
from assistant.hearing.recogniser import Phones, Samples
from assistant.hearing.sphinx_search import LONGEST_PIECE, add_words, new_decoder
from assistant.hearing.transform import LENGTH, Floats

REACH = 3
"""Frames on either side from which the differences are made."""


@dataclass(frozen=True, eq=False)
class Aligned:
    """One sentence, frame by frame (hundredths of a second)."""

    features: Floats
    """Frame, stream, term: cepstra less their mean, first and second differences."""
    states: NDArray[np.int64]
    """Senone of each frame."""
    phones: NDArray[np.int64]
    """Place of its base phone in the model."""


class Aligner:
    """A decoder for sentences that are known; made for a few of them, then thrown away."""

    def __init__(self, pronunciations: Phones) -> None:
        """pronunciations: of words that the engine's dictionary lacks; see Recogniser."""
        self._given = pronunciations
        self._model: AcousticModel = bundled_model()
        self._folder = Path(tempfile.mkdtemp())
        weakref.finalize(self, shutil.rmtree, self._folder, ignore_errors=True)
        self._decoder = new_decoder(own_reduction=False, mfclogdir=str(self._folder))

    def mean(self, sounds: Sequence[Samples]) -> str | None:
        """The cepstral mean of `sounds` behind the noise reduction, as Search takes it; None for silence."""
        self._follow("noise")
        cepstra = [self._cepstra(sound) for sound in sounds]
        heard = np.concatenate(cepstra) if cepstra else np.zeros((0, LENGTH))
        # The engine leaves frames without any energy out of its own running mean.
        heard = heard[heard[:, 0] >= 0]
        return None if not heard.size else ",".join(f"{each:.4g}" for each in heard.mean(axis=0))

    def aligned(self, words: str, sound: Samples, mean: str) -> Aligned | None:
        """`sound`, in which `words` are said, with this cepstral mean; None where they do not fit it."""
        self._follow(words)
        self._decoder.set_cmn(mean)
        self._cepstra(sound)
        found = self._decoder.hyp()
        if found is None or found.hypstr != words:
            return None
        self._decoder.set_alignment()
        self._decoder.set_cmn(mean)
        features = with_differences(self._cepstra(sound) - np.array(mean.split(","), dtype=float))
        states = np.full(len(features), -1)
        phones = np.full(len(features), -1)
        alignment = self._decoder.get_alignment()
        if alignment is None:
            return None
        for phone in alignment.phones():
            phones[phone.start : phone.start + phone.duration] = self._model.phones.index(
                phone.name
            )
            for state in phone:
                states[state.start : state.start + state.duration] = int(state.name)
        return Aligned(features, states, phones)

    def _follow(self, words: str) -> None:
        add_words(self._decoder, words.split(), self._given)
        self._decoder.set_align_text(words)

    def _cepstra(self, sound: Samples) -> Floats:
        """Decodes `sound`: its cepstra as the engine made them, before their mean is taken off."""
        self._decoder.start_utt()
        for start in range(0, sound.size, LONGEST_PIECE):
            self._decoder.process_raw(sound[start : start + LONGEST_PIECE].tobytes())
        self._decoder.end_utt()
        (file,) = self._folder.iterdir()
        numbers = np.fromfile(file, ">f4")
        file.unlink()
        # Before the figures stands their count.
        return numbers[1:].reshape(-1, LENGTH).astype(float)


def with_differences(cepstra: Floats) -> Floats:
    """Frame, stream, term: the cepstra, the difference of those two frames on either side, and the difference of two such, a frame on either side.

    >>> rising = np.arange(9.0)[:, None] * np.ones(13)
    >>> with_differences(rising)[4, :, 0].tolist()
    [4.0, 4.0, 0.0]
    """
    count = len(cepstra)
    padded = np.pad(cepstra, ((REACH, REACH), (0, 0)), "edge")

    def at(offset: int) -> Floats:
        return padded[REACH + offset : REACH + offset + count]

    return np.stack([cepstra, at(2) - at(-2), (at(3) - at(-1)) - (at(1) - at(-3))], axis=1)
