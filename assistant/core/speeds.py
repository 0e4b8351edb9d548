"""Surface speed, spindle speed, and which of the lathe's speeds to take."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.bounds import Number, check, with_unit
from assistant.core.materials import material
from assistant.errors import NoSuchSize, OutOfRange, nearest_names
from assistant.tables import parsed

METRES_PER_MINUTE = {"m/min": Fraction(1), "ft/min": Fraction(3048, 10000)}
"""Units in which surface speeds are printed; a foot is 0.3048 m by definition."""


@dataclass(frozen=True)
class SpeedRange:
    """A surface speed to start from and the range that the source prints; m/min, exact."""

    low: Fraction
    start: Fraction
    high: Fraction
    source: str


@dataclass(frozen=True)
class Operation:
    """What one operation does to the surface speed, with the tools it may be done with."""

    name: str
    tools: frozenset[str]
    factor: Fraction
    source: str


@dataclass(frozen=True)
class SpeedChoice:
    """One of the lathe's speeds, and what stood in the way of the ideal one."""

    speed: Fraction
    """turns per minute, one of those offered."""
    lowest_is_too_fast: bool = False
    """True where even the lowest speed is above the ideal with its excess."""
    held_by_ceiling: bool = False
    """True where the ceiling (chuck, work) kept a faster and nearer speed from being taken."""
    top_is_too_slow: bool = False
    """True where the ideal is above the lathe's top speed: the tool will run slower than it could."""


def spindle_speed(surface_speed: Number, diameter: Number) -> float:
    """Spindle speed that gives `surface_speed` at `diameter`: n = 1000 v / (pi D).

    surface_speed : m/min, speed of the work past the tool
    diameter      : mm, diameter before the cut (of the drill, where a drill cuts)
    Returns       : turns per minute, approximate (pi); not limited to any lathe
    Raises        : OutOfRange if either is zero, negative or absurd
    Valid         : turning, facing and boring; drilling with the drill's diameter
    Source        : definition of speed at a circle; ISO 3002-1 cutting speed

    >>> round(spindle_speed(30, 25), 1)
    382.0
    """
    check("surface speed", surface_speed)
    check("work diameter", diameter)
    return 1000 * float(surface_speed) / (math.pi * float(diameter))


def surface_speed(spindle_speed: Number, diameter: Number) -> float:
    """Surface speed at `diameter`: v = pi D n / 1000.

    spindle_speed : turns per minute
    diameter      : mm
    Returns       : m/min, approximate (pi)
    Raises        : OutOfRange if either is zero, negative or absurd
    Valid         : turning, facing and boring; drilling with the drill's diameter
    Source        : definition of speed at a circle; ISO 3002-1 cutting speed

    >>> round(surface_speed(250, 150), 1)
    117.8
    """
    check("spindle speed", spindle_speed)
    check("work diameter", diameter)
    return math.pi * float(diameter) * float(spindle_speed) / 1000


@cache
def _speed_rows() -> dict[tuple[str, str], SpeedRange]:
    def parse(row: dict[str, str]) -> tuple[tuple[str, str], SpeedRange]:
        metres = METRES_PER_MINUTE[row["unit"]]
        low, start, high = (Fraction(row[name]) * metres for name in ("low", "start", "high"))
        return (row["material"], row["tool"]), SpeedRange(low, start, high, row["source"])

    return dict(parsed("surface_speeds.csv", parse))


@cache
def _operation_rows() -> tuple[tuple[str, Operation], ...]:
    def parse(row: dict[str, str]) -> tuple[str, Operation]:
        tools = frozenset(row["tools"].split("|"))
        return row["operation"], Operation(
            row["name"], tools, Fraction(row["factor"]), row["source"]
        )

    return tuple(parsed("operations.csv", parse))


def tools_for(material_key: str) -> tuple[str, ...]:
    """Tools for which the table has a speed in a material.

    material_key : key in tables/materials.csv
    Returns      : tool keys, in the order of the table
    Raises       : NoSuchSize if there is no such material
    Valid        : tables/surface_speeds.csv
    Source       : tables/surface_speeds.csv

    >>> tools_for("hardened_steel")
    ('carbide', 'coated-carbide')
    """
    key = material(material_key).key
    return tuple(tool for name, tool in _speed_rows() if name == key)


