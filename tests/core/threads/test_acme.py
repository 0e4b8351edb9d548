"""Acme and Stub Acme threads: sizes, limits, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.threads import acme, forms
from assistant.core.threads.thread import Limits, Thread
from assistant.errors import NoSuchSize, OutOfRange
from assistant.units import MM_PER_INCH, inches
from tests.check_values import check_rows

INCH = float(MM_PER_INCH)
ROWS = st.sampled_from(acme.sizes())
CLASSES = ["2G", "3G", "4G"]


def side(limits: Limits, end: str) -> float:
    found = {"min": limits.minimum, "max": limits.maximum}[end]
    assert found is not None
    return found / INCH


def printed_quantity(thread: Thread, member: str, quantity: str) -> float:
    if member == "basic":
        basic = acme.basic_sizes(thread)
        return {
            "pitch diameter": basic.pitch_diameter / INCH,
            "minor diameter": basic.minor_diameter / INCH,
            "height": float(thread.pitch) / 2 / INCH,
            "height with clearance": forms.thread_depth(thread.form, thread.pitch) / INCH,
        }[quantity]
    *_, which, name = member.split()
    limits = acme.limits(thread, name, internal=which == "nut")
    part, end = quantity.split()
    return side(getattr(limits, part), end)


@pytest.mark.parametrize("row", check_rows("acme.csv"))
def test_sizes_agree_with_printed_ones(row: dict[str, str]) -> None:
    stub = row["member"].startswith("stub ")
    thread = acme.standard(row["size"], Fraction(row["tpi"]), stub=stub)
    assert not thread.special
    found = printed_quantity(thread, row["member"], row["quantity"])
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_a_size_alone_has_its_preferred_pitch() -> None:
    assert acme.standard("1").designation == "1-5 Acme"
    assert acme.standard("1 1/4").pitch == inches(Fraction(1, 5))


def test_another_pitch_is_a_special() -> None:
    thread = acme.standard("1", Fraction(8))
    assert (thread.designation, thread.special) == ("1-8 Acme", True)


def test_stub_acme_is_six_tenths_as_deep() -> None:
    thread = acme.standard("1", stub=True)
    assert (thread.designation, thread.form) == ("1-5 Stub Acme", "stub-acme-29")
    basic = acme.basic_sizes(thread)
    assert basic.pitch_diameter / INCH == pytest.approx(0.94)
    assert basic.minor_diameter / INCH == pytest.approx(0.88)


def test_hand_and_starts_are_kept() -> None:
    thread = acme.standard("1", starts=2, left_hand=True)
    assert thread.left_hand
    assert thread.lead == inches(Fraction(2, 5))
    assert thread.designation == "1-5 Acme, 2 starts"


@pytest.mark.parametrize(
    ("size", "tpi", "sentence"),
    [
        ("1 1/16", None, r"1 1/16 Acme: .* not list .*; nearest is 1-5 Acme or 1 1/8-5 Acme"),
        ("6", None, r"6 Acme: Acme goes from 1/4 to 5 inch; nearest is 5-2 Acme"),
        ("1/8", None, r"1/8 Acme: Acme goes from 1/4 to 5 inch; nearest is 1/4-16 Acme"),
        ("1", 0, r"threads per inch 0: must be more than 0"),
        ("1", -5, r"threads per inch -5: must be more than 0"),
        ("1", 40, r"1-40 Acme: Acme pitches go from 2 to 16 threads per inch; nearest is 1-5"),
        ("1", 3, r"1-3 Acme: is coarser for its diameter than any Acme thread \(1/4-16 Acme\)"),
        ("1", Fraction(21, 4), r"1-5\.25 Acme: threads per inch are whole or half numbers"),
        ("x", None, r"size 'x': is not an inch size"),
    ],
)
def test_what_does_not_exist_is_refused_with_what_does(
    size: str, tpi: Fraction | int | None, sentence: str
) -> None:
    with pytest.raises(OutOfRange, match=sentence):
        acme.standard(size, None if tpi is None else Fraction(tpi))


@pytest.mark.parametrize("name", ["5G", "2A", "2C", ""])
def test_a_class_that_the_tables_lack_is_refused(name: str) -> None:
    with pytest.raises(NoSuchSize, match=f"'{name}': the tables have 2G, 3G, 4G"):
        acme.limits(acme.standard("1"), name)


def test_stub_acme_has_no_limits_of_its_roots() -> None:
    thread = acme.standard("1", stub=True)
    screw, nut = acme.limits(thread, "2G"), acme.limits(thread, "2G", internal=True)
    assert screw.minor.minimum is None
    assert nut.major.maximum is None


@pytest.mark.parametrize("name", ["3G", "4G"])
def test_stub_acme_has_one_class_here(name: str) -> None:
    with pytest.raises(NoSuchSize, match="2G of Stub Acme only"):
        acme.limits(acme.standard("1", stub=True), name)


def test_limits_of_several_starts_are_refused() -> None:
    with pytest.raises(OutOfRange, match="limits of single-start Acme only"):
        acme.limits(acme.standard("1", starts=2), "2G")


@pytest.mark.parametrize("ask", [acme.basic_sizes, lambda thread: acme.limits(thread, "2G")])
def test_another_kind_of_thread_is_refused(ask: object) -> None:
    metric = Thread("Tr20x4", "Tr", "trapezoidal-30", Fraction(4), Fraction(20))
    with pytest.raises(OutOfRange, match="Tr20x4: is not an Acme thread"):
        ask(metric)  # type: ignore[operator]


def test_sizes_rise() -> None:
    found = [row.diameter for row in acme.sizes()]
    assert found == sorted(set(found))


@given(ROWS, st.sampled_from(CLASSES), st.booleans())
def test_limits_are_ordered(row: acme.AcmeSize, name: str, internal: bool) -> None:
    limits = acme.limits(acme.standard(row.size), name, internal=internal)
    for part in (limits.major, limits.pitch, limits.minor):
        assert side(part, "min") < side(part, "max")


@given(ROWS, st.sampled_from(CLASSES))
def test_every_screw_goes_into_every_nut(row: acme.AcmeSize, name: str) -> None:
    thread = acme.standard(row.size)
    screw, nut = acme.limits(thread, name), acme.limits(thread, name, internal=True)
    for part in ("major", "pitch", "minor"):
        assert side(getattr(screw, part), "max") < side(getattr(nut, part), "min")


@given(ROWS, st.booleans())
def test_a_closer_class_has_a_smaller_tolerance(row: acme.AcmeSize, internal: bool) -> None:
    thread = acme.standard(row.size)
    zones = []
    for name in CLASSES:
        pitch = acme.limits(thread, name, internal=internal).pitch
        zones.append(side(pitch, "max") - side(pitch, "min"))
    assert zones == sorted(zones, reverse=True)
