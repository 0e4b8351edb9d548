"""What is handed on: acted on, asked back or left alone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.neural.judging import (
    CLOSE_LEAD,
    PLAIN,
    QUICK_MOST,
    SURE,
    TENFOLD_LEAD,
    confidence,
    in_order,
    judged,
)
from assistant.hearing.neural.search import Reading

FORTY, FOURTEEN, FIFTEEN = "metric forty", "metric fourteen", "metric fifteen"
READINGS = [Reading(FORTY, -3.0, 0.5), Reading(FOURTEEN, -5.0, 0.7), Reading(FIFTEEN, -20.0, 2.0)]


def test_alone_the_strong_ear_s_order_stands() -> None:
    assert in_order(READINGS, {}) == [(FORTY, 0.0), (FOURTEEN, 2.0), (FIFTEEN, 17.0)]


def test_what_both_ears_prefer_leads_by_more() -> None:
    weighed = {FORTY: -900.0, FOURTEEN: -930.0}
    (first, _), (second, behind), *_ = in_order(READINGS, weighed, [FORTY])
    assert (first, second) == (FORTY, FOURTEEN)
    assert behind > 2.0


def test_the_quick_ear_turns_round_what_is_close_and_no_more() -> None:
    """In noise it hears far worse: however sure it is, it counts for so many nats at most."""
    weighed = {FOURTEEN: -500.0, FIFTEEN: -600.0}
    order = dict(in_order(READINGS, weighed, [FOURTEEN]))
    assert order[FOURTEEN] == 0.0
    sure = [Reading(FORTY, 20.0, 0.1), *READINGS[1:]]
    assert in_order(sure, weighed, [FOURTEEN])[0][0] == FORTY


def test_what_comes_nowhere_near_the_quick_ear_s_first_is_as_far_as_can_be() -> None:
    order = dict(in_order(READINGS, {FOURTEEN: -500.0}))
    assert order[FOURTEEN] == 0.0
    assert order[FORTY] == pytest.approx(QUICK_MOST - 2.0)


def test_a_look_alike_that_the_strong_ear_lost_stands_behind_all_that_it_has() -> None:
    weighed = {"metric thirteen": -800.0, FORTY: -801.0}
    order = in_order(READINGS[:2], weighed)
    assert [words for words, _ in order] == [FORTY, FOURTEEN, "metric thirteen"]


@given(st.floats(-2000, 0), st.floats(-2000, 0))
def test_the_quick_ear_counts_for_so_much_at_most(one: float, other: float) -> None:
    weighed = {FORTY: one, FOURTEEN: other}
    order = dict(in_order(READINGS, weighed))
    assert abs(order[FOURTEEN] - order[FORTY] - 2.0) <= QUICK_MOST + 1e-9


@given(st.floats(0, 10), st.booleans(), st.none() | st.floats(-12, -2), st.floats(0, 60))
def test_more_strain_is_never_surer(
    strain: float, agrees: bool, fit: float | None, ratio: float
) -> None:
    one, more = (
        confidence(Reading("x", 0.0, each), agrees, fit, ratio) for each in (strain, strain + 1)
    )
    assert 0 <= more < one <= 1
    assert confidence(Reading("x", 0.0, strain), True, fit, ratio) >= confidence(
        Reading("x", 0.0, strain), False, fit, ratio
    )


def test_what_anybody_would_have_written_is_sure_however_ill_it_fits_the_quick_ear() -> None:
    assert confidence(Reading("x", 0.0, PLAIN), False, None, 15.0) >= SURE
    assert confidence(Reading("x", 0.0, 4 * PLAIN), False, None, 15.0) < SURE


def test_other_talk_and_scraps_are_not_acted_on() -> None:
    alone = [(FORTY, 0.0)]
    assert not judged(alone, 0.3, False, 30.0).sure
    assert not judged(alone, 0.99, True, 30.0).sure
    assert judged(alone, 0.99, False, 30.0).sure


@pytest.mark.parametrize(
    ("behind", "close"), [([0.1, 0.2, 20.0], 2), ([CLOSE_LEAD + 0.1, 20.0], 0), ([], 0)]
)
def test_all_that_fit_about_as_well_are_close(behind: list[float], close: int) -> None:
    """Several wordings of one meaning may come first; who knows meanings looks through them."""
    order = [(FORTY, 0.0), *((f"metric {each}", each) for each in behind)]
    heard = judged(order, 0.99, False, 30.0)
    assert heard.close == close
    assert len(heard.alternatives) == len(behind)


def test_ten_times_a_number_is_asked_about_sooner_than_another_one() -> None:
    said, tenth, other = "feed point oh five", "feed point oh oh five", "feed point oh nine"
    order = [(said, 0.0), (other, TENFOLD_LEAD - 1), (tenth, TENFOLD_LEAD - 1)]
    heard = judged(order, 0.9, short=False, ratio=30.0)
    assert heard.alternatives == (tenth, other)
    assert heard.close == 1
    assert not judged([(said, 0.0), (tenth, TENFOLD_LEAD)], 0.9, short=False, ratio=30.0).close
