"""Speeds, leads and feeds computed from motor, pulleys, gears and screws, exactly."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import prod

from assistant.core.levers import GearTrain, Setting
from profiles.placard import Path
from profiles.schema import (
    FeedChart,
    FeedDrive,
    FeedKinematics,
    FeedRow,
    LeadRow,
    Profile,
    SpeedRow,
    SpindleKinematics,
    Step,
)

MOST_SETTINGS = 5000
"""More lever sets than this are no lathe but a mistake in the profile."""

LEAD_ROUNDING = Fraction(1, 1000)
"""Share by which a printed lead may differ from the geared one: gears that stand in for 127 stay
far below it (80/63 is out by 1/8001); a plate that is out by more has a wrong figure."""

SPINDLE: Path = ("spindle", "kinematics")
FEED: Path = ("feed", "kinematics")


@dataclass(frozen=True)
class Found:
    """A setting, and the part of the profile that it comes from."""

    setting: Setting
    path: Path


@dataclass(frozen=True)
class Row:
    """A row of a table or chart, whatever it lists."""

    text: str
    """The figure as written."""
    value: Fraction
    half_digit: Fraction
    levers: Mapping[str, str]
    train: GearTrain | None
    path: Path


@dataclass(frozen=True)
class Listing:
    """What gives one kind of figure: the printed rows, the computed settings, or both."""

    kind: str
    """'speed', 'lead', 'feed' or 'cross feed'."""
    rows: tuple[Row, ...]
    computed: tuple[Found, ...] | None
    """None where the profile gives no kinematics for it."""

    @property
    def settings(self) -> tuple[Setting, ...]:
        """The settings by rising figure, lever moves before change gears."""
        found = [one.setting for one in self.computed or ()]
        if self.computed is None:
            found = [Setting(row.value, row.levers, row.train) for row in self.rows]
        return tuple(sorted(found, key=lambda setting: (setting.gives, setting.train is not None)))


def combinations(
    steps: Iterable[Step], held: Mapping[str, str], impossible: Iterable[Mapping[str, str]] = ()
) -> Iterator[tuple[dict[str, str], Fraction]]:
    """Every lever set that `steps` allow with the `held` levers, and its turns out for one in."""
    barred = [frozenset(places.items()) for places in impossible]
    found: list[tuple[dict[str, str], Fraction]] = [(dict(held), Fraction(1))]
    for step in steps:
        found = list(_through(step, found))
    for levers, turns in found:
        if not any(places and places <= levers.items() for places in barred):
            yield levers, turns


def _through(
    step: Step, found: Iterable[tuple[dict[str, str], Fraction]]
) -> Iterator[tuple[dict[str, str], Fraction]]:
    for levers, turns in found:
        if step.lever is None:
            yield levers, turns * step.turns
            continue
        standing = levers.get(step.lever)
        for position, drive in step.positions.items():
            # One lever may work in two steps; then both take the same position.
            if standing in (None, position):
                yield {**levers, step.lever: position}, turns * drive.turns


def how_many(profile: Profile) -> int:
    """The number of settings that the kinematics would list, without listing them."""
    spindle, feed = profile.spindle.kinematics, profile.feed.kinematics
    total = 0 if spindle is None else _choices(spindle.steps)
    if feed is not None:
        trains = 1 + len(feed.other_trains)
        total += _choices((*feed.steps, *feed.threads.steps)) * trains
        for drive in (feed.feeds, feed.cross_feeds):
            total += 0 if drive is None else _choices((*feed.steps, *drive.steps))
    return total


def _choices(steps: Iterable[Step]) -> int:
    widest: dict[str, int] = {}
    for step in steps:
        if step.lever is not None:
            widest[step.lever] = max(widest.get(step.lever, 0), len(step.positions))
    return prod(widest.values())


def speeds(spindle: SpindleKinematics) -> tuple[Found, ...]:
    """Every spindle speed, turns per minute: motor speed times each step."""
    return tuple(
        Found(Setting(spindle.motor.value * turns, levers), SPINDLE)
        for levers, turns in combinations(spindle.steps, {}, spindle.impossible)
    )


def is_lead(geared: Fraction, printed: Fraction) -> bool:
    """Whether `geared` mm is what a plate would print as `printed` mm."""
    return abs(geared - printed) <= printed * LEAD_ROUNDING


def leads(feed: FeedKinematics, screw_lead: Fraction) -> tuple[Found, ...]:
    """Every lead, mm per turn: end train times gearbox times lead of the screw."""
    sets = list(
        combinations((*feed.steps, *feed.threads.steps), feed.threads.levers, feed.impossible)
    )
    usual = feed.end_train.ratio * screw_lead
    found = [Found(Setting(usual * turns, levers), FEED) for levers, turns in sets]
    for index, other in enumerate(feed.other_trains):
        wanted = {figure.value for figure in other.leads}
        for levers, turns in sets:
            lead = other.train.ratio * turns * screw_lead
            if not wanted or any(is_lead(lead, figure) for figure in wanted):
                setting = Setting(lead, levers, other.train)
                found.append(Found(setting, (*FEED, "other_trains", index)))
    return tuple(found)


def feeds(feed: FeedKinematics, drive: FeedDrive, field: str) -> tuple[Found, ...]:
    """Every feed of one kind, mm per turn: usual end train, gearbox, apron, and travel per turn."""
    each = feed.end_train.ratio * drive.travel_per_turn
    return tuple(
        Found(Setting(each * turns, levers), (*FEED, field))
        for levers, turns in combinations(
            (*feed.steps, *drive.steps), drive.levers, feed.impossible
        )
    )


def listings(profile: Profile) -> tuple[Listing, Listing, Listing, Listing]:
    """Speeds, leads, feeds and cross feeds of `profile`."""
    return (speed_listing(profile), *_feed_listings(profile))


def speed_listing(profile: Profile) -> Listing:
    """Speeds of `profile`, without the far more costly rest."""
    table = profile.spindle.table or ()
    rows = [_row(row, ("spindle", "table", index)) for index, row in enumerate(table)]
    spindle = profile.spindle.kinematics
    return Listing("speed", tuple(rows), None if spindle is None else speeds(spindle))


def _feed_listings(profile: Profile) -> tuple[Listing, Listing, Listing]:
    feed = profile.feed
    if feed.change_gears is not None:
        return _change_gear_listings(profile)
    chart = feed.chart or FeedChart()
    gearing = feed.kinematics
    base: Path = ("feed", "chart")

    def feed_listing(kind: str, field: str, rows: tuple[FeedRow, ...]) -> Listing:
        drive = None if gearing is None else getattr(gearing, field)
        # Feeds without a drive of their own in the kinematics still stand in the chart.
        found = None if gearing is None or drive is None else feeds(gearing, drive, field)
        return Listing(kind, _rows(rows, (*base, field)), found)

    return (
        Listing(
            "lead",
            _rows(chart.pitches, (*base, "pitches")),
            None if gearing is None else leads(gearing, screw_lead(profile)),
        ),
        feed_listing("feed", "feeds", chart.feeds),
        feed_listing("cross feed", "cross_feeds", chart.cross_feeds),
    )


def _change_gear_listings(profile: Profile) -> tuple[Listing, Listing, Listing]:
    gears = profile.feed.change_gears
    assert gears is not None
    each = gears.first * screw_lead(profile)

    def listing(kind: str, field: str, entries: Iterable[LeadRow | FeedRow]) -> Listing:
        rows = _rows(entries, ("feed", "change_gears", field))
        found = tuple(
            Found(Setting(each * row.train.ratio, row.levers, row.train), row.path)
            for row in rows
            if row.train is not None
        )
        return Listing(kind, rows, found)

    leads_cut = listing("lead", "threads", gears.threads)
    return leads_cut, listing("feed", "feeds", gears.feeds), Listing("cross feed", (), ())


def screw_lead(profile: Profile) -> Fraction:
    """mm that one turn of the leadscrew moves the carriage, exact."""
    return profile.leadscrew.pitch.value * profile.leadscrew.starts


def _rows(entries: Iterable[LeadRow | FeedRow], base: Path) -> tuple[Row, ...]:
    return tuple(_row(entry, (*base, index)) for index, entry in enumerate(entries))


def _row(entry: SpeedRow | LeadRow | FeedRow, path: Path) -> Row:
    if isinstance(entry, SpeedRow):
        figure, train = entry.speed, None
    else:
        figure = entry.lead if isinstance(entry, LeadRow) else entry.feed
        train = entry.train
    return Row(figure.text, figure.value, figure.half_digit, entry.levers, train, path)
