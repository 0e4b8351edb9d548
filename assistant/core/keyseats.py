"""Keys and keyseats: width and depth by shaft diameter, and how to measure the depth."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.errors import NoSuchSize, OutOfRange, nearest_names
from assistant.tables import parsed
from assistant.units import MM_PER_INCH

STANDARDS = ("ISO", "ANSI")
"""Standards that are stored: ISO/R 773 (DIN 6885-1) parallel keys, ANSI B17.1 square keys."""

_ANSI_TOP_CLEARANCE = Fraction(5, 1000) * MM_PER_INCH
"""mm left over the key in the hub by ANSI B17.1."""


@dataclass(frozen=True)
class Key:
    """A key and its keyseat for one step of shaft diameters; mm, exact."""

    standard: str
    over: Fraction
    up_to: Fraction
    width: Fraction
    height: Fraction
    shaft_depth: Fraction | None
    """From the top of the round; None where half the height counts from the side (ANSI)."""
    shaft_plus: Fraction | None
    """How much deeper the keyseat may be."""
    hub_depth: Fraction | None
    """From the top of the bore."""
    source: str


@dataclass(frozen=True)
class Keyseat:
    """A keyseat on one shaft, mm. Fraction where exact, float where it goes through a root."""

    key: Key
    shaft_diameter: Fraction
    depth_from_top: Fraction | float
    """What the cutter goes in after it touches the top of the round."""
    depth_at_side: float
    """From the edge of the keyseat to its bottom."""
    bottom_to_far_side: Fraction | float
    """Bottom of the keyseat to the opposite side of the shaft: what a micrometer reads."""
    hub_over_key: Fraction | float
    """Bottom of the bore to the top of the keyway in the hub."""


def _key(cells: dict[str, str]) -> Key:
    unit = {"inch": MM_PER_INCH, "mm": Fraction(1)}[cells["unit"]]

    def size(column: str) -> Fraction:
        return Fraction(cells[column]) * unit

    def optional(column: str) -> Fraction | None:
        return size(column) if cells[column] else None

    return Key(
        standard=cells["standard"],
        over=size("over"),
        up_to=size("up_to"),
        width=size("width"),
        height=size("height"),
        shaft_depth=optional("shaft_depth"),
        shaft_plus=optional("shaft_plus"),
        hub_depth=optional("hub_depth"),
        source=cells["source"],
    )


@cache
def keys(standard: str) -> tuple[Key, ...]:
    """The keys of one standard, smallest shaft first: a look-up.

    standard : 'ISO' or 'ANSI'
    Returns  : Key each, mm, exact
    Raises   : NoSuchSize for another standard
    Source   : tables/keyseats.csv, a source in every row

    >>> keys("ISO")[0].width
    Fraction(2, 1)
    """
    if standard not in STANDARDS:
        near = ", ".join(nearest_names(standard, STANDARDS) or STANDARDS)
        raise NoSuchSize("standard of keys", f"'{standard}'", "is not stored", near)
    return tuple(key for key in parsed("keyseats.csv", _key) if key.standard == standard)


def chord_height(shaft_diameter: Fraction | float, width: Fraction | float) -> float:
    """Height of the round above the edges of a keyseat: y = (D - sqrt(D^2 - W^2)) / 2.

    shaft_diameter : D, mm, more than 0
    width          : W, mm of the keyseat, more than 0 and less than D
    Returns        : mm, approximate
    Raises         : OutOfRange outside those limits
    Source         : geometry of the chord; ANSI B17.1 uses the same

    >>> chord_height(50, 30)
    5.0
    """
    if not 0 < shaft_diameter < math.inf:
        given = f"{float(shaft_diameter):g} mm"
        raise OutOfRange("shaft diameter", given, "must be more than 0 mm")
    if not 0 < width < shaft_diameter:
        allowed = f"must be more than 0 and less than the shaft {float(shaft_diameter):g} mm"
        raise OutOfRange("width of keyseat", f"{float(width):g} mm", allowed)
    root = math.sqrt(float(shaft_diameter) ** 2 - float(width) ** 2)
    return (float(shaft_diameter) - root) / 2


def key_for(shaft_diameter: Fraction | int, standard: str) -> Key:
    """The key for a shaft diameter: a look-up.

    shaft_diameter : mm
    standard       : 'ISO' (6 to 230 mm) or 'ANSI' (over 5/16 to 6 1/2 inch)
    Returns        : Key, mm, exact
    Raises         : OutOfRange outside the table; NoSuchSize for another standard
    Valid          : keys of the usual size for the shaft; the drawing may call for another
    Source         : ISO/R 773 and DIN 6885-1; ANSI B17.1-1967 Table 1

    >>> key_for(25, "ISO").width
    Fraction(8, 1)
    """
    rows = keys(standard)
    first, last = rows[0], rows[-1]
    given = f"{float(shaft_diameter):g} mm"
    # The ISO table starts at 6 mm inclusive, the ANSI table above 5/16 inch.
    starts = shaft_diameter >= first.over if standard == "ISO" else shaft_diameter > first.over
    if not starts or shaft_diameter > last.up_to:
        low, high = float(first.over), float(last.up_to)
        allowed = f"the {standard} table of keys goes from {low:.6g} to {high:.6g} mm"
        nearest = f"{low:.6g} mm" if not starts else f"{high:.6g} mm"
        raise OutOfRange("shaft diameter", given, allowed, nearest)
    return next(key for key in rows if shaft_diameter <= key.up_to)


def keyseat_for(shaft_diameter: Fraction | int, standard: str) -> Keyseat:
    """Depth of the keyseat in a shaft: the table's (ISO), or y + H / 2 (ANSI), y the chord height.

    shaft_diameter : D, mm
    standard       : 'ISO' or 'ANSI'
    Returns        : Keyseat; ISO depths exact, ANSI depths approximate
    Raises         : as `key_for`
    Valid          : shaft turned to size; on a rough shaft measure from the far side instead
    Source         : ISO/R 773 and DIN 6885-1; ANSI B17.1: S = (D - H + sqrt(D^2 - W^2)) / 2,
                     T = S + H + C with C = 0.005 inch

    >>> keyseat_for(25, "ISO").bottom_to_far_side
    Fraction(21, 1)
    """
    key = key_for(shaft_diameter, standard)
    shaft = Fraction(shaft_diameter)
    above = chord_height(shaft, key.width)
    if key.shaft_depth is not None and key.hub_depth is not None:
        depth: Fraction | float = key.shaft_depth
        hub: Fraction | float = shaft + key.hub_depth
    else:
        depth = above + float(key.height) / 2
        hub = float(shaft) - depth + float(key.height + _ANSI_TOP_CLEARANCE)
    side = float(depth) - above
    return Keyseat(key, shaft, depth, side, shaft - depth, hub)
