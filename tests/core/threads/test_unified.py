"""Unified threads: standard series, basic sizes, limits of size, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from screw_thread_lib.data.ASME import ASME_UN_2A2B_dict

from assistant.core.threads import forms, inch_sizes, unified, unified_tolerances
from assistant.core.threads.thread import Limits, Thread
from assistant.errors import NoSuchSize, OutOfRange
from assistant.units import MM_PER_INCH, inches
from tests.check_values import check_rows

INCH = float(MM_PER_INCH)
LISTED = st.sampled_from(unified.sizes())
SPECIALS = st.builds(
    lambda row, extra: (row.size, row.threads_per_inch + extra),
    st.sampled_from([row for row in unified.sizes() if row.series in ("UNC", "UNF")]),
    st.integers(min_value=0, max_value=3),
).filter(lambda pair: pair[1] <= 80)
PRINTED_CELLS = [
    (designation, name, float(row[name]), str(row["series"]), Fraction(row["n"]))
    for designation, row in ASME_UN_2A2B_dict.items()
    for name in row
    if name not in ("series", "dbsc", "n")
]


def thread_of(row: unified.UnifiedSize) -> Thread:
    return unified.standard(row.size, row.threads_per_inch)


def side(limits: Limits, end: str) -> float:
    found = {"min": limits.minimum, "max": limits.maximum}[end]
    assert found is not None
    return found / INCH


@pytest.mark.parametrize("row", check_rows("unified.csv"))
def test_limits_agree_with_printed_ones(row: dict[str, str]) -> None:
    thread = unified.standard(row["size"], Fraction(row["tpi"]))
    assert thread.series == row["series"]
    limits = unified_tolerances.limits(thread, row["class"])
    part, end = row["quantity"].split()
    assert side(getattr(limits, part), end) == pytest.approx(
        float(row["expected"]), abs=float(row["tolerance"])
    )


@pytest.mark.parametrize(("designation", "name", "printed", "series", "tpi"), PRINTED_CELLS)
def test_a_whole_published_table_agrees(
    designation: str, name: str, printed: float, series: str, tpi: Fraction
) -> None:
    # screw-thread-lib 0.0.6, ASME B1.1-2019 table; upper case D is the nut. Its 1-8 row has a pitch
    # minimum of 0.9101 where older prints have 0.9100.
    thread = unified.standard(designation.rsplit("-", 1)[0], tpi)
    assert thread.series == series
    limits = unified_tolerances.limits(thread, "2B" if name[0] == "D" else "2A")
    number = {"": limits.major, "1": limits.minor, "2": limits.pitch}[name[1:-3]]
    tolerance = 0.00011 if (designation, name) in {("1-8", "d2min"), ("1-8", "d1min")} else 1e-5
    assert side(number, name[-3:]) == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("size", "tpi", "series", "designation"),
    [
        ("1/2", 13, None, "1/2-13 UNC"),
        ("1/2", None, "coarse", "1/2-13 UNC"),
        ("1/2", None, "fine", "1/2-20 UNF"),
        ("1/2", None, "extra fine", "1/2-28 UNEF"),
        ("number 10", None, "fine", "#10-32 UNF"),
        ("10", 24, None, "#10-24 UNC"),
        ("4", 40, None, "#4-40 UNC"),
        ("4", 4, None, "4-4 UNC"),
        ("1", 8, None, "1-8 UNC"),
        ("1", 64, None, "#1-64 UNC"),
        ("1 1/8", None, "8-UN", "1 1/8-8 UN"),
        ("2", None, "UNC", "2-4.5 UNC"),
        ("#0", None, None, "#0-80 UNF"),
        ("0.190", 32, "UNF", "#10-32 UNF"),
        ("1-1/4", 7, "UNC", "1 1/4-7 UNC"),
        ("15/16", 20, None, "15/16-20 UNEF"),
    ],
)
def test_size_and_pitch_or_series_name_the_thread(
    size: str, tpi: int | None, series: str | None, designation: str
) -> None:
    thread = unified.standard(size, None if tpi is None else Fraction(tpi), series)
    assert thread.designation == designation
    assert not thread.special


def test_a_pitch_that_no_series_has_is_a_special() -> None:
    thread = unified.standard("1", Fraction(14))
    assert (thread.designation, thread.series, thread.special) == ("1-14 UNS", "UNS", True)


def test_hand_and_starts_are_kept() -> None:
    thread = unified.standard("3/4", Fraction(16), starts=2, left_hand=True)
    assert thread.left_hand
    assert thread.lead == inches(Fraction(1, 8))
    assert thread.designation == "3/4-16 UNF, 2 starts"


def test_basic_sizes_are_rounded_as_printed() -> None:
    basic = unified.basic_sizes(unified.standard("1/2", Fraction(13)))
    assert basic.major_diameter == 12.7
    assert basic.pitch_diameter == pytest.approx(0.4500 * INCH, abs=1e-9)
    assert basic.minor_diameter == pytest.approx(0.4167 * INCH, abs=1e-9)


def test_engagement_is_the_diameter_for_coarse_and_nine_pitches_for_extra_fine() -> None:
    assert unified_tolerances.engagement(unified.standard("1/2", Fraction(13))) == inches(
        Fraction(1, 2)
    )
    assert unified_tolerances.engagement(unified.standard("1 1/8", Fraction(8))) == inches(
        Fraction(9, 8)
    )
    assert unified_tolerances.engagement(unified.standard("1/2", Fraction(28))) == inches(
        Fraction(9, 28)
    )


@pytest.mark.parametrize(
    ("size", "tpi", "tolerance", "printed"),
    [("1/4", 20, "2A", 0.1894), ("1/4", 20, "3A", 0.1905), ("1/2", 13, "2A", 0.4069)],
)
def test_rounded_root_agrees_with_handbook(
    size: str, tpi: int, tolerance: str, printed: float
) -> None:
    # ASME B1.1 reference values of UNR minor diameters, from memory.
    thread = unified.standard(size, Fraction(tpi))
    root = unified_tolerances.rounded_root_minor(thread, tolerance)
    assert float(root) / INCH == pytest.approx(printed, abs=1e-5)


@pytest.mark.parametrize(
    ("size", "tpi", "series", "sentence"),
    [
        (
            "#7",
            32,
            None,
            r"thread size #7: is not a number size of ASME B1\.1; nearest is #6 or #8",
        ),
        ("#14", 24, None, r"thread size #14: number sizes end at #12; nearest is #12"),
        ("0.45", 20, None, r"0\.45 inch: ASME B1\.1 does not list .*; nearest is 7/16 inch"),
        (
            "5 1/2",
            4,
            None,
            r"5 1/2 inch: the Unified series go from #0 to 4 inch; nearest is 4 inch",
        ),
        ("1/2", 20, "UNC", r"1/2-20 UNC: 20 threads per inch is UNF at 1/2; nearest is 1/2-13 UNC"),
        ("1/2", 18, "UNF", r"18 threads per inch is a special \(UNS\) at 1/2; nearest is 1/2-20"),
        ("1/2", 20, "UNS", r"1/2-20 UNS: is no special; it is UNF"),
        ("15/16", None, "coarse", r"15/16 UNC: is not in that series; nearest is 15/16-20 UNEF"),
        ("1/2", None, None, r"1/2 inch: has several pitches; name the threads per inch"),
        ("1/2", None, "UNS", r"1/2 UNS: is special; name the threads per inch"),
        ("1/2", 13, "UNQ", r"series 'UNQ': Unified series are UNC, UNF, UNEF, UN, UNS"),
        ("1 1/8", 7, "8-UN", r"8-UN with 7 threads per inch: do not agree"),
        ("7/0", 13, None, r"size '7/0': is not an inch size"),
        ("-1/2", 13, None, r"size '-1/2': is not an inch size"),
        ("0", None, "coarse", r"#0 UNC: is not in that series; nearest is #0-80 UNF"),
        ("", 13, None, r"size '': is not an inch size"),
        ("1/2", Fraction(137, 10), None, r"1/2-13\.7 UNS: .* whole or half numbers"),
    ],
)
def test_what_does_not_exist_is_refused_with_what_does(
    size: str, tpi: int | Fraction | None, series: str | None, sentence: str
) -> None:
    with pytest.raises(OutOfRange, match=sentence):
        unified.standard(size, None if tpi is None else Fraction(tpi), series)


@pytest.mark.parametrize(
    ("tpi", "sentence"),
    [
        (0, "threads per inch 0: must be more than 0"),
        (-13, "threads per inch -13: must be more than 0"),
        (3, "go from 4 to 80 threads per inch"),
        (200, "go from 4 to 80 threads per inch"),
    ],
)
def test_absurd_threads_per_inch_are_refused(tpi: int, sentence: str) -> None:
    with pytest.raises(OutOfRange, match=sentence):
        unified.standard("1/2", Fraction(tpi))


def test_a_pitch_too_coarse_for_the_diameter_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"1/4-8 UNS: is coarser .* nearest is 1/4-20 UNC"):
        unified.standard("1/4", Fraction(8))


def test_no_starts_are_refused() -> None:
    with pytest.raises(OutOfRange, match="starts 0: must be 1 or more"):
        unified.standard("1/2", Fraction(13), starts=0)


@pytest.mark.parametrize(
    ("size", "tpi", "tolerance", "sentence"),
    [
        ("1/2", 13, "5A", r"'5A': ASME B1\.1 has 1A, 2A, 3A, 1B, 2B, 3B"),
        ("1/2", 13, "6g", r"'6g': ASME B1\.1 has"),
        ("1/2", 28, "1A", r"1A: .* not have it for 1/2-28 UNEF; nearest is 2A, 3A, 2B, 3B"),
        ("#10", 24, "1B", r"1B: .* not have it for #10-24 UNC; nearest is 2A, 3A, 2B, 3B"),
        ("1/2", 13, "", r"'': ASME B1\.1 has"),
    ],
)
def test_a_class_that_is_not_there_is_refused_with_those_that_are(
    size: str, tpi: int, tolerance: str, sentence: str
) -> None:
    with pytest.raises(NoSuchSize, match=sentence):
        unified_tolerances.limits(unified.standard(size, Fraction(tpi)), tolerance)


def test_limits_of_a_thread_with_several_starts_are_refused() -> None:
    with pytest.raises(OutOfRange, match="limits are for single-start threads"):
        unified_tolerances.limits(unified.standard("1/2", Fraction(13), starts=2), "2A")


def test_a_nut_has_no_rounded_root() -> None:
    with pytest.raises(NoSuchSize, match=r"2B: is a nut's; .* nearest is 1A, 2A, 3A"):
        unified_tolerances.rounded_root_minor(unified.standard("1/2", Fraction(13)), "2B")


@pytest.mark.parametrize("ask", [unified.basic_sizes, unified_tolerances.classes])
def test_another_kind_of_thread_is_refused(ask: object) -> None:
    metric = Thread("M12x1.75", "M", "iso-60", Fraction(7, 4), Fraction(12))
    with pytest.raises(OutOfRange, match=r"M12x1\.75: is not a Unified thread"):
        ask(metric)  # type: ignore[operator]


def test_the_table_rises_and_has_no_row_twice() -> None:
    order = {series: place for place, series in enumerate(unified.SERIES)}
    keys = [(row.diameter, order[row.series], row.threads_per_inch) for row in unified.sizes()]
    assert keys == sorted(keys)
    assert len({(row.diameter, row.threads_per_inch) for row in unified.sizes()}) == len(keys)


def test_a_number_size_is_sixty_thousandths_and_thirteen_for_each_number() -> None:
    for row in unified.sizes():
        if row.size.startswith("#"):
            assert row.diameter == inches(Fraction(60 + 13 * int(row.size[1:]), 1000))
        else:
            assert row.diameter == inch_sizes.value(row.size)


@given(LISTED)
def test_a_listed_row_names_itself(row: unified.UnifiedSize) -> None:
    thread = thread_of(row)
    assert thread.designation == row.designation
    assert type(thread.pitch) is Fraction
    assert thread == unified.standard(row.size, row.threads_per_inch, row.series)


@given(LISTED)
def test_limits_are_ordered_and_screw_and_nut_never_interfere(row: unified.UnifiedSize) -> None:
    thread = thread_of(row)
    basic = forms.basic_sizes(thread)
    for name in unified_tolerances.classes(thread):
        limits = unified_tolerances.limits(thread, name)
        for part in (limits.major, limits.pitch, limits.minor):
            assert part.minimum is not None
            assert part.maximum is None or part.minimum < part.maximum
        # Rounding to 0.001 inch may lift a nut's minor diameter by half of that.
        if limits.internal:
            assert side(limits.pitch, "min") >= basic.pitch_diameter / INCH - 5.1e-5
            assert side(limits.minor, "min") >= basic.minor_diameter_internal / INCH - 5.1e-4
        else:
            assert side(limits.pitch, "max") <= basic.pitch_diameter / INCH + 5.1e-5
            assert side(limits.major, "max") <= basic.major_diameter / INCH
            assert side(limits.pitch, "max") < side(limits.major, "min")


@given(LISTED)
def test_a_closer_class_has_a_smaller_tolerance(row: unified.UnifiedSize) -> None:
    thread = thread_of(row)
    for letter in "AB":
        zones = [
            unified_tolerances.pitch_tolerance(thread, name)
            for name in unified_tolerances.classes(thread)
            if name.endswith(letter)
        ]
        assert zones == sorted(zones, reverse=True)
        assert len(set(zones)) == len(zones)


@given(SPECIALS)
def test_specials_have_ordered_limits_too(pair: tuple[str, Fraction]) -> None:
    thread = unified.standard(*pair)
    screw = unified_tolerances.limits(thread, "2A")
    nut = unified_tolerances.limits(thread, "2B")
    assert side(screw.pitch, "min") < side(screw.pitch, "max") < side(nut.pitch, "min")
    assert side(nut.minor, "min") < side(nut.minor, "max") < side(nut.pitch, "min")


@given(st.fractions(min_value=Fraction(1, 64), max_value=4, max_denominator=64))
def test_inch_sizes_are_written_and_read_back(number: Fraction) -> None:
    length = inches(number)
    text = inch_sizes.written(length)
    if 64 % number.denominator == 0:
        assert inch_sizes.value(text) == length
    else:
        assert float(inch_sizes.value(text)) == pytest.approx(float(length), rel=1e-5)
