"""British Association threads: sizes, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.threads import ba, inch_sizes
from assistant.core.threads.thread import Thread
from assistant.errors import NoSuchSize, OutOfRange
from assistant.units import MM_PER_INCH
from tests.check_values import check_rows

NUMBERS = st.sampled_from([row.number for row in ba.sizes()])


@pytest.mark.parametrize("row", check_rows("ba.csv"))
def test_sizes_agree_with_printed_ones(row: dict[str, str]) -> None:
    thread = ba.standard(int(row["number"]))
    basic = ba.basic_sizes(thread)
    found = {
        "pitch_diameter": basic.pitch_diameter,
        "minor_diameter": basic.minor_diameter,
        "major inch": basic.major_diameter / float(MM_PER_INCH),
        "threads per inch": float(inch_sizes.per_inch(thread.pitch)),
    }[row["quantity"]]
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@given(NUMBERS)
def test_the_series_follows_its_rule(number: int) -> None:
    # BS 93: P = 0.9^n mm and D = 6 P^1.2, both rounded to two significant figures.
    row = ba.standard(number)
    pitch = 0.9**number
    assert float(row.pitch) == pytest.approx(pitch, abs=0.0051)
    assert float(row.major_diameter or 0) == pytest.approx(6 * pitch**1.2, abs=0.051)


@given(NUMBERS)
def test_diameters_follow_the_depth_of_six_tenths_of_the_pitch(number: int) -> None:
    thread = ba.standard(number)
    basic = ba.basic_sizes(thread)
    depth = 0.6 * float(thread.pitch)
    assert basic.pitch_diameter == pytest.approx(basic.major_diameter - depth, abs=0.0051)
    assert basic.minor_diameter == pytest.approx(basic.major_diameter - 2 * depth, abs=0.0051)


@given(NUMBERS.filter(lambda number: number < 16))
def test_a_higher_number_is_a_smaller_and_finer_thread(number: int) -> None:
    one, next_one = ba.standard(number), ba.standard(number + 1)
    assert (one.major_diameter or 0) > (next_one.major_diameter or 0)
    assert one.pitch > next_one.pitch


@pytest.mark.parametrize(
    ("number", "error", "sentence"),
    [
        (17, OutOfRange, "17 BA: BA goes from 0 to 16; nearest is 16 BA"),
        (-1, OutOfRange, "-1 BA: BA goes from 0 to 16; nearest is 0 BA"),
        (Fraction(5, 2), NoSuchSize, r"2\.5 BA: BA numbers are whole; nearest is 2 BA"),
        (1000, OutOfRange, "1000 BA: BA goes from 0 to 16"),
    ],
)
def test_numbers_that_do_not_exist_are_refused(
    number: Fraction | int, error: type[OutOfRange], sentence: str
) -> None:
    with pytest.raises(error, match=sentence):
        ba.standard(number)


def test_no_starts_are_refused() -> None:
    with pytest.raises(OutOfRange, match="starts 0: must be 1 or more"):
        ba.standard(2, starts=0)


LISTED = check_rows("ba_limits.csv")
DRILLS = [row for row in LISTED if row.values[0]["quantity"] == "tapping drill"]


@pytest.mark.parametrize("row", DRILLS)
def test_the_usual_tapping_drill_lies_inside_the_limits_of_the_nut(row: dict[str, str]) -> None:
    minor = ba.limits(ba.standard(int(row["number"])), row["class"]).minor
    assert (minor.minimum or 0) < float(row["expected"]) < (minor.maximum or 0)


@pytest.mark.parametrize("row", [row for row in LISTED if row not in DRILLS])
def test_limits_agree_with_hand_work(row: dict[str, str]) -> None:
    limits = ba.limits(ba.standard(int(row["number"])), row["class"])
    expected, tolerance = float(row["expected"]), float(row["tolerance"])
    diameter, _, end = row["quantity"].partition("_")
    ends = getattr(limits, diameter)
    found = {"min": ends.minimum, "max": ends.maximum}[end]
    assert found == pytest.approx(expected, abs=tolerance)


@given(NUMBERS)
def test_a_normal_screw_goes_into_the_nut(number: int) -> None:
    thread = ba.standard(number)
    screw, nut = ba.limits(thread, "normal"), ba.limits(thread, "nut")
    for diameter in ("major", "pitch", "minor"):
        outside, inside = getattr(screw, diameter), getattr(nut, diameter)
        assert outside.minimum < outside.maximum <= inside.minimum


@pytest.mark.parametrize(("number", "name"), [(2, "medium"), (12, "close"), (0, "")])
def test_a_class_that_bs_93_does_not_have_is_refused(number: int, name: str) -> None:
    with pytest.raises(NoSuchSize, match=f"'{name}': BS 93 has .*normal.* one zone for the nut"):
        ba.limits(ba.standard(number), name)


def test_limits_of_several_starts_are_refused() -> None:
    with pytest.raises(OutOfRange, match="BS 93 tolerates single-start threads only"):
        ba.limits(ba.standard(2, starts=2), "normal")


def test_another_kind_of_thread_is_refused() -> None:
    metric = Thread("M6x1", "M", "iso-60", Fraction(1), Fraction(6))
    with pytest.raises(OutOfRange, match="M6x1: is not a British Association thread"):
        ba.basic_sizes(metric)
