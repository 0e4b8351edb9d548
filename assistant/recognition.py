"""Which recogniser, and whole sound files through it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from assistant.app import Assistant, Reply
from assistant.hearing.levels import RUINED, clipped_share, levels
from assistant.hearing.listening import Utterance
from assistant.hearing.recogniser import Heard, Recogniser
from assistant.hearing.stop_words import OnlyStopWords, StopWords, sentences_of
from assistant.hearing.wav import read_wav
from assistant.query import NotUnderstood, Query

TOO_LOUD = 12.0
"""Speech to noise, dB, below which most sentences are lost (measured: tests.bench hear)."""
ALARM = 0.15
"""Confidence of emergency words that are answered. Without it gear noise alone was heard as 'stop' up to
six times a minute, with 0.02 to 0.1: who is told of an emergency all day hears it no more."""


def recogniser(engine: str, model: Path | None = None) -> Recogniser:
    """The recogniser named: 'best', 'sphinx' or 'vosk'. Raises DeviceError.

    best : the neural model held to the grammar, beside pocketsphinx; pocketsphinx alone where the
           package with the model is not installed
    """
    if engine == "vosk":
        from assistant.hearing.vosk_engine import VoskRecogniser

        return VoskRecogniser(model)
    if engine == "best":
        from assistant.hearing.neural.model import model_folder, shared_model

        if model_folder() is not None:
            from assistant.hearing.neural.engine import NeuralRecogniser

            return NeuralRecogniser(shared_model)
    from assistant.hearing.sphinx import SphinxRecogniser

    return SphinxRecogniser()


def hear_file(file: Path, ear: Recogniser, assistant: Assistant) -> Reply:
    """The reply to the sound in `file`. Raises DeviceError if it cannot be read."""
    return reply_to(ear.hear(read_wav(file)), assistant)


@dataclass(frozen=True)
class Verdict:
    """What is to be done with what was heard."""

    choices: tuple[str, ...] = ()
    """The readings, best first, no two of one meaning; none where nothing may be acted on."""
    ask: bool = False
    """True where the operator must choose, because the second fits the sound about as well; or, with a
    single choice, say whether it is right, because hardly anybody says so."""


def verdict(heard: Heard | None, assistant: Assistant) -> Verdict:
    """Act, ask back or let be: see Verdict."""
    if heard is None or not worth_answering(heard, assistant):
        return Verdict()
    if assistant.is_emergency(heard.words):
        return Verdict((heard.words,))
    if heard.close:
        meant = assistant.meaning(heard.words)
        for words in heard.alternatives[: heard.close]:
            other = assistant.meaning(words)
            if isinstance(other, Query) and other != meant:
                return Verdict((heard.words, words), ask=True)
    return Verdict((heard.words,), ask=assistant.unusual(heard.words))


def emergency_search(
    assistant: Assistant, better: Callable[[], Recogniser] | None = None
) -> OnlyStopWords:
    """Finds the emergency words in what is no question; for `better` see OnlyStopWords."""
    words = sentences_of(assistant.grammar.acceptor_of("emergency_words"))
    return OnlyStopWords(StopWords(words), better)


def acted_on(utterance: Utterance, assistant: Assistant, stop_words: OnlyStopWords) -> Heard | None:
    """What was heard where it is worth an answer, or else an emergency word in the same sound.

    Who shouts is seldom heard among the thousands of sentences that might be said.
    """
    if clipped_share(utterance.samples) < RUINED:
        if utterance.heard is not None and worth_answering(utterance.heard, assistant):
            return utterance.heard
        if utterance.nobody:
            return None
    return stop_words.hear(utterance.samples)


def told_of(utterance: Utterance) -> Heard | None:
    """What is known of an utterance on which nothing is acted, for the reply to whoever called.

    In a din it may not even be heard that somebody spoke: then only how far the sound stands above it.
    """
    if clipped_share(utterance.samples) >= RUINED:
        return None
    if utterance.heard is not None:
        return utterance.heard
    above = levels(utterance.samples).above_noise
    return None if above is None or above >= TOO_LOUD else Heard("", 0.0, False, ratio=above)


def reply_to(heard: Heard | None, assistant: Assistant) -> Reply:
    """The reply to what was heard; what is no sure, whole sentence is said to be not understood."""
    what = verdict(heard, assistant)
    if heard is not None and what.choices:
        others = what.choices[1:] if what.ask else heard.alternatives
        return assistant.reply(heard.words, others, close=what.ask)
    words = "" if heard is None else heard.words
    return assistant.not_understood(NotUnderstood(words, _problem(heard)))


def heard_as(words: str, heard: Heard | None, assistant: Assistant) -> bool:
    """True where `heard` would be answered, and means what `words` mean."""
    if heard is None or not worth_answering(heard, assistant):
        return False
    wanted = assistant.meaning(words)
    return isinstance(wanted, Query) and assistant.meaning(heard.words) == wanted


def worth_answering(heard: Heard, assistant: Assistant) -> bool:
    """True for a whole sentence that the recogniser is sure of; of emergency words it need hardly be."""
    alarm = heard.complete and heard.confidence >= ALARM
    return heard.sure or (alarm and assistant.is_emergency(heard.words))


def _problem(heard: Heard | None) -> str:
    if heard is None:
        return "no speech was heard: speak nearer, or say 'what can I say'"
    if heard.ratio is not None and heard.ratio < TOO_LOUD:
        return "it is too loud here: come nearer, or use a headset"
    if not heard.complete:
        return "that was no whole question: say it again, or say 'what can I say'"
    return "that did not sound like a question for me: say it again"
