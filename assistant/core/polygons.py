"""Squares, hexagons and other flats cut on round stock."""

from __future__ import annotations

import math
from fractions import Fraction

from assistant.errors import OutOfRange

MOST_SIDES = 100
"""More flats than this are a mishearing."""


def _check(size: Fraction | float, sides: int, name: str) -> None:
    if not 0 < size < math.inf:
        raise OutOfRange(name, f"{float(size):g} mm", "must be more than 0 mm")
    if not 3 <= sides <= MOST_SIDES:
        nearest = "3" if sides < 3 else str(MOST_SIDES)
        allowed = f"a polygon has 3 to {MOST_SIDES} sides here"
        raise OutOfRange("number of sides", str(sides), allowed, nearest)


def _check_even(sides: int) -> None:
    if sides % 2:
        allowed = "only an even number of sides has flats that face each other"
        raise OutOfRange("across flats of", f"{sides} sides", allowed, f"{sides + 1} sides")


def across_corners(across_flats: Fraction | float, sides: int) -> float:
    """Round stock that a polygon needs, its size across corners: e = s / cos(180 / n).

    across_flats : s, mm between opposite flats, more than 0
    sides        : n, even, 4 to 100
    Returns      : mm, smallest diameter with full corners, approximate
    Raises       : OutOfRange for an odd or absurd number of sides, or a size of zero or less
    Source       : trigonometry of the regular polygon

    >>> round(across_corners(19, 6), 3)
    21.939
    """
    _check(across_flats, sides, "size across flats")
    _check_even(sides)
    return float(across_flats) / math.cos(math.pi / sides)


def across_flats(corners: Fraction | float, sides: int) -> float:
    """Largest polygon in round stock, its size across flats: s = e cos(180 / n).

    corners : e, mm, diameter of the stock, more than 0
    sides   : n, even, 4 to 100
    Returns : mm between opposite flats with full corners, approximate
    Raises  : OutOfRange for an odd or absurd number of sides, or a size of zero or less
    Source  : trigonometry of the regular polygon

    >>> round(across_flats(100, 4), 3)
    70.711
    """
    _check(corners, sides, "diameter of stock")
    _check_even(sides)
    return float(corners) * math.cos(math.pi / sides)


def side_length(corners: Fraction | float, sides: int) -> float:
    """Length of one side with full corners: a = e sin(180 / n).

    corners : e, mm, size across corners or diameter of the stock, more than 0
    sides   : n, 3 to 100, odd or even
    Returns : mm, approximate
    Raises  : OutOfRange for an absurd number of sides, or a size of zero or less
    Source  : trigonometry of the regular polygon

    >>> round(side_length(100, 6), 6)
    50.0
    """
    _check(corners, sides, "diameter of stock")
    return float(corners) * math.sin(math.pi / sides)


def full_flat_depth(stock: Fraction | float, sides: int) -> float:
    """Depth of each flat for full corners on round stock: t = (e - e cos(180 / n)) / 2.

    stock   : e, mm, diameter, more than 0
    sides   : n, 3 to 100, odd or even
    Returns : mm from the round surface down to the flat, approximate
    Raises  : OutOfRange for an absurd number of sides, or a diameter of zero or less
    Source  : trigonometry of the regular polygon

    >>> round(full_flat_depth(100, 3), 6)
    25.0
    """
    _check(stock, sides, "diameter of stock")
    return float(stock) * (1 - math.cos(math.pi / sides)) / 2


def flat_depth(stock: Fraction | int, flats: Fraction | int) -> Fraction:
    """Depth of each of two opposite flats on round stock: t = (D - s) / 2.

    stock   : D, mm, diameter
    flats   : s, mm between the two flats, more than 0 and less than D
    Returns : mm from the round surface down to the flat, exact
    Raises  : OutOfRange where the flats are not smaller than the stock
    Valid   : any even number of flats; corners are full only on stock of `across_corners`
    Source  : arithmetic

    >>> flat_depth(20, 17)
    Fraction(3, 2)
    """
    if flats <= 0:
        given = f"{float(flats):g} mm"
        raise OutOfRange("size across flats", given, "must be more than 0 mm")
    if stock <= flats:
        given = f"{float(stock):g} mm"
        allowed = f"must be larger than the size across flats {float(flats):g} mm"
        raise OutOfRange("diameter of stock", given, allowed)
    return (Fraction(stock) - Fraction(flats)) / 2


def flat_width(stock: Fraction | float, depth: Fraction | float) -> float:
    """Width of a flat of some depth on round stock: w = 2 sqrt(t (D - t)).

    stock   : D, mm, diameter, more than 0
    depth   : t, mm from the round surface, more than 0 and at most D / 2
    Returns : mm, approximate
    Raises  : OutOfRange for a depth outside those limits
    Source  : geometry of the chord

    >>> round(flat_width(50, 5), 6)
    30.0
    """
    if not 0 < stock < math.inf:
        raise OutOfRange("diameter of stock", f"{float(stock):g} mm", "must be more than 0 mm")
    if not 0 < depth <= stock / 2:
        allowed = f"must be more than 0 and at most {float(stock) / 2:g} mm"
        raise OutOfRange("depth of flat", f"{float(depth):g} mm", allowed)
    return 2 * math.sqrt(float(depth) * (float(stock) - float(depth)))
