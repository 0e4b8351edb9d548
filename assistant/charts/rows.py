"""The rows of a chart: one for each figure, with levers, change gears and the rule of the half-nut."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final

from assistant.answer import Engage, Value
from assistant.answering.engage import engage_for, rule_key
from assistant.charts.columns import Entry
from assistant.charts.leads import lead_figure
from assistant.core.levers import GearTrain, Setting
from assistant.figures import bare
from profiles.lathe import Lathe

HALF_NUT: Final = "half-nut"
GEARS: Final = "gears"
KEEP_CLOSED: Final = "keep closed"
CLOSE_WORDS: Final = {
    "keep-closed": KEEP_CLOSED,
    "close-anywhere": "anywhere",
    "any-mark": "any line",
}
"""Rule of the half-nut -> what stands in its column; for the other rules the marks themselves."""


def once(settings: Iterable[Setting]) -> list[Setting]:
    """The first setting of each figure: lever moves come before change gears."""
    found: dict[Fraction, Setting] = {}
    for setting in settings:
        found.setdefault(setting.gives, setting)
    return list(found.values())


def levers_of(lathe: Lathe, setting: Setting) -> dict[str, str]:
    """Lever -> position, in the order in which the profile lists the levers."""
    names = [lever.name for lever in lathe.levers if lever.name in setting.levers]
    return {name: setting.levers[name] for name in names}


def rpm(speed: Fraction) -> str:
    """A spindle speed, rounded as in the answers.

    >>> rpm(Fraction(768, 22))
    '35'
    """
    return bare(Value(speed, "rpm"), "spindle", "mm")


def speed_entry(setting: Setting, lathe: Lathe) -> Entry:
    """The row of a spindle speed."""
    return Entry((rpm(setting.gives),), levers_of(lathe, setting))


def feed_figure(setting: Setting, lathe: Lathe) -> str:
    """A feed in the lathe's own unit, rounded as in the answers."""
    return bare(Value(setting.gives, "mm/turn"), "feed", "inch" if lathe.inch else "mm")


def feed_unit(lathe: Lathe) -> str:
    """That unit."""
    return "in/turn" if lathe.inch else "mm/turn"


def feed_entry(setting: Setting, lathe: Lathe) -> Entry:
    """The row of a feed."""
    return Entry((feed_figure(setting, lathe),), levers_of(lathe, setting))


def thread_entry(setting: Setting, lathe: Lathe, inch: bool) -> Entry:
    """The row of a thread, per inch or by its pitch, with the marks to close the half-nut on."""
    closing = {HALF_NUT: closing_words(engage_for(setting.gives, lathe), lathe)}
    return Entry((lead_figure(setting.gives, inch),), levers_of(lathe, setting), closing)


def closing_words(engage: Engage, lathe: Lathe) -> str:
    """Where the half-nut may be closed again, after the pick-off gear where there are several."""
    between = ", " if any(" " in mark for mark in engage.marks) else " "
    words = CLOSE_WORDS.get(rule_key(engage), between.join(engage.marks))
    several = lathe.thread_dial is not None and len(lathe.thread_dial.gears) > 1
    # Where the half-nut stays closed or drops in anywhere, it does so with every gear.
    if several and engage.pick_off_gear and not engage.keep_closed and engage.every != 1:
        return f"{engage.pick_off_gear}: {words.removesuffix(' line')}"
    return words


def train_words(train: GearTrain) -> str:
    """Change gears as a profile writes them.

    >>> train_words(GearTrain((60, 120), (127, 60)))
    '60/127 × 120/60'
    """
    pairs = zip(train.drivers, train.driven, strict=True)
    return " × ".join(f"{driver}/{driven}" for driver, driven in pairs)


def usual_gears(lathe: Lathe) -> str:
    """What the chart calls the gears that are mounted unless something else is said."""
    return f"Usual gears {train_words(lathe.usual_train)}" if lathe.usual_train else "Usual gears"


def mounted(lathe: Lathe) -> tuple[str, ...]:
    """What to say above figures that count on the usual gears, where there are others to mount."""
    others = any(each.train for each in lathe.pitches)
    return (f"{usual_gears(lathe)} mounted.",) if others else ()


def by_gears(found: Sequence[tuple[GearTrain | None, Entry]], lathe: Lathe) -> list[Entry]:
    """The rows with the change gears they need: above several rows, or in a column of their own."""
    trains = list(dict.fromkeys(train for train, _ in found))
    if trains in ([], [None]):
        return [entry for _, entry in found]
    words = {train: train_words(train) if train else "usual" for train in trains}
    if len(found) < 2 * len(trains):
        return [
            Entry(entry.figures, entry.levers, {GEARS: words[train], **entry.others})
            for train, entry in found
        ]
    labels = {train: f"Gears {words[train]}" if train else usual_gears(lathe) for train in trains}
    return [
        Entry(entry.figures, entry.levers, entry.others, labels[each])
        for each in trains
        for train, entry in found
        if train == each
    ]


def geared(entries: Iterable[Entry]) -> bool:
    """Whether any of the rows asks for change gears of its own."""
    return any(GEARS in entry.others or entry.group for entry in entries)


def closings(entries: Iterable[Entry]) -> set[str]:
    """All that is said about the half-nut in the rows."""
    return {entry.others[HALF_NUT] for entry in entries if HALF_NUT in entry.others}
