"""The search for change gears against outside figures and against a plain search of everything."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.change_gears import BanjoLimits, GearsFound, change_gears
from assistant.core.gearing import compound_train, lead_cut, train_ratio
from assistant.core.levers import GearTrain
from assistant.errors import OutOfRange
from assistant.units import inches
from tests.check_values import check_rows

LARGE_SET = (*range(20, 105, 5), 24, 28, 32, 36, 37, 47, 63, 127)
"""The gears of an invented shop."""
EIGHT_PER_INCH = inches(Fraction(1, 8))


def length(text: str) -> Fraction:
    """'2/3 inch' or '3 mm' in mm."""
    number, unit = text.split()
    return inches(Fraction(number)) if unit == "inch" else Fraction(number)


def gears_of(row: dict[str, str], side: str) -> tuple[int, ...]:
    return tuple(int(teeth) for teeth in row[side].split("+"))


@pytest.mark.parametrize("row", check_rows("change_gears.csv"))
def test_train_cuts_what_the_source_says(row: dict[str, str]) -> None:
    """The search is given the gears of the row and one idler, and must find this train among all."""
    drivers, driven = gears_of(row, "drivers"), gears_of(row, "driven")
    leadscrew = length(row["leadscrew"])
    every = change_gears(length(row["wanted"]), (*drivers, *driven, 90), (leadscrew,), count=1000)
    found = next(one for one in every if same_gears(one.train, drivers, driven))
    shown = {
        "lead_mm": found.lead,
        "error_ppm": found.error_ppm,
        "error_um_per_100_mm": found.error_over_100_mm,
    }[row["quantity"]]
    assert type(shown) is Fraction
    assert abs(shown - Fraction(row["expected"])) <= Fraction(row["tolerance"])
    assert found.lead == lead_cut(train_ratio(drivers, driven), Fraction(1), leadscrew)


def same_gears(train: GearTrain, drivers: tuple[int, ...], driven: tuple[int, ...]) -> bool:
    return sorted(train.drivers) == sorted(drivers) and sorted(train.driven) == sorted(driven)


def test_one_gear_of_127_makes_every_metric_lead_exact() -> None:
    for steps in (10, 15, 20, 25, 30, 35, 40, 60):
        best = change_gears(Fraction(steps, 20), LARGE_SET, (EIGHT_PER_INCH,), count=1)[0]
        assert best.exact, steps
        assert best.error_over_100_mm == 0
        assert 127 in best.train.driven


def test_without_127_the_lead_is_near_and_says_by_how_much() -> None:
    """63/80 for 127's share: 1.5 mm on 1/8 inch through 63/80 x 60/100 comes out 1.5001875 mm."""
    gears = (60, 63, 80, 100, 46)
    found = change_gears(Fraction(3, 2), gears, (EIGHT_PER_INCH,), count=1)[0]
    assert same_gears(found.train, (60, 63), (80, 100))
    assert found.lead == Fraction("1.5001875")
    assert found.error_ppm == 125
    assert not found.exact


def test_exact_comes_before_few_gears_and_few_gears_before_many() -> None:
    gears = (20, 30, 40, 60, 100, 127)
    found = change_gears(Fraction(3, 2), gears, (EIGHT_PER_INCH,), count=20)
    errors = [abs(one.pitch_error) for one in found]
    assert errors == sorted(errors)
    assert found[0].train == GearTrain((60,), (127,))
    assert found[0].idler == 100
    sizes = [len(one.train.drivers) for one in found if one.exact]
    assert sizes == sorted(sizes)


def test_every_box_position_is_searched() -> None:
    """Only the third position makes 40/127 cut 2 mm: 6.35 x 40/127 = 2."""
    boxes = (inches(Fraction(1, 7)), inches(Fraction(1, 9)), inches(Fraction(1, 4)))
    found = change_gears(Fraction(2), (40, 53, 127), boxes, count=1)[0]
    assert (found.box, found.train, found.exact) == (2, GearTrain((40,), (127,)), True)


def test_gear_owned_once_is_used_once_and_owned_twice_may_be_used_twice() -> None:
    once = change_gears(Fraction(1, 4), (20, 40, 41, 43), (Fraction(1),), count=500)
    assert not any(one.exact for one in once)
    twice = change_gears(Fraction(1, 4), (20, 20, 40, 40), (Fraction(1),), count=1)[0]
    assert twice.train == GearTrain((20, 20), (40, 40))
    assert twice.exact


def test_single_pair_needs_a_spare_gear_for_the_idler() -> None:
    found = change_gears(Fraction(1), (30, 50, 70), (Fraction(1),), count=100)
    for one in found:
        assert sorted((*one.train.drivers, *one.train.driven, one.idler or 0)) == [30, 50, 70]
        assert compound_train(
            ((one.train.drivers[0], one.idler or 0, one.train.driven[0]),)
        ).same_way


def test_trains_beyond_the_largest_error_are_left_out() -> None:
    near = change_gears(
        Fraction(3, 2), LARGE_SET, (EIGHT_PER_INCH,), count=5000, largest_error_ppm=Fraction(200)
    )
    assert near
    assert all(abs(one.error_ppm) <= 200 for one in near)