def operation_for(operation: str, tool: str) -> Operation:
    """The row of an operation that holds for a tool.

    operation : key in tables/operations.csv
    tool      : 'hss', 'cobalt', 'carbide' or 'coated-carbide'
    Returns   : Operation, its factor exact
    Raises    : NoSuchSize if there is no such operation, OutOfRange if the tool has no row for it
    Valid     : tables/operations.csv
    Source    : tables/operations.csv

    >>> operation_for("part", "hss").factor
    Fraction(1, 2)
    """
    found = [row for key, row in _operation_rows() if key == operation]
    if not found:
        keys = tuple(dict(_operation_rows()))
        near = ", ".join(nearest_names(operation, keys)) or None
        raise NoSuchSize("operation", operation, f"is none of {', '.join(keys)}", near)
    for row in found:
        if tool in row.tools:
            return row
    tools = ", ".join(sorted(frozenset[str]().union(*(row.tools for row in found))))
    raise OutOfRange(found[0].name, f"with {tool}", f"there are speeds for {tools}")


def starting_surface_speed(material_key: str, tool: str, operation: str = "turn") -> SpeedRange:
    """Surface speed to start from: the table's range for turning times the operation's factor.

    material_key : key in tables/materials.csv
    tool         : 'hss', 'cobalt', 'carbide' or 'coated-carbide'
    operation    : key in tables/operations.csv
    Returns      : SpeedRange in m/min, exact as printed; a starting value, not a promise
    Raises       : NoSuchSize for an unknown material or operation, OutOfRange where the table has no row
    Valid        : sharp tool, sound work, rigid set-up; printed sources differ by a factor of two
    Source       : tables/surface_speeds.csv and tables/operations.csv, row by row

    >>> starting_surface_speed("mild_steel", "hss", "part").start
    Fraction(3429, 250)
    """
    work = material(material_key)
    row = _speed_rows().get((work.key, tool))
    if row is None:
        tools = ", ".join(tools_for(work.key))
        given = f"in {work.name} with {tool}"
        raise OutOfRange("surface speed", given, f"there are speeds for {tools}")
    factor = operation_for(operation, tool).factor
    return SpeedRange(row.low * factor, row.start * factor, row.high * factor, row.source)


def choose_setting(
    speeds: Sequence[Fraction],
    ideal: Number,
    excess: Fraction,
    ceiling: Fraction | None = None,
) -> SpeedChoice:
    """The lathe's speed nearest to `ideal`, not above ideal x (1 + excess) nor above the ceiling.

    speeds  : turns per minute that the lathe has, in any order
    ideal   : turns per minute wanted
    excess  : share by which the ideal may be passed; 1/10 is ten per cent, 0 forbids it
    ceiling : turns per minute that may never be passed (chuck, unbalanced work); None for none
    Returns : SpeedChoice, exact; of two equally near the slower; the lowest, flagged, if all are too fast
    Raises  : OutOfRange if there are no speeds, all are above the ceiling, or a number is bad
    Valid   : any lathe with fixed speeds
    Source  : common practice: take the step at or below

    >>> choose_setting((Fraction(355), Fraction(400)), 390, Fraction(1, 10)).speed
    Fraction(400, 1)
    """
    check("ideal spindle speed", ideal)
    for speed in speeds:
        check("spindle speed", speed)
    if not 0 <= excess <= 1:
        raise OutOfRange("speed excess", with_unit(excess, ""), "must be from 0 to 1")
    if not speeds:
        raise OutOfRange("spindle speed", with_unit(ideal, "turns/min"), "the lathe has no speeds")
    allowed = [speed for speed in speeds if ceiling is None or speed <= ceiling]
    if not allowed:
        raise OutOfRange(
            "lowest spindle speed",
            with_unit(min(speeds), "turns/min"),
            f"must be at most {with_unit(ceiling or 0, 'turns/min')}, the limit of chuck or work",
        )
    limit = Fraction(ideal) * (1 + excess)
    free = _nearest(speeds, Fraction(ideal), limit)
    taken = _nearest(allowed, Fraction(ideal), limit)
    if taken is None:
        return SpeedChoice(min(allowed), lowest_is_too_fast=True)
    return SpeedChoice(
        taken, held_by_ceiling=taken != free, top_is_too_slow=Fraction(ideal) > max(speeds)
    )


