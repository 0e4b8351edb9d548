"""When a sentence is over in noise that hides every pause."""

import numpy as np

from assistant.hearing.look_alikes import Sentences
from assistant.hearing.neural.both_ears import Read, Utterance
from assistant.hearing.neural.judging import SURE
from assistant.hearing.neural.looks import Looks
from assistant.hearing.neural.search import Reading

SAID = 0.9


def read(words: str) -> Read:
    reading, none = Reading(words, 1.0, 0.1), np.zeros(0, np.int16)
    spoken = Utterance(none, none, "", Sentences.of([words]), str)
    return Read(spoken, (), (reading,), reading, ((words, 0.0),), agrees=False, weighed={})


def after(*words: str, sure: float = SAID) -> Looks:
    looks = Looks()
    for each in words:
        looks.add(read(each) if each else None, sure)
    return looks


def test_twice_the_same_is_over_where_nothing_can_follow() -> None:
    assert not after("which line").over(can_continue=False)
    assert after("which line", "which line").over(can_continue=False)
    assert not after("which line", "which line").over(can_continue=True)
    assert after("which line", "which line", "which line").over(can_continue=True)


def test_another_word_or_a_doubt_breaks_the_row() -> None:
    assert not after("metric twelve", "metric twelve by two").over(can_continue=False)
    assert not after("which line", "", "which line").over(can_continue=False)
    assert not after("which line", "which line", sure=SURE - 0.1).over(can_continue=False)


def test_the_surest_of_a_row_is_kept_and_goes_with_it() -> None:
    """What the machine makes after the words spoils the later ones."""
    looks = after("which line", "which line")
    looks.add(read("which line"), SAID + 0.05)
    looks.add(read("which line"), SURE)
    assert looks.sure == SAID + 0.05
    for _ in range(2):
        looks.add(read("which line for metric twelve"), SURE)
    assert looks.best is not None
    assert looks.best.order[0][0] == "which line for metric twelve"


def test_what_came_once_is_not_kept() -> None:
    assert after("metric twelve", "metric twelve by two").best is None
