"""Tap drills and bores for internal threads, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.core import drills, tap_drills
from assistant.core.threads import (
    acme,
    ba,
    metric,
    pipe_taper,
    unified,
    whitworth,
    whitworth_tolerances,
)
from assistant.core.threads.thread import Thread
from assistant.errors import NoSuchSize, OutOfRange
from tests.check_values import check_rows

THREADS = st.sampled_from(
    [unified.standard(row.size, row.threads_per_inch) for row in unified.sizes()]
    + [whitworth.standard(row.size, row.series) for row in whitworth.sizes()]
    + [ba.standard(row.number) for row in ba.sizes()]
    + [metric.standard(row.nominal, row.pitch) for row in metric.sizes()]
)
PERCENTAGES = st.fractions(min_value=50, max_value=85, max_denominator=10)


@pytest.mark.parametrize("row", check_rows("tap_drills.csv"))
def test_tap_drills_agree_with_charts(row: dict[str, str]) -> None:
    if row["size"].startswith("M"):
        thread = metric.standard(Fraction(row["size"][1:]))
    else:
        thread = unified.standard(row["size"], Fraction(row["tpi"]))
    found = tap_drills.tap_drill(thread)
    assert found.drill == drills.drill(row["drill"])
    assert found.percentage is not None
    expected = row["expected"] or "77.5"
    # ISO 2306 names a drill, not a share; its drills lie between 73 and 82 per cent.
    tolerance = float(row["tolerance"] or 4.5)
    assert found.percentage == pytest.approx(float(expected), abs=tolerance)


def test_full_thread_of_each_form() -> None:
    # 1.299038 P for 60 degrees as in shop charts; twice the depth of the form for the others.
    assert tap_drills.full_thread(metric.standard(Fraction(6))) == pytest.approx(1.299038)
    assert tap_drills.full_thread(ba.standard(0)) == pytest.approx(1.2)
    half = whitworth.standard("1/2", "BSW")
    assert tap_drills.full_thread(half) == pytest.approx(1.280654 * 25.4 / 12, rel=1e-6)


def test_a_wanted_share_is_met_as_near_as_the_rack_allows() -> None:
    found = tap_drills.tap_drill(unified.standard("1/2", Fraction(13)), Fraction(65))
    # 0.5 - 0.65 x 0.099926 = 0.4350 inch; 7/16 = 0.4375 is the nearest of number, letter, fraction.
    assert found.drill.name == "7/16"
    assert found.percentage == pytest.approx(100 * 0.0625 * 13 / 1.299038, abs=0.01)


def test_the_rack_may_be_chosen() -> None:
    found = tap_drills.tap_drill(unified.standard("1/2", Fraction(13)), None, ["metric"])
    assert found.drill.name == "10.8 mm"


def test_the_metric_chart_counts_only_where_no_share_is_wanted() -> None:
    thread = metric.standard(Fraction(14))
    assert tap_drills.tap_drill(thread).chart
    worked_out = tap_drills.tap_drill(thread, Fraction(75))
    assert not worked_out.chart
    assert worked_out.hole == pytest.approx(14 - 0.75 * 1.299038 * 2)


def test_a_pipe_thread_has_its_chart_drill() -> None:
    found = tap_drills.tap_drill(pipe_taper.standard("1/4", "NPT"))
    assert (found.drill.name, found.percentage, found.chart) == ("7/16", None, True)


@pytest.mark.parametrize("percentage", [49, 86, 200, 0, -75])
def test_a_share_outside_fifty_to_eighty_five_is_refused(percentage: int) -> None:
    with pytest.raises(OutOfRange, match=r"percentage of thread .* must be from 50 to 85 %"):
        tap_drills.tap_drill(unified.standard("1/2", Fraction(13)), Fraction(percentage))


def test_a_thread_larger_than_every_drill_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"95\.41 mm for 4-4 UNC: .*; bore it; nearest is 3 1/2"):
        tap_drills.tap_drill(unified.standard("4", Fraction(4)))


@pytest.mark.parametrize(
    ("thread", "sentence"),
    [
        (acme.standard("1"), "1-5 Acme: is not tapped by percentage of thread"),
        (pipe_taper.standard("1/2", "Rc"), "Rc1/2: is not tapped by percentage of thread"),
        (pipe_taper.standard("4", "NPT"), "4-8 NPT: is not in the tables; .* at the small end"),
        (Thread("13 per inch", "pitch", "iso-60", Fraction(127, 65), None), "name the size"),
    ],
)
def test_a_thread_that_has_no_tap_drill_is_refused(thread: Thread, sentence: str) -> None:
    with pytest.raises(OutOfRange, match=sentence):
        tap_drills.tap_drill(thread)


def test_an_unknown_set_is_refused() -> None:
    with pytest.raises(NoSuchSize, match="drill set 'imperial'"):
        tap_drills.tap_drill(metric.standard(Fraction(6)), Fraction(75), ["imperial"])


@pytest.mark.parametrize("hole", [Fraction(0), Fraction(-1), Fraction(6), Fraction(7)])
def test_a_hole_that_leaves_no_thread_is_refused(hole: Fraction) -> None:
    with pytest.raises(OutOfRange, match="must be more than 0 and less than the thread's 6 mm"):
        tap_drills.percentage_of(metric.standard(Fraction(6)), hole)


def test_a_bore_is_the_nuts_minor_diameter() -> None:
    # ISO 724: M10 D1 = 8.376; BS 84: 1/2 BSW core 0.3933 inch; ASME B1.5: 1-5 Acme D - P = 0.8 inch.
    assert tap_drills.bore_diameter(metric.standard(Fraction(10))) == pytest.approx(8.376, abs=5e-4)
    half = whitworth.standard("1/2", "BSW")
    assert tap_drills.bore_diameter(half) == pytest.approx(0.3933 * 25.4, abs=0.0013)
    assert tap_drills.bore_diameter(acme.standard("1")) == pytest.approx(0.8 * 25.4)


def test_the_bore_of_a_taper_thread_is_refused() -> None:
    with pytest.raises(OutOfRange, match="bore of 1/2-14 NPT: is a taper"):
        tap_drills.bore_diameter(pipe_taper.standard("1/2", "NPT"))


@given(THREADS, PERCENTAGES)
def test_hole_and_percentage_are_each_others_inverse(thread: Thread, percentage: Fraction) -> None:
    hole = tap_drills.hole_for(thread, percentage)
    assert tap_drills.percentage_of(thread, hole) == pytest.approx(float(percentage))


@given(THREADS, PERCENTAGES, PERCENTAGES)
def test_more_thread_needs_a_smaller_hole(thread: Thread, one: Fraction, other: Fraction) -> None:
    assume(one < other)
    assert tap_drills.hole_for(thread, one) > tap_drills.hole_for(thread, other)


@given(THREADS, PERCENTAGES)
def test_no_drill_of_the_rack_comes_nearer(thread: Thread, percentage: Fraction) -> None:
    kinds = drills.KINDS
    hole = tap_drills.hole_for(thread, percentage)
    gaps = [abs(float(one.diameter) - hole) for one in drills.drills(kinds)]
    assume(min(gaps) / tap_drills.full_thread(thread) < tap_drills.MOST_OFF / 100)
    found = tap_drills.tap_drill(thread, percentage, kinds)
    assert abs(float(found.drill.diameter) - hole) == pytest.approx(min(gaps))
    assert found.percentage == pytest.approx(tap_drills.percentage_of(thread, found.drill.diameter))


@given(THREADS)
def test_a_tapped_hole_is_larger_than_the_bore_for_full_form(thread: Thread) -> None:
    assert tap_drills.hole_for(thread, 75) > tap_drills.bore_diameter(thread)


@pytest.mark.parametrize("size", ["1/4", "3/8", "1/2", "3/4"])
def test_a_drill_within_limits_keeps_them(size: str) -> None:
    thread = whitworth.standard(size, "BSW")
    ends = whitworth_tolerances.limits(thread, "medium", internal=True).minor
    assert ends.minimum is not None
    assert ends.maximum is not None
    found = tap_drills.tap_drill_within(thread, Fraction(75), ends.minimum, ends.maximum)
    assert ends.minimum <= found.drill.diameter <= ends.maximum
    plain = tap_drills.tap_drill(thread, Fraction(75))
    assert found.drill == plain.drill or not ends.minimum <= plain.drill.diameter <= ends.maximum


def test_limits_between_two_drills_are_refused() -> None:
    thread = whitworth.standard("2", "BSW")
    with pytest.raises(OutOfRange, match=r"no metric drill lies between the nut's limits, 45\.100"):
        tap_drills.tap_drill_within(thread, Fraction(75), 45.1, 45.4, ["metric"])