def _nearest(speeds: Sequence[Fraction], ideal: Fraction, limit: Fraction) -> Fraction | None:
    below = [speed for speed in speeds if speed <= limit]
    return min(below, key=lambda speed: (abs(speed - ideal), speed), default=None)


@dataclass(frozen=True)
class FaceSpeeds:
    """Surface speeds of a facing or parting cut at constant spindle speed, m/min, approximate."""

    outer: float
    inner: float
    """0 at the centre."""


def face_speeds(
    spindle_speed: Number, outer_diameter: Number, inner_diameter: Number
) -> FaceSpeeds:
    """Surface speed at both ends of a facing or parting cut: v = pi D n / 1000 at each.

    spindle_speed  : turns per minute, constant during the cut
    outer_diameter : mm
    inner_diameter : mm, 0 for a cut to the centre
    Returns        : FaceSpeeds in m/min, approximate (pi)
    Raises         : OutOfRange for bad numbers, or an inner diameter not below the outer
    Valid          : facing and parting
    Source         : definition of speed at a circle

    >>> face_speeds(400, 50, 0).inner
    0.0
    """
    check("inner diameter", inner_diameter)
    outer = surface_speed(spindle_speed, outer_diameter)
    if inner_diameter >= outer_diameter:
        raise OutOfRange(
            "inner diameter",
            with_unit(inner_diameter, "mm"),
            f"must be less than the outer diameter {with_unit(outer_diameter, 'mm')}",
        )
    return FaceSpeeds(outer, outer * float(inner_diameter) / float(outer_diameter))


def diameter_at_top_speed(surface_speed: Number, top_speed: Number) -> float:
    """Diameter at which a cut towards the centre reaches the lathe's top speed: D = 1000 v / (pi n).

    surface_speed : m/min wanted
    top_speed     : turns per minute, of the lathe or the chuck, whichever is lower
    Returns       : mm, approximate (pi); below it the surface speed cannot be held
    Raises        : OutOfRange if either is zero, negative or absurd
    Valid         : facing and parting
    Source        : definition of speed at a circle

    >>> round(diameter_at_top_speed(30, 1200), 2)
    7.96
    """
    check("surface speed", surface_speed)
    check("spindle speed", top_speed)
    return 1000 * float(surface_speed) / (math.pi * float(top_speed))


@cache
def _stick_out_rows() -> tuple[tuple[str, Fraction, str], ...]:
    return tuple(
        parsed(
            "stick_out.csv", lambda row: (row["holding"], Fraction(row["ratio"]), row["caution"])
        )
    )


@dataclass(frozen=True)
class StickOut:
    """How far something stands out unsupported, against common practice."""

    ratio: Fraction
    """Length over diameter, exact."""
    allowed: Fraction
    """Ratio at which the caution begins, or would begin."""
    caution: str | None
    """Key of the caution that is due; None if none is."""


def stick_out(length: Fraction, diameter: Fraction, holding: str) -> StickOut:
    """Length over diameter against the ratio that common practice allows.

    length   : mm, from the jaws (or holder) to the end, or between the supports
    diameter : mm, the smallest over that length
    holding  : 'chuck', 'chuck-and-centre', 'between-centres', 'steel-boring-bar' or 'carbide-boring-bar'
    Returns  : StickOut, exact
    Raises   : OutOfRange for bad numbers, NoSuchSize for another holding
    Valid    : a rule of thumb; heavy cuts, thin walls and high speed need support sooner
    Source   : tables/stick_out.csv

    >>> stick_out(Fraction(100), Fraction(25), "chuck").caution
    'needs_centre'
    """
    check("length", length)
    check("work diameter", diameter)
    steps = [(ratio, caution) for name, ratio, caution in _stick_out_rows() if name == holding]
    if not steps:
        names = ", ".join(dict.fromkeys(name for name, _, _ in _stick_out_rows()))
        raise NoSuchSize("holding", holding, f"is none of {names}")
    ratio = Fraction(length) / Fraction(diameter)
    passed = [step for step in steps if ratio > step[0]]
    allowed, caution = max(passed) if passed else (min(steps)[0], None)
    return StickOut(ratio, allowed, caution)
