"""How the readings of one ear are weighed by the other: scripted ears."""

from collections.abc import Callable, Collection
from typing import Any

import numpy as np
import pytest

from assistant.hearing.look_alikes import Sentences
from assistant.hearing.neural.both_ears import DOUBTFUL, BothEars, Read
from assistant.hearing.neural.judging import CLEAR_LEAD, CLOSE_LEAD, FAR, PLAIN, judged
from assistant.hearing.neural.quick_ear import Utterance
from assistant.hearing.neural.search import NOBODY, Reading

THIRTEEN, THIRTY = "half inch thirteen", "half inch thirty"
FOURTEEN = "half inch fourteen"
TENTH, FIFTIETH = "feed point oh five", "feed point oh oh five"
LONG, SHORT = "ten millimetres to inches", "ten millimetre to inches"
SENTENCES = Sentences.of([THIRTEEN, THIRTY, FOURTEEN, TENTH, FIFTIETH, LONG, SHORT])
SOUND, QUIET = np.ones(1, np.int16), np.zeros(1, np.int16)
FIT = -4.0


class Strong:
    """Reads what is scripted: of the sound, and of the sound with less noise."""

    def __init__(self, sound: list[Reading], quiet: list[Reading] | None = None) -> None:
        self._readings = {1: sound, 0: quiet or []}
        self.looked_at: list[int] = []

    def readings(self, samples: Any, *_: object) -> list[Reading]:
        self.looked_at.append(int(samples[0]))
        return self._readings[int(samples[0])]


class Quick:
    """Scores what is scripted; the rest lies far behind."""

    def __init__(self, **scores: float) -> None:
        self._scores = {name.replace("_", " "): score for name, score in scores.items()}
        self.asked: list[tuple[str, ...]] = []
        self.fitted: list[str] = []

    def best(
        self, rivals: Collection[str], among: Collection[str], spoken: Utterance
    ) -> tuple[str, float] | None:
        assert set(among) <= set(rivals)
        self.asked.append(tuple(among))
        known = [words for words in among if words in self._scores]
        words = max(known, key=lambda each: self._scores[each], default=None)
        return None if words is None else (words, self._scores[words])

    def fit(self, words: str, spoken: Utterance) -> float | None:
        self.fitted.append(words)
        return FIT


def without_plural(words: str) -> str:
    return words.replace("millimetres", "millimetre")


def read(
    strong: Any,
    quick: Any,
    *followed: str,
    meaning: Callable[[str], object] = without_plural,
    dropped: Callable[[], bool] = lambda: False,
    thorough: bool = True,
) -> Read | None:
    spoken = Utterance(SOUND, QUIET, "", 30.0, SENTENCES, meaning)
    both = BothEars(strong, quick)
    return both.read(spoken, dict.fromkeys(followed, FIT), dropped, thorough)


def order(found: Read | None) -> dict[str, float]:
    assert found is not None
    return dict(found.order)


def test_what_is_plain_and_heard_by_both_is_not_compared() -> None:
    quick = Quick()
    strong = Strong([Reading(THIRTEEN, 3.0, PLAIN), Reading(THIRTY, 3.0 - CLEAR_LEAD, 1.0)])
    found = read(strong, quick, THIRTEEN)
    assert found is not None
    assert found.first.words == THIRTEEN
    assert found.agrees
    assert not quick.asked
    assert not quick.fitted, "the fit came with what it followed"


@pytest.mark.parametrize(
    ("strain", "lead", "followed"),
    [
        (PLAIN + 0.1, CLEAR_LEAD, THIRTEEN),
        (PLAIN, CLEAR_LEAD - 3, THIRTEEN),
        (PLAIN, CLEAR_LEAD, FOURTEEN),
    ],
)
def test_a_strained_reading_a_near_one_or_another_by_the_quick_ear_is_compared(
    strain: float, lead: float, followed: str
) -> None:
    quick = Quick(half_inch_thirteen=-500, half_inch_thirty=-520)
    strong = Strong([Reading(THIRTEEN, 3.0, strain), Reading(THIRTY, 3.0 - lead, 1.0)])
    found = order(read(strong, quick, followed))
    assert quick.asked
    assert found[THIRTEEN] == 0.0
    assert found[THIRTY] > lead


