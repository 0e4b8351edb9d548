"""Numbers said without a unit."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.answering.bare_numbers import settled
from assistant.query_cutting import FinishOf, StickOutFor
from assistant.tables import rows
from assistant.units import quantity

INCH = Fraction(127, 5)


def finish(feed: tuple[str, str], nose: tuple[str, str], bare: tuple[str, ...]) -> FinishOf:
    return FinishOf(
        feed=quantity(Fraction(feed[0]), feed[1]),
        nose=quantity(Fraction(nose[0]), nose[1]),
        bare=bare,
    )


@pytest.mark.parametrize(
    ("feed", "nose", "bare", "expected", "key"),
    [
        # fits in the operator's units
        (("0.2", "mm"), ("0.8", "mm"), ("feed", "nose"), ("0.2", "0.8"), "taken-unit-mm"),
        (
            ("0.01", "inch"),
            ("0.031", "inch"),
            ("feed", "nose"),
            ("0.254", "0.7874"),
            "taken-unit-inch",
        ),
        # fits only in the other units
        (("0.2", "inch"), ("0.8", "inch"), ("feed", "nose"), ("0.2", "0.8"), "taken-other-mm"),
        (
            ("0.01", "mm"),
            ("0.031", "mm"),
            ("feed", "nose"),
            ("0.254", "0.7874"),
            "taken-other-inch",
        ),
        # one number decides for both
        (("0.02", "inch"), ("0.8", "inch"), ("feed", "nose"), ("0.02", "0.8"), "taken-other-mm"),
        # the unit that was named carries over
        (("0.03", "inch"), ("0.8", "mm"), ("feed",), ("0.03", "0.8"), "taken-unit-mm"),
        (("0.03", "mm"), ("1/32", "inch"), ("feed",), ("0.762", "0.79375"), "taken-unit-inch"),
    ],
)
def test_bare_numbers_are_taken_in_the_units_that_make_sense(
    feed: tuple[str, str],
    nose: tuple[str, str],
    bare: tuple[str, ...],
    expected: tuple[str, str],
    key: str,
) -> None:
    found = settled(finish(feed, nose, bare))
    assert (found.sizes["feed"], found.sizes["nose"]) == tuple(map(Fraction, expected))
    assert [each.key for each in found.assumed] == [key]


def test_numbers_that_make_no_sense_at_all_stay_as_they_are_and_are_refused_later() -> None:
    found = settled(finish(("5000", "mm"), ("0.8", "mm"), ("feed", "nose")))
    assert found.sizes["feed"] == 5000
    assert [each.key for each in found.assumed] == ["taken-unit-mm"]


@given(
    st.fractions(Fraction(1, 1000), Fraction(1000), max_denominator=1000),
    st.fractions(Fraction(1, 1000), Fraction(1000), max_denominator=1000),
    st.sampled_from(["mm", "inch"]),
)
def test_a_named_unit_is_never_changed(length: Fraction, diameter: Fraction, unit: str) -> None:
    query = StickOutFor(stick_out=quantity(length, unit), diameter=quantity(diameter, unit))
    per = INCH if unit == "inch" else 1
    found = settled(query)
    assert found.sizes == {"stick_out": length * per, "diameter": diameter * per}
    assert found.assumed == ()


def test_ranges_rise() -> None:
    assert all(0 < Fraction(row["low"]) < Fraction(row["high"]) for row in rows("plausible.csv"))
