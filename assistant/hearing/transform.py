"""A linear change of all means of the bundled model, and the file that the engine takes it from."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.errors import DeviceError

Floats = NDArray[np.float64]

STREAMS, LENGTH = 3, 13
"""Streams of the model's features (cepstra, first and second differences) and terms in each."""
GREATEST = 1000.0
"""No figure of a transform is as great as this; what a file says beyond is damage."""


@dataclass(frozen=True, eq=False)
class Transform:
    """The change of all means."""

    figures: Floats
    """Stream, term of the new mean, and what it is made of: b, then the row of A."""

    @staticmethod
    def none() -> Transform:
        """The one that changes nothing."""
        row = np.concatenate([np.zeros((LENGTH, 1)), np.eye(LENGTH)], axis=1)
        return Transform(np.tile(row, (STREAMS, 1, 1)))

    def of(self, means: Floats) -> Floats:
        """`means` (codebook, stream, Gaussian, term) as changed.

        >>> means = np.arange(3.0 * 13).reshape(1, 3, 1, 13)
        >>> bool((Transform.none().of(means) == means).all())
        True
        """
        turned: Floats = np.einsum("sij,csgj->csgi", self.figures[:, :, 1:], means)
        changed: Floats = turned + self.figures[None, :, None, :, 0]
        return changed

    def text(self) -> str:
        """As a file of the engine: number of classes and streams; for each its length, A, b, and what variances are multiplied by.

        >>> Transform.none().text().split()[:6]
        ['1', '3', '13', '1', '0', '0']
        """
        lines = ["1", str(STREAMS)]
        for stream in self.figures:
            rows = [*stream[:, 1:], stream[:, 0], np.ones(LENGTH)]
            lines += [str(LENGTH), *(" ".join(f"{figure:.7g}" for figure in row) for row in rows)]
        return "\n".join([*lines, ""])


def read_transform(file: Path) -> Transform:
    """The transform in `file`. Raises DeviceError where it is none for this model.

    The engine itself takes what it finds, and reads beyond the end of a stream that is too short.
    """
    damaged = DeviceError("operator", f"{file} is damaged", "learn the voice again")
    try:
        found = np.array(file.read_text(encoding="ascii").split(), dtype=float)
    except (OSError, ValueError) as fault:
        raise damaged from fault
    block = 1 + LENGTH * (LENGTH + 2)
    if found.size != 2 + STREAMS * block or tuple(found[:2]) != (1, STREAMS):
        raise damaged
    streams = found[2:].reshape(STREAMS, block)
    if not np.isfinite(found).all() or np.abs(found).max() >= GREATEST:
        raise damaged
    rows = streams[:, 1:].reshape(STREAMS, LENGTH + 2, LENGTH)
    if (streams[:, 0] != LENGTH).any() or (rows[:, -1] != 1).any():
        raise damaged
    turned, added = rows[:, :LENGTH], rows[:, LENGTH]
    return Transform(np.concatenate([added[:, :, None], turned], axis=2))
