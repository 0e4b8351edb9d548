"""Drills by name and by size, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core import drills
from assistant.errors import NoSuchSize, OutOfRange
from assistant.units import inches
from tests.check_values import check_rows

ANY_DRILL = st.sampled_from(drills.drills())
KIND_SETS = st.lists(st.sampled_from(drills.KINDS), min_size=1, unique=True)
DIAMETERS = st.fractions(min_value=1, max_value=12, max_denominator=100)


@pytest.mark.parametrize("row", check_rows("drills.csv"))
def test_a_named_drill_has_its_printed_diameter(row: dict[str, str]) -> None:
    assert drills.drill(row["name"]).diameter == inches(Fraction(row["expected"]))


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("number 7", "#7"),
        ("No. 30", "#30"),
        ("letter f", "F"),
        ("f", "F"),
        ("8.5mm", "8.5 mm"),
        ("12 mm", "12 mm"),
        ("8/64", "1/8"),
        ("1 1/4 inch", "1 1/4"),
        ("2 inch", "2 inch"),
    ],
)
def test_a_drill_may_be_written_in_several_ways(text: str, name: str) -> None:
    assert drills.drill(text).name == name


@pytest.mark.parametrize(
    ("text", "error", "sentence"),
    [
        ("#0", OutOfRange, "drill #0: number drills go from #1 to #97; nearest is #1"),
        ("#98", OutOfRange, "drill #98: number drills go from #1 to #97; nearest is #97"),
        ("AA", NoSuchSize, "drill 'AA': letter drills are single letters A to Z; nearest is A"),
        ("7", NoSuchSize, "drill '7': may be a number drill or millimetres; nearest is #7 or 7 mm"),
        ("5.25 mm", NoSuchSize, r"5\.25 mm: is no size of the metric set; nearest is 5\.2 mm or"),
        ("0.1 mm", OutOfRange, r"0\.1 mm: the metric set goes from 0\.3 mm to 50 mm"),
        ("5/12", NoSuchSize, "is no size of the fraction set; nearest is 27/64"),
        ("4 inch", OutOfRange, "the fraction set goes from 1/64 to 3 1/2; nearest is 3 1/2"),
        ("1/0", NoSuchSize, "size '1/0': is not an inch size"),
        ("", NoSuchSize, "size '': is not an inch size"),
        ("-3 mm", NoSuchSize, "size '-3 mm': is not an inch size"),
    ],
)
def test_a_drill_that_does_not_exist_is_refused_with_the_nearest(
    text: str, error: type[OutOfRange], sentence: str
) -> None:
    with pytest.raises(error, match=sentence):
        drills.drill(text)


def test_every_set_gives_its_nearest_with_the_difference() -> None:
    found = drills.nearest_drills(Fraction(26, 5))
    assert [(near.drill.name, near.difference) for near in found] == [
        ("5.2 mm", Fraction(0)),
        ("#6", Fraction("0.2040") * Fraction(127, 5) - Fraction(26, 5)),
        ("13/64", Fraction(13, 64) * Fraction(127, 5) - Fraction(26, 5)),
    ]


def test_a_set_that_does_not_reach_the_size_is_left_out() -> None:
    kinds = {near.drill.kind for near in drills.nearest_drills(Fraction(8))}
    assert kinds == {"letter", "fraction", "metric"}


@pytest.mark.parametrize("diameter", [Fraction(0), Fraction(-1), 0.0])
def test_a_diameter_that_is_none_is_refused(diameter: Fraction | float) -> None:
    with pytest.raises(OutOfRange, match=r"drill diameter .* must be more than 0 mm"):
        drills.nearest_drills(diameter)


def test_a_diameter_past_every_set_is_refused() -> None:
    with pytest.raises(OutOfRange, match="200 mm: these drills go from #97 to 3 1/2; nearest is 3"):
        drills.nearest_drills(Fraction(200))


def test_an_unknown_set_is_refused() -> None:
    with pytest.raises(NoSuchSize, match="'imperial': the sets are number, letter, fraction"):
        drills.drills(["imperial"])
    with pytest.raises(NoSuchSize, match="none: the sets are"):
        drills.drills([])


def test_a_higher_number_is_a_smaller_drill_and_a_later_letter_a_larger() -> None:
    numbers = [drills.drill(f"#{number}").diameter for number in range(1, 98)]
    assert numbers == sorted(set(numbers), reverse=True)
    letters = [drills.drill(letter).diameter for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"]
    assert letters == sorted(set(letters))
    assert numbers[0] < letters[0]


@given(ANY_DRILL)
def test_a_drill_is_found_by_its_name_and_by_its_size(one: drills.Drill) -> None:
    assert drills.drill(one.name) == one
    assert drills.nearest_drill(one.diameter, [one.kind]) == one


@given(DIAMETERS, KIND_SETS)
def test_no_drill_of_the_sets_lies_nearer(diameter: Fraction, kinds: list[str]) -> None:
    found = drills.nearest_drill(diameter, kinds)
    assert found.kind in kinds
    gap = abs(found.diameter - diameter)
    assert all(abs(one.diameter - diameter) >= gap for one in drills.drills(kinds))


@given(DIAMETERS)
def test_nearest_of_each_set_come_in_order_of_difference(diameter: Fraction) -> None:
    found = drills.nearest_drills(diameter)
    gaps = [abs(near.difference) for near in found]
    assert gaps == sorted(gaps)
    assert all(near.drill.diameter - diameter == near.difference for near in found)
