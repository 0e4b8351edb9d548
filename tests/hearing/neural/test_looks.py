"""When a sentence is over in noise that hides every pause."""

import numpy as np

from assistant.hearing.look_alikes import Sentences
from assistant.hearing.neural.both_ears import Read
from assistant.hearing.neural.judging import SURE
from assistant.hearing.neural.looks import Looks
from assistant.hearing.neural.quick_ear import Utterance
from assistant.hearing.neural.search import Reading

SURER, SAID, HARDLY, DOUBTED = 0.3, 1.0, 2.0, 4.0
"""Strains of what the strong ear reads."""


def read(words: str, strain: float = SAID) -> Read:
    reading, none = Reading(words, 1.0, strain), np.zeros(0, np.int16)
    spoken = Utterance(none, none, "", 30.0, Sentences.of([words]), str)
    return Read(spoken, {}, (reading,), reading, ((words, 0.0),), agrees=False, fit=-5.0)


def after(*words: str, strain: float = SAID) -> Looks:
    looks = Looks()
    for each in words:
        looks.add(read(each, strain) if each else None)
    return looks


def test_the_strains_are_what_they_are_called() -> None:
    surer, said, hardly, doubted = (
        read("which line", s).sure for s in (SURER, SAID, HARDLY, DOUBTED)
    )
    assert surer > said > hardly > SURE > doubted


def test_twice_the_same_is_over_where_nothing_can_follow() -> None:
    assert not after("which line").over(can_continue=False)
    assert after("which line", "which line").over(can_continue=False)
    assert not after("which line", "which line").over(can_continue=True)
    assert after("which line", "which line", "which line").over(can_continue=True)


def test_another_word_or_a_doubt_breaks_the_row() -> None:
    assert not after("metric twelve", "metric twelve by two").over(can_continue=False)
    assert not after("which line", "", "which line").over(can_continue=False)
    assert not after("which line", "which line", strain=DOUBTED).over(can_continue=False)


def test_the_surest_of_a_row_is_kept_and_goes_with_it() -> None:
    """What the machine makes after the words spoils the later ones."""
    looks = after("which line", "which line")
    looks.add(read("which line", SURER))
    looks.add(read("which line", HARDLY))
    assert looks.best is not None
    assert looks.best.first.strain == SURER
    for _ in range(2):
        looks.add(read("which line for metric twelve", HARDLY))
    assert looks.best.order[0][0] == "which line for metric twelve"


def test_what_came_once_is_not_kept() -> None:
    assert after("metric twelve", "metric twelve by two").best is None