def test_nearest_train_is_named_where_none_is_near_enough() -> None:
    with pytest.raises(
        OutOfRange, match="lead 9 mm: no train comes within 100 ppm; nearest is 2 mm"
    ):
        change_gears(Fraction(9), (20, 30, 40), (Fraction(1),), largest_error_ppm=Fraction(100))


Key = tuple[Fraction, int, int, tuple[int, ...], tuple[int, ...]]


def hangs_by_distances(banjo: BanjoLimits, a: int, b: int, c: int, d: int) -> bool:
    """Two pairs on a banjo, in mm between centres; a module of 2 where none is given."""
    module = banjo.module or Fraction(2)
    upper, lower = (a + b) * module / 2, (c + d) * module / 2
    room = banjo.clearance_teeth * module / 2
    clear = c * module / 2 + room <= upper and b * module / 2 + room <= lower
    if banjo.shaft_distance:
        clear = clear and max(a, d) * module / 2 + room <= banjo.shaft_distance
    return clear and stud_stands(banjo, upper, lower)


def stud_stands(banjo: BanjoLimits, upper: Fraction, lower: Fraction) -> bool:
    for limits, distance in ((banjo.upper_distance, upper), (banjo.lower_distance, lower)):
        least, most = limits
        if (least is not None and distance < least) or (most is not None and distance > most):
            return False
    apart = banjo.shaft_distance
    return apart is None or abs(upper - lower) <= apart <= upper + lower


def single_hangs(banjo: BanjoLimits, driver: int, idler: int, driven: int) -> bool:
    """Tip radius is half of teeth and two, in modules; the pair itself must not touch."""
    module = banjo.module or Fraction(2)
    tips = Fraction(driver + 2 + driven + 2) * module / 2
    if banjo.shaft_distance and tips > banjo.shaft_distance:
        return False
    return stud_stands(banjo, (driver + idler) * module / 2, (idler + driven) * module / 2)


