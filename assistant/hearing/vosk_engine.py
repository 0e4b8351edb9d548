"""Vosk behind the same seam: a model of the user's choice, held to the grammar's sentences."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from assistant.errors import DeviceError
from assistant.hearing.recogniser import SAMPLE_RATE, Acceptor, Heard, Samples

REMEDY = "give the folder of an English Vosk model with --model"


class VoskRecogniser:
    """Recogniser on a Vosk model; its word list is no closed grammar, so every result is checked again."""

    def __init__(self, model: Path | None) -> None:
        """model : folder of the model. Raises DeviceError where there is none or it does not load."""
        if model is None or not (model / "am").is_dir():
            what = "no Vosk model was named" if model is None else f"{model} holds no Vosk model"
            raise DeviceError("recogniser", what, REMEDY)
        import vosk

        vosk.SetLogLevel(-1)
        self._vosk: Any = vosk
        try:
            self._model = vosk.Model(str(model))
        except Exception as fault:  # the library raises no type of its own
            raise DeviceError(
                "recogniser", f"the Vosk model in {model} does not load", REMEDY
            ) from fault
        self._acceptor: Acceptor | None = None
        self._words = ""
        self._decoder: Any = None
        self._parts: list[dict[str, Any]] = []

    def use(self, acceptor: Acceptor, pronunciations: Mapping[str, Sequence[str]]) -> None:
        """Listen for the sentences of `acceptor`; see Recogniser. Pronunciations are the model's own."""
        if self._decoder is not None:
            raise RuntimeError("a grammar cannot change in the middle of an utterance")
        words = sorted(acceptor.words())
        # An empty list crashes the process, and a word that the model lacks is dropped in silence.
        if not words:
            raise DeviceError("recogniser", "the grammar has no words", "install the program again")
        missing = [word for word in words if self._model.vosk_model_find_word(word) < 0]
        if missing:
            problem = f"the Vosk model does not know {', '.join(missing)}"
            raise DeviceError("recogniser", problem, "use a larger model, or --engine sphinx")
        self._acceptor = acceptor
        self._words = json.dumps([" ".join(words), "[unk]"])

    def hear(self, samples: Samples) -> Heard | None:
        """The words of a whole sound, or None; see Recogniser."""
        self.start()
        self.feed(samples)
        return self.end()

    def start(self) -> None:
        """Begin an utterance: a decoder of its own, because a grammar must not change within one."""
        if self._acceptor is None:
            raise RuntimeError("no grammar: call use() first")
        self._decoder = self._vosk.KaldiRecognizer(self._model, SAMPLE_RATE, self._words)
        self._decoder.SetWords(True)
        self._parts = []

    def feed(self, samples: Samples) -> None:
        """The next piece of the utterance."""
        if self._decoder.AcceptWaveform(samples.tobytes()):
            self._parts.append(json.loads(self._decoder.Result()))

    def partial(self) -> str:
        """The words so far."""
        rest = json.loads(self._decoder.PartialResult()).get("partial", "")
        return " ".join([*(part.get("text", "") for part in self._parts), rest]).strip()

    def end(self) -> Heard | None:
        """End the utterance: what came on the way and what was left, together."""
        parts = [*self._parts, json.loads(self._decoder.FinalResult())]
        self._decoder = None
        return joined(parts, self._acceptor)


def joined(parts: Sequence[Mapping[str, Any]], acceptor: Acceptor | None) -> Heard | None:
    """Vosk's results of one utterance as Heard; the least sure word gives the confidence."""
    words = " ".join(text for part in parts if (text := str(part.get("text", "")).strip()))
    if not words:
        return None
    sure = [float(word["conf"]) for part in parts for word in part.get("result", ())]
    complete = acceptor is not None and acceptor.accepts(words.split())
    return Heard(words, min(sure, default=0.0), complete)
