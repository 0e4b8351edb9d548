"""Levers against the tables that use them: unknown, doubled, of the wrong group, never used."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from profiles.faults import Fault, nearest_hint
from profiles.placard import Path
from profiles.schema import FeedDrive, LeverField, Profile, Step, ThreadDrive


@dataclass(frozen=True)
class Use:
    """One place of the profile that names a lever, and perhaps a position of it."""

    lever: str
    position: str | None
    group: str
    """The group that a lever used here belongs to."""
    path: Path


def lever_faults(profile: Profile) -> Iterator[Fault]:
    """Everything that is wrong with the levers of `profile` and with their use."""
    yield from _definition_faults(profile.levers)
    found = list(uses(profile))
    for use in found:
        yield from _use_faults(use, profile)
    used = {use.lever for use in found}
    for index, lever in enumerate(profile.levers):
        if lever.name not in used:
            yield Fault(
                ("levers", index, "name"),
                f'lever "{lever.name}" is in no table, no drive and no direction; '
                "use it there or leave it out",
                stops=False,
            )


def _definition_faults(levers: Iterable[LeverField]) -> Iterator[Fault]:
    seen: set[str] = set()
    for index, lever in enumerate(levers):
        path: Path = ("levers", index)
        if lever.name in seen:
            yield Fault((*path, "name"), f'there are two levers called "{lever.name}"; rename one')
        seen.add(lever.name)
        for position, count in Counter(lever.positions).items():
            if count > 1:
                yield Fault(
                    (*path, "positions"),
                    f'lever "{lever.name}" has position "{position}" {count} times; keep one',
                )
        said = Counter(lever.spoken_positions.get(place, place) for place in set(lever.positions))
        for words, count in said.items():
            if count > 1:
                yield Fault(
                    (*path, "spoken_positions"),
                    f'lever "{lever.name}" has {count} positions that are all said "{words}"; '
                    "say each in its own way",
                )
        for position in lever.spoken_positions:
            if position not in lever.positions:
                yield Fault(
                    (*path, "spoken_positions", position),
                    f'lever "{lever.name}" has no position "{position}"; '
                    f"{nearest_hint(position, lever.positions)}",
                )


def _use_faults(use: Use, profile: Profile) -> Iterator[Fault]:
    lever = profile.lever(use.lever)
    if lever is None:
        known = [lever.name for lever in profile.levers]
        yield Fault(
            use.path,
            f'"{use.lever}" is no lever of this lathe; {nearest_hint(use.lever, known)}',
        )
        return
    if use.position is not None and use.position not in lever.positions:
        yield Fault(
            use.path,
            f'lever "{use.lever}" has no position "{use.position}"; '
            f"{nearest_hint(use.position, lever.positions)}",
        )
    if lever.group != use.group:
        yield Fault(
            use.path,
            f'lever "{use.lever}" is of group {lever.group} but is used for the {use.group}; '
            f"make its group {use.group} or take it out here",
        )


def uses(profile: Profile) -> Iterator[Use]:
    """Every place of `profile` that names a lever."""
    yield from _spindle_uses(profile)
    yield from _feed_uses(profile)
    directions = {
        ("spindle", "direction"): profile.spindle.direction,
        ("feed", "reversing"): profile.feed.reversing,
    }
    for path, field in directions.items():
        if field is None:
            continue
        for name, position in field:
            if name != "lever" and position is not None:
                yield Use(field.lever, position, "direction", (*path, name))


def _spindle_uses(profile: Profile) -> Iterator[Use]:
    for index, row in enumerate(profile.spindle.table or ()):
        yield from _places(row.levers, "spindle", ("spindle", "table", index, "levers"))
    gearing = profile.spindle.kinematics
    if gearing is not None:
        path: Path = ("spindle", "kinematics")
        yield from _step_uses(gearing.steps, "spindle", (*path, "steps"))
        yield from _all_places(gearing.impossible, "spindle", (*path, "impossible"))


def _feed_uses(profile: Profile) -> Iterator[Use]:
    feed = profile.feed
    path: Path = ("feed", "kinematics")
    for section, charts in (("chart", feed.chart), ("change_gears", feed.change_gears)):
        for field, rows in charts or ():
            for index, row in enumerate(rows if isinstance(rows, tuple) else ()):
                row_path: Path = ("feed", section, field, index, "levers")
                yield from _places(row.levers, "feed", row_path)
    gearing = feed.kinematics
    if gearing is None:
        return
    yield from _step_uses(gearing.steps, "feed", (*path, "steps"))
    yield from _all_places(gearing.impossible, "feed", (*path, "impossible"))
    drives: Mapping[str, ThreadDrive | FeedDrive | None] = {
        "threads": gearing.threads,
        "feeds": gearing.feeds,
        "cross_feeds": gearing.cross_feeds,
    }
    for field, drive in drives.items():
        if drive is not None:
            yield from _places(drive.levers, "feed", (*path, field, "levers"))
            yield from _step_uses(drive.steps, "feed", (*path, field, "steps"))


def _step_uses(steps: Iterable[Step], group: str, base: Path) -> Iterator[Use]:
    for index, step in enumerate(steps):
        if step.lever is None:
            continue
        yield Use(step.lever, None, group, (*base, index, "lever"))
        for position in step.positions:
            yield Use(step.lever, position, group, (*base, index, "positions", position))


def _places(levers: Mapping[str, str], group: str, base: Path) -> Iterator[Use]:
    for lever, position in levers.items():
        yield Use(lever, position, group, (*base, lever))


def _all_places(sets: Iterable[Mapping[str, str]], group: str, base: Path) -> Iterator[Use]:
    for index, levers in enumerate(sets):
        yield from _places(levers, group, (*base, index))
