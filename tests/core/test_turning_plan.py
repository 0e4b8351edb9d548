from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings

from assistant.core.cut_depths import finishing
from assistant.core.dial_types import SlideDial
from assistant.core.turning_plan import (
    CutKind,
    Work,
    divisions_to_aim,
    metal_between,
    plain_limits,
    planned_cuts,
    size_of_division,
)
from assistant.errors import OutOfRange
from tests.check_values import check_rows
from tests.core.turning_simulation import jobs, limits

COLLAR = SlideDial(Fraction(1, 20), 160, "diameter")


@pytest.mark.parametrize("row", check_rows("turning_plan.csv"))
def test_the_cuts_are_those_worked_out_by_hand(row):
    work = Work(row["work"])
    cuts = planned_cuts(
        Fraction(row["size"]),
        limits(row["least"], row["largest"]),
        work,
        SlideDial(Fraction(row["division"]), 100, row["reads"]),
        Fraction(row["most"]),
        finishing(row["work"]),
    )
    assert [cut.size for cut in cuts] == [Fraction(size) for size in row["expected"].split()]


@settings(deadline=None, max_examples=80)
@given(jobs())
def test_cuts_sum_exactly_to_the_aim_and_never_pass_it(job):
    size, target, work, dial, most, _ = job
    finish = finishing(work.value)
    cuts = planned_cuts(size, target, work, dial, most, finish)
    assert cuts[-1].size == target.aim
    assert all(metal_between(cut.size, target.aim, work) >= 0 for cut in cuts)
    sizes = [size, *(cut.size for cut in cuts)]
    took = [metal_between(before, after, work) for before, after in pairwise(sizes)]
    assert took == [work.sides * cut.depth for cut in cuts]
    assert sum(took) == metal_between(size, target.aim, work)


@settings(deadline=None, max_examples=80)
@given(jobs())
def test_roughing_is_in_whole_divisions_alike_to_within_one_and_under_the_deepest(job):
    size, target, work, dial, most, _ = job
    cuts = planned_cuts(size, target, work, dial, most, finishing(work.value))
    each = size_of_division(work, dial)
    rough = [work.sides * cut.depth / each for cut in cuts if cut.kind is CutKind.ROUGH]
    assert all(divisions.denominator == 1 for divisions in rough)
    assert not rough or max(rough) - min(rough) <= 1
    assert all(0 < cut.depth <= most for cut in cuts)
    finish = {cut.depth for cut in cuts if cut.kind is CutKind.FINISH}
    assert len(finish) == 1


def test_a_size_without_tolerance_is_a_division_wide():
    found = plain_limits(Fraction(50), Work.FACE, COLLAR)
    assert (found.minimum, found.aim, found.maximum) == (
        Fraction("49.975"),
        Fraction(50),
        Fraction("50.025"),
    )
    with pytest.raises(OutOfRange, match=r"wanted size 0\.01 mm: must be above"):
        plain_limits(Fraction(1, 100), Work.TURN, COLLAR)


def test_what_a_coarse_dial_leaves_is_told_in_parts_of_a_division():
    # By hand: 0.03 mm of a division of 0.05 on the diameter; a bore counts from the other side.
    assert divisions_to_aim(Fraction("50.03"), Fraction(50), Work.TURN, COLLAR) == Fraction(3, 5)
    assert divisions_to_aim(Fraction("29.98"), Fraction(30), Work.BORE, COLLAR) == Fraction(2, 5)
    assert divisions_to_aim(Fraction(91), Fraction(90), Work.FACE, COLLAR) == 40
