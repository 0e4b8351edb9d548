"""Vosk behind the same seam: a model of the user's choice, in a process of its own, held to the grammar."""

from __future__ import annotations

import json
import os
import select
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from assistant.errors import DeviceError
from assistant.hearing.end_of_speech import spoken_part
from assistant.hearing.recogniser import Acceptor, Heard, Meaning, Phones, Samples
from assistant.hearing.vosk_phrases import as_said, covering_sentences, respelt

REMEDY = "give the folder of an English Vosk model with --model"
UNKNOWN = "[unk]"
"""Vosk's word for any other."""
LOADING, WORKING = 120.0, 20.0
"""Seconds after which the process counts as dead: while it loads a large model, and later."""
STOPPED = DeviceError(
    "recogniser", "the Vosk recogniser stopped", "say it again: it is started anew"
)


def model_folder(named: Path | None) -> Path:
    """The model's folder: the one named, else the English one where Vosk itself keeps models.

    Raises DeviceError where there is none. Nothing is ever fetched.
    """
    if named is not None:
        if not (named / "am").is_dir():
            raise DeviceError("recogniser", f"{named} holds no Vosk model", REMEDY)
        return named
    places = [os.environ.get("VOSK_MODEL_PATH"), "/usr/share/vosk", Path.home() / ".cache" / "vosk"]
    for place in places:
        for folder in sorted(Path(place).glob("vosk-model*en*")) if place else ():
            if (folder / "am").is_dir():
                return folder
    raise DeviceError("recogniser", "no Vosk model was named", REMEDY)


class VoskRecogniser:
    """Recogniser on a Vosk model; its phrases are no closed grammar, so every result is checked again."""

    def __init__(self, model: Path | None) -> None:
        """model : folder of the model. Raises DeviceError where there is none or it does not load."""
        self._folder = model_folder(model)
        self._process: subprocess.Popen[bytes] | None = None
        self._acceptor: Acceptor | None = None
        self._phrases: list[str] = []
        self._spellings: dict[str, str] = {}
        self._listening = False
        self._launch()

    def use(self, acceptor: Acceptor, pronunciations: Phones, meaning: Meaning = str) -> None:
        """Listen for the sentences of `acceptor`; see Recogniser.

        A word that the model lacks is spelt with words that sound the same; where there are none,
        DeviceError names it.
        """
        if self._listening:
            raise RuntimeError("a grammar cannot change in the middle of an utterance")
        words = sorted(acceptor.words())
        if not words:
            raise DeviceError("recogniser", "the grammar has no words", "install the program again")
        missing = self._unknown(words)
        spellings = respelt(missing, pronunciations, self._unknown)
        refused = [word for word in missing if word not in spellings]
        if refused:
            problem = f"the Vosk model does not know {', '.join(refused)}"
            raise DeviceError("recogniser", problem, "use a larger model, or --engine sphinx")
        self._acceptor, self._spellings = acceptor, spellings
        self._phrases = [self._spelt(each) for each in covering_sentences(acceptor)] + [UNKNOWN]
        self._ask({"do": "use", "phrases": self._phrases}, LOADING)

    def _spelt(self, sentence: str) -> str:
        return " ".join(self._spellings.get(word, word) for word in sentence.split())

    def _unknown(self, words: list[str]) -> list[str]:
        return list(self._ask({"do": "missing", "words": words}).get("missing", ()))

    def hear(self, samples: Samples) -> Heard | None:
        """The words of a whole sound, or None; see Recogniser."""
        spoken = spoken_part(samples)
        if spoken is None:
            return None
        self.start()
        self.feed(spoken)
        return self.end()

    def start(self) -> None:
        """Begin an utterance; a process that has died is started anew first."""
        if self._acceptor is None:
            raise RuntimeError("no grammar: call use() first")
        if self._process is None or self._process.poll() is not None:
            self._launch()
            self._ask({"do": "use", "phrases": self._phrases}, LOADING)
        self._ask({"do": "start"})
        self._listening = True

    def feed(self, samples: Samples) -> None:
        """The next piece of the utterance. Raises DeviceError where the process has died."""
        sound = samples.tobytes()
        self._send({"do": "feed", "size": len(sound)}, sound)

    def partial(self) -> str:
        """The words so far."""
        return as_said(str(self._ask({"do": "partial"}).get("words", "")), self._spellings)

    def pause(self) -> None:
        """Nothing can be done ahead."""

    def settled(self) -> bool:
        """False: only the quiet tells."""
        return False

    def nobody(self) -> bool:
        """False: speech is not told from noise before the end."""
        return False

    def end(self) -> Heard | None:
        """End the utterance: what came on the way and what was left, together."""
        if not self._listening:
            return None
        self._listening = False
        return joined(self._ask({"do": "end"})["parts"], self._acceptor, self._spellings)

    def close(self) -> None:
        """End the process."""
        self._listening = False
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            for stream in (self._process.stdin, self._process.stdout):
                if stream is not None:
                    stream.close()
            self._process = None

    def _launch(self) -> None:
        self.close()
        root = str(Path(__file__).parent.parent.parent)
        path = os.pathsep.join([root, *filter(None, [os.environ.get("PYTHONPATH")])])
        self._process = subprocess.Popen(
            [sys.executable, "-m", "assistant.hearing.vosk_child", str(self._folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": path},
            bufsize=0,
        )
        try:
            fault = self._reply(LOADING).get("fault")
        except DeviceError:
            fault = "it ends the process"
        if fault is not None:
            self.close()
            problem = f"the Vosk model in {self._folder} does not load"
            raise DeviceError("recogniser", problem, REMEDY)

    def _ask(self, request: Mapping[str, Any], seconds: float = WORKING) -> dict[str, Any]:
        self._send(request)
        return self._reply(seconds)

    def _send(self, request: Mapping[str, Any], sound: bytes = b"") -> None:
        try:
            if self._process is None or self._process.stdin is None:
                raise BrokenPipeError
            waiting = memoryview(json.dumps(request).encode() + b"\n" + sound)
            while waiting:
                waiting = waiting[self._process.stdin.write(waiting) :]
        except OSError as fault:
            raise self._died() from fault

    def _reply(self, seconds: float) -> dict[str, Any]:
        assert self._process is not None
        assert self._process.stdout is not None
        line, end = b"", time.monotonic() + seconds
        while not line.endswith(b"\n"):
            left = max(0.0, end - time.monotonic())
            ready, _, _ = select.select([self._process.stdout], [], [], left)
            piece = self._process.stdout.read(65_536) if ready else b""
            if not piece:
                raise self._died()
            line += piece
        reply: dict[str, Any] = json.loads(line)
        return reply

    def _died(self) -> DeviceError:
        self.close()
        return DeviceError(STOPPED.device, STOPPED.problem, STOPPED.remedy)


def joined(
    parts: Sequence[Mapping[str, Any]],
    acceptor: Acceptor | None,
    spellings: Mapping[str, str] | None = None,
) -> Heard | None:
    """Vosk's results of one utterance as Heard; the least sure word gives the confidence."""
    words = " ".join(text for part in parts if (text := str(part.get("text", "")).strip()))
    words = as_said(words, spellings or {})
    if not words:
        return None
    sure = [float(word["conf"]) for part in parts for word in part.get("result", ())]
    complete = acceptor is not None and acceptor.accepts(words.split())
    return Heard(words, min(sure, default=0.0), complete)
