"""BSW, BSF and G threads: sizes, basic diameters, limits, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.threads import forms, inch_sizes, pipe_taper, whitworth
from assistant.core.threads.thread import Thread
from assistant.errors import NoSuchSize, OutOfRange
from assistant.units import MM_PER_INCH, inches
from tests.check_values import check_rows

PIPE_ROWS = [param for param in check_rows("pipe.csv") if param.values[0]["series"] == "G"]
SERIES_ROWS = st.sampled_from(whitworth.sizes())
PIPE_SIZES = st.sampled_from(whitworth.pipe_sizes())


@pytest.mark.parametrize("row", check_rows("whitworth.csv"))
def test_basic_diameters_agree_with_printed_ones(row: dict[str, str]) -> None:
    thread = whitworth.standard(row["size"], row["series"])
    assert inch_sizes.per_inch(thread.pitch) == Fraction(row["tpi"])
    found = getattr(whitworth.basic_sizes(thread), row["quantity"]) / float(MM_PER_INCH)
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", PIPE_ROWS)
def test_parallel_pipe_threads_agree_with_printed_ones(row: dict[str, str]) -> None:
    thread = whitworth.standard(row["size"], "G")
    basic = whitworth.basic_sizes(thread)
    screw, wide = whitworth.limits(thread, "A"), whitworth.limits(thread, "B")
    nut = whitworth.limits(thread, "nut")
    assert screw.pitch.minimum is not None
    assert wide.pitch.minimum is not None
    assert screw.major.minimum is not None
    assert nut.minor.minimum is not None
    assert nut.minor.maximum is not None
    assert nut.pitch.maximum is not None
    found = {
        "major": basic.major_diameter,
        "pitch": basic.pitch_diameter,
        "minor": basic.minor_diameter,
        "tpi": float(inch_sizes.per_inch(thread.pitch)),
        "pitch_tolerance": basic.pitch_diameter - screw.pitch.minimum,
        "minor_tolerance": nut.minor.maximum - nut.minor.minimum,
        "major_tolerance": basic.major_diameter - screw.major.minimum,
        "nut_minor_min": nut.minor.minimum,
        "nut_minor_max": nut.minor.maximum,
    }[row["quantity"]]
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))
    assert basic.pitch_diameter - wide.pitch.minimum == pytest.approx(
        2 * (nut.pitch.maximum - basic.pitch_diameter)
    )


@pytest.mark.parametrize(
    ("size", "series", "tpi", "designation"),
    [
        ("1/2", "BSW", None, "1/2-12 BSW"),
        ("1/2", "Whitworth", None, "1/2-12 BSW"),
        ("1/2", None, 12, "1/2-12 BSW"),
        ("1/2", None, 16, "1/2-16 BSF"),
        ("1/2", "whitworth fine", 16, "1/2-16 BSF"),
        ("1 1/4", "G", None, "G1 1/4"),
        ("1 1/4", "bsp", 11, "G1 1/4"),
    ],
)
def test_size_with_series_or_pitch_names_the_thread(
    size: str, series: str | None, tpi: int | None, designation: str
) -> None:
    thread = whitworth.standard(size, series, None if tpi is None else Fraction(tpi))
    assert thread.designation == designation


@pytest.mark.parametrize(
    ("size", "series", "tpi", "sentence"),
    [
        ("15/32", "BSW", None, r"15/32 BSW: BS 84 does not list this size; nearest is 7/16 or 1/2"),
        ("7", "BSW", None, r"7 BSW: BS 84 goes from 1/16 to 6 inch; nearest is 6"),
        ("1/16", "BSF", None, r"1/16 BSF: BS 84 goes from 3/16 to 4 1/4 inch; nearest is 3/16"),
        ("1/2", "BSW", 13, r"1/2-13 BSW: 1/2 BSW has 12 .* nearest is 1/2-12 BSW or 1/2-16 BSF"),
        ("1/2", None, 13, r"1/2-13: is in neither BSW nor BSF; nearest is 1/2-12 BSW"),
        ("1/2", None, None, r"1/2: name the series, BSW or BSF"),
        ("1/2", None, 0, r"threads per inch 0: must be more than 0"),
        ("1/2", "BSX", None, r"series 'BSX': .* are BSW, BSF and G"),
        ("9/16", "G", None, r"9/16 G: ISO 228-1 does not list this size; nearest is 1/2 or 5/8"),
        ("8", "G", None, r"8 G: ISO 228-1 goes from 1/16 to 6 inch; nearest is 6"),
        ("1/2", "G", 12, r"G1/2 with 12 threads per inch: ISO 228-1 has 14; nearest is G1/2"),
        ("half", "G", None, r"size 'half': is not an inch size"),
    ],
)
def test_what_does_not_exist_is_refused_with_what_does(
    size: str, series: str | None, tpi: int | None, sentence: str
) -> None:
    with pytest.raises(OutOfRange, match=sentence):
        whitworth.standard(size, series, None if tpi is None else Fraction(tpi))


def test_a_class_that_iso_228_does_not_have_is_refused() -> None:
    with pytest.raises(NoSuchSize, match="'C': ISO 228-1 has A and B"):
        whitworth.limits(whitworth.standard("1/2", "G"), "C")


def test_limits_of_bsw_are_not_those_of_a_pipe_thread() -> None:
    with pytest.raises(OutOfRange, match="1/2-12 BSW: is not a G thread"):
        whitworth.limits(whitworth.standard("1/2", "BSW"), "medium")


def test_limits_of_several_starts_are_refused() -> None:
    with pytest.raises(OutOfRange, match="ISO 228-1 has single-start threads only"):
        whitworth.limits(whitworth.standard("1/2", "G", starts=2), "A")


def test_another_kind_of_thread_is_refused() -> None:
    metric = Thread("M12x1.75", "M", "iso-60", Fraction(7, 4), Fraction(12))
    with pytest.raises(OutOfRange, match=r"M12x1\.75: is not a BSW, BSF or G thread"):
        whitworth.basic_sizes(metric)


def test_hand_and_starts_are_kept() -> None:
    thread = whitworth.standard("1", "BSW", starts=2, left_hand=True)
    assert thread.left_hand
    assert thread.lead == inches(Fraction(1, 4))


def test_sizes_rise_in_each_series() -> None:
    for series in ("BSW", "BSF"):
        found = [row.diameter for row in whitworth.sizes() if row.series == series]
        assert found == sorted(set(found))
    pipes = [row.major for row in whitworth.pipe_sizes()]
    assert pipes == sorted(set(pipes))


@given(SERIES_ROWS)
def test_a_row_names_itself_and_its_diameters_are_ordered(row: whitworth.WhitworthSize) -> None:
    thread = whitworth.standard(row.size, row.series)
    assert thread == whitworth.standard(row.size, None, row.threads_per_inch)
    basic = whitworth.basic_sizes(thread)
    assert 0 < basic.minor_diameter < basic.pitch_diameter < basic.major_diameter
    assert type(thread.pitch) is Fraction


@given(PIPE_SIZES)
def test_printed_pipe_diameters_follow_the_form(row: whitworth.PipeSize) -> None:
    thread = whitworth.standard(row.size, "G")
    by_form = forms.basic_sizes(thread)
    assert float(row.pitch) == pytest.approx(by_form.pitch_diameter, abs=0.001)
    assert float(row.minor) == pytest.approx(by_form.minor_diameter, abs=0.001)


@given(PIPE_SIZES, st.sampled_from(["A", "B", "nut"]))
def test_pipe_limits_are_ordered_and_into_the_metal(row: whitworth.PipeSize, name: str) -> None:
    limits = whitworth.limits(whitworth.standard(row.size, "G"), name)
    for part in (limits.major, limits.pitch, limits.minor):
        if part.minimum is not None and part.maximum is not None:
            assert part.minimum < part.maximum
    edge = limits.pitch.minimum if limits.internal else limits.pitch.maximum
    assert edge == float(row.pitch)


@given(st.sampled_from(pipe_taper.sizes("R")))
def test_taper_and_parallel_pipe_threads_share_diameter_and_pitch(
    row: pipe_taper.TaperSize,
) -> None:
    parallel = whitworth.pipe_size(row.size)
    assert row.nominal == parallel.major
    assert row.threads_per_inch == parallel.threads_per_inch
