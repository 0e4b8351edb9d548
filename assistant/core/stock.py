"""What a bar weighs and how many blanks it gives."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from assistant.core.bounds import Number, check, with_unit
from assistant.core.materials import material
from assistant.errors import OutOfRange


@dataclass(frozen=True)
class Blanks:
    """What comes out of one bar; lengths in mm, exact."""

    count: int
    cuts: int
    """Saw or parting cuts."""
    left_over: Fraction
    """What remains, the part in the chuck included."""


def round_area(diameter: Number) -> float:
    """Section of a round bar: A = pi D^2 / 4.

    diameter : mm
    Returns  : mm2, approximate (pi)
    Raises   : OutOfRange for bad numbers
    Valid    : round bar
    Source   : geometry

    >>> round(round_area(50), 1)
    1963.5
    """
    check("bar size", diameter)
    return math.pi * float(diameter) ** 2 / 4


def hexagon_area(across_flats: Number) -> float:
    """Section of a hexagon bar: A = sqrt3 / 2 x AF^2.

    across_flats : mm
    Returns      : mm2, approximate (root)
    Raises       : OutOfRange for bad numbers
    Valid        : hexagon bar
    Source       : geometry

    >>> round(hexagon_area(24), 1)
    498.8
    """
    check("bar size", across_flats)
    return math.sqrt(3) / 2 * float(across_flats) ** 2


def square_area(across_flats: Number) -> float:
    """Section of a square bar: A = AF^2.

    across_flats : mm
    Returns      : mm2, approximate
    Raises       : OutOfRange for bad numbers
    Valid        : square bar with sharp corners
    Source       : geometry

    >>> square_area(20)
    400.0
    """
    check("bar size", across_flats)
    return float(across_flats) ** 2


def flat_area(width: Number, thickness: Number) -> float:
    """Section of a flat bar: A = b t.

    width     : mm
    thickness : mm
    Returns   : mm2, approximate
    Raises    : OutOfRange for bad numbers
    Valid     : flat bar with sharp corners
    Source    : geometry

    >>> flat_area(50, 10)
    500.0
    """
    check("bar size", width)
    check("bar size", thickness)
    return float(width) * float(thickness)


def tube_area(outer_diameter: Number, bore: Number) -> float:
    """Section of a tube: A = pi (D^2 - d^2) / 4.

    outer_diameter : mm
    bore           : mm; twice the wall less than the outside
    Returns        : mm2, approximate (pi)
    Raises         : OutOfRange for bad numbers, or a bore not below the outside
    Valid          : round tube
    Source         : geometry

    >>> round(tube_area(50, 40), 1)
    706.9
    """
    check("bore diameter", bore)
    area = round_area(outer_diameter)
    if bore >= outer_diameter:
        raise OutOfRange(
            "bore diameter",
            with_unit(bore, "mm"),
            f"must be less than the outside diameter {with_unit(outer_diameter, 'mm')}",
        )
    return area - round_area(bore)


def weight(area: Number, length: Number, density: Number) -> float:
    """Weight (mass) of a bar: m = A L rho.

    area    : mm2, section
    length  : mm
    density : g/cm3
    Returns : kg, approximate
    Raises  : OutOfRange for bad numbers
    Valid   : one section along the whole length
    Source  : definition of density

    >>> round(weight(round_area(50), 1000, 7.85), 2)
    15.41
    """
    if not 0 < area < math.inf:
        raise OutOfRange("section", with_unit(area, "mm2"), "must be more than 0 mm2")
    check("length", length)
    check("density", density)
    # 1 g/cm3 is 1e-6 kg/mm3.
    return float(area) * float(length) * float(density) / 1e6


def weight_in(material_key: str, area: Number, length: Number) -> float:
    """Weight (mass) of a bar of a known material: m = A L rho.

    material_key : key in tables/materials.csv
    area         : mm2, section
    length       : mm
    Returns      : kg, approximate; the density is typical, good to a few per cent
    Raises       : NoSuchSize for an unknown material, OutOfRange for bad numbers
    Valid        : one section along the whole length
    Source       : tables/materials.csv

    >>> round(weight_in("aluminium", round_area(100), 100), 2)
    2.12
    """
    return weight(area, length, material(material_key).density)


def blanks_from_bar(
    bar_length: Fraction,
    blank_length: Fraction,
    kerf: Fraction,
    grip: Fraction = Fraction(0),
) -> Blanks:
    """Blanks that a bar gives: n = floor((L - grip) / (blank + kerf)); without grip the last needs no cut.

    bar_length   : mm
    blank_length : mm, facing allowance included
    kerf         : mm, width of the saw or parting tool
    grip         : mm at the end of the bar that stays in the chuck and cannot be used
    Returns      : Blanks, exact; none at all is refused
    Raises       : OutOfRange for bad numbers, or a bar too short for one blank
    Valid        : one blank length for the whole bar
    Source       : common practice

    >>> blanks_from_bar(Fraction(1000), Fraction(47), Fraction(3), Fraction(60)).count
    18
    """
    for length in (bar_length, blank_length):
        check("length", length)
    check("allowance", kerf)
    check("allowance", grip)
    usable = Fraction(bar_length) - Fraction(grip)
    step = Fraction(blank_length) + Fraction(kerf)
    # Where the end is gripped every blank has to be cut off; otherwise the last piece is what remains.
    count = math.floor(usable / step) if grip else math.floor((usable + kerf) / step)
    if count < 1:
        least = with_unit(blank_length + grip + (kerf if grip else 0), "mm")
        raise OutOfRange(
            "bar length", with_unit(bar_length, "mm"), f"one blank needs {least}", least
        )
    used = count * step
    # The last cut may run out at the end of an ungripped bar, in part or not at all.
    left_over = max(Fraction(bar_length) - used, Fraction(0))
    whole = not grip and count * blank_length + (count - 1) * kerf == bar_length
    return Blanks(count, count - 1 if whole else count, left_over)
