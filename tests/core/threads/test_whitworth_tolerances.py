"""Limits of BSW and BSF: the formulae of BS 84 against figures worked by hand, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.threads import whitworth, whitworth_tolerances
from assistant.core.threads.thread import Thread
from assistant.errors import NoSuchSize, OutOfRange
from assistant.units import inches
from tests.check_values import check_rows

INCH = 25.4
ROWS = st.sampled_from([row for row in whitworth.sizes() if row.diameter >= inches(Fraction(1, 8))])
DIAMETERS = ("major", "pitch", "minor")


def limit(size: str, series: str, name: str, internal: bool, quantity: str) -> float:
    thread = whitworth.standard(size, series)
    limits = whitworth_tolerances.limits(thread, name, internal)
    diameter, _, end = quantity.partition("_")
    ends = getattr(limits, diameter)
    return float({"min": ends.minimum, "max": ends.maximum}[end])


LISTED = check_rows("whitworth_limits.csv")
DRILLS = [row for row in LISTED if row.values[0]["quantity"] == "tapping drill"]


@pytest.mark.parametrize("row", DRILLS)
def test_the_usual_tapping_drill_lies_inside_the_limits_of_the_nut(row: dict[str, str]) -> None:
    ends = [
        limit(row["size"], row["series"], row["class"], True, f"minor_{end}")
        for end in ("min", "max")
    ]
    assert ends[0] < float(row["expected"]) < ends[1]


@pytest.mark.parametrize("row", [row for row in LISTED if row not in DRILLS])
def test_limits_agree_with_hand_work(row: dict[str, str]) -> None:
    internal = row["member"] == "nut"
    found = limit(row["size"], row["series"], row["class"], internal, row["quantity"])
    assert found / INCH == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@given(
    ROWS,
    st.sampled_from(["close", "medium", "free"]),
    st.sampled_from(["close", "medium", "normal"]),
)
def test_every_screw_goes_into_every_nut(
    row: whitworth.WhitworthSize, screw_class: str, nut_class: str
) -> None:
    thread = whitworth.standard(row.size, row.series)
    screw = whitworth_tolerances.limits(thread, screw_class)
    nut = whitworth_tolerances.limits(thread, nut_class, internal=True)
    for diameter in DIAMETERS:
        outside, inside = getattr(screw, diameter), getattr(nut, diameter)
        assert outside.minimum < outside.maximum <= inside.minimum
        assert inside.maximum is None or inside.minimum < inside.maximum


@given(ROWS)
def test_a_closer_class_has_the_smaller_tolerance(row: whitworth.WhitworthSize) -> None:
    thread = whitworth.standard(row.size, row.series)
    zones = []
    for name in ("close", "medium", "free"):
        pitch = whitworth_tolerances.limits(thread, name).pitch
        assert pitch.minimum is not None
        assert pitch.maximum is not None
        zones.append(pitch.maximum - pitch.minimum)
    assert zones == sorted(zones)


def test_screws_over_three_quarters_have_no_allowance() -> None:
    for size, kept in (("3/4", False), ("7/8", True)):
        thread = whitworth.standard(size, "BSW")
        major = whitworth_tolerances.limits(thread, "medium").major.maximum
        assert (major == pytest.approx(float(thread.major_diameter or 0))) is kept


@pytest.mark.parametrize(
    ("size", "name", "internal", "error", "sentence"),
    [
        ("1/2", "free", True, NoSuchSize, "'free': BS 84 has close, medium, normal for the nut"),
        ("1/2", "normal", False, NoSuchSize, "'normal': BS 84 has close, medium, free for the scr"),
        (
            "1/2",
            "2A",
            False,
            NoSuchSize,
            "'2A': BS 84 has close, medium, free .* nearest is medium",
        ),
        ("1/16", "medium", False, OutOfRange, "1/16-60 BSW: BS 84:1956 begins at 1/8 inch"),
    ],
)
def test_what_bs_84_does_not_have_is_refused(
    size: str, name: str, internal: bool, error: type[OutOfRange], sentence: str
) -> None:
    with pytest.raises(error, match=sentence):
        whitworth_tolerances.limits(whitworth.standard(size, "BSW"), name, internal)


def test_several_starts_are_refused() -> None:
    with pytest.raises(OutOfRange, match="single-start threads only"):
        whitworth_tolerances.limits(whitworth.standard("1/2", "BSW", starts=2), "medium")


@pytest.mark.parametrize(("diameter", "pitch"), [(0, 1), (-5, 1), (10, 0), (10, -1)])
def test_no_tolerance_without_a_size(diameter: int, pitch: int) -> None:
    with pytest.raises(OutOfRange, match="must be more than 0 mm"):
        whitworth_tolerances.pitch_tolerance(Fraction(diameter), Fraction(pitch))


def test_another_kind_of_thread_is_refused() -> None:
    metric = Thread("M12x1.75", "M", "iso-60", Fraction(7, 4), Fraction(12))
    with pytest.raises(OutOfRange, match=r"M12x1\.75: is not a BSW or BSF thread"):
        whitworth_tolerances.limits(metric, "medium")
