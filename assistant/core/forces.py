"""Cutting force, torque and power, and the depth of cut that a motor allows."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from assistant.core.bounds import Number, check, with_unit
from assistant.core.materials import material
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed

THINNEST_CHIP = 0.1
THICKEST_CHIP = 1.4
"""mm, chip thickness between which Kienzle's straight line was measured; 'from memory'."""

RAKE_SHARE = 0.01
"""Change of the specific force for a degree of rake; 0.01 to 0.015 are printed, the smaller claims less."""


@dataclass(frozen=True)
class CuttingConstants:
    """Kienzle's two constants of one material group, for a sharp tool at rake angle 0."""

    group: str
    covers: str
    kc11: float
    """N/mm2 for a chip 1 mm by 1 mm."""
    exponent: float
    source: str


@dataclass(frozen=True)
class Cut:
    """The shape of one turning cut."""

    depth_on_radius: Number
    """mm, depth of cut: half of what comes off the diameter."""
    feed: Number
    """mm per turn."""
    approach_angle: Number = 90
    """degrees between cutting edge and feed direction; 90 for a square-shoulder tool."""
    rake_angle: Number = 0
    """degrees; positive is keener."""


@dataclass(frozen=True)
class CutForce:
    """What a cut needs, all approximate, for a sharp tool."""

    specific_force: float
    """N/mm2."""
    force: float
    """N, main (tangential) force."""
    beyond_measured: bool
    """True where the chip is thinner or thicker than the constants were measured for."""


@cache
def _constants() -> dict[str, tuple[str, str, str, str]]:
    def parse(row: dict[str, str]) -> tuple[str, tuple[str, str, str, str]]:
        float(row["kc11"]), float(row["mc"] or 0)
        return row["group"], (row["material"], row["kc11"], row["mc"], row["source"])

    return dict(parsed("specific_cutting_force.csv", parse))


def constants_of_group(group: str) -> CuttingConstants:
    """Kienzle's constants of a material group.

    group   : name in tables/specific_cutting_force.csv, 'P1', 'M14', …
    Returns : CuttingConstants, as printed
    Raises  : NoSuchSize for another group, OutOfRange where the source gives no exponent
    Valid   : sharp tool, rake angle 0
    Source  : tables/specific_cutting_force.csv, row by row

    >>> constants_of_group("P2").kc11
    1500.0
    """
    row = _constants().get(group)
    if row is None:
        names = ", ".join(_constants())
        raise NoSuchSize("material group", group, f"is none of {names}")
    covers, kc11, exponent, source = row
    if not exponent:
        raise OutOfRange(
            "cutting force", f"in {covers}", "the source gives no exponent, so none is computed"
        )
    return CuttingConstants(group, covers, float(kc11), float(exponent), source)


def cutting_constants(material_key: str) -> CuttingConstants:
    """Kienzle's constants of a material.

    material_key : key in tables/materials.csv
    Returns      : CuttingConstants, as printed
    Raises       : NoSuchSize for an unknown material, OutOfRange where no source gives them
    Valid        : sharp tool, rake angle 0, the condition named in the group
    Source       : tables/specific_cutting_force.csv, row by row

    >>> cutting_constants("stainless").exponent
    0.2
    """
    work = material(material_key)
    if work.force_group is None:
        raise OutOfRange(
            "cutting force", f"in {work.name}", "the table of specific forces does not cover it"
        )
    return constants_of_group(work.force_group)


def chip_thickness(feed: Number, approach_angle: Number = 90) -> float:
    """Thickness of the chip before it is cut: h = f sin(kappa).

    feed           : mm per turn
    approach_angle : degrees between cutting edge and feed direction
    Returns        : mm, approximate
    Raises         : OutOfRange for bad numbers
    Valid          : a straight edge, depth of cut above the nose radius
    Source         : ISO 3002-3, geometry of the cut

    >>> round(chip_thickness(0.3, 75), 4)
    0.2898
    """
    check("feed", feed)
    check("tool's approach angle", approach_angle)
    return float(feed) * math.sin(math.radians(float(approach_angle)))


def chip_width(depth_on_radius: Number, approach_angle: Number = 90) -> float:
    """Width of the chip before it is cut: b = ap / sin(kappa).

    depth_on_radius : mm, depth of cut
    approach_angle  : degrees between cutting edge and feed direction
    Returns         : mm, approximate
    Raises          : OutOfRange for bad numbers
    Valid           : a straight edge, depth of cut above the nose radius
    Source          : ISO 3002-3, geometry of the cut

    >>> round(chip_width(3, 75), 3)
    3.106
    """
    check("depth of cut", depth_on_radius)
    check("tool's approach angle", approach_angle)
    return float(depth_on_radius) / math.sin(math.radians(float(approach_angle)))


