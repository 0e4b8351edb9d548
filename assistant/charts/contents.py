"""What stands on the wall chart of a lathe: one row for each figure that it can be set to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from assistant.answer import Phrase
from assistant.charts.chart import Chart
from assistant.charts.columns import Draft, Entry, sentence_start, table
from assistant.charts.gearbox import threads_and_feeds
from assistant.charts.leads import is_standard, reads_in_inches
from assistant.charts.rows import (
    CLOSE_WORDS,
    KEEP_CLOSED,
    by_gears,
    closings,
    feed_entry,
    feed_unit,
    geared,
    mounted,
    once,
    rpm,
    speed_entry,
    thread_entry,
)
from assistant.core.levers import Setting, WhenToShift
from assistant.errors import NoSuchSize, OutOfRange, nearest_names
from assistant.wording import phrase
from profiles.lathe import Lathe

PARTS: Final = ("speeds", "threads", "feeds")
"""What a chart may be limited to."""
FOOT: Final = (
    "Starting values: the manual, the shop's rules and a qualified person come first; "
    "shift only as the maker allows. Swarfside controls nothing."
)
LEFT_OUT: Final = "Pitches of no standard thread are left out."
KEEP_CLOSED_CAUTION: Final = (
    "Keep closed: the half-nut stays closed; stop and withdraw the tool before you reverse."
)
_SHIFT: Final = {
    WhenToShift.STOPPED: "with the spindle stopped",
    WhenToShift.BY_HAND: "stopped, turning the chuck by hand",
    WhenToShift.SLOW: "running slowly",
    WhenToShift.ANY: "at any time",
}


def wall_chart(lathe: Lathe, parts: Sequence[str] = PARTS, *, only_standard: bool = False) -> Chart:
    """The chart of `lathe`: speeds, threads with the marks to close the half-nut on, and feeds.

    parts         : of PARTS; all of them if left out
    only_standard : leave out pitches that no standard thread of the tables has, and their feeds
                    where these share a table; the chart says so
    Returns       : Chart, its figures rounded as the answers are
    Raises        : NoSuchSize for a part that there is not; OutOfRange where the lathe has none
                    of them

    >>> from profiles.load import find
    >>> wall_chart(find("heron"), ["speeds"]).tables[0].rows[0]
    ('35', 'low', 'red')
    """
    for part in parts:
        if part not in PARTS:
            close = nearest_names(part, PARTS, 1)
            allowed = f"there are {', '.join(PARTS)}"
            raise NoSuchSize("part of a chart", part, allowed, close[0] if close else None)
    drafts = [draft for draft in _drafts(lathe, parts, only_standard) if draft.entries]
    if not drafts:
        allowed = "the lathe's profile lists none"
        raise OutOfRange("chart", f"of {' and '.join(parts)} of the {lathe.name}", allowed)
    entries = [entry for draft in drafts for entry in draft.entries]
    return Chart(
        title=sentence_start(lathe.name),
        subtitle=lathe.description,
        cautions=tuple(_cautions(lathe, parts, entries)),
        preface=(*_preface(lathe, parts, entries), *((LEFT_OUT,) if only_standard else ())),
        tables=tuple(table(draft) for draft in drafts),
        foot=FOOT,
    )


def charts(lathe: Lathe, parts: Sequence[str] = PARTS) -> list[Chart]:
    """The charts of `lathe` that may be printed, the fullest first: all pitches, only standard ones."""
    found = [wall_chart(lathe, parts)]
    if "threads" in parts and any(is_standard(each.gives) for each in lathe.pitches):
        found.append(wall_chart(lathe, parts, only_standard=True))
    return found


def _cautions(lathe: Lathe, parts: Sequence[str], entries: Sequence[Entry]) -> Iterator[str]:
    slowest = sorted(lathe.chucks, key=lambda chuck: chuck.top_speed)
    if slowest and "speeds" in parts:
        limits = ", ".join(f"{chuck.name} {rpm(chuck.top_speed)}" for chuck in slowest)
        yield f"Never above: {limits} rpm."
    if geared(entries):
        yield phrase(Phrase("gears-guard"), "mm")
    if KEEP_CLOSED in closings(entries):
        yield KEEP_CLOSED_CAUTION


def _drafts(lathe: Lathe, parts: Sequence[str], only_standard: bool) -> Iterator[Draft]:
    if "speeds" in parts:
        entries = [speed_entry(each, lathe) for each in once(lathe.speeds)]
        yield Draft("Spindle speeds", ("rpm",), entries)
    leads = [each for each in once(lathe.pitches) if is_standard(each.gives) or not only_standard]
    both = threads_and_feeds(lathe, leads) if {"threads", "feeds"} <= set(parts) else None
    if both is not None:
        yield both
        yield from _threads(lathe, [each for each in leads if each.train])
        return
    if "threads" in parts:
        yield from _threads(lathe, leads)
    if "feeds" in parts:
        yield _feeds("Feeds", lathe.feeds, lathe)
        yield _feeds("Cross feeds", lathe.cross_feeds, lathe)


def _preface(lathe: Lathe, parts: Sequence[str], entries: Sequence[Entry]) -> Iterator[str]:
    feeding = "threads" in parts or "feeds" in parts
    groups = {"spindle": "speeds" in parts, "feed": feeding}
    moves = []
    for when, words in _SHIFT.items():
        levers = [
            lever.name
            for lever in lathe.levers
            if lever.when is when and groups.get(lever.group, True)
        ]
        if levers:
            moves.append(f"{words}: {', '.join(levers)}")
    if moves:
        yield f"Levers to move {'; '.join(moves)}."
    turn = lathe.reversing
    if turn and feeding:
        yield (
            f"{sentence_start(turn.lever)} {turn.right_hand}: right-hand thread, and feed towards "
            f"the headstock; {turn.left_hand}: the other way."
        )
    if lathe.thread_dial is not None and closings(entries) - set(CLOSE_WORDS.values()):
        first = next((mark.label for mark in lathe.thread_dial.marks if mark.numbered), "line 1")
        yield f"Half-nut: close first on {first} of the thread dial, then only on the marks listed."
        gears = [gear.name for gear in lathe.thread_dial.gears if gear.name]
        if len(gears) > 1:
            yield f"{sentence_start(', '.join(gears))}: the dial's pick-off gear to mesh."
    if geared(entries):
        yield "Gears: driver/driven, spindle first."


def _threads(lathe: Lathe, leads: Sequence[Setting]) -> Iterator[Draft]:
    """`leads` by pitch in mm and per inch, the lathe's own kind first."""
    for inch in (lathe.inch, not lathe.inch):
        chosen = [each for each in leads if reads_in_inches(each.gives, lathe.inch) is inch]
        rising = chosen[::-1] if inch else chosen
        entries = by_gears(
            [(each.train, thread_entry(each, lathe, inch)) for each in rising], lathe
        )
        title, heading = (
            ("Threads per inch", "per inch") if inch else ("Metric threads, mm", "pitch")
        )
        yield Draft(title, (heading,), entries, () if geared(entries) else mounted(lathe))


def _feeds(title: str, settings: Iterable[Setting], lathe: Lathe) -> Draft:
    found = once(settings)
    entries = by_gears([(each.train, feed_entry(each, lathe)) for each in found], lathe)
    notes = () if geared(entries) else mounted(lathe)
    return Draft(f"{title}, {feed_unit(lathe)}", ("feed",), entries, notes)
