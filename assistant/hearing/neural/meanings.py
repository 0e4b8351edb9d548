"""Sentences that mean the same, as 'ten millimetre' and 'ten millimetres': one stands for all."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from assistant.hearing.neural.search import Reading
from assistant.hearing.recogniser import Meaning


class Meanings:
    """Those met in one utterance."""

    def __init__(self, meaning: Meaning) -> None:
        self._meaning = meaning
        self._stand: list[tuple[object, str]] = []
        self._known: dict[str, str] = {}

    def stands_for(self, words: str) -> str:
        """The first sentence of the same meaning that was asked about.

        >>> meanings = Meanings(lambda words: words.rstrip("s"))
        >>> meanings.stands_for("ten inches"), meanings.stands_for("ten inche")
        ('ten inches', 'ten inches')
        """
        if words not in self._known:
            meant = self._meaning(words)
            same = (stand for each, stand in self._stand if each == meant)
            self._known[words] = next(same, words)
            if self._known[words] == words:
                self._stand.append((meant, words))
        return self._known[words]

    def merged(self, readings: Iterable[Reading]) -> list[Reading]:
        """One reading for each meaning, best first: the probabilities of all of its words add up."""
        made: dict[str, Reading] = {}
        for each in readings:
            stand = self.stands_for(each.words)
            if stand in made:
                score = float(np.logaddexp(made[stand].score, each.score))
                made[stand] = replace(made[stand], score=score)
            else:
                made[stand] = each
        return sorted(made.values(), key=lambda reading: -reading.score)
