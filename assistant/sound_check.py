"""`swarfside sound-check`: tells in words whether this microphone can be worked with."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from assistant.app import Assistant
from assistant.errors import DeviceError
from assistant.hearing.levels import Levels, decibels, levels, remark, troubles
from assistant.hearing.listening import Utterance, utterances
from assistant.hearing.microphone import Microphone, input_names
from assistant.hearing.recogniser import Recogniser, Samples
from assistant.recognition import heard_as
from assistant.speaking.playback import output_available

PHRASES = (
    "half inch thirteen",
    "when do i close the half nut",
    "metric twelve by one point seven five",
)
"""To be read aloud: short, long, and with the numbers that are misheard most."""
QUIET_SECONDS = 2.0
PATIENCE = 8.0
"""Seconds in which reading must begin."""
Say = Callable[[str], None]


@dataclass(frozen=True)
class Reading:
    """One phrase read aloud."""

    phrase: str
    utterance: Utterance | None
    """None where nobody spoke."""
    right: bool
    """True if the words mean what the phrase means."""


def sound_check(
    assistant: Assistant,
    ear: Recogniser,
    say: Say,
    device: str | None = None,
    phrases: Iterable[str] = PHRASES,
) -> bool:
    """Measures the microphone and lets the operator read; True where nothing is wrong.

    ear    : already listening for the assistant's grammar
    say    : shows one line
    device : part of the microphone's name, or None for the usual one
    """
    if not output_available():
        say("There is no loudspeaker: answers will be shown only.")
    try:
        with Microphone(device) as microphone:
            measured, readings = _listened(assistant, ear, say, microphone, phrases)
    except DeviceError as fault:
        say(f"{fault.problem[0].upper()}{fault.problem[1:]}: {fault.remedy}.")
        names = ", ".join(input_names())
        if names:
            say(f"The machine lists these microphones: {names}.")
        return False
    return judged(measured, readings, say)


def _listened(
    assistant: Assistant, ear: Recogniser, say: Say, microphone: Microphone, phrases: Iterable[str]
) -> tuple[Levels, list[Reading]]:
    frames = microphone.frames()
    say(f"Keep quiet for {QUIET_SECONDS:.0f} seconds.")
    noise = decibels(_quiet(frames))
    say(f"Noise: {noise:.0f} dB of full scale.")
    readings = []
    for phrase in phrases:
        microphone.drain()
        say(f"Read aloud: {phrase}")
        readings.append(read_aloud(phrase, _soon(frames), assistant, ear))
        say(_told(readings[-1]))
    spoken = [levels(each.utterance.samples) for each in readings if each.utterance is not None]
    speech = [each.speech for each in spoken if each.speech is not None]
    return (
        Levels(
            float(np.mean(speech)) if speech else None,
            noise,
            max((each.clipped for each in spoken), default=0.0),
        ),
        readings,
    )


def _quiet(frames: Iterator[Samples]) -> Samples:
    heard, end = [next(frames)], time.monotonic() + QUIET_SECONDS
    while time.monotonic() < end:
        heard.append(next(frames))
    return np.concatenate(heard)


def _soon(frames: Iterator[Samples]) -> Iterator[Samples]:
    """Frames for as long as anybody may still read."""
    end = time.monotonic() + 2 * PATIENCE
    for frame in frames:
        if time.monotonic() > end:
            return
        yield frame


def read_aloud(
    phrase: str, frames: Iterable[Samples], assistant: Assistant, ear: Recogniser
) -> Reading:
    """What becomes of `phrase` in the first thing that is said."""
    for utterance in utterances(frames, ear, assistant.grammar.acceptor, lambda state: None):
        return Reading(phrase, utterance, heard_as(phrase, utterance.heard, assistant))
    return Reading(phrase, None, False)


def _told(reading: Reading) -> str:
    if reading.utterance is None:
        return "  nobody was heard"
    heard = reading.utterance.heard
    if reading.right:
        return "  understood"
    return (
        f"  not understood; it sounded like: {heard.words if heard and heard.words else 'no words'}"
    )


def judged(measured: Levels, readings: list[Reading], say: Say) -> bool:
    """Tells levels and faults; True where nothing is wrong."""
    if measured.speech is not None:
        above = measured.speech - measured.noise
        say(f"Speech: {measured.speech:.0f} dB of full scale, {above:.0f} dB above the noise.")
    found = troubles(measured)
    for sentence in found:
        say(sentence)
    right = sum(reading.right for reading in readings)
    if right < len(readings):
        say(f"{right} of {len(readings)} phrases were understood: read again, and plainly.")
    elif not found:
        say(f"All {right} phrases were understood. {remark(measured)}")
    return not found and right == len(readings)
