"""When speech begins and ends, on marks and on sound."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.end_of_speech import (
    END_SECONDS,
    FRAME,
    FRAME_SECONDS,
    LONGEST,
    PAUSE_SECONDS,
    SHORT_END_SECONDS,
    WHOLE_END_SECONDS,
    Speech,
    SpeechDetector,
    SpeechRule,
)


def events(marks: list[bool], wait: float = END_SECONDS) -> list[Speech]:
    rule = SpeechRule()
    return [rule.mark(mark, wait=wait) for mark in marks]


def frames(seconds: float) -> int:
    return round(seconds / FRAME_SECONDS)


def test_speech_starts_when_most_of_a_short_while_is_voiced() -> None:
    assert Speech.STARTED in events([False] * 10 + [True] * 6)
    assert Speech.STARTED not in events(([True] * 2 + [False] * 8) * 5)


@pytest.mark.parametrize("wait", [END_SECONDS, WHOLE_END_SECONDS])
def test_a_pause_of_half_a_second_does_not_cut_a_sentence(wait: float) -> None:
    marks = [True] * 20 + [False] * frames(0.5) + [True] * 20
    assert Speech.ENDED not in events(marks, wait)


def test_a_pause_is_told_before_the_end() -> None:
    rule = SpeechRule()
    told = [(rule.mark(mark), rule.pausing) for mark in [True] * 20 + [False] * 40]
    first = next(place for place, (_, pausing) in enumerate(told) if pausing)
    assert frames(PAUSE_SECONDS) == first - 19
    assert Speech.ENDED not in [event for event, _ in told[: first + 1]]
    assert not SpeechRule().pausing


def test_the_end_comes_after_the_usual_wait() -> None:
    got = events([True] * 20 + [False] * frames(END_SECONDS))
    assert got.index(Speech.ENDED) - 20 <= frames(END_SECONDS)


def test_a_sentence_that_can_go_no_further_ends_sooner() -> None:
    marks = [True] * 20 + [False] * frames(END_SECONDS)
    assert events(marks, SHORT_END_SECONDS).index(Speech.ENDED) - 20 <= frames(SHORT_END_SECONDS)
    assert events(marks).index(Speech.ENDED) > events(marks, SHORT_END_SECONDS).index(Speech.ENDED)


def test_noise_that_never_ends_is_cut_off() -> None:
    got = events([True] * frames(2 * LONGEST))
    assert got.count(Speech.ENDED) == 1


@given(
    st.lists(st.booleans(), max_size=400),
    st.sampled_from([END_SECONDS, WHOLE_END_SECONDS, SHORT_END_SECONDS]),
)
def test_starts_and_ends_take_turns(marks: list[bool], wait: float) -> None:
    turns = [e for e in events(marks, wait) if e in (Speech.STARTED, Speech.ENDED)]
    assert all(e is (Speech.STARTED, Speech.ENDED)[n % 2] for n, e in enumerate(turns))


def test_a_quiet_room_starts_nothing() -> None:
    detector = SpeechDetector()
    chance = np.random.default_rng(6)
    for _ in range(200):
        frame = chance.normal(0, 6, FRAME).astype(np.int16)
        assert detector.feed(frame) is Speech.QUIET


@pytest.mark.parametrize("wait", [END_SECONDS, WHOLE_END_SECONDS, SHORT_END_SECONDS])
def test_the_quiet_before_a_sentence_does_not_end_it(wait: float) -> None:
    marks = [False] * 100 + [True] * 6 + [False] * 2 + [True] * 20
    got = events(marks, wait)
    assert got.count(Speech.STARTED) == 1
    assert Speech.ENDED not in got
