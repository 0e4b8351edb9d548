"""What stands on the wall chart of a lathe: one row for each figure that it can be set to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Final

from assistant.answer import Engage, Phrase, Value
from assistant.answering.engage import engage_for, rule_key
from assistant.charts.chart import Chart
from assistant.charts.columns import NOTHING, Draft, Entry, places, sentence_start, table
from assistant.charts.leads import is_standard, lead_figure, reads_in_inches
from assistant.core.levers import GearTrain, Setting, WhenToShift
from assistant.errors import NoSuchSize, nearest_names
from assistant.figures import bare
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
_CLOSE: Final = "half-nut"
_GEARS: Final = "gears"
_KEEP_CLOSED: Final = "keep closed"
_CLOSE_WORDS: Final = {
    "keep-closed": _KEEP_CLOSED,
    "close-anywhere": "anywhere",
    "any-mark": "any line",
}
"""Rule of the half-nut -> what stands in its column; the marks themselves for the other rules."""


def wall_chart(lathe: Lathe, parts: Sequence[str] = PARTS, *, only_standard: bool = False) -> Chart:
    """The chart of `lathe`: speeds, threads with the marks to close the half-nut on, and feeds.

    parts         : of PARTS; all of them if left out
    only_standard : leave out pitches that no standard thread of the tables has, and their feeds
                    where these share a table; the chart says so
    Returns       : Chart, its figures rounded as the answers are
    Raises        : NoSuchSize for a part that there is not

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
    entries = [entry for draft in drafts for entry in draft.entries]
    return Chart(
        title=sentence_start(lathe.name),
        subtitle=lathe.description,
        cautions=tuple(_cautions(lathe, parts, entries)),
        preface=(*_preface(lathe, entries), *((LEFT_OUT,) if only_standard else ())),
        tables=tuple(table(draft) for draft in drafts),
        foot=FOOT,
    )


def _geared(entries: Iterable[Entry]) -> bool:
    return any(_GEARS in entry.others or entry.group for entry in entries)


def _closings(entries: Iterable[Entry]) -> set[str]:
    return {entry.others[_CLOSE] for entry in entries if _CLOSE in entry.others}


def _cautions(lathe: Lathe, parts: Sequence[str], entries: Sequence[Entry]) -> Iterator[str]:
    slowest = sorted(lathe.chucks, key=lambda chuck: chuck.top_speed)
    if slowest and "speeds" in parts:
        limits = ", ".join(f"{chuck.name} {_rpm(chuck.top_speed)}" for chuck in slowest)
        yield f"Never above: {limits} rpm."
    if _geared(entries):
        yield phrase(Phrase("gears-guard"), "mm")
    if _KEEP_CLOSED in _closings(entries):
        yield KEEP_CLOSED_CAUTION


def _drafts(lathe: Lathe, parts: Sequence[str], only_standard: bool) -> list[Draft]:
    drafts = [_speeds(lathe)] if "speeds" in parts else []
    leads = [each for each in _once(lathe.pitches) if is_standard(each.gives) or not only_standard]
    both = _threads_and_feeds(lathe, leads) if {"threads", "feeds"} <= set(parts) else None
    if both is not None:
        return [*drafts, both, *_threads(lathe, [each for each in leads if each.train])]
    if "threads" in parts:
        drafts += _threads(lathe, leads)
    if "feeds" in parts:
        drafts += _feeds("Feeds", lathe.feeds, lathe)
        drafts += _feeds("Cross feeds", lathe.cross_feeds, lathe)
    return drafts


def _preface(lathe: Lathe, entries: Sequence[Entry]) -> Iterator[str]:
    moves = []
    for when, words in _SHIFT.items():
        levers = [lever.name for lever in lathe.levers if lever.when is when]
        if levers:
            moves.append(f"{words}: {', '.join(levers)}")
    if moves:
        yield f"Levers to move {'; '.join(moves)}."
    turn = lathe.reversing
    if turn:
        yield (
            f"{sentence_start(turn.lever)} {turn.right_hand}: right-hand thread, and feed towards "
            f"the headstock; {turn.left_hand}: the other way."
        )
    if lathe.thread_dial is not None and _closings(entries) - set(_CLOSE_WORDS.values()):
        first = next((mark.label for mark in lathe.thread_dial.marks if mark.numbered), "line 1")
        yield f"Half-nut: close first on {first} of the thread dial, then only on the marks listed."
        gears = [gear.name for gear in lathe.thread_dial.gears if gear.name]
        if len(gears) > 1:
            yield f"{sentence_start(', '.join(gears))}: the dial's pick-off gear to mesh."
    if _geared(entries):
        yield "Gears: driver/driven, spindle first."


