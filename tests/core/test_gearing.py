"""Ratios of trains, feeds and spindle speeds against examples worked by hand."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.gearing import (
    Motion,
    compound_train,
    cross_feed_by_screw,
    feed_by_apron,
    feed_by_module_rack,
    feed_by_rack,
    lead_cut,
    simple_train,
    spindle_speed_through,
    train_for_lead,
    train_ratio,
)
from assistant.core.levers import GearTrain
from assistant.errors import OutOfRange
from assistant.units import inches

TEETH = st.integers(12, 127)
RATIOS = st.fractions(Fraction(1, 50), Fraction(50), max_denominator=200)


def test_jones_three_mm_with_a_screw_constant_of_six() -> None:
    """F. D. Jones, Turning and Boring (1914): constant 6 x 3 mm x 5 = 90 on the stud, 127 on the screw."""
    train = train_for_lead(Fraction(3), Fraction(1), inches(Fraction(1, 6)))
    assert train == train_ratio((90,), (127,))
    assert lead_cut(train, Fraction(1), inches(Fraction(1, 6))) == 3


def test_jones_one_and_a_half_threads_on_a_screw_of_two() -> None:
    """F. D. Jones, Turning and Boring (1914): driver 40 and driven 30."""
    lead = lead_cut(train_ratio((40,), (30,)), Fraction(1), inches(Fraction(1, 2)))
    assert lead == inches(Fraction(2, 3))


def test_box_multiplies_the_train_worked_by_hand() -> None:
    """30/60 into a box of 2/3 on 6 mm: 6 / 3 = 2 mm."""
    lead = lead_cut(Fraction(30, 60), Fraction(2, 3), Fraction(6))
    assert lead == 2
    assert type(lead) is Fraction


def test_leadscrew_of_two_starts_moves_by_its_lead() -> None:
    """A 3 mm screw of two starts moves the carriage 6 mm a turn: 1/4 of that is 1.5 mm."""
    assert lead_cut(Fraction(1, 4), Fraction(1), 2 * Fraction(3)) == Fraction(3, 2)


def test_compound_train_worked_by_hand() -> None:
    """20/40 x 30/90 = 1/6; two meshes leave the direction as it was."""
    assert train_ratio((20, 30), (40, 90)) == Fraction(1, 6)
    assert compound_train(((20, 40), (30, 90))) == Motion(Fraction(1, 6), True)


def test_one_idler_in_one_row_of_a_compound_train_turns_it_round() -> None:
    assert compound_train(((20, 55, 40), (30, 90))) == Motion(Fraction(1, 6), False)


@given(TEETH, st.lists(TEETH, max_size=4), TEETH)
def test_idlers_change_the_direction_and_nothing_else(
    driver: int, idlers: list[int], driven: int
) -> None:
    plain, with_idlers = simple_train((driver, driven)), simple_train((driver, *idlers, driven))
    assert with_idlers.ratio == plain.ratio
    assert with_idlers.same_way == (len(idlers) % 2 == 1)
    assert not plain.same_way


@given(st.lists(TEETH, min_size=2, max_size=6))
def test_idlers_worked_mesh_by_mesh_give_the_same(teeth: list[int]) -> None:
    """Each mesh on its own: speed over the teeth, turned round."""
    ratio, way = Fraction(1), 1
    for driver, driven in pairwise(teeth):
        ratio, way = ratio * driver / driven, -way
    assert simple_train(teeth) == Motion(ratio, way == 1)


@given(st.lists(st.tuples(TEETH, TEETH), min_size=1, max_size=3))
def test_train_ratio_is_that_of_the_gear_train_and_of_its_pairs(
    pairs: list[tuple[int, int]],
) -> None:
    drivers, driven = zip(*pairs, strict=True)
    ratio = train_ratio(drivers, driven)
    assert ratio == GearTrain(drivers, driven).ratio == compound_train(pairs).ratio
    assert ratio * train_ratio(driven, drivers) == 1
    assert ratio == train_ratio(drivers[::-1], driven)


@given(RATIOS, RATIOS, RATIOS)
def test_train_for_lead_and_lead_cut_go_there_and_back(
    lead: Fraction, box: Fraction, screw: Fraction
) -> None:
    assert lead_cut(train_for_lead(lead, box, screw), box, screw) == lead


def test_feed_by_apron_worked_by_hand() -> None:
    """A gearing for 1.5 mm and an apron of 1/12: 0.125 mm a turn."""
    assert feed_by_apron(Fraction(3, 2), Fraction(1, 12)) == Fraction(1, 8)


def test_feed_by_rack_worked_by_hand() -> None:
    """1/10 turn of the rod, worm 1/24, 12 teeth of 6 mm: 72 / 240 = 0.3 mm."""
    feed = feed_by_rack(Fraction(1, 10), Fraction(1, 24), 12, Fraction(6))
    assert feed == Fraction(3, 10)
    assert type(feed) is Fraction


def test_feed_by_rack_of_module_two_worked_by_hand() -> None:
    """As above with a rack of 2 pi mm: pi / 10."""
    feed = feed_by_module_rack(Fraction(1, 10), Fraction(1, 24), 12, Fraction(2))
    assert feed == pytest.approx(pi / 10, rel=1e-12)


def test_cross_feed_worked_by_hand() -> None:
    """1/10 turn of the rod, 1/4 to the screw, 4 mm lead: 0.1 mm of slide."""
    assert cross_feed_by_screw(Fraction(1, 10), Fraction(1, 4), Fraction(4)) == Fraction(1, 10)


def test_back_gear_and_belt_worked_by_hand() -> None:
    """1440 turns, 100 on 200 mm, 100 on 150 mm, back gear 20/60 x 25/50: 480, then 480/6 = 80."""
    pulleys = [(Fraction(100), Fraction(200)), (Fraction(100), Fraction(150))]
    assert spindle_speed_through(Fraction(1440), pulleys) == 480
    assert spindle_speed_through(Fraction(1440), pulleys, [(20, 60), (25, 50)]) == 80


def test_slip_takes_its_share_of_the_speed() -> None:
    """Two per cent of 500 turns are 10."""
    assert spindle_speed_through(Fraction(500), slip=Fraction(1, 50)) == 490


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: train_ratio((), ()), "of 0 drivers and 0 driven: must have"),
        (lambda: train_ratio((20, 30), (40,)), "of 2 drivers and 1 driven: must have"),
        (lambda: train_ratio((20,), (0,)), "gear of 0 teeth: must have at least 1 tooth"),
        (lambda: simple_train((20,)), "of 1 gears: must have at least two"),
        (lambda: simple_train((20, -5, 40)), "gear of -5 teeth"),
        (lambda: compound_train(()), "of 0 pairs: must have at least one"),
        (
            lambda: lead_cut(Fraction(0), Fraction(1), Fraction(6)),
            "train ratio 0: must be more than 0",
        ),
        (lambda: lead_cut(Fraction(1), Fraction(-1), Fraction(6)), "box ratio -1"),
        (lambda: lead_cut(Fraction(1), Fraction(1), Fraction(0)), "leadscrew lead, mm 0"),
        (lambda: train_for_lead(Fraction(0), Fraction(1), Fraction(6)), "lead, mm 0"),
        (lambda: feed_by_apron(Fraction(1), Fraction(0)), "apron ratio 0"),
        (lambda: feed_by_rack(Fraction(1), Fraction(1), 0, Fraction(6)), "gear of 0 teeth"),
        (lambda: feed_by_rack(Fraction(1), Fraction(1), 12, Fraction(0)), "rack pitch, mm 0"),
        (lambda: feed_by_module_rack(Fraction(0), Fraction(1), 12, Fraction(2)), "feed rod 0"),
        (lambda: cross_feed_by_screw(Fraction(1), Fraction(1), Fraction(-4)), "screw lead, mm -4"),
        (lambda: spindle_speed_through(Fraction(0)), "motor speed, turns a minute 0"),
        (
            lambda: spindle_speed_through(Fraction(1), [(Fraction(1), Fraction(0))]),
            "pulley diameter 0",
        ),
        (lambda: spindle_speed_through(Fraction(1), (), [(20, 0)]), "gear of 0 teeth"),
        (lambda: spindle_speed_through(Fraction(1), slip=Fraction(1)), "belt slip 1: must be 0 to"),
    ],
)
def test_what_cannot_turn_is_refused_with_its_limit(call: object, text: str) -> None:
    with pytest.raises(OutOfRange, match=text):
        call()  # type: ignore[operator]