def hung_trains(
    gears: Sequence[int], banjo: BanjoLimits
) -> set[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Drivers and driven gears of every train that can hang, by plain counting through."""
    hung = set()
    for a, b, c in permutations(gears, 3):
        if single_hangs(banjo, a, b, c):
            hung.add(((a,), (c,)))
    for a, b, c, d in permutations(gears, 4):
        if hangs_by_distances(banjo, a, b, c, d):
            hung.add((tuple(sorted((a, c))), tuple(sorted((b, d)))))
    return hung


def every_setting(
    lead: Fraction, gears: Sequence[int], boxes: Sequence[Fraction], banjo: BanjoLimits
) -> Iterator[Key]:
    """Every train at every position, with its error."""
    for drivers, driven in hung_trains(gears, banjo):
        ratio = train_ratio(drivers, driven)
        for box, box_lead in enumerate(boxes):
            yield abs(ratio * box_lead - lead), len(drivers), box, drivers, driven


def brute_force(
    lead: Fraction, gears: Sequence[int], boxes: Sequence[Fraction], banjo: BanjoLimits
) -> list[Key]:
    """Every train at every position, best first."""
    return sorted(every_setting(lead, gears, boxes, banjo))


def key(one: GearsFound) -> tuple[Fraction, int, int]:
    return abs(one.pitch_error), len(one.train.drivers), one.box


POSITIVE = st.fractions(Fraction(1, 4), Fraction(12), max_denominator=40)
DISTANCES = st.tuples(st.integers(20, 90), st.integers(0, 60), st.booleans(), st.booleans()).map(
    lambda ends: (
        Fraction(ends[0]) if ends[2] else None,
        Fraction(ends[0] + ends[1]) if ends[3] else None,
    )
)
BANJOS = st.builds(
    BanjoLimits,
    clearance_teeth=st.integers(0, 20),
    module=st.sampled_from([Fraction(1), Fraction(3, 2), Fraction(25, 16)]),
    upper_distance=DISTANCES,
    lower_distance=DISTANCES,
    shaft_distance=st.none() | st.integers(30, 180).map(Fraction),
)
SMALL_SETS = st.lists(
    st.integers(20, 50) | st.sampled_from([20, 40, 80, 127]), min_size=3, max_size=6
)


@given(POSITIVE, SMALL_SETS, st.lists(POSITIVE, min_size=1, max_size=3), st.integers(1, 12))
def test_search_is_never_worse_than_counting_through_everything(
    lead: Fraction, gears: list[int], boxes: list[Fraction], count: int
) -> None:
    expected = brute_force(lead, gears, boxes, BanjoLimits())
    found = change_gears(lead, gears, boxes, count=count)
    assert [key(one) for one in found] == [entry[:3] for entry in expected[:count]]
    sets = [(sorted(one.train.drivers), sorted(one.train.driven), one.box) for one in found]
    assert len({str(entry) for entry in sets}) == len(sets)


@given(POSITIVE, SMALL_SETS, st.lists(POSITIVE, min_size=1, max_size=2), BANJOS)
def test_search_within_a_banjo_is_never_worse_and_every_train_hangs(
    lead: Fraction, gears: list[int], boxes: list[Fraction], banjo: BanjoLimits
) -> None:
    expected = brute_force(lead, gears, boxes, banjo)
    if not expected:
        with pytest.raises(OutOfRange, match="give no train that fits the banjo"):
            change_gears(lead, gears, boxes, banjo)
        return
    found = change_gears(lead, gears, boxes, banjo, count=8)
    assert [key(one) for one in found] == [entry[:3] for entry in expected[:8]]
    for one in found:
        if one.idler is None:
            (a, c), (b, d) = one.train.drivers, one.train.driven
            assert hangs_by_distances(banjo, a, b, c, d)
        else:
            assert single_hangs(banjo, one.train.drivers[0], one.idler, one.train.driven[0])


@given(POSITIVE, SMALL_SETS, POSITIVE)
def test_errors_are_those_of_the_train_that_is_named(
    lead: Fraction, gears: list[int], box_lead: Fraction
) -> None:
    for one in change_gears(lead, gears, (box_lead,)):
        assert one.lead == one.train.ratio * box_lead
        assert one.pitch_error == one.lead - lead
        assert one.error_ppm * lead == one.pitch_error * 1_000_000
        assert one.error_over_100_mm * lead == one.pitch_error * 100_000
        used = [*one.train.drivers, *one.train.driven, *([one.idler] if one.idler else [])]
        assert all(used.count(teeth) <= gears.count(teeth) for teeth in used)


@given(POSITIVE, st.permutations(LARGE_SET[:8]), POSITIVE)
def test_order_in_which_the_gears_are_listed_does_not_matter(
    lead: Fraction, gears: list[int], box_lead: Fraction
) -> None:
    assert change_gears(lead, gears, (box_lead,)) == change_gears(lead, sorted(gears), (box_lead,))


@given(POSITIVE, SMALL_SETS, st.integers(20, 127), POSITIVE)
def test_one_gear_more_never_makes_the_best_worse(
    lead: Fraction, gears: list[int], another: int, box_lead: Fraction
) -> None:
    few = change_gears(lead, gears, (box_lead,), count=1)[0]
    more = change_gears(lead, [*gears, another], (box_lead,), count=1)[0]
    assert abs(more.pitch_error) <= abs(few.pitch_error)


@pytest.mark.parametrize("count", [1, 3, 7])
def test_shorter_list_is_the_head_of_the_longer(count: int) -> None:
    """The whole shop, two pairs, a box of 48 positions."""
    boxes = [inches(1) / (8 + at % 8) / 2 ** (at // 8) for at in range(48)]
    for lead in (Fraction(3, 2), Fraction(7, 4), inches(Fraction(1, 27)), Fraction(355, 113)):
        long = change_gears(lead, LARGE_SET, boxes, count=40)
        assert change_gears(lead, LARGE_SET, boxes, count=count) == long[:count]


GEARS, SCREW = (20, 30, 40), (Fraction(6),)
WIDE = (Fraction(10), Fraction(20))


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: change_gears(Fraction(0), GEARS, SCREW), "lead 0 mm: must be more than 0 mm"),
        (lambda: change_gears(Fraction(-1), GEARS, SCREW), "lead -1 mm: must be"),
        (lambda: change_gears(Fraction(1), GEARS, ()), "box lead of zero, negative or none"),
        (lambda: change_gears(Fraction(1), GEARS, (Fraction(0),)), "box lead of zero"),
        (lambda: change_gears(Fraction(1), GEARS, SCREW, count=0), "number of trains 0: must be 1"),
        (lambda: change_gears(Fraction(1), (20, 30), SCREW), "change gears 2: must be 3 to 48"),
        (lambda: change_gears(Fraction(1), range(20, 80), SCREW), "change gears 60: must be 3 to"),
        (lambda: change_gears(Fraction(1), (0, 20, 30), SCREW), "of 0 teeth: must have 1 to 1000"),
        (lambda: change_gears(Fraction(1), (20, 30, 1001), SCREW), "of 1001 teeth"),
        (
            lambda: change_gears(Fraction(1), GEARS, SCREW, BanjoLimits(upper_distance=WIDE)),
            "needs the module",
        ),
        (
            lambda: change_gears(Fraction(1), GEARS, SCREW, BanjoLimits(module=Fraction(0))),
            "module 0 mm: must be more",
        ),
        (
            lambda: change_gears(Fraction(1), GEARS, SCREW, BanjoLimits(clearance_teeth=-1)),
            "clearance -1 teeth: must be 0",
        ),
        (
            lambda: change_gears(
                Fraction(1),
                GEARS,
                SCREW,
                BanjoLimits(module=Fraction(1), lower_distance=WIDE[::-1]),
            ),
            "centre distances 20 to 10 mm: must rise",
        ),
        (
            lambda: change_gears(
                Fraction(1), GEARS, SCREW, BanjoLimits(module=Fraction(1), shaft_distance=-WIDE[0])
            ),
            "centre distance -10 mm: must be more",
        ),
    ],
)
def test_what_cannot_be_searched_is_refused_with_its_limit(call: object, text: str) -> None:
    with pytest.raises(OutOfRange, match=text):
        call()  # type: ignore[operator]
