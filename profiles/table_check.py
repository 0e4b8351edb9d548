"""Printed tables and charts against themselves and against the gears."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import pairwise

from profiles.exact import FEED, LEAD, SPEED, Printed
from profiles.faults import Fault
from profiles.kinematics import (
    LEAD_ROUNDING,
    MOST_SETTINGS,
    Found,
    Listing,
    Row,
    how_many,
    is_lead,
    listings,
)
from profiles.placard import Path
from profiles.schema import Profile

FEED_ROUNDING = Fraction(1, 20)
"""The most that half of the last printed digit may be, as a share of a feed."""
SPEED_ROUNDING = Fraction(3, 100)
"""The same for a speed; plates round to tens and hundreds."""


def table_faults(profile: Profile) -> Iterator[Fault]:
    """Every row that contradicts another row or the gears."""
    count = how_many(profile)
    if count > MOST_SETTINGS:
        yield Fault((), f"the drives give {count} settings; a lathe has at most {MOST_SETTINGS}")
        return
    found = listings(profile)
    for listing in found:
        yield from _listing_faults(listing, profile)
    speeds, leads = found[0], found[1]
    if not speeds.settings:
        yield Fault(("spindle",), "no lever set gives a speed; leave one that is possible")
    yield from _rising_faults(speeds.rows)
    yield from _printed_speed_faults(profile.spindle.printed_speeds, speeds)
    yield from _other_train_faults(profile, leads)


def _listing_faults(listing: Listing, profile: Profile) -> Iterator[Fault]:
    yield from _double_faults(listing)
    needed = _needed_levers(listing)
    for row in listing.rows:
        for lever in needed:
            if lever not in row.levers:
                yield Fault(
                    row.path,
                    f'"{row.text}" does not say where lever "{lever}" stands; name its position',
                )
    if listing.computed is None:
        return
    whole = [
        row
        for row in listing.rows
        if set(needed) <= set(row.levers) and _all_known(row.levers, profile)
    ]
    matched = [(row, _match(row, listing.computed)) for row in whole]
    for row, found in matched:
        yield from _row_faults(row, found, listing.kind)
    if listing.kind == "lead":
        yield from _disagreements(matched)


def _all_known(levers: Mapping[str, str], profile: Profile) -> bool:
    """False where a lever or position is unknown, which is reported with the levers."""
    known = {lever.name: lever.positions for lever in profile.levers}
    return all(position in known.get(lever, ()) for lever, position in levers.items())


def _needed_levers(listing: Listing) -> tuple[str, ...]:
    """Levers whose position decides the figure, so that every row must state it."""
    needed: dict[str, None] = {}
    for row in listing.rows:
        needed.update(dict.fromkeys(row.levers))
    positions: dict[str, set[str]] = {}
    for found in listing.computed or ():
        for lever, position in found.setting.levers.items():
            positions.setdefault(lever, set()).add(position)
    needed.update((lever, None) for lever, known in positions.items() if len(known) > 1)
    return tuple(needed)


def _double_faults(listing: Listing) -> Iterator[Fault]:
    seen: dict[object, Row] = {}
    for row in listing.rows:
        key = (frozenset(row.levers.items()), row.train)
        first = seen.setdefault(key, row)
        if first is row:
            continue
        if first.value == row.value:
            problem = f'"{row.text}" stands twice with the same setting; keep one'
        else:
            problem = (
                f'"{row.text}" has the same setting as "{first.text}"; '
                "one setting gives one figure, so correct one of them"
            )
        yield Fault(row.path, problem, stops=first.value != row.value)


def _match(row: Row, computed: Iterable[Found]) -> Found | None:
    """The computed setting that `row` describes, or None."""
    for found in computed:
        setting = found.setting
        agrees = all(
            row.levers.get(lever, position) == position
            for lever, position in setting.levers.items()
        )
        if agrees and setting.train == row.train:
            return found
    return None


def _row_faults(row: Row, found: Found | None, kind: str) -> Iterator[Fault]:
    if found is None:
        yield Fault(
            row.path,
            f'"{row.text}" has a setting that the drive does not have; correct its levers',
        )
        return
    geared = found.setting.gives
    if abs(row.value - geared) > rounding(row, kind):
        yield Fault(
            row.path,
            f'"{row.text}" is printed, but the drive gives {_figure(geared, row.text)}; '
            "correct the row or the drive",
        )


def _disagreements(matched: Iterable[tuple[Row, Found | None]]) -> Iterator[Fault]:
    """Settings of one printed lead that cut different leads.

    Where each lies within the rounding (gears that stand in for one of 127) both are computed
    exactly and may stand; a row outside it is stopped on its own account.
    """
    first: dict[Fraction, Fraction] = {}
    for row, found in matched:
        if found is None:
            continue
        gives = found.setting.gives
        before = first.setdefault(row.value, gives)
        if before != gives:
            yield Fault(
                row.path,
                f'"{row.text}" has two settings that disagree: the drive gives '
                f"{_figure(before, row.text)} for the first and {_figure(gives, row.text)} here",
                stops=False,
            )


def rounding(row: Row, kind: str) -> Fraction:
    """How far the figure of `row` may lie from the geared one and still be its printed form.

    >>> row = Row("210 rpm", Fraction(210), Fraction(1, 2), {}, None, ())
    >>> rounding(row, "speed")
    Fraction(5, 1)
    """
    if kind == "speed":
        return _speed_rounding(row.text, row.value, row.half_digit)
    if kind == "lead" or row.half_digit == 0:
        return row.value * LEAD_ROUNDING
    return min(row.half_digit, row.value * FEED_ROUNDING)


def _speed_rounding(text: str, value: Fraction, half_digit: Fraction) -> Fraction:
    """Half of the last digit that is not a filling zero (5 for 210), with a limit."""
    digits = text.partition(" ")[0]
    if digits.isdigit():
        zeros = len(digits) - len(digits.rstrip("0"))
        half_digit = Fraction(10**zeros, 2)
    return min(half_digit, value * SPEED_ROUNDING)


def _figure(value: Fraction, like: str) -> str:
    """`value` of the core in the unit in which `like` is written, to six digits."""
    unit_name = like.lstrip("0123456789./ ").strip()
    for measure in (LEAD, FEED, SPEED):
        unit = measure.units.get(unit_name)
        if unit is not None:
            amount = unit.factor / value if unit.per else value / unit.factor
            return f"{float(amount):.6g} {unit_name}"
    raise ValueError(f"{like} has no unit of a speed, lead or feed")


def _rising_faults(rows: Iterable[Row]) -> Iterator[Fault]:
    for before, row in pairwise(rows):
        if row.value < before.value:
            yield Fault(
                row.path,
                f'"{row.text}" comes after "{before.text}"; list the speeds rising',
                stops=False,
            )


def _printed_speed_faults(printed: Iterable[Printed], speeds: Listing) -> Iterator[Fault]:
    base: Path = ("spindle", "printed_speeds")
    rows = [
        Row(figure.text, figure.value, figure.half_digit, {}, None, (*base, index))
        for index, figure in enumerate(printed)
    ]
    yield from _rising_faults(rows)
    given = [setting.gives for setting in speeds.settings]
    for row in rows:
        if not any(abs(row.value - speed) <= rounding(row, "speed") for speed in given):
            nearest = min(given, key=lambda speed: abs(speed - row.value), default=row.value)
            yield Fault(
                row.path,
                f'no lever set gives "{row.text}"; the nearest speed is '
                f"{_figure(nearest, row.text)}",
            )


def _other_train_faults(profile: Profile, leads: Listing) -> Iterator[Fault]:
    gearing = profile.feed.kinematics
    trains = () if gearing is None else gearing.other_trains
    for index, other in enumerate(trains):
        path: Path = ("feed", "kinematics", "other_trains", index)
        given = {found.setting.gives for found in leads.computed or () if found.path == path}
        for place, figure in enumerate(other.leads):
            if not any(is_lead(lead, figure.value) for lead in given):
                yield Fault(
                    (*path, "leads", place),
                    f'no lever set gives "{figure.text}" with this train; '
                    "take it out or correct the train",
                )
