"""What is handed on: acted on, asked back or left alone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.neural.judging import Weighed, confidence, in_order, judged
from assistant.hearing.neural.search import Reading

FORTY, FOURTEEN, FIFTEEN = "metric forty", "metric fourteen", "metric fifteen"
READINGS = [Reading(FORTY, -3.0, 0.5), Reading(FOURTEEN, -5.0, 0.7), Reading(FIFTEEN, -20.0, 2.0)]


def test_what_both_ears_prefer_leads_by_more() -> None:
    order, ahead = in_order(READINGS, FORTY, {FORTY: Weighed(-900.0, -4.0)})
    assert order[0] == FORTY
    assert ahead > 2.0


@pytest.mark.parametrize(
    ("quick_lead", "first", "asked"),
    [(5.0, FORTY, True), (12.0, FOURTEEN, True), (60.0, FOURTEEN, False)],
)
def test_the_quick_ear_may_turn_the_order_round(quick_lead: float, first: str, asked: bool) -> None:
    """Two nats of the strong ear stand against ten of the quick one."""
    weighed = {FORTY: Weighed(-900.0, -4.0), FOURTEEN: Weighed(-900.0 + quick_lead, -3.9)}
    order, ahead = in_order(READINGS, FOURTEEN, weighed)
    assert order[0] == first
    assert judged(order, ahead, 0.95, True, False, 30.0).close is asked


def test_a_look_alike_that_the_strong_ear_lost_is_asked_about() -> None:
    order, ahead = in_order(READINGS, "metric thirteen", {"metric thirteen": Weighed(-800.0, -3.5)})
    assert order[:2] == [FORTY, "metric thirteen"]
    assert judged(order, ahead, 0.95, True, False, 30.0).close


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


def test_other_talk_and_scraps_are_not_acted_on() -> None:
    assert not judged([FORTY], 20.0, 0.3, True, False, 30.0).sure
    assert not judged([FORTY], 20.0, 0.95, True, True, 30.0).sure
    assert judged([FORTY], 20.0, 0.95, True, False, 30.0).sure


def test_what_only_one_ear_heard_is_asked_about_unless_it_is_very_sure() -> None:
    assert judged([FORTY, FOURTEEN], 20.0, 0.7, False, False, 30.0).close
    assert not judged([FORTY], 20.0, 0.6, False, False, 30.0).sure
    assert judged([FORTY], 20.0, 0.7, False, False, 30.0).sure
    plain = judged([FORTY, FOURTEEN], 20.0, 0.95, False, False, 30.0)
    assert plain.sure
    assert not plain.close
