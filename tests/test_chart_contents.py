"""What a wall chart says: every figure with its levers, gears and marks, and the cautions."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.charts.chart import Chart
from assistant.charts.contents import FOOT, PARTS, wall_chart
from assistant.charts.leads import is_standard, lead_figure, reads_in_inches
from assistant.charts.page import paper
from assistant.charts.plain import plain_text
from assistant.charts.printing import measure
from assistant.charts.strips import columns, shape
from assistant.core.levers import GearTrain
from assistant.errors import NoSuchSize, OutOfRange
from profiles.load import find
from tests.check_values import check_rows

LATHES = ("heron", "badger", "juniper")
INCH = Fraction(127, 5)


def rows_of(chart: Chart, title: str) -> list[tuple[str, ...]]:
    return [row for table in chart.tables if table.title.startswith(title) for row in table.rows]


@pytest.mark.parametrize("row", check_rows("wall_chart.csv"))
def test_a_row_is_as_worked_by_hand(row: dict[str, str]) -> None:
    wanted = tuple(row["expected"].split("|"))
    found = rows_of(wall_chart(find(row["lathe"])), row["title"])
    assert [each for each in found if each[0] == wanted[0]] == [wanted]


@pytest.mark.parametrize("name", LATHES)
def test_every_speed_lead_and_feed_has_its_row(name: str) -> None:
    lathe, chart = find(name), wall_chart(find(name))
    assert len(rows_of(chart, "Spindle speeds")) == len({each.gives for each in lathe.speeds})
    threads = rows_of(chart, "Threads") + rows_of(chart, "Metric threads")
    assert len(threads) == len({each.gives for each in lathe.pitches})
    feeds = rows_of(chart, "Feeds") or [row for row in threads if "." in row[1]]
    assert len(feeds) == len({each.gives for each in lathe.feeds})


@pytest.mark.parametrize("name", LATHES)
def test_cautions_and_the_foot_line_are_there(name: str) -> None:
    chart = wall_chart(find(name))
    assert chart.foot == FOOT
    assert "qualified person" in FOOT
    assert "manual" in FOOT
    assert "controls nothing" in FOOT
    limits, guard, closed = chart.cautions
    assert limits.startswith("Never above: face plate ")
    assert guard == "Isolate the lathe before opening the gear guard."
    assert closed.startswith("Keep closed: the half-nut stays closed")
    assert chart.preface[0].startswith("Levers to move with the spindle stopped: ")


def test_cautions_are_those_of_the_parts_that_are_shown() -> None:
    assert [each[:11] for each in wall_chart(find("juniper"), ["speeds"]).cautions] == [
        "Never above"
    ]
    feeds = wall_chart(find("juniper"), ["feeds"])
    assert feeds.cautions == ("Isolate the lathe before opening the gear guard.",)


def test_a_chart_says_with_which_gears_its_figures_hold() -> None:
    heron = wall_chart(find("heron"))
    assert heron.tables[1].notes[0] == "Usual gears 40/40 mounted."
    labels = [group.label for group in heron.tables[2].groups]
    assert labels == ["Gears 60/127 × 120/60", "Gears 70/127 × 120/60", "Gears 50/127 × 120/60"]


def test_usual_gears_between_others_are_named() -> None:
    heron = find("heron")
    lead = heron.pitches[0]
    others = [
        replace(lead, gives=lead.gives * number, train=GearTrain((20,), (40,))) for number in (2, 3)
    ]
    usual = [replace(lead, gives=lead.gives * number) for number in (4, 5)]
    chart = wall_chart(replace(heron, pitches=(*others, *usual)), ["threads"])
    groups = [group for table in chart.tables for group in table.groups]
    assert {group.label for group in groups} <= {"Gears 20/40", "Usual gears 40/40"}
    assert sum(len(group.rows) for group in groups) == 4


def test_the_half_nut_rule_is_repeated_in_every_column() -> None:
    table = wall_chart(find("juniper")).tables[2]
    assert table.repeated == ("Half-nut: keep closed.",)
    again = columns([shape(table, measure)], 10)
    assert again is not None
    assert len(again) > 1
    for column in again:
        words = [text for line, _ in column.lines for text, _, _ in line.words]
        assert "Half-nut: keep closed." in words


def test_a_lever_called_like_a_column_does_not_hide_it() -> None:
    heron = find("heron")
    pitches = tuple(
        replace(
            each,
            levers={
                **{
                    ("half-nut" if name == "cone" else name): place
                    for name, place in each.levers.items()
                }
            },
        )
        for each in heron.pitches
    )
    levers = tuple(
        replace(each, name="half-nut") if each.name == "cone" else each for each in heron.levers
    )
    [inch, _] = wall_chart(replace(heron, pitches=pitches, levers=levers), ["threads"]).tables
    row = next(row for row in inch.rows if row[0] == "13")
    assert row == ("13", "1 2 3 4", "maple", "2")


def test_threads_and_feeds_stand_apart_where_other_levers_give_them() -> None:
    heron = find("heron")
    feeds = tuple(replace(each, levers={**each.levers, "cone": "ash"}) for each in heron.feeds[:1])
    titles = [table.title for table in wall_chart(replace(heron, feeds=feeds)).tables]
    assert titles == [
        "Spindle speeds",
        "Threads per inch",
        "Metric threads, mm",
        "Feeds, in/turn",
        "Cross feeds, in/turn",
    ]


def test_a_cross_feed_that_is_no_simple_share_has_its_column() -> None:
    heron = find("heron")
    across = tuple(replace(each, gives=each.gives * Fraction(3, 7)) for each in heron.cross_feeds)
    table = wall_chart(replace(heron, cross_feeds=across)).tables[1]
    assert table.heading[:3] == ("per inch", "feed", "cross feed")
    same = tuple(replace(each, gives=2 * each.gives) for each in heron.cross_feeds)
    notes = wall_chart(replace(heron, cross_feeds=same)).tables[1].notes
    assert "Cross feed, same as the feed: drive feed, apron across." in notes


EVERY_INCH = st.builds(Fraction, st.integers(1, 200), st.sampled_from([1, 2, 4, 8]))


@given(EVERY_INCH)
@settings(deadline=None)
def test_an_exact_inch_lead_reads_in_threads_per_inch(per_inch: Fraction) -> None:
    lead = INCH / per_inch
    if per_inch.numerator % 127:
        assert reads_in_inches(lead, False)
        assert Fraction(lead_figure(lead, True)) == per_inch


@given(st.integers(1, 800))
@settings(deadline=None)
def test_an_exact_metric_lead_reads_in_mm(steps: int) -> None:
    lead = Fraction(steps, 40)
    if lead.numerator % 127:
        assert not reads_in_inches(lead, True)
        assert Fraction(lead_figure(lead, False)) == lead


@given(st.fractions(Fraction(1, 100), 100), st.booleans())
@settings(deadline=None)
def test_a_figure_is_exact_or_marked_as_near(lead: Fraction, inch: bool) -> None:
    figure = lead_figure(lead, inch)
    exact = INCH / lead if inch else lead
    assert figure.startswith("≈") or Fraction(figure) == exact
    assert abs(Fraction(figure.lstrip("≈")) - exact) <= Fraction(1, 2000)


def test_gears_that_only_come_near_a_pitch_are_marked_and_read_in_its_kind() -> None:
    one_mm = Fraction(127, 40) * Fraction(63, 80) * Fraction(2, 5)
    assert not reads_in_inches(one_mm, True)
    assert lead_figure(one_mm, False) == "≈1.0001"
    thirteen = Fraction("1.9543")
    assert lead_figure(thirteen, False) == "1.9543"
    assert is_standard(one_mm)
    assert not is_standard(Fraction("1.1"))


def test_the_text_has_every_row_and_cautions_first() -> None:
    chart = wall_chart(find("badger"))
    text = plain_text(chart)
    lines = [" ".join(line.split()) for line in text.splitlines()]
    for table in chart.tables:
        for row in table.rows:
            assert " ".join(" ".join(row).split()) in lines
    assert lines[1].startswith("! Never above")
    assert lines[-1] == FOOT


def test_unknown_parts_and_papers_and_empty_charts_are_refused() -> None:
    with pytest.raises(
        NoSuchSize, match="part of a chart tapers: there are speeds, threads, feeds"
    ):
        wall_chart(find("heron"), ["tapers"])
    with pytest.raises(
        NoSuchSize, match="paper a33: there are a4, letter, a3, tabloid; nearest is a3"
    ):
        paper("a33")
    bare = replace(find("juniper"), feeds=())
    with pytest.raises(
        OutOfRange, match="chart of feeds of the juniper: the lathe's profile lists none"
    ):
        wall_chart(bare, ["feeds"])


def test_all_parts_are_the_usual_ones() -> None:
    assert wall_chart(find("heron"), PARTS) == wall_chart(find("heron"))
