"""Weight of bar, and blanks from it."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.stock import (
    blanks_from_bar,
    flat_area,
    hexagon_area,
    round_area,
    square_area,
    tube_area,
    weight,
    weight_in,
)
from assistant.errors import NoSuchSize, OutOfRange
from tests.check_values import check_rows

sizes = st.floats(1, 500)
bars = st.fractions(Fraction(110), Fraction(6000), max_denominator=10)
blank_lengths = st.fractions(Fraction(1), Fraction(90), max_denominator=10)
kerfs = st.fractions(Fraction(0), Fraction(5), max_denominator=10)
grips = st.fractions(Fraction(0), Fraction(5), max_denominator=10)


def area_of(row: dict[str, str]) -> float:
    size = float(row["size"])
    if row["shape"] == "tube":
        return tube_area(size, size - 2 * float(row["size2"]))
    if row["shape"] == "flat":
        return flat_area(size, float(row["size2"]))
    return {"round": round_area, "hexagon": hexagon_area, "square": square_area}[row["shape"]](size)


@pytest.mark.parametrize("row", check_rows("stock.csv"))
def test_weight_of_a_metre_agrees_with_the_outside_value(row: dict[str, str]) -> None:
    found = weight(area_of(row), 1000, 7.85)
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", check_rows("blanks.csv"))
def test_blanks_are_exactly_those_of_the_hand_count(row: dict[str, str]) -> None:
    lengths = [Fraction(row[name]) for name in ("bar", "blank", "kerf", "grip")]
    found = blanks_from_bar(*lengths)
    expected = (int(row["count"]), int(row["cuts"]), Fraction(row["left_over"]))
    assert (found.count, found.cuts, found.left_over) == expected


@given(sizes)
def test_hexagon_lies_between_its_inner_and_outer_circle(size: float) -> None:
    corner = size * 2 / 3**0.5
    assert (
        round_area(size)
        < hexagon_area(size)
        < round_area(min(corner, 1000))
        < 1.2 * square_area(size)
    )


@given(sizes, st.floats(1, 6000))
def test_weight_goes_with_the_length(size: float, length: float) -> None:
    one, two = (weight(round_area(size), part, 7.85) for part in (length, length / 2))
    assert one == pytest.approx(2 * two)


@given(sizes, st.floats(0.01, 0.99))
def test_tube_and_its_core_make_the_bar(size: float, share: float) -> None:
    bore = size * share
    assert tube_area(size, bore) + round_area(bore) == pytest.approx(round_area(size))


@given(bars, blank_lengths, kerfs, grips)
def test_blanks_fit_and_one_more_does_not(
    bar: Fraction, blank: Fraction, kerf: Fraction, grip: Fraction
) -> None:
    found = blanks_from_bar(bar, blank, kerf, grip)
    fewest_cuts = found.count if grip else found.count - 1
    assert found.count * blank + fewest_cuts * kerf + grip <= bar
    assert (found.count + 1) * blank + (fewest_cuts + 1) * kerf + grip > bar
    assert found.left_over >= grip
    assert type(found.left_over) is Fraction


@given(bars, blank_lengths, kerfs, grips)
def test_a_wider_saw_never_gives_more(
    bar: Fraction, blank: Fraction, kerf: Fraction, grip: Fraction
) -> None:
    wide = blanks_from_bar(bar, blank, kerf + 1, grip)
    assert wide.count <= blanks_from_bar(bar, blank, kerf, grip).count


def test_material_gives_its_density() -> None:
    area = round_area(50)
    assert weight_in("brass", area, 1000) == pytest.approx(weight(area, 1000, 8.5))


def test_bar_too_short_for_one_blank_names_what_it_needs() -> None:
    with pytest.raises(OutOfRange, match="one blank needs 163 mm; nearest is 163 mm"):
        blanks_from_bar(Fraction(150), Fraction(100), Fraction(3), Fraction(60))


def test_unknown_material_is_refused() -> None:
    with pytest.raises(NoSuchSize, match="is not in the table of materials"):
        weight_in("cheese", 100, 1000)


def test_tube_without_a_wall_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be less than the outside diameter 50 mm"):
        tube_area(50, 50)


@pytest.mark.parametrize("area", [0, -1, float("nan"), float("inf")])
def test_section_that_is_none_is_refused(area: float) -> None:
    with pytest.raises(OutOfRange, match="must be more than 0 mm2"):
        weight(area, 1000, 7.85)


@pytest.mark.parametrize("shape", [round_area, hexagon_area, square_area])
@pytest.mark.parametrize(
    ("bad", "text"),
    [
        (0, "must be more than 0 mm"),
        (-1, "must be more than 0 mm"),
        (3000, "must be at most 1000 mm"),
    ],
)
def test_bad_bar_sizes_are_refused(shape: object, bad: float, text: str) -> None:
    assert callable(shape)
    with pytest.raises(OutOfRange, match=text):
        shape(bad)


@pytest.mark.parametrize("bad", [0, -1])
def test_zero_and_negative_blanks_are_refused(bad: int) -> None:
    with pytest.raises(OutOfRange, match=r"length .* must be more than 0 mm"):
        blanks_from_bar(Fraction(100), Fraction(bad), Fraction(3))


def test_negative_kerf_is_refused() -> None:
    with pytest.raises(OutOfRange, match="allowance -1 mm: must be at least 0 mm"):
        blanks_from_bar(Fraction(100), Fraction(10), Fraction(-1))


def test_absurd_density_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be at most 23 g/cm3"):
        weight(100, 1000, 7850)
