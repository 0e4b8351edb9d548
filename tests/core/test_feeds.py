"""Feeds to start from, and the choice of one of the lathe's."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.feeds import choose_feed, hole_feed, largest_feed_for_nose, starting_feed
from assistant.core.materials import materials
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import rows
from tests.check_values import check_rows

lathe_feeds = st.lists(
    st.fractions(Fraction(1, 100), Fraction(2), max_denominator=1000), min_size=1, max_size=40
)


@pytest.mark.parametrize("row", check_rows("feeds.csv"))
def test_starting_feed_lies_in_the_printed_range(row: dict[str, str]) -> None:
    if row["diameter"]:
        diameter = Fraction(row["diameter"]) * Fraction(127, 5)
        found = hole_feed(row["material"], diameter, row["operation"])
    else:
        found = starting_feed(row["material"], row["operation"])
    inch = Fraction(127, 5)
    assert Fraction(row["low"]) <= found.start / inch <= Fraction(row["high"])


@given(st.sampled_from(sorted(materials())), st.fractions(Fraction(1, 10), Fraction(4)))
def test_feed_never_passes_half_the_nose(key: str, nose: Fraction) -> None:
    found = starting_feed(key, "rough", nose)
    assert found.low <= found.start <= found.high <= max(nose / 2, found.low)
    assert found.start <= nose / 2
    assert type(found.start) is Fraction


def test_nose_that_holds_the_feed_down_is_named() -> None:
    assert starting_feed("mild_steel", "rough", Fraction(1, 5)).held_by_nose
    assert not starting_feed("mild_steel", "rough", Fraction(4, 5)).held_by_nose


def test_nose_does_not_limit_a_parting_tool() -> None:
    assert starting_feed("mild_steel", "part", Fraction(1, 20)) == starting_feed(
        "mild_steel", "part"
    )


@given(st.sampled_from(sorted(materials())), st.floats(0.3, 50), st.floats(0.3, 50))
def test_a_larger_drill_never_takes_a_finer_feed(key: str, one: float, other: float) -> None:
    small, large = sorted((Fraction(one), Fraction(other)))
    assert hole_feed(key, small).start <= hole_feed(key, large).start


@given(st.sampled_from(sorted(materials())), st.floats(0.3, 50))
def test_a_reamer_takes_twice_the_feed_of_a_drill(key: str, diameter: float) -> None:
    size = Fraction(diameter)
    assert hole_feed(key, size, "ream").start == 2 * hole_feed(key, size).start


def test_tough_work_starts_at_the_low_end() -> None:
    tough, easy = hole_feed("stainless", Fraction(10)), hole_feed("brass", Fraction(10))
    assert tough.start == tough.low < easy.start


@given(lathe_feeds, st.floats(0.01, 2))
def test_finishing_feed_is_never_coarser_than_wanted_or_flagged(
    feeds: list[Fraction], ideal: float
) -> None:
    choice = choose_feed(feeds, ideal, finishing=True)
    assert choice.feed in feeds
    assert type(choice.feed) is Fraction
    if choice.lowest_is_too_coarse:
        assert choice.feed == min(feeds) > Fraction(ideal)
    else:
        assert choice.feed == max(feed for feed in feeds if feed <= Fraction(ideal))


@given(lathe_feeds, st.floats(0.01, 2))
def test_roughing_feed_is_the_nearest(feeds: list[Fraction], ideal: float) -> None:
    choice = choose_feed(feeds, ideal)
    assert all(abs(choice.feed - Fraction(ideal)) <= abs(feed - Fraction(ideal)) for feed in feeds)


def test_of_two_equally_near_feeds_the_finer_is_taken() -> None:
    assert choose_feed((Fraction(1, 10), Fraction(3, 10)), Fraction(1, 5)).feed == Fraction(1, 10)


def test_drill_past_the_end_of_the_table_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"the table of feeds ends at 50.8 mm"):
        hole_feed("mild_steel", Fraction(51))


def test_last_drill_of_the_table_is_answered() -> None:
    assert hole_feed("mild_steel", Fraction(254, 5)).high == Fraction("0.635")


@pytest.mark.parametrize("bad", [0, -1])
def test_zero_and_negative_drills_are_refused(bad: int) -> None:
    with pytest.raises(OutOfRange, match="must be more than 0 mm"):
        hole_feed("mild_steel", Fraction(bad))


def test_operation_without_a_row_names_those_that_exist() -> None:
    with pytest.raises(
        OutOfRange, match="feed for knurl in grey cast iron: there are feeds for turn"
    ):
        starting_feed("grey_iron", "knurl")


def test_unknown_hole_is_refused() -> None:
    with pytest.raises(NoSuchSize, match="is none of drill, ream"):
        hole_feed("mild_steel", Fraction(10), "punch")


def test_unknown_material_is_refused() -> None:
    with pytest.raises(NoSuchSize, match="is not in the table of materials"):
        starting_feed("granite")


@pytest.mark.parametrize("bad", [0, -1])
def test_zero_and_negative_noses_are_refused(bad: int) -> None:
    with pytest.raises(OutOfRange, match="must be more than 0 mm"):
        largest_feed_for_nose(Fraction(bad))


def test_absurd_nose_is_refused() -> None:
    with pytest.raises(OutOfRange, match="must be at most 10 mm"):
        starting_feed("mild_steel", "turn", Fraction(80))


def test_lathe_without_feeds_is_refused() -> None:
    with pytest.raises(OutOfRange, match="the lathe has no feeds"):
        choose_feed((), Fraction(1, 10))


def test_feed_rows_rise() -> None:
    for table in ("feeds.csv", "hole_feeds.csv"):
        for row in rows(table):
            start = Fraction(row.get("start", row["low"]))
            assert 0 < Fraction(row["low"]) <= start <= Fraction(row["high"]), row


def test_feed_rows_stand_once_and_name_what_exists() -> None:
    groups = {found.iso_group for found in materials().values()} | set(materials())
    keys = [(row["work"], row["operation"]) for row in rows("feeds.csv")]
    assert len(keys) == len(set(keys))
    assert {work for work, _ in keys} <= groups


def test_every_material_has_feeds_for_the_usual_operations() -> None:
    for key in materials():
        turn, finish, rough = (
            starting_feed(key, name).start for name in ("turn", "finish", "rough")
        )
        assert finish <= turn <= rough


def test_easy_work_starts_in_the_middle_of_the_band() -> None:
    found = hole_feed("brass", Fraction(10))
    assert found.start == (Fraction("0.004") + Fraction("0.007")) / 2 * Fraction(127, 5)
