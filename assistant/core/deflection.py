"""How far the work, or a boring bar, bends under the force of the cut."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from assistant.core.bounds import Number, check, with_unit
from assistant.core.materials import material
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed

LARGEST_SHARE = 0.1
"""Bending over length up to which the beam formulas hold; beyond it they are refused."""


@dataclass(frozen=True)
class Springing:
    """A deflection against the limit of common practice."""

    deflection: float
    """mm."""
    limit: float
    """mm."""
    caution: str | None
    """Key of the caution that is due; None if none is."""


def second_moment(diameter: Number, bore: Number = 0) -> float:
    """Second moment of area of a round section: I = pi (D^4 - d^4) / 64.

    diameter : mm, outside
    bore     : mm, inside; 0 for a solid bar
    Returns  : mm4, approximate (pi)
    Raises   : OutOfRange for bad numbers, or a bore not below the diameter
    Valid    : round bar and tube
    Source   : textbooks of strength of materials

    >>> round(second_moment(20), 1)
    7854.0
    """
    check("work diameter", diameter)
    check("inner diameter", bore)
    if bore >= diameter:
        raise OutOfRange(
            "inner diameter",
            with_unit(bore, "mm"),
            f"must be less than the outer diameter {with_unit(diameter, 'mm')}",
        )
    return math.pi * (float(diameter) ** 4 - float(bore) ** 4) / 64


def modulus_of(material_key: str) -> float:
    """Modulus of elasticity of a material.

    material_key : key in tables/materials.csv
    Returns      : GPa, typical
    Raises       : NoSuchSize for an unknown material, OutOfRange where no one figure serves
    Valid        : room temperature; plastics creep and bend further
    Source       : tables/materials.csv

    >>> modulus_of("mild_steel")
    210.0
    """
    work = material(material_key)
    if work.modulus is None:
        raise OutOfRange(
            "stiffness", f"of {work.name}", "no one figure serves, so none is in the table"
        )
    return float(work.modulus)


def _small(deflection: float, length: Number) -> float:
    if deflection > LARGEST_SHARE * float(length):
        raise OutOfRange(
            "bending",
            with_unit(round(deflection, 2), "mm"),
            f"is over a tenth of the length {with_unit(length, 'mm')}: no longer a stiff beam",
        )
    return deflection


def cantilever_deflection(
    force: Number, length: Number, modulus: Number, diameter: Number, bore: Number = 0
) -> float:
    """Bending at the free end of work held at one end: y = F L^3 / (3 E I).

    force    : N, across the axis at the free end
    length   : mm, from the jaws (or the holder) to the force
    modulus  : GPa
    diameter : mm, outside
    bore     : mm, inside; 0 for solid
    Returns  : mm, approximate; the jaws' own give comes on top
    Raises   : OutOfRange for bad numbers, or bending over a tenth of the length
    Valid    : small bending, round section of one diameter
    Source   : textbooks of strength of materials, beam fixed at one end

    >>> round(cantilever_deflection(500, 100, 210, 20), 3)
    0.101
    """
    check("force", force)
    check("length", length)
    check("modulus of elasticity", modulus)
    # GPa is 1000 N/mm2.
    stiffness = 1000 * float(modulus) * second_moment(diameter, bore)
    return _small(float(force) * float(length) ** 3 / (3 * stiffness), length)


def _place(length: Number, position: Number | None) -> tuple[float, float]:
    check("length", length)
    place = float(length) / 2 if position is None else float(position)
    if not 0 < place < length:
        raise OutOfRange(
            "position of the tool",
            with_unit(place, "mm"),
            f"must lie between the supports, 0 and {with_unit(length, 'mm')}",
        )
    return place, float(length) - place


def between_centres_deflection(
    force: Number,
    length: Number,
    modulus: Number,
    diameter: Number,
    bore: Number = 0,
    position: Number | None = None,
) -> float:
    """Bending under the tool of work between centres: y = F a^2 b^2 / (3 E I L).

    force    : N, across the axis
    length   : mm, between the centres
    modulus  : GPa
    diameter : mm, outside
    bore     : mm, inside; 0 for solid
    position : mm, of the tool from one centre; None for the middle, where it bends most
    Returns  : mm, approximate; the centres' own give comes on top
    Raises   : OutOfRange for bad numbers, bending over a tenth of the length, or a tool not between the centres
    Valid    : small bending, round section of one diameter
    Source   : textbooks of strength of materials, beam on two supports

    >>> round(between_centres_deflection(500, 400, 210, 20), 3)
    0.404
    """
    check("force", force)
    check("modulus of elasticity", modulus)
    a, b = _place(length, position)
    stiffness = 1000 * float(modulus) * second_moment(diameter, bore)
    return _small(float(force) * a**2 * b**2 / (3 * stiffness * float(length)), length)


def chuck_and_centre_deflection(
    force: Number,
    length: Number,
    modulus: Number,
    diameter: Number,
    bore: Number = 0,
    position: Number | None = None,
) -> float:
    """Bending under the tool of work held in the chuck and by a centre: y = F a^3 b^2 (3 a + 4 b) / (12 E I L^3).

    force    : N, across the axis
    length   : mm, from the jaws to the centre
    modulus  : GPa
    diameter : mm, outside
    bore     : mm, inside; 0 for solid
    position : mm, of the tool from the jaws (a); None for the middle; the worst place is a little nearer the centre
    Returns  : mm, approximate; the jaws' and the centre's own give comes on top
    Raises   : OutOfRange for bad numbers, bending over a tenth of the length, or a tool not between jaws and centre
    Valid    : small bending, round section of one diameter
    Source   : textbooks of strength of materials, beam fixed at one end and supported at the other

    >>> round(chuck_and_centre_deflection(500, 400, 210, 20), 3)
    0.177
    """
    check("force", force)
    check("modulus of elasticity", modulus)
    a, b = _place(length, position)
    stiffness = 1000 * float(modulus) * second_moment(diameter, bore)
    shape = a**3 * b**2 * (3 * a + 4 * b)
    return _small(float(force) * shape / (12 * stiffness * float(length) ** 3), length)


@cache
def _limits() -> dict[str, tuple[float, str]]:
    return dict(
        parsed(
            "deflections.csv",
            lambda row: (row["operation"], (float(row["limit"]), row["caution"])),
        )
    )


def springing(deflection: float, operation: str) -> Springing:
    """A deflection against the limit above which a caution is due.

    deflection : mm at the tool, zero or more
    operation  : 'finish' or 'rough'
    Returns    : Springing, approximate as its input
    Raises     : OutOfRange for a negative or endless deflection, NoSuchSize for another operation
    Valid      : a rule of thumb
    Source     : tables/deflections.csv

    >>> springing(0.05, "finish").caution
    'work_springs'
    """
    if operation not in _limits():
        raise NoSuchSize("operation", operation, f"is none of {', '.join(_limits())}")
    if not 0 <= deflection < math.inf:
        raise OutOfRange("deflection", with_unit(deflection, "mm"), "must be at least 0 mm")
    limit, caution = _limits()[operation]
    return Springing(deflection, limit, caution if deflection > limit else None)