def _units(lathe: Lathe) -> str:
    return "inch" if lathe.inch else "mm"


def _once(settings: Iterable[Setting]) -> list[Setting]:
    """The first setting of each figure: lever moves come before change gears."""
    found: dict[Fraction, Setting] = {}
    for setting in settings:
        found.setdefault(setting.gives, setting)
    return list(found.values())


def _levers(lathe: Lathe, setting: Setting) -> dict[str, str]:
    """Lever -> position, in the order in which the profile lists the levers."""
    names = [lever.name for lever in lathe.levers if lever.name in setting.levers]
    return {name: setting.levers[name] for name in names}


def _rpm(speed: Fraction) -> str:
    return bare(Value(speed, "rpm"), "spindle", "mm")


def _speeds(lathe: Lathe) -> Draft:
    entries = [Entry((_rpm(each.gives),), _levers(lathe, each)) for each in _once(lathe.speeds)]
    return Draft("Spindle speeds", ("rpm",), entries)


def _train(train: GearTrain) -> str:
    pairs = zip(train.drivers, train.driven, strict=True)
    return " × ".join(f"{driver}/{driven}" for driver, driven in pairs)


def _usual_gears(lathe: Lathe) -> str:
    return f"Usual gears {_train(lathe.usual_train)}" if lathe.usual_train else "Usual gears"


def _by_gears(found: Sequence[tuple[GearTrain | None, Entry]], lathe: Lathe) -> list[Entry]:
    """The rows with the change gears they need: above several rows, or in a column of their own."""
    trains = list(dict.fromkeys(train for train, _ in found))
    if trains in ([], [None]):
        return [entry for _, entry in found]
    labels = {train: f"Gears {_train(train)}" if train else _usual_gears(lathe) for train in trains}
    if len(found) >= 2 * len(trains):
        return [
            Entry(entry.figures, entry.levers, entry.others, labels[each])
            for each in trains
            for train, entry in found
            if train == each
        ]
    return [
        Entry(entry.figures, entry.levers, {_GEARS: _train(train) if train else "usual", **entry.others})
        for train, entry in found
    ]


def _marks(engage: Engage, lathe: Lathe) -> dict[str, str]:
    """The cell for the half-nut: the marks, after the pick-off gear where there are several."""
    between = ", " if any(" " in mark for mark in engage.marks) else " "
    text = _CLOSE_WORDS.get(rule_key(engage), between.join(engage.marks))
    several = lathe.thread_dial is not None and len(lathe.thread_dial.gears) > 1
    # Where the half-nut stays closed or drops in anywhere, every gear serves.
    if several and engage.pick_off_gear and not engage.keep_closed and engage.every != 1:
        text = f"{engage.pick_off_gear}: {text.removesuffix(' line')}"
    return {_CLOSE: text}


def _thread_entry(setting: Setting, lathe: Lathe, inch: bool) -> Entry:
    marks = _marks(engage_for(setting.gives, lathe), lathe)
    return Entry((lead_figure(setting.gives, inch),), _levers(lathe, setting), marks)


def _mounted(lathe: Lathe) -> tuple[str, ...]:
    """What to say above pitches and feeds that count on the usual gears, where there are others."""
    others = any(each.train for each in lathe.pitches)
    return (f"{_usual_gears(lathe)} mounted.",) if others else ()


def _threads(lathe: Lathe, leads: Sequence[Setting]) -> list[Draft]:
    """`leads` by pitch in mm and per inch, the lathe's own kind first."""
    drafts = []
    for inch in (lathe.inch, not lathe.inch):
        chosen = [each for each in leads if reads_in_inches(each.gives, lathe.inch) is inch]
        rising = reversed(chosen) if inch else chosen
        entries = _by_gears([(each.train, _thread_entry(each, lathe, inch)) for each in rising], lathe)
        title, unit = ("Threads per inch", "per inch") if inch else ("Metric threads, mm", "pitch")
        notes = () if _geared(entries) else _mounted(lathe)
        drafts.append(Draft(title, (unit,), entries, notes))
    return drafts


