"""Taper pipe threads R, Rc and NPT: sizes, gauge lengths, and what is refused."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core import drills
from assistant.core.threads import inch_sizes, pipe_taper
from assistant.core.threads.thread import Thread
from assistant.errors import OutOfRange
from assistant.units import MM_PER_INCH
from tests.check_values import check_rows

INCH = float(MM_PER_INCH)
R_ROWS = [param for param in check_rows("pipe.csv") if param.values[0]["series"] == "R"]
NPT_SIZES = pipe_taper.sizes("NPT")
ANY_SIZE = st.sampled_from(
    [(series, row.size) for series in ("R", "Rc", "NPT") for row in pipe_taper.sizes(series)]
)


@pytest.mark.parametrize("row", R_ROWS)
def test_r_threads_agree_with_printed_ones(row: dict[str, str]) -> None:
    thread = pipe_taper.standard(row["size"], "R")
    gauge = pipe_taper.gauge(thread)
    found = {
        "gauge_length": float(gauge.gauge_length),
        "useful_length": float(gauge.useful_length),
        "major": pipe_taper.basic_sizes(thread).major_diameter,
    }[row["quantity"]]
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", check_rows("npt.csv"))
def test_npt_agrees_with_printed_ones(row: dict[str, str]) -> None:
    thread = pipe_taper.standard(row["size"], "NPT")
    gauge = pipe_taper.gauge(thread)
    assert thread.major_diameter is not None
    found = {
        "outside": float(thread.major_diameter) / INCH,
        "tpi": float(inch_sizes.per_inch(thread.pitch)),
        "E0": gauge.pitch_at_small_end / INCH,
        "E1": gauge.pitch_in_plane / INCH,
        "L1": float(gauge.gauge_length) / INCH,
        "L2": float(gauge.useful_length) / INCH,
        "half_angle": gauge.half_angle,
    }[row["quantity"]]
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", NPT_SIZES, ids=lambda row: str(row.size))
def test_npt_table_agrees_with_the_formulas_of_its_standard(row: pipe_taper.TaperSize) -> None:
    # ASME B1.20.1: E0 = D - (0.05 D + 1.1) p, E1 = E0 + L1/16, L2 = (0.8 D + 6.8) p, inch.
    outside, pitch = float(row.nominal) / INCH, 1 / float(row.threads_per_inch)
    assert row.pitch_at_small_end is not None
    assert row.pitch_in_plane is not None
    small_end = float(row.pitch_at_small_end) / INCH
    assert small_end == pytest.approx(outside - (0.05 * outside + 1.1) * pitch, abs=1.5e-5)
    plane = small_end + float(row.gauge_length) / INCH / 16
    assert float(row.pitch_in_plane) / INCH == pytest.approx(plane, abs=1.5e-5)
    useful = (0.8 * outside + 6.8) * pitch
    assert float(row.useful_length) / INCH == pytest.approx(useful, abs=6e-5)


@pytest.mark.parametrize(
    "row", [row for row in NPT_SIZES if row.tap_drill], ids=lambda row: str(row.size)
)
def test_a_pipe_tap_drill_lies_between_the_minor_diameters_of_both_planes(
    row: pipe_taper.TaperSize,
) -> None:
    gauge = pipe_taper.gauge(pipe_taper.standard(row.size, "NPT"))
    assert gauge.tap_drill is not None
    minor_in_plane = gauge.minor_at_small_end + float(gauge.gauge_length) / 16
    assert gauge.minor_at_small_end < drills.drill(gauge.tap_drill).diameter < minor_in_plane


def test_npt_gauge_may_stand_one_turn_either_way() -> None:
    gauge = pipe_taper.gauge(pipe_taper.standard("1/2", "NPT"))
    turn = Fraction(127, 70)
    assert gauge.gauge_length - gauge.gauge_length_minimum == turn
    assert gauge.gauge_length_maximum - gauge.gauge_length == turn


@pytest.mark.parametrize(
    ("size", "series", "designation", "form"),
    [
        ("1/2", "NPT", "1/2-14 NPT", "npt-60"),
        ("1", "npt", "1-11.5 NPT", "npt-60"),
        ("1/2", "bspt", "R1/2", "whitworth-55"),
        ("3/4", "rc", "Rc3/4", "whitworth-55"),
    ],
)
def test_size_and_series_name_the_thread(
    size: str, series: str, designation: str, form: str
) -> None:
    thread = pipe_taper.standard(size, series, left_hand=True)
    assert (thread.designation, thread.form) == (designation, form)
    assert thread.taper == Fraction(1, 16)
    assert thread.left_hand


@pytest.mark.parametrize(
    ("size", "series", "tpi", "sentence"),
    [
        ("5/8", "NPT", None, r"5/8 NPT: ASME B1\.20\.1 does not list .*; nearest is 1/2-14 NPT or"),
        ("7/8", "R", None, r"7/8 R: ISO 7-1 does not list this size; nearest is R3/4 or R1"),
        ("10", "NPT", None, r"10 NPT: .* goes from 1/16 to 6 inch; nearest is 6-8 NPT"),
        ("1/2", "NPT", 11, r"1/2-14 NPT with 11 .*: ASME B1\.20\.1 has 14; nearest is 1/2-14 NPT"),
        ("1/2", "NPT", 0, r"threads per inch 0: must be more than 0"),
        ("1/2", "NPSM", None, r"series 'NPSM': taper pipe threads are R, Rc and NPT"),
        ("-1", "R", None, r"size '-1': is not an inch size"),
    ],
)
def test_what_does_not_exist_is_refused_with_what_does(
    size: str, series: str, tpi: int | None, sentence: str
) -> None:
    with pytest.raises(OutOfRange, match=sentence):
        pipe_taper.standard(size, series, None if tpi is None else Fraction(tpi))


def test_limits_are_refused_with_the_gauge_length_instead() -> None:
    with pytest.raises(OutOfRange, match=r"gauge length 8\.2 mm, 1\.8 mm more or less"):
        pipe_taper.limits(pipe_taper.standard("1/2", "R"), "A")


def test_another_kind_of_thread_is_refused() -> None:
    parallel = Thread("G1/2", "G", "whitworth-55", Fraction(127, 70), Fraction(4191, 200))
    with pytest.raises(OutOfRange, match="G1/2: is not a taper pipe thread"):
        pipe_taper.gauge(parallel)


@given(ANY_SIZE)
def test_diameters_shrink_towards_the_small_end_by_the_taper(which: tuple[str, str]) -> None:
    series, size = which
    thread = pipe_taper.standard(size, series)
    gauge, basic = pipe_taper.gauge(thread), pipe_taper.basic_sizes(thread)
    fall = float(gauge.gauge_length) / 16
    # NPT is printed to 0.00001 inch.
    assert basic.pitch_diameter - gauge.pitch_at_small_end == pytest.approx(fall, abs=4e-4)
    assert gauge.minor_at_small_end < gauge.pitch_at_small_end < gauge.major_at_small_end
    assert 0 < gauge.gauge_length_minimum < gauge.gauge_length < gauge.gauge_length_maximum
    assert gauge.gauge_length < gauge.useful_length
    assert math.tan(math.radians(gauge.half_angle)) == pytest.approx(1 / 32)


@given(st.sampled_from(["R", "NPT"]))
def test_sizes_rise(series: str) -> None:
    found = [row.nominal for row in pipe_taper.sizes(series)]
    assert found == sorted(set(found))
