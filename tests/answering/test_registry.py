"""Every question has a function that answers it, or steers the conversation."""

from assistant.answering.registry import answered_kinds
from assistant.query import (
    KINDS,
    Cancel,
    EmergencyWords,
    Loudness,
    Pace,
    Repeat,
    ShowWorking,
    UnitsChoice,
    UseLathe,
    WhatCanISay,
)

STEERING = {
    Cancel,
    EmergencyWords,
    Loudness,
    Pace,
    Repeat,
    ShowWorking,
    UnitsChoice,
    UseLathe,
    WhatCanISay,
}


def test_no_question_is_without_an_answer() -> None:
    assert set(KINDS.values()) - answered_kinds() == STEERING
