"""The process in which Vosk runs: a fault of its library ends this process and not the session.

Requests come as lines of JSON on standard input, sound as bytes after the line that tells their
number; replies go as lines of JSON to standard output.
"""

from __future__ import annotations

import json
import sys
from typing import Any

from assistant.hearing.recogniser import SAMPLE_RATE


class VoskChild:
    """One model and at most one utterance at a time."""

    def __init__(self, folder: str) -> None:
        """folder : of the model; the library's exception where it does not load."""
        import vosk

        vosk.SetLogLevel(-1)
        self._vosk: Any = vosk
        self._model: Any = vosk.Model(folder)
        self._decoder: Any = None
        self._parts: list[dict[str, Any]] = []

    def missing(self, words: list[str]) -> list[str]:
        """Those of `words` that the model does not know; it would drop them from a grammar in silence."""
        return [word for word in words if self._model.vosk_model_find_word(word) < 0]

    def use(self, phrases: list[str]) -> None:
        """A decoder of its own for each grammar: one changed within an utterance ends the process."""
        if not phrases:
            raise ValueError("an empty list of phrases would end the process")
        self._decoder = self._vosk.KaldiRecognizer(self._model, SAMPLE_RATE, json.dumps(phrases))
        self._decoder.SetWords(True)

    def start(self) -> None:
        """Begin an utterance."""
        self._decoder.Reset()
        self._parts = []

    def feed(self, sound: bytes) -> None:
        """The next piece of the utterance."""
        if self._decoder.AcceptWaveform(sound):
            self._parts.append(json.loads(self._decoder.Result()))

    def partial(self) -> str:
        """The words so far."""
        rest = json.loads(self._decoder.PartialResult()).get("partial", "")
        return " ".join([*(part.get("text", "") for part in self._parts), rest]).strip()

    def end(self) -> list[dict[str, Any]]:
        """What came on the way and what was left."""
        return [*self._parts, json.loads(self._decoder.FinalResult())]


def main() -> None:
    """Serves until standard input ends."""
    requests, replies = sys.stdin.buffer, sys.stdout

    def reply(what: dict[str, Any]) -> None:
        replies.write(json.dumps(what) + "\n")
        replies.flush()

    try:
        child = VoskChild(sys.argv[1])
    except Exception as fault:  # the library raises no type of its own
        reply({"fault": str(fault) or type(fault).__name__})
        return
    reply({})
    for line in requests:
        request = json.loads(line)
        match request["do"]:
            case "missing":
                reply({"missing": child.missing(request["words"])})
            case "use":
                child.use(request["phrases"])
                reply({})
            case "start":
                child.start()
                reply({})
            case "feed":
                child.feed(requests.read(request["size"]))
            case "partial":
                reply({"words": child.partial()})
            case "end":
                reply({"parts": child.end()})


if __name__ == "__main__":
    main()
