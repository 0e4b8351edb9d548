"""Which recogniser, and whole sound files through it."""

from __future__ import annotations

from pathlib import Path

from assistant.app import Assistant, Reply
from assistant.hearing.recogniser import Heard, Recogniser
from assistant.hearing.wav import read_wav
from assistant.query import NotUnderstood


def recogniser(engine: str, model: Path | None = None) -> Recogniser:
    """The recogniser named: 'sphinx' (its model is in its wheel) or 'vosk'. Raises DeviceError."""
    if engine == "vosk":
        from assistant.hearing.vosk_engine import VoskRecogniser

        return VoskRecogniser(model)
    from assistant.hearing.sphinx import SphinxRecogniser

    return SphinxRecogniser()


def hear_file(file: Path, ear: Recogniser, assistant: Assistant) -> Reply:
    """The reply to the sound in `file`. Raises DeviceError if it cannot be read."""
    return reply_to(ear.hear(read_wav(file)), assistant)


def reply_to(heard: Heard | None, assistant: Assistant) -> Reply:
    """The reply to what was heard; what is no sure, whole sentence is said to be not understood."""
    if heard is not None and worth_answering(heard, assistant):
        return assistant.reply(heard.words)
    words = "" if heard is None else heard.words
    return assistant.not_understood(NotUnderstood(words, _problem(heard)))


def worth_answering(heard: Heard, assistant: Assistant) -> bool:
    """True for a whole sentence that the recogniser is sure of.

    Emergency words need not be sure: to answer them for nothing costs nothing.
    """
    return heard.sure or (heard.complete and assistant.is_emergency(heard.words))


def _problem(heard: Heard | None) -> str:
    if heard is None:
        return "no speech was heard: speak nearer, or say 'what can I say'"
    if not heard.complete:
        return "that was no whole question: say it again, or say 'what can I say'"
    return "that did not sound like a question for me: say it again"
