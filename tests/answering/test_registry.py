"""Every question has a function that answers it, or belongs to the conversation."""

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
from assistant.query_sizing import StartTurning

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

CONVERSATION = ("assistant.query_alongside", "assistant.query_following")
"""Rooms of what is said to an answer or to a sequence; tests/conversations says each of them."""


def test_no_question_is_without_an_answer() -> None:
    left = set(KINDS.values()) - answered_kinds()
    alongside = {query for query in left if query.__module__ in CONVERSATION}
    assert left - alongside == {*STEERING, StartTurning}