def test_two_of_one_meaning_are_one_reading_that_counts_for_both() -> None:
    quick = Quick()
    strong = Strong([Reading(LONG, 1.0, 0.0), Reading(SHORT, 1.0, 0.1)])
    found = order(read(strong, quick, SHORT))
    assert list(found) == [LONG]
    assert not quick.asked, "nobody need choose between them"
    apart = order(read(strong, Quick(), SHORT, meaning=str))
    assert list(apart) == [SHORT, LONG]


def test_what_comes_second_is_weighed_before_anybody_is_asked() -> None:
    """The quick ear's own best two may be others."""
    strong = Strong([Reading(THIRTEEN, 3.0, 0.0), Reading(FOURTEEN, 1.0, 0.3)])
    near = Quick(half_inch_thirteen=-500, half_inch_thirty=-510, half_inch_fourteen=-590)
    found = order(read(strong, near, THIRTY))
    assert found[FOURTEEN] > CLOSE_LEAD
    assert near.asked[-1] == (FOURTEEN,)
    lost = Quick(half_inch_thirteen=-500, half_inch_thirty=-510)
    assert order(read(strong, lost, THIRTY))[FOURTEEN] == pytest.approx(2.0 + FAR / 10)


@pytest.mark.parametrize(("strong_hears", "quick_hears"), [(TENTH, FIFTIETH), (FIFTIETH, TENTH)])
def test_another_count_of_noughts_in_the_quick_ear_is_always_asked_about(
    strong_hears: str, quick_hears: str
) -> None:
    strong = Strong([Reading(strong_hears, 3.0, 0.0), Reading(quick_hears, -20.0, 2.0)])
    found = read(strong, Quick(), quick_hears)
    assert found is not None
    heard = judged(found.order, found.sure, short=False, ratio=30.0)
    assert heard.words == strong_hears
    assert heard.alternatives[: heard.close] == (quick_hears,)


def test_half_of_what_the_strong_ear_heard_is_asked_about() -> None:
    longer = f"{THIRTEEN} left hand"
    strong = Strong([Reading(longer, 3.0, 0.3), Reading(THIRTEEN, 0.0, 0.4)])
    quick = Quick(half_inch_thirteen=-500)
    found = read(strong, quick, THIRTEEN)
    assert found is not None
    assert found.order[0][0] == THIRTEEN
    heard = judged(found.order, found.sure, short=False, ratio=15.0)
    assert heard.alternatives[: heard.close] == (longer,)


def test_a_doubt_is_looked_at_with_less_noise_too() -> None:
    doubted = [Reading(THIRTY, -9.0, DOUBTFUL + 0.5)]
    clearer = [Reading(THIRTEEN, -2.0, DOUBTFUL)]
    strong = Strong(doubted, clearer)
    assert next(iter(order(read(strong, Quick())))) == THIRTEEN
    assert strong.looked_at == [1, 0]
    once = Strong(doubted, clearer)
    assert next(iter(order(read(once, Quick(), thorough=False)))) == THIRTY
    assert once.looked_at == [1]
    assert next(iter(order(read(Strong(doubted, [NOBODY]), Quick())))) == THIRTY


def test_nobody_is_no_reading() -> None:
    found = read(Strong([NOBODY]), Quick())
    assert found is not None
    assert found.nobody
    assert found.sure == 0.0
    assert read(Strong([]), Quick()) is None


def test_what_is_dropped_asks_nothing_more() -> None:
    answers = iter([False, True, True, True, True])
    quick = Quick(half_inch_thirteen=-500, half_inch_thirty=-510)
    strong = Strong([Reading(THIRTEEN, 3.0, 0.0), Reading(THIRTY, 2.0, 0.3)])
    assert read(strong, quick, dropped=lambda: next(answers)) is None
    assert len(quick.asked) == 0


def test_once_compared_is_not_compared_again() -> None:
    quick: Any = Quick(half_inch_thirteen=-500, half_inch_thirty=-510)
    strong: Any = Strong([Reading(THIRTEEN, 3.0, 0.0), Reading(THIRTY, 2.0, 0.3)])
    both = BothEars(strong, quick)
    first = both.read(Utterance(SOUND, QUIET, "", 30.0, SENTENCES, str), {})
    asked = len(quick.asked)
    assert asked
    assert first is not None
    then = both.again(first, {THIRTY: FIT})
    assert then is not None
    assert len(quick.asked) == asked
    assert then.followed == {THIRTY: FIT}
    assert order(then)[THIRTY] < order(first)[THIRTY]
