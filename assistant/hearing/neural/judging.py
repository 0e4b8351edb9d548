"""From the readings of both ears to what is handed on: sure, asked back, or left alone.

The figures were chosen on the tuning sentences of tests/bench (four synthetic voices, made noise).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from assistant.hearing.neural.search import Reading
from assistant.hearing.recogniser import Heard

CLEAR_LEAD, CLOSE_LEAD = 4.0, 4.0
"""Nats of the strong ear by which a reading leads so clearly that the quick ear need not weigh it
where it heard the same; and below which the operator is asked."""
QUICK_WEIGHT = 0.2
"""Nats of the strong ear for one unit of the quick ear's score."""
AGREED, FOLLOWED = 7.0, 1.0
"""Nats for the leading reading, where the quick ear prefers it to all the others; and for that which
the quick ear had found on its way, before it was asked to compare."""
WITHIN = 25.0
"""Nats below the best beyond which a reading counts no more."""
FIT = {"": 5.41, "strain": -0.94, "agrees": 0.79, "fit": 0.68, "ratio": 0.047}
"""A logistic line: how far a reading is from other talk, coughs and bangs."""
BEST_RATIO = 30.0
NO_FIT = -9.0
SURE, SURE_WITHOUT_RIVAL, SURE_ALONE = 0.55, 0.65, 0.88
"""Confidence of what is acted on: where both ears heard it; where only the strong one did and there is
no other reading; and where there is one, which is asked about below this."""
UNSURE = 0.4
"""Confidence of what may not be acted on."""


@dataclass(frozen=True)
class Weighed:
    """What the quick ear made of a reading."""

    score: float
    """Of the whole utterance, unusual steps taken off."""
    fit: float
    """For each hundredth of a second of the words."""


def lead(readings: Sequence[Reading]) -> float:
    """How far the first reading is above the next, nats.

    >>> lead([Reading("feed one", -2.0, 0.1), Reading("feed nine", -5.0, 1.0)])
    3.0
    """
    return readings[0].score - readings[1].score if len(readings) > 1 else WITHIN


def confidence(reading: Reading, agrees: bool, fit: float | None, ratio: float) -> float:
    """0 to 1: how likely it is that a sentence was said that is meant for the grammar.

    agrees : True where the quick ear heard the same
    fit    : the quick ear's, of this reading; None where it found no way through the sound
    ratio  : speech to noise, dB
    """
    value = (
        FIT[""]
        + FIT["strain"] * reading.strain
        + FIT["agrees"] * agrees
        + FIT["fit"] * (NO_FIT if fit is None else fit)
        + FIT["ratio"] * min(ratio, BEST_RATIO)
    )
    return 1 / (1 + math.exp(-max(-500.0, value)))


def in_order(
    readings: Sequence[Reading],
    preferred: str,
    weighed: Mapping[str, Weighed | None],
    followed: Sequence[str] = (),
) -> tuple[list[str], float]:
    """The words of the readings, best first as both ears weigh them; and the lead of the first.

    readings  : of the strong ear, best first
    preferred : which of them, or of their look-alikes, fits best by the quick ear
    weighed   : the quick ear's scores of the first reading and of `preferred`
    followed  : the words that the quick ear had found on its way, if any
    """
    words = [reading.words for reading in readings]
    first = readings[0]
    if preferred == first.words:
        return words, lead(readings) + AGREED
    others = [each for each in words if each not in (first.words, preferred)]
    found = next((each for each in readings if each.words == preferred), None)
    mine, other = weighed.get(first.words), weighed.get(preferred)
    if found is None or other is None:
        # The strong ear has not even looked at it: nothing says how far it is behind.
        return [first.words, preferred, *others], 0.0
    quick = QUICK_WEIGHT * (other.score - mine.score) if mine is not None else WITHIN
    found_on_the_way = (first.words in followed) - (preferred in followed)
    difference = first.score - found.score - quick + FOLLOWED * found_on_the_way
    if difference >= 0:
        return [first.words, preferred, *others], difference
    return [preferred, first.words, *others], -difference


def judged(
    order: Sequence[str], ahead: float, sure: float, agrees: bool, short: bool, ratio: float
) -> Heard:
    """What is handed on.

    order  : words, best first
    ahead  : the lead of the first, nats
    sure   : its confidence
    agrees : True where the quick ear heard the same
    short  : True for a sound too short to be a sentence
    ratio  : speech to noise, dB
    """
    close = len(order) > 1 and ahead < CLOSE_LEAD
    alone = not agrees and sure < SURE_ALONE
    if sure < (SURE_WITHOUT_RIVAL if alone and len(order) < 2 else SURE) or short:
        return Heard(order[0], min(sure, UNSURE), True, tuple(order[1:]), ratio=ratio)
    return Heard(order[0], sure, True, tuple(order[1:]), close or (alone and len(order) > 1), ratio)
