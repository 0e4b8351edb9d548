"""Keys and keyseats."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core.keyseats import STANDARDS, chord_height, key_for, keys, keyseat_for
from assistant.errors import NoSuchSize, OutOfRange
from tests.check_values import check_rows

INCH = Fraction(127, 5)


@pytest.mark.parametrize("row", check_rows("keyseats.csv"))
def test_depth_control_values(row: dict[str, str]) -> None:
    found = keyseat_for(Fraction(row["shaft_inch"]) * INCH, "ANSI")
    what = {"S": found.bottom_to_far_side, "T": found.hub_over_key}[row["what"]]
    expected = pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))
    assert float(what) / float(INCH) == expected


@pytest.mark.parametrize("standard", STANDARDS)
def test_rows_of_keys_are_sound(standard: str) -> None:
    last = None
    for key in keys(standard):
        assert last is None or (key.over == last.up_to and key.width > last.width)
        assert key.height <= key.width < key.over
        if key.shaft_depth is not None and key.hub_depth is not None:
            # The key is a little lower than the two depths, so that it never bears on top.
            assert key.height < key.shaft_depth + key.hub_depth < key.height + 1
        last = key


@settings(deadline=None)
@given(st.fractions(min_value=8, max_value=165, max_denominator=100), st.sampled_from(STANDARDS))
def test_the_parts_of_a_keyseat_add_up(shaft: Fraction, standard: str) -> None:
    found = keyseat_for(shaft, standard)
    top = chord_height(shaft, found.key.width)
    assert found.depth_from_top + found.bottom_to_far_side == pytest.approx(float(shaft))
    assert found.depth_at_side + top == pytest.approx(float(found.depth_from_top))
    assert found.depth_at_side > 0
    assert found.hub_over_key > shaft


def test_iso_depths_are_exact() -> None:
    found = keyseat_for(25, "ISO")
    assert (found.depth_from_top, found.hub_over_key) == (4, Fraction(283, 10))
    assert type(found.bottom_to_far_side) is Fraction


@pytest.mark.parametrize(
    ("shaft", "standard"),
    [(Fraction(5), "ISO"), (231, "ISO"), (0, "ISO"), (-1, "ANSI"), (7, "ANSI"), (166, "ANSI")],
)
def test_shafts_outside_the_table_are_refused(shaft: Fraction, standard: str) -> None:
    with pytest.raises(OutOfRange, match=f"the {standard} table of keys goes from"):
        key_for(shaft, standard)


def test_absurd_chords_and_standards_are_refused() -> None:
    with pytest.raises(OutOfRange, match="less than the shaft 20 mm"):
        chord_height(20, 20)
    with pytest.raises(NoSuchSize, match="standard of keys 'square'"):
        key_for(20, "square")
