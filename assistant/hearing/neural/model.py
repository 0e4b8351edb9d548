"""The speech model of the package moonshine-cpp, piece of word by piece of word."""

from __future__ import annotations

import contextlib
import ctypes
import importlib.util
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.errors import DeviceError
from assistant.hearing.neural.pieces import Pieces
from assistant.hearing.recogniser import Samples

PACKAGE, FOLDER = "moonshine_cpp", "models/base-en"
LAYERS, HEADS, WIDTH = 8, 8, 52
FULL_SCALE = 32_768

Scores = NDArray[np.float32]


@dataclass(frozen=True)
class Past:
    """What the decoder remembers of the pieces before, a row for each beginning."""

    values: Mapping[str, NDArray[np.float32]]
    length: int

    def rows(self, chosen: Sequence[int]) -> Past:
        """Those rows, in that order; a row may be taken more than once."""
        places = np.asarray(chosen)
        return Past({name: value[places] for name, value in self.values.items()}, self.length)


@dataclass(frozen=True)
class Sound:
    """An utterance as the decoder looks at it."""

    values: Mapping[str, NDArray[np.float32]]


def model_folder() -> Path | None:
    """Where the package's model is, or None where the package is not installed.

    The package is not imported: it would load a runtime of its own.
    """
    found = importlib.util.find_spec(PACKAGE)
    places = found.submodule_search_locations if found is not None else None
    folder = Path(next(iter(places)), FOLDER) if places else None
    return folder if folder is not None and folder.is_dir() else None


class SpeechModel:
    """Encoder and decoder; safe to share, as it keeps nothing of an utterance."""

    def __init__(self, folder: Path) -> None:
        """Load the model (about 3 s). Raises DeviceError where a file is missing or broken."""
        import onnxruntime

        from assistant.hearing.neural.graphs import graphs

        options = onnxruntime.SessionOptions()
        options.log_severity_level = 3
        options.inter_op_num_threads = 1
        options.add_session_config_entry("session.intra_op.allow_spinning", "0")
        try:
            self.pieces = Pieces((folder / "tokenizer.bin").read_bytes())
            self._sound, self._word = (
                onnxruntime.InferenceSession(graph, options, providers=["CPUExecutionProvider"])
                for graph in graphs(folder)
            )
        except (OSError, ValueError) as error:
            raise DeviceError(
                "speech model", f"cannot be loaded from {folder}: {error}", "install it anew"
            ) from error
        self._outputs = [each.name for each in self._sound.get_outputs()]
        self._after = [each.name for each in self._word.get_outputs()]
        _give_memory_back()

    def sound(self, samples: Samples) -> Sound:
        """An utterance of at least a tenth of a second (0.03 s of work for each second of it)."""
        given = samples.astype(np.float32)[None] / FULL_SCALE
        values = self._sound.run(self._outputs, {"hears/input_values": given})
        heads = (np.reshape(value, (1, -1, HEADS, WIDTH)).swapaxes(1, 2) for value in values)
        return Sound(dict(zip(_names("encoder"), heads, strict=True)))

    def before_the_first(self) -> Past:
        """Nothing said yet: one row."""
        empty = np.zeros((1, HEADS, 0, WIDTH), np.float32)
        return Past(dict.fromkeys(_names("decoder"), empty), 0)

    def next(self, last: Sequence[int], past: Past, sound: Sound) -> tuple[Scores, Past]:
        """Log probability of every piece after `last`, a row for each; and what to go on with."""
        given = {
            "input_ids": np.asarray(last, np.int64)[:, None],
            **past.values,
            **sound.values,
        }
        values = dict(zip(self._after, self._word.run(self._after, given), strict=True))
        scores = values.pop("logits")[:, -1]
        highest = scores.max(axis=1, keepdims=True)
        scores = scores - highest - np.log(np.exp(scores - highest).sum(axis=1, keepdims=True))
        kept = {name.replace("present", "past_key_values"): each for name, each in values.items()}
        return scores, Past(kept, past.length + 1)


def _give_memory_back() -> None:
    """What loading needed for a moment (about 250 MB) goes back to the system, where the C library can."""
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL(None).malloc_trim(0)


def _names(side: str) -> list[str]:
    return [
        f"past_key_values.{layer}.{side}.{part}"
        for layer in range(LAYERS)
        for part in ("key", "value")
    ]


@cache
def shared_model() -> SpeechModel:
    """The model, loaded once in a process. Raises DeviceError where its package is not installed."""
    folder = model_folder()
    if folder is None:
        raise DeviceError(
            "speech model", f"{PACKAGE} is not installed", "install it, or --engine sphinx"
        )
    return SpeechModel(folder)
