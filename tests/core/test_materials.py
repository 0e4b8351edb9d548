"""The table of materials, and the bounds of what may be asked."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from assistant.core.bounds import check
from assistant.core.forces import constants_of_group
from assistant.core.materials import material, materials
from assistant.errors import NoSuchSize, OutOfRange, TableError
from assistant.tables import rows


def test_keys_are_identifiers_and_stand_once() -> None:
    keys = [row["key"] for row in rows("materials.csv")]
    assert len(keys) == len(set(keys))
    assert all(re.fullmatch("[a-z]+(_[a-z]+)*", key) for key in keys)


def test_a_phrase_belongs_to_one_material() -> None:
    phrases = [phrase for found in materials().values() for phrase in found.spoken]
    assert len(phrases) == len(set(phrases))
    assert all(re.fullmatch("[a-z]+( [a-z]+)*", phrase) for phrase in phrases)


NUMBER_WORDS = frozenset(
    [
        "oh",
        "zero",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty",
        "thirty",
        "forty",
        "fifty",
        "sixty",
        "seventy",
        "eighty",
        "ninety",
    ]
)


def test_no_phrase_ends_in_a_number() -> None:
    phrases = [phrase for found in materials().values() for phrase in found.spoken]
    assert not [phrase for phrase in phrases if phrase.split()[-1] in NUMBER_WORDS]


def test_loose_phrases_are_among_the_spoken() -> None:
    assert all(found.loose <= set(found.spoken) for found in materials().values())


def test_groups_are_those_of_the_standard_or_named() -> None:
    groups = {found.iso_group for found in materials().values()}
    assert groups == {"P", "M", "K", "N", "S", "H", "plastic", "wood"}


def test_force_groups_exist() -> None:
    known = {row["group"] for row in rows("specific_cutting_force.csv")}
    assert {found.force_group for found in materials().values()} - {None} <= known


def test_physical_figures_are_exact_and_plausible() -> None:
    for found in materials().values():
        assert type(found.density) is Fraction
        assert Fraction(1, 2) < found.density < 9
        assert found.expansion is None or 5 <= found.expansion <= 200
        assert found.modulus is None or Fraction(1, 4) <= found.modulus <= 230


def test_unknown_material_offers_the_nearest() -> None:
    with pytest.raises(NoSuchSize, match="nearest is brass") as caught:
        material("bras")
    assert caught.value.quantity == "material"


def test_group_without_an_exponent_is_refused() -> None:
    with pytest.raises(OutOfRange, match="the source gives no exponent"):
        constants_of_group("H38")


def test_bounds_are_in_order() -> None:
    for row in rows("bounds.csv"):
        assert Fraction(row["smallest"].removeprefix("above ")) < Fraction(row["largest"])


def test_quantity_without_bounds_is_our_own_mistake() -> None:
    with pytest.raises(TableError, match="has no row 'colour'"):
        check("colour", 1)


@pytest.mark.parametrize(
    ("value", "text"), [(0, "must be at least 1"), (1001, "must be at most 1000")]
)
def test_just_outside_a_bound_is_refused(value: int, text: str) -> None:
    with pytest.raises(OutOfRange, match=text):
        check("number of cuts", value)


@pytest.mark.parametrize("value", [1, 1000])
def test_a_bound_itself_is_allowed(value: int) -> None:
    check("number of cuts", value)
