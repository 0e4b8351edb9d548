from fractions import Fraction

import pytest

from assistant.core import cut_depths
from assistant.core.deflection import cantilever_deflection
from assistant.core.materials import materials
from assistant.errors import NoSuchSize, OutOfRange, TableError
from assistant.tables import rows


@pytest.mark.parametrize("operation", ["turn", "bore", "face"])
@pytest.mark.parametrize("key", sorted(materials()))
def test_every_material_has_a_deepest_cut(key, operation):
    found = cut_depths.deepest_cut(key, operation)
    assert found.held_by == "material"
    assert 0 < found.most == found.by_material <= 5


def test_the_least_of_motor_material_lathe_and_bar_holds():
    # Table: mild steel bore 1.5, swing 200 mm 1, steel bar at 4 diameters a half of 1.5.
    found = cut_depths.deepest_cut("mild_steel", "bore", swing=Fraction(200))
    assert (found.most, found.held_by) == (1, "lathe")
    found = cut_depths.deepest_cut(
        "mild_steel", "bore", swing=Fraction(200), bar="steel", bar_ratio=Fraction(4)
    )
    assert (found.most, found.held_by) == (Fraction(3, 4), "bar")
    found = cut_depths.deepest_cut(
        "mild_steel",
        "bore",
        swing=Fraction(200),
        bar="steel",
        bar_ratio=Fraction(4),
        power_depth=Fraction(6, 10),
    )
    assert (found.most, found.held_by) == (Fraction(4, 10), "power")


def test_a_motor_that_has_enough_does_not_hold():
    assert cut_depths.deepest_cut("mild_steel", "turn", power_depth=12.0).held_by == "material"


@pytest.mark.parametrize(
    ("bar", "ratio", "share"),
    [("steel", 2, 1), ("steel", "2.01", "3/4"), ("steel", 4, "1/2"), ("carbide", 6, "1/2")],
)
def test_a_bar_that_stands_out_takes_less(bar, ratio, share):
    assert cut_depths.bar_share(bar, Fraction(ratio)) == Fraction(share)


def test_a_bar_past_its_reach_is_refused_with_its_reach():
    with pytest.raises(OutOfRange, match="a steel bar chatters above 4 diameters; nearest is 4"):
        cut_depths.bar_share("steel", Fraction(9, 2))
    with pytest.raises(OutOfRange, match="must be more than 0 diameters"):
        cut_depths.deepest_cut("mild_steel", "bore", bar="steel")
    with pytest.raises(NoSuchSize, match="boring bar wooden: is none of steel, carbide"):
        cut_depths.bar_share("wooden", Fraction(2))


@pytest.mark.parametrize("operation", ["knurl", ""])
def test_another_operation_is_refused(operation):
    with pytest.raises(NoSuchSize, match="is none of turn, bore, face"):
        cut_depths.deepest_cut("mild_steel", operation)
    with pytest.raises(NoSuchSize, match="is none of turn, bore, face"):
        cut_depths.finishing(operation)


@pytest.mark.parametrize("depth", [0, -1.0])
def test_a_motor_without_power_is_refused(depth):
    with pytest.raises(OutOfRange, match=r"depth of cut .*: must be more than 0 mm"):
        cut_depths.deepest_cut("mild_steel", "turn", power_depth=depth)


@pytest.mark.parametrize("swing", [0, 1501])
def test_an_impossible_swing_is_refused(swing):
    with pytest.raises(OutOfRange):
        cut_depths.deepest_cut("mild_steel", "turn", swing=Fraction(swing))


def test_bands_rise_and_end_at_what_a_shop_has():
    swings = [Fraction(row["swing_up_to"]) for row in rows("roughing_by_swing.csv")]
    assert swings == sorted(swings)
    for bar in ("steel", "carbide"):
        band = [row for row in rows("bar_overhang.csv") if row["bar"] == bar]
        ratios = [Fraction(row["ratio_up_to"]) for row in band]
        shares = [Fraction(row["share"]) for row in band]
        assert ratios == sorted(ratios)
        assert shares == sorted(shares, reverse=True)
    pecks = [Fraction(row["up_to"]) for row in rows("peck_depths.csv")]
    assert pecks == sorted(pecks)


def test_a_bar_ends_where_the_rule_of_stick_out_has_it_chatter():
    ends = {
        row["holding"].split("-")[0]: Fraction(row["ratio"])
        for row in rows("stick_out.csv")
        if row["holding"].endswith("boring-bar")
    }
    for bar, end in ends.items():
        last = [row for row in rows("bar_overhang.csv") if row["bar"] == bar][-1]
        assert Fraction(last["ratio_up_to"]) == end


def test_finishing_cuts_are_not_so_thin_that_they_rub():
    for operation in ("turn", "bore", "face"):
        found = cut_depths.finishing(operation)
        sides = 1 if operation == "face" else 2
        assert found.allowance / found.cuts / sides >= found.least


def test_a_missing_figure_of_practice_names_the_table():
    with pytest.raises(TableError, match=r"cutting_practice\.yaml: luck"):
        cut_depths.practice("luck")


def test_stubby_work_needs_nothing():
    found = cut_depths.slenderness(50, 50, "chuck", material_key="mild_steel", force=800)
    assert (found.ratio, found.support, found.springs) == (1, None, None)


def test_slender_work_is_cautioned_with_its_figures():
    found = cut_depths.slenderness(
        Fraction(120),
        Fraction(20),
        "chuck",
        material_key="mild_steel",
        force=500,
        operation="finish",
    )
    assert found.support == "needs_centre"
    assert found.springs == "work_springs"
    assert found.deflection == cantilever_deflection(500, 120, 210, 20)
    assert found.limit == 0.01


def test_without_a_force_only_the_ratio_is_judged():
    found = cut_depths.slenderness(400, 20, "between-centres", material_key="mild_steel")
    assert (found.support, found.deflection, found.springs) == ("needs_steady", None, None)


@pytest.mark.parametrize(
    ("length", "diameter", "holding", "message"),
    [
        (0, 20, "chuck", "length 0 mm: must be more than 0 mm"),
        (100, -1, "chuck", "work diameter -1 mm: must be more than 0 mm"),
        (100, 20, "glue", "holding glue: is none of chuck, chuck-and-centre, between-centres"),
    ],
)
def test_work_that_cannot_be_is_refused(length, diameter, holding, message):
    with pytest.raises(OutOfRange, match=message):
        cut_depths.slenderness(length, diameter, holding)
