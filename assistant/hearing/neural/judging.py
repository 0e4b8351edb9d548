"""From the readings of both ears to what is handed on: sure, asked back, or left alone.

The figures were chosen on the tuning sentences of tests/bench (four synthetic voices, made noise).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

from assistant.hearing.look_alikes import tenfold
from assistant.hearing.neural.search import Reading
from assistant.hearing.recogniser import Heard

CLEAR_LEAD, CLOSE_LEAD = 10.0, 6.0
"""Nats by which a reading leads so clearly that the quick ear need not weigh it where it heard the
same; and below which the operator is asked."""
TENFOLD_LEAD = 10.0
"""The latter where the other is ten times the number, or a tenth of it."""
QUICK_WEIGHT, QUICK_MOST = 0.1, 8.0
"""Nats of the strong ear for one unit of the quick ear's score; and the most that it can count for."""
FAR = QUICK_MOST / QUICK_WEIGHT
"""Units of the quick ear's score from which it counts for no more."""
FOLLOWED = 2.0
"""Nats for what the quick ear had found on its way, before it was asked to compare."""
UNHEARD = 2.0
"""Nats below all its other readings where what only the quick ear proposes is taken to be."""
WITHIN = 25.0
"""Nats below the best beyond which a reading counts no more."""
FIT = {"": 8.88, "strain": -2.36, "agrees": 1.08, "fit": 1.4, "ratio": 0.115}
"""A logistic line: how far a reading is from other talk, coughs and bangs."""
BEST_RATIO = 30.0
NO_FIT = -9.0
SURE = 0.6
"""Confidence of what is acted on or asked about."""
PLAIN = 0.25
"""Strain up to which the model would have written the same without a grammar: no other talk was so near
a sentence of it (the nearest piece of talk had 0.84), however ill it fits the quick ear."""
BOTH_PLAIN = 0.95
"""Confidence, at least, of what both ears heard and the model would have written without a grammar."""
UNSURE = 0.4
"""Confidence of what may not be acted on."""


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
    sure = 1 / (1 + math.exp(-max(-500.0, value)))
    if reading.strain <= PLAIN:
        return max(sure, BOTH_PLAIN if agrees else SURE)
    return sure


def in_order(
    readings: Sequence[Reading],
    weighed: Mapping[str, float],
    followed: Sequence[str] = (),
) -> list[tuple[str, float]]:
    """The words of all readings, best first as both ears weigh them, and how far each is behind the first, nats.

    readings : of the strong ear
    weighed  : the quick ear's scores of the best by its own hearing among these and what looks like
               them, two unless nothing else comes near the first; empty where it was not asked
    followed : the words that the quick ear had found on its way, if any

    >>> in_order([Reading("feed one", -2.0, 0.1), Reading("feed nine", -5.0, 1.0)], {})
    [('feed one', 0.0), ('feed nine', 3.0)]
    """
    scores = {reading.words: reading.score for reading in readings}
    lowest = min(scores.values()) - UNHEARD
    scores |= {words: lowest for words in weighed if words not in scores}
    best, least = max(weighed.values(), default=0.0), min(weighed.values(), default=0.0)
    if len(weighed) == 1:
        least = best - FAR
    for words in scores:
        score = weighed.get(words, least)
        scores[words] += max(-QUICK_MOST, QUICK_WEIGHT * (score - best))
        scores[words] += FOLLOWED * (words in followed)
    order = sorted(scores, key=lambda words: -scores[words])
    return [(words, scores[order[0]] - scores[words]) for words in order]


def is_close(first: str, other: str, behind: float) -> bool:
    """True where the operator must choose between `first` and `other`, so many nats behind.

    >>> is_close("feed point oh five", "feed point oh oh five", 8.0), is_close("feed four", "feed five", 8.0)
    (True, False)
    """
    return behind < (TENFOLD_LEAD if tenfold(first, other) else CLOSE_LEAD)


def asked_anyway(
    order: Sequence[tuple[str, float]], heard: Collection[str], strong: str
) -> list[tuple[str, float]]:
    """`order` in which no lead is large enough where one ear heard ten times the number, or the strong one a longer sentence.

    heard  : the first of each ear
    strong : of the strong one

    >>> order = [("feed point oh five", 0.0), ("feed nine", 9.0), ("feed point oh oh five", 20.0)]
    >>> asked_anyway(order, ["feed point oh oh five"], "feed point oh five")[1]
    ('feed point oh oh five', 0.0)
    """
    leader = order[0][0]
    near = {words for words in heard if tenfold(words, leader)}
    near |= {strong} if strong.startswith(f"{leader} ") else set()
    placed = ((words, 0.0 if words in near else behind) for words, behind in order)
    return sorted(placed, key=lambda each: (each[1], each[0] != leader))


def judged(order: Sequence[tuple[str, float]], sure: float, short: bool, ratio: float) -> Heard:
    """What is handed on.

    order : words, best first, and how far behind the first, nats
    sure  : the first one's confidence
    short : True for a sound too short to be a sentence
    ratio : speech to noise, dB
    """
    (first, _), *others = order
    close = [words for words, behind in others if is_close(first, words, behind)]
    alternatives = (*close, *(words for words, _ in others if words not in close))
    if sure < SURE or short:
        return Heard(first, min(sure, UNSURE), True, alternatives, ratio=ratio)
    return Heard(first, sure, True, alternatives, len(close), ratio)
