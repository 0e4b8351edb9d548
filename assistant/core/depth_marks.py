"""How deep to drill or part off, and where to stop on the way to clear the chips."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import radians, tan

from assistant.core.bounds import Number, check, with_unit
from assistant.core.cut_depths import practice
from assistant.core.dial_types import SlideDial
from assistant.core.dial_walk import WalkStep, walk
from assistant.errors import OutOfRange
from assistant.tables import parsed

POINT_ANGLES = (60, 180)
"""Degrees; a drill's point is neither keener than the one nor blunter than the other. 118 is usual."""

HARDLY = 0.2
"""Share of a peck that is not worth drawing back for. Ours."""


@dataclass(frozen=True)
class DrillMarks:
    """How far a drill goes from the touch of its tip; mm, approximate."""

    tip: float
    """Height of the point: so much deeper than the full diameter reaches."""
    travel: float
    """From the touch of the tip to the bottom."""
    pecks: tuple[float, ...]
    """Depths from the touch at which it is drawn back, rising; the last is `travel`."""
    quill_settings: int | None
    """How many times the tailstock has to be set: 1 where the quill reaches; None where its travel is not known."""
    source: str


@dataclass(frozen=True)
class PartingMarks:
    """How far a parting tool goes from the touch; mm on the radius, exact."""

    depth: Fraction
    """To the centre, or into the bore."""
    depths: tuple[Fraction, ...]
    """Depths at which it is drawn back, rising; the last is `depth`."""
    marks: tuple[WalkStep, ...]
    """The same on the dial of the cross slide, rounded down."""
    too_deep: bool
    """True where the blade is too weak for the depth, or the slot must be widened."""


@cache
def _pecks() -> tuple[tuple[Fraction, Fraction, Fraction, str], ...]:
    return tuple(
        parsed(
            "peck_depths.csv",
            lambda row: (
                Fraction(row["up_to"]),
                Fraction(row["first"]),
                Fraction(row["then"]),
                row["source"],
            ),
        )
    )


def tip_height(diameter: Number, point_angle: Number = 118) -> float:
    """Height of a drill's point: h = d / (2 tan(a / 2)).

    diameter    : mm, of the drill
    point_angle : degrees between the lips, 60 to 180
    Returns     : mm, approximate (tangent)
    Raises      : OutOfRange for a bad diameter or an angle outside the limits above
    Valid       : straight lips that meet in a point; the chisel edge makes it a little less
    Source      : geometry

    >>> round(tip_height(10, 118), 3)
    3.004
    """
    check("bore diameter", diameter)
    least, most = POINT_ANGLES
    if not least <= point_angle <= most:
        raise OutOfRange(
            "point angle",
            f"{float(point_angle):g} degrees",
            f"must be from {least} to {most} degrees",
            f"{least if point_angle < least else most} degrees",
        )
    return 0.0 if point_angle == most else float(diameter) / 2 / tan(radians(point_angle / 2))


def drill_marks(
    diameter: Number,
    depth: Number,
    *,
    point_angle: Number = 118,
    pilot: Number = 0,
    quill_travel: Number | None = None,
) -> DrillMarks:
    """How far to drill from the touch of the tip, and where to clear the chips on the way.

    diameter     : mm, of the drill
    depth        : mm, to which the full diameter shall reach; for a through hole the thickness
    point_angle  : degrees between the lips
    pilot        : mm, hole that is there already: the drill touches with its lips and the tip reaches in
    quill_travel : mm of the tailstock's quill; None where it is not known
    Returns      : DrillMarks in mm, approximate (tangent)
    Raises       : OutOfRange for bad numbers, a pilot not below the drill, or a drill past the table
    Valid        : twist drills; blind and through holes alike, the point comes out whole
    Source       : geometry; pecks from tables/peck_depths.csv, common practice

    >>> [round(peck, 1) for peck in drill_marks(10, 47).pecks]
    [30.0, 40.0, 50.0]
    """
    check("length", depth)
    check("inner diameter", pilot)
    tip = tip_height(diameter, point_angle)
    if pilot >= diameter:
        raise OutOfRange(
            "inner diameter",
            with_unit(pilot, "mm"),
            f"must be less than the drill, {with_unit(diameter, 'mm')}",
        )
    # In a pilot hole the lips touch first, at the pilot's edge, part of the way up the point.
    within = 0.0 if not pilot else tip_height(pilot, point_angle)
    travel = float(depth) + tip - within
    first, then, source = _peck_of(Fraction(diameter))
    return DrillMarks(
        tip=tip,
        travel=travel,
        pecks=_stops(travel, float(first * Fraction(diameter)), float(then * Fraction(diameter))),
        quill_settings=_settings(travel, quill_travel),
        source=source,
    )


def _peck_of(diameter: Fraction) -> tuple[Fraction, Fraction, str]:
    for up_to, first, then, source in _pecks():
        if diameter <= up_to:
            return first, then, source
    largest = with_unit(_pecks()[-1][0], "mm")
    raise OutOfRange(
        "drill", with_unit(diameter, "mm"), f"pecks are given up to {largest}", largest
    )


def _settings(travel: float, quill_travel: Number | None) -> int | None:
    if quill_travel is None:
        return None
    check("length", quill_travel)
    return int(-(-travel // float(quill_travel)))


def _stops(whole: float, first: float, then: float) -> tuple[float, ...]:
    """Rising stops after `first` and every `then`, the last at the whole; a stop just before it is left out."""
    stops, at = [], first
    while at < whole - HARDLY * then:
        stops.append(at)
        at += then
    return (*stops, whole)


def parting_marks(
    diameter: Number,
    tool_width: Number,
    dial: SlideDial,
    *,
    bore: Number = 0,
    zero: int = 0,
) -> PartingMarks:
    """How far to part off from the touch, and where to draw back: depth = (diameter - bore) / 2.

    diameter   : mm, where the tool goes in
    tool_width : mm, of the parting tool
    dial       : collar of the cross slide
    bore       : mm; 0 for solid work, parted to the centre
    zero       : what the collar shows at the touch
    Returns    : PartingMarks, exact
    Raises     : OutOfRange for bad numbers, a bore not below the diameter, or a zero not on the collar
    Valid      : tool square to the work and at centre height; the part falls a little before the mark
    Source     : geometry; tables/cutting_practice.yaml, common practice

    >>> [float(depth) for depth in parting_marks(20, 3, SlideDial(Fraction(1, 20), 160, "diameter")).depths]
    [6.0, 10.0]
    """
    check("work diameter", diameter)
    check("inner diameter", bore)
    if not tool_width > 0:
        raise OutOfRange("parting tool", with_unit(tool_width, "mm"), "must be more than 0 mm wide")
    if bore >= diameter:
        raise OutOfRange(
            "inner diameter",
            with_unit(bore, "mm"),
            f"must be less than the outer diameter {with_unit(diameter, 'mm')}",
        )
    depth, width = (Fraction(diameter) - Fraction(bore)) / 2, Fraction(tool_width)
    if tool_width > depth:
        raise OutOfRange(
            "parting tool",
            f"{with_unit(tool_width, 'mm')} wide",
            f"is wider than the cut is deep, {with_unit(depth, 'mm')}",
        )
    depths = _exact_stops(depth, practice("parting_clear") * width)
    return PartingMarks(
        depth, depths, walk(depths, dial, zero), depth > practice("parting_deepest") * width
    )


def _exact_stops(whole: Fraction, each: Fraction) -> tuple[Fraction, ...]:
    stops = (each * number for number in range(1, int(whole / each) + 1))
    return (*(stop for stop in stops if stop < whole), whole)