def cut_force(cut: Cut, constants: CuttingConstants) -> CutForce:
    """Main cutting force by Kienzle: F = kc b h with kc = kc1.1 h^-mc (1 - 0.01 rake).

    cut       : depth, feed and angles of the cut
    constants : of the material
    Returns   : CutForce in N/mm2 and N, approximate; a worn tool needs about a third more
    Raises    : OutOfRange for bad numbers
    Valid     : chips 0.1 to 1.4 mm thick; outside it is flagged, and thin chips need more than it says
    Source    : Kienzle (1952); rake 1 per cent a degree from tool makers' guides (1 to 1.5), from memory

    >>> round(cut_force(Cut(2, 0.2), constants_of_group("P2")).force, 1)
    854.9
    """
    check("rake angle", cut.rake_angle)
    h = chip_thickness(cut.feed, cut.approach_angle)
    b = chip_width(cut.depth_on_radius, cut.approach_angle)
    kc = constants.kc11 * h**-constants.exponent * (1 - RAKE_SHARE * float(cut.rake_angle))
    # A feed of exactly 0.1 at 90 degrees must not be flagged by a last binary digit.
    measured = THINNEST_CHIP - 1e-9 <= h <= THICKEST_CHIP + 1e-9
    return CutForce(kc, kc * b * h, beyond_measured=not measured)


def torque(force: Number, diameter: Number) -> float:
    """Torque of the cut at the spindle: M = F d / 2.

    force    : N, main cutting force
    diameter : mm, where the tool cuts
    Returns  : N*m, approximate
    Raises   : OutOfRange for bad numbers
    Valid    : turning, facing and boring
    Source   : definition of torque

    >>> torque(1000, 50)
    25.0
    """
    check("force", force)
    check("work diameter", diameter)
    return float(force) * float(diameter) / 2000


def cutting_power(force: Number, surface_speed: Number) -> float:
    """Power at the cut: P = F v / 60000.

    force         : N, main cutting force
    surface_speed : m/min
    Returns       : kW, approximate
    Raises        : OutOfRange for bad numbers
    Valid         : turning, facing and boring; the power of the feed is left out, as it is small
    Source        : definition of power

    >>> cutting_power(1860, 120)
    3.72
    """
    check("force", force)
    check("surface speed", surface_speed)
    return float(force) * float(surface_speed) / 60000


def motor_power(cutting_power: Number, drive_efficiency: Number) -> float:
    """Power at the motor: P = Pc / efficiency.

    cutting_power    : kW at the cut
    drive_efficiency : power at the spindle over power at the motor, up to 1
    Returns          : kW, approximate
    Raises           : OutOfRange for bad numbers
    Valid            : steady cutting
    Source           : definition of efficiency

    >>> motor_power(3.72, 0.8)
    4.65
    """
    check("motor power", cutting_power)
    check("efficiency", drive_efficiency)
    return float(cutting_power) / float(drive_efficiency)


def removal_rate(depth_on_radius: Number, feed: Number, surface_speed: Number) -> float:
    """Metal removed in a minute: Q = ap f v.

    depth_on_radius : mm, depth of cut
    feed            : mm per turn
    surface_speed   : m/min
    Returns         : cm3/min, approximate
    Raises          : OutOfRange for bad numbers
    Valid           : depth of cut small against the diameter, speed taken at the outside
    Source          : geometry of the cut

    >>> removal_rate(2, 0.25, 100)
    50.0
    """
    check("depth of cut", depth_on_radius)
    check("feed", feed)
    check("surface speed", surface_speed)
    return float(depth_on_radius) * float(feed) * float(surface_speed)


def largest_depth_of_cut(
    available_power: Number,
    drive_efficiency: Number,
    surface_speed: Number,
    cut: Cut,
    constants: CuttingConstants,
) -> float:
    """Depth of cut that uses up the motor: ap = 60000 P efficiency / (kc f v).

    available_power  : kW at the motor
    drive_efficiency : power at the spindle over power at the motor, up to 1
    surface_speed    : m/min
    cut              : feed and angles of the cut; its depth does not matter
    constants        : of the material
    Returns          : mm on the radius, approximate; what the motor allows, not what tool, work and chuck stand
    Raises           : OutOfRange for bad numbers
    Valid            : as `cut_force`; leave a third for a tool that is no longer sharp
    Source           : `cut_force` and `cutting_power` turned round

    >>> round(largest_depth_of_cut(4.65, 0.8, 120, Cut(1, 0.2), constants_of_group("P2")), 2)
    4.35
    """
    check("motor power", available_power)
    check("efficiency", drive_efficiency)
    check("surface speed", surface_speed)
    kc = cut_force(cut, constants).specific_force
    v, f = float(surface_speed), float(cut.feed)
    return 60000 * float(available_power) * float(drive_efficiency) / (kc * f * v)


def share_of_motor(needed: Number, available: Number) -> float:
    """How much of the motor a cut takes: needed / available.

    needed    : kW at the motor that the cut needs
    available : kW that the motor has
    Returns   : share, approximate; above 1 the cut stalls the lathe or trips it
    Raises    : OutOfRange for bad numbers
    Valid     : steady cutting
    Source    : definition

    >>> share_of_motor(3, 4)
    0.75
    """
    check("motor power", available)
    if not needed > 0:
        raise OutOfRange("power needed", with_unit(needed, "kW"), "must be more than 0 kW")
    return float(needed) / float(available)
