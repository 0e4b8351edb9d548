"""The Gaussians of pocketsphinx's bundled English model, read from its own files.

The model is phonetically tied: every base phone has a codebook of Gaussians for each stream of
features (cepstra, their first and their second differences), and every state of a phone in its
surroundings (a senone) weighs those of its phone's codebook.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from pocketsphinx import get_model_path

from assistant.errors import DeviceError
from assistant.hearing.transform import LENGTH, STREAMS, Floats

MODEL = "en-us/en-us"
SILENT = ("SIL", "+NSN+", "+SPN+")
"""Phones that are no speech: silence, noise, and sounds that are no words."""
HEADER_END = b"endhdr\n"
LEAST_VARIANCE = 1.0
"""Ten of sixteen thousand Gaussians stand for nothing and have none; those that count have more than 2."""
WEIGHT_STEP = 1024 * math.log(1.0001)
"""The weights are kept as negative logarithms in steps of this: the engine's base of logarithms, shifted by ten bits."""


@dataclass(frozen=True, eq=False)
class AcousticModel:
    """What says how likely features are in a state of a phone."""

    phones: tuple[str, ...]
    """Names of the base phones; each has the codebook of its place."""
    means: Floats
    """Of each Gaussian: codebook, stream, Gaussian, term."""
    variances: Floats
    """The same for the variances."""
    log_weights: Floats
    """Natural logarithm of each Gaussian's weight in a state: stream, Gaussian, senone."""

    @property
    def spoken(self) -> list[int]:
        """Places of the phones that are speech."""
        return [place for place, name in enumerate(self.phones) if name not in SILENT]


@cache
def bundled_model() -> AcousticModel:
    """The model in pocketsphinx's package. Raises DeviceError where its files are other than expected."""
    folder = Path(get_model_path(MODEL))
    try:
        phones, senones = _definition((folder / "mdef").read_bytes())
        means = _gaussians((folder / "means").read_bytes())
        variances = _gaussians((folder / "variances").read_bytes())
        weights = (folder / "sendump").read_bytes()
    except (OSError, ValueError) as fault:
        raise _strange(folder) from fault
    shape = (STREAMS, means.shape[2], senones)
    if means.shape != variances.shape or len(phones) != len(means):
        raise _strange(folder)
    if not means.shape[1] == STREAMS or not means.shape[3] == LENGTH:
        raise _strange(folder)
    if len(weights) < math.prod(shape):
        raise _strange(folder)
    steps = np.frombuffer(weights[-math.prod(shape) :], np.uint8).reshape(shape)
    return AcousticModel(
        phones, means, np.maximum(variances, LEAST_VARIANCE), -WEIGHT_STEP * steps.astype(float)
    )


def _strange(folder: Path) -> DeviceError:
    return DeviceError(
        "recogniser",
        f"the model in {folder} is another than expected",
        "install the pocketsphinx that this program names",
    )


def _definition(data: bytes) -> tuple[tuple[str, ...], int]:
    """Names of the base phones, and how many senones there are."""
    # Byte order mark, version, length of a description, the description; then ten numbers: of
    # base phones, phones, states, base senones, senones and so on; then the names.
    start = 12 + int.from_bytes(data[8:12], "little")
    numbers = np.frombuffer(data[start : start + 40], "<i4")
    if data[:4] != b"BMDF" or numbers.size < 10:
        raise ValueError("no model definition")
    names = data[start + 40 :].split(b"\0", int(numbers[0]))[:-1]
    return tuple(name.decode("ascii") for name in names), int(numbers[4])


def _gaussians(data: bytes) -> Floats:
    """A file of means or variances: codebook, stream, Gaussian, term."""
    # After the header a byte order mark, then the numbers of codebooks, streams and Gaussians, the
    # length of each stream, the count of what follows; at the end a checksum.
    start = data.index(HEADER_END) + len(HEADER_END) + 4
    books, streams, gaussians = (int(n) for n in np.frombuffer(data[start : start + 12], "<i4"))
    lengths = np.frombuffer(data[start + 12 : start + 12 + 4 * streams], "<i4")
    first = start + 12 + 4 * streams + 4
    if len(set(lengths.tolist())) != 1:
        raise ValueError("streams of several lengths")
    shape = (books, streams, gaussians, int(lengths[0]))
    found = np.frombuffer(data[first : first + 4 * math.prod(shape)], "<f4")
    return found.reshape(shape).astype(float)
