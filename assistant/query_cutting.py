"""What can be asked about cutting: feeds, finish, force and power, bending, time, stock."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar

from assistant.query import Query
from assistant.units import Quantity


@dataclass(frozen=True, kw_only=True)
class SpindleSpeedAt(Query):
    """Which spindle speed gives this surface speed at this diameter?"""

    kind: ClassVar[str] = "speed"
    surface_speed: Quantity
    diameter: Quantity


@dataclass(frozen=True, kw_only=True)
class SurfaceSpeedOf(Query):
    """Surface speed of a spindle speed at a diameter, or from one diameter to another in facing."""

    kind: ClassVar[str] = "speed"
    spindle_speed: int
    """Turns per minute."""
    diameter: Quantity
    inner_diameter: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class FaceSpeedFor(Query):
    """Which spindle speed for a cut across a face or a parting cut, at both of its ends?"""

    kind: ClassVar[str] = "speed"
    material: str
    """Key in tables/materials.csv."""
    operation: str
    """'face' or 'part'."""
    diameter: Quantity
    """Outer diameter, where the cut begins."""
    inner_diameter: Quantity | None = None
    """Where it ends; None: the centre."""
    tool: str | None = None


@dataclass(frozen=True, kw_only=True)
class FeedFor(Query):
    """Which feed to start from for this material and operation?"""

    kind: ClassVar[str] = "feed"
    material: str
    """Key in tables/materials.csv."""
    operation: str | None = None
    """Key in tables/operations.csv; None: plain turning."""
    diameter: Quantity | None = None
    """Of the drill or reamer; only holes need it."""
    nose: Quantity | None = None
    """Nose radius of the tool."""


@dataclass(frozen=True, kw_only=True)
class FinishOf(Query):
    """Which finish does this feed leave with this nose?"""

    kind: ClassVar[str] = "feed"
    feed: Quantity
    """Length per turn."""
    nose: Quantity
    """Nose radius of the tool."""


@dataclass(frozen=True, kw_only=True)
class FeedForFinish(Query):
    """Which feed leaves this finish: one of Ra, Rz and the grade is given."""

    kind: ClassVar[str] = "feed"
    nose: Quantity
    """Nose radius of the tool."""
    ra: Quantity | None = None
    rz: Quantity | None = None
    roughness_grade: str | None = None
    """'N1' to 'N12'."""


@dataclass(frozen=True, kw_only=True)
class RoughnessOfGrade(Query):
    """Which Ra does a roughness grade number stand for?"""

    kind: ClassVar[str] = "finish"
    roughness_grade: str
    """'N1' to 'N12'."""


@dataclass(frozen=True, kw_only=True)
class GradeOfRoughness(Query):
    """Which roughness grade number does an Ra meet?"""

    kind: ClassVar[str] = "finish"
    ra: Quantity


@dataclass(frozen=True, kw_only=True)
class PowerFor(Query):
    """Force, torque and power of a cut; the speed is given, or taken from the table by diameter and tool."""

    kind: ClassVar[str] = "power"
    material: str
    """Key in tables/materials.csv."""
    depth: Quantity
    """Depth of cut, on the radius."""
    feed: Quantity
    """Length per turn."""
    wanted: str = "power"
    """'power', 'force' or 'torque': which figure comes first."""
    diameter: Quantity | None = None
    surface_speed: Quantity | None = None
    spindle_speed: int | None = None
    """Turns per minute."""
    tool: str | None = None
    approach_angle: Fraction | None = None
    """Degrees between cutting edge and feed direction; None: 90, a square shoulder."""
    rake_angle: Fraction | None = None
    """Degrees, positive is keener; None: 0."""


@dataclass(frozen=True, kw_only=True)
class LargestDepthFor(Query):
    """How deep a cut does the motor allow? The speed as in PowerFor."""

    kind: ClassVar[str] = "power"
    material: str
    """Key in tables/materials.csv."""
    feed: Quantity
    """Length per turn."""
    diameter: Quantity | None = None
    surface_speed: Quantity | None = None
    spindle_speed: int | None = None
    """Turns per minute."""
    tool: str | None = None
    approach_angle: Fraction | None = None
    """Degrees between cutting edge and feed direction; None: 90, a square shoulder."""
    rake_angle: Fraction | None = None
    """Degrees, positive is keener; None: 0."""


@dataclass(frozen=True, kw_only=True)
class TimeFor(Query):
    """How long does a cut along the work, or across its face, take?"""

    kind: ClassVar[str] = "time"
    feed: Quantity
    """Length per turn."""
    spindle_speed: int
    """Turns per minute."""
    cut_length: Quantity | None = None
    """Travel along the work; None where a face is cut."""
    diameter: Quantity | None = None
    """Outside diameter of a face."""
    inner_diameter: Quantity | None = None
    cuts: int = 1


@dataclass(frozen=True, kw_only=True)
class CutsFor(Query):
    """How many cuts from one diameter to another?"""

    kind: ClassVar[str] = "cuts"
    start_diameter: Quantity
    end_diameter: Quantity
    depth: Quantity
    """Deepest cut, on the radius."""
    finish_allowance: Quantity | None = None
    """Left on the radius for the finishing cut."""


@dataclass(frozen=True, kw_only=True)
class StockWeight(Query):
    """What does this bar weigh?"""

    kind: ClassVar[str] = "stock"
    material: str
    """Key in tables/materials.csv."""
    bar_size: Quantity
    """Diameter, or distance across flats."""
    bar_length: Quantity
    shape: str = "round"
    """'round', 'hexagon', 'square' or 'tube'."""
    wall: Quantity | None = None
    """Of a tube."""


@dataclass(frozen=True, kw_only=True)
class BlanksFrom(Query):
    """How many blanks does this bar give?"""

    kind: ClassVar[str] = "stock"
    blank_length: Quantity
    bar_length: Quantity
    kerf: Quantity | None = None
    """Width of the saw or parting tool."""
    grip: Quantity | None = None
    """End that stays in the chuck."""


@dataclass(frozen=True, kw_only=True)
class StickOutFor(Query):
    """May this much stand out unsupported?"""

    kind: ClassVar[str] = "overhang"
    stick_out: Quantity
    """Length out of the jaws or holder, or between the supports."""
    diameter: Quantity
    holding: str = "chuck"
    """As in tables/stick_out.csv, with underscores."""


@dataclass(frozen=True, kw_only=True)
class DeflectionOf(Query):
    """How far does work bend under a force?"""

    kind: ClassVar[str] = "overhang"
    material: str
    """Key in tables/materials.csv."""
    bar_size: Quantity
    """Diameter."""
    stick_out: Quantity
    """Length out of the jaws, or between the supports."""
    force: int
    """Newtons, across the axis."""
    holding: str = "chuck"
    """'chuck' (free end), 'chuck_and_centre' or 'between_centres'."""
