"""One table for threads and feeds, where the same levers of the gearbox give both."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeAlias

from assistant.charts.columns import Draft, Entry, places
from assistant.charts.leads import reads_in_inches
from assistant.charts.rows import feed_figure, feed_unit, mounted, once, thread_entry
from assistant.core.levers import Setting
from profiles.lathe import Lathe

SIMPLEST: Final = 5
"""Cross feeds of 1/2 to 1/this of the feed are said in a note; others have a column."""
Levers: TypeAlias = frozenset[tuple[str, str]]


@dataclass(frozen=True)
class _Kind:
    """Threads, feeds or cross feeds, found by the levers that choose among them."""

    name: str
    fixed: Mapping[str, str]
    """Levers that stand alike for all of them."""
    by_levers: Mapping[Levers, Setting]
    """The other levers -> setting."""

    def chosen(self, setting: Setting) -> Levers:
        """The levers of `setting` that are not fixed."""
        return frozenset(pair for pair in setting.levers.items() if pair[0] not in self.fixed)


def threads_and_feeds(lathe: Lathe, wanted: Sequence[Setting]) -> Draft | None:
    """The table of those of `wanted` that need no other gears; None where threads and feeds differ."""
    leads = [each for each in lathe.pitches if each.train is None]
    listed = [each for each in wanted if each.train is None]
    inch = lathe.inch
    if not listed or any(reads_in_inches(each.gives, inch) is not inch for each in leads):
        return None
    kinds = [_kind("Thread", leads), _kind("Feed", lathe.feeds)]
    if lathe.cross_feeds:
        kinds.append(_kind("Cross feed", lathe.cross_feeds))
    if not _share(kinds, once(leads)):
        return None
    across = _cross_ratio(kinds)
    columns = kinds[:2] if across else kinds
    rising = listed[::-1] if inch else listed
    title = f"{'Threads per inch' if inch else 'Threads, mm'}, and feeds, {feed_unit(lathe)}"
    heading = ("per inch" if inch else "pitch", "feed", "cross feed")
    entries = [_entry(each, columns, lathe) for each in rising]
    notes = (*mounted(lathe), *(_note(kind, across) for kind in kinds if kind.fixed or across))
    return Draft(title, heading[: len(columns)], entries, tuple(filter(None, notes)))


def _kind(name: str, settings: Sequence[Setting]) -> _Kind:
    first = settings[0].levers if settings else {}
    fixed = {
        lever: place
        for lever, place in first.items()
        if all(each.levers.get(lever) == place for each in settings)
    }
    bare = _Kind(name, fixed, {})
    return _Kind(name, fixed, {bare.chosen(each): each for each in settings})


def _share(kinds: Sequence[_Kind], leads: Sequence[Setting]) -> bool:
    """Whether every lead has a feed beside it, and every feed stands beside a lead."""
    rows = [kinds[0].chosen(each) for each in leads]
    for kind in kinds:
        if any(each.train for each in kind.by_levers.values()):
            return False
        if not all(levers in kind.by_levers for levers in rows):
            return False
        met = {kind.by_levers[levers].gives for levers in rows}
        if met != {each.gives for each in kind.by_levers.values()}:
            return False
    return True


def _cross_ratio(kinds: Sequence[_Kind]) -> Fraction | None:
    """Cross feed over feed where it is the same simple fraction for all levers; else None."""
    if len(kinds) < 3:
        return None
    feeds, across = kinds[1].by_levers, kinds[2].by_levers
    ratios = {across[levers].gives / feeds[levers].gives for levers in across if levers in feeds}
    if len(ratios) != 1 or (ratio := ratios.pop()).numerator != 1 or ratio.denominator > SIMPLEST:
        return None
    return ratio


def _entry(lead: Setting, columns: Sequence[_Kind], lathe: Lathe) -> Entry:
    threads, *others = columns
    levers = threads.chosen(lead)
    entry = thread_entry(lead, lathe, lathe.inch)
    feeds = [feed_figure(kind.by_levers[levers], lathe) for kind in others]
    chosen = {name: place for name, place in entry.levers.items() if name not in threads.fixed}
    return Entry((*entry.figures, *feeds), chosen, entry.others)


def _note(kind: _Kind, across: Fraction | None) -> str:
    stands = f": {places(kind.fixed)}" if kind.fixed else ""
    if kind.name == "Cross feed" and across:
        share = "same as the feed" if across == 1 else f"{across} of the feed"
        return f"{kind.name}, {share}{stands}."
    return f"{kind.name}{stands}." if stands else ""