def _feed_figure(setting: Setting, lathe: Lathe) -> str:
    return bare(Value(setting.gives, "mm/turn"), "feed", _units(lathe))


def _feed_unit(lathe: Lathe) -> str:
    return "in/turn" if lathe.inch else "mm/turn"


def _feeds(title: str, settings: Iterable[Setting], lathe: Lathe) -> list[Draft]:
    found = _once(settings)
    rows = [(each.train, Entry((_feed_figure(each, lathe),), _levers(lathe, each))) for each in found]
    entries = _by_gears(rows, lathe)
    notes = () if _geared(entries) else _mounted(lathe)
    return [Draft(f"{title}, {_feed_unit(lathe)}", ("feed",), entries, notes)]


def _threads_and_feeds(lathe: Lathe, wanted: Sequence[Setting]) -> Draft | None:
    """One table for both where the same levers of the gearbox give a thread and its feeds; else None.

    It lists those of `wanted` that need no other gears.
    """
    leads = [each for each in lathe.pitches if each.train is None]
    kinds = [leads, list(lathe.feeds)] + ([list(lathe.cross_feeds)] if lathe.cross_feeds else [])
    inch = lathe.inch
    if not all(kinds) or any(reads_in_inches(each.gives, inch) is not inch for each in leads):
        return None
    fixed = [_alike(kind) for kind in kinds]
    found = [
        {_chosen(each, same): each for each in kind}
        for kind, same in zip(kinds, fixed, strict=True)
    ]
    shown = [_chosen(each, fixed[0]) for each in _once(leads)]
    for kind, by_levers in zip(kinds, found, strict=True):
        met = {by_levers[levers].gives for levers in shown if levers in by_levers}
        # Every row must have all figures, and every feed must be met in some row.
        if not all(levers in by_levers for levers in shown) or met != {each.gives for each in kind}:
            return None
    if any(each.train for kind in kinds for each in kind):
        return None
    across = _cross_ratio([[by_levers[levers] for by_levers in found] for levers in shown])
    entries = []
    listed = [_chosen(each, fixed[0]) for each in wanted if each.train is None]
    for levers in reversed(listed) if inch else listed:
        lead, *feeds = (by_levers[levers] for by_levers in (found[:2] if across else found))
        entry = _thread_entry(lead, lathe, inch)
        figures = (*entry.figures, *(_feed_figure(each, lathe) for each in feeds))
        chosen = {name: place for name, place in entry.levers.items() if name not in fixed[0]}
        entries.append(Entry(figures, chosen, entry.others))
    names = ["Thread", "Feed", "Cross feed"][: len(kinds)]
    if across:
        names[2] = f"Cross feed, {across} of the feed"
    notes = [f"{name}: {places(same)}." for name, same in zip(names, fixed, strict=True) if same]
    title = f"{'Threads per inch' if inch else 'Threads, mm'}, and feeds, {_feed_unit(lathe)}"
    headings = ("per inch" if inch else "pitch", "feed", "cross feed")
    headings = headings[: 2 if across else len(kinds)]
    return Draft(title, headings, entries, (*_mounted(lathe), *notes))


def _cross_ratio(rows: Sequence[Sequence[Setting]]) -> Fraction | None:
    """Cross feed over feed where it is the same simple fraction in every row; else None."""
    ratios = {row[2].gives / row[1].gives for row in rows if len(row) > 2}
    if len(ratios) != 1 or (ratio := ratios.pop()).numerator != 1 or ratio.denominator > 5:
        return None
    return ratio


def _alike(settings: Sequence[Setting]) -> dict[str, str]:
    """The levers that stand alike in all `settings`."""
    first = settings[0].levers
    return {
        lever: place
        for lever, place in first.items()
        if all(each.levers.get(lever) == place for each in settings)
    }


def _chosen(setting: Setting, fixed: Mapping[str, str]) -> frozenset[tuple[str, str]]:
    return frozenset(pair for pair in setting.levers.items() if pair[0] not in fixed)
