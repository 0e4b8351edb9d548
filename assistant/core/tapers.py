"""Tapers: from any way of stating one to every setting that cuts or checks it.

A taper is the change of diameter over the length along the axis. Stated as a ratio, per foot or by
two diameters it is exact; stated as an angle it goes through a tangent and is approximate.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias, TypeVar

from assistant.errors import OutOfRange

Number: TypeAlias = Fraction | float
_Length = TypeVar("_Length", Fraction, float)

STEEPEST_SET_OVER = 10
"""Degrees of half angle up to which a tailstock is set over; beyond it the centres no longer seat."""

_INCHES_PER_FOOT = 12


@dataclass(frozen=True)
class Taper:
    """A taper by its change of diameter per length."""

    per_length: Number
    """mm of diameter per mm of length, more than 0; Fraction where exact."""

    def __post_init__(self) -> None:
        if not 0 < self.per_length < math.inf:
            given = f"{float(self.per_length):g}"
            raise OutOfRange("taper", given, "must be more than 0 and not infinite")

    @property
    def half_angle(self) -> float:
        """Angle between a side and the axis, degrees; approximate."""
        return math.degrees(math.atan(float(self.per_length) / 2))

    @property
    def included_angle(self) -> float:
        """Angle between the two sides, degrees; approximate."""
        return 2 * self.half_angle

    @property
    def compound_angle(self) -> float:
        """What the compound is swung from the axis of the lathe: the half angle, degrees."""
        return self.half_angle

    @property
    def compound_from_cross_slide(self) -> float:
        """The same, counted from the cross slide, for a scale that reads from there, degrees."""
        return 90 - self.half_angle

    @property
    def ratio(self) -> Number:
        """x of 1 : x; exact where the taper is."""
        return 1 / self.per_length

    @property
    def per_foot(self) -> Number:
        """Inches of diameter per foot of length; exact where the taper is."""
        return self.per_length * _INCHES_PER_FOOT


def _positive(quantity: str, amount: Number, unit: str) -> None:
    if not 0 < amount < math.inf:
        given = f"{float(amount):g} {unit}".strip()
        raise OutOfRange(quantity, given, f"must be more than 0 {unit}".strip())


def taper_by_half_angle(half_angle: Number) -> Taper:
    """The taper whose side stands at an angle to the axis: t = 2 tan(a).

    half_angle : degrees between side and axis, more than 0 and less than 90
    Returns    : Taper, approximate
    Raises     : OutOfRange outside 0 to 90 degrees
    Source     : trigonometry of the cone

    >>> taper_by_half_angle(45).per_length
    2.0
    """
    if not 0 < half_angle < 90:
        allowed = "must be more than 0 and less than 90 degrees"
        raise OutOfRange("half angle", f"{float(half_angle):g} degrees", allowed)
    return Taper(2 * math.tan(math.radians(float(half_angle))))


def taper_by_included_angle(included_angle: Number) -> Taper:
    """The taper with an angle between its two sides: t = 2 tan(a / 2).

    included_angle : degrees between the sides, more than 0 and less than 180
    Returns        : Taper, approximate
    Raises         : OutOfRange outside 0 to 180 degrees
    Source         : trigonometry of the cone

    >>> round(taper_by_included_angle(60).half_angle, 6)
    30.0
    """
    if not 0 < included_angle < 180:
        allowed = "must be more than 0 and less than 180 degrees"
        raise OutOfRange("included angle", f"{float(included_angle):g} degrees", allowed)
    return taper_by_half_angle(included_angle / 2)


def taper_by_foot(per_foot: Fraction) -> Taper:
    """The taper with so many inches of diameter per foot: t = T / 12.

    per_foot : inch of diameter per foot of length, more than 0
    Returns  : Taper, exact
    Raises   : OutOfRange for zero or less
    Source   : definition of taper per foot

    >>> taper_by_foot(Fraction(3, 4)).ratio
    Fraction(16, 1)
    """
    _positive("taper per foot", per_foot, "inch per foot")
    return Taper(Fraction(per_foot) / _INCHES_PER_FOOT)


def taper_by_ratio(length: Fraction | int, diameter: Fraction | int = 1) -> Taper:
    """The taper `diameter` in `length`, such as 1 : 20 or 7 : 24: t = diameter / length.

    length   : the second figure of the ratio, more than 0
    diameter : the first figure, more than 0
    Returns  : Taper, exact
    Raises   : OutOfRange for zero or less
    Source   : ISO 3040 (ratio of taper)

    >>> taper_by_ratio(24, 7).per_foot
    Fraction(7, 2)
    """
    _positive("ratio of taper 1 :", length, "")
    _positive("ratio of taper", diameter, "")
    return Taper(Fraction(diameter) / Fraction(length))


def taper_by_diameters(
    large: Fraction | int, small: Fraction | int, length: Fraction | int
) -> Taper:
    """The taper between two diameters: t = (D - d) / L.

    large   : mm, larger diameter
    small   : mm, smaller diameter, 0 for a point
    length  : mm between them along the axis, more than 0
    Returns : Taper, exact
    Raises  : OutOfRange where the diameters are equal or the wrong way round, or a size is absurd
    Source  : definition of taper

    >>> taper_by_diameters(30, 28, 40).ratio
    Fraction(20, 1)
    """
    _positive("length of taper", length, "mm")
    if small < 0:
        given = f"{float(small):g} mm"
        raise OutOfRange("small diameter", given, "must be 0 mm or more")
    if large <= small:
        given = f"{float(large):g} mm"
        allowed = f"must be larger than the small diameter {float(small):g} mm"
        raise OutOfRange("large diameter", given, allowed)
    return Taper((Fraction(large) - Fraction(small)) / Fraction(length))


LARGEST_SET_OVER = Fraction(1, 50)
"""Share of the length between centres up to which ordinary centres still bear; textbook rule, from memory."""


def tailstock_set_over(taper: Taper, overall_length: Fraction | int) -> Number:
    """Sideways shift of the tailstock: s = t L / 2, L the overall length between the centres.

    taper          : Taper
    overall_length : mm, the whole work from centre to centre, not only the tapered part
    Returns        : mm, exact where the taper is
    Raises         : OutOfRange for a length of zero or less and for a half angle above 10 degrees
    Valid          : slight tapers; the length lies along the work, which stands askew by the half
                     angle, so that the true shift is smaller by its cosine: 0.13 % at 1 : 10
    Source         : J. Rose, Modern Machine-Shop Practice (1887), taper turning

    >>> tailstock_set_over(taper_by_ratio(20), 200)
    Fraction(5, 1)
    """
    _positive("length between centres", overall_length, "mm")
    if taper.half_angle > STEEPEST_SET_OVER:
        given = f"with a half angle of {taper.half_angle:.1f} degrees"
        allowed = f"a tailstock is set over for at most {STEEPEST_SET_OVER} degrees"
        raise OutOfRange("taper", given, allowed, "the compound slide swung to the half angle")
    return taper.per_length * Fraction(overall_length) / 2


def attachment_offset(taper: Taper, bar_length: Fraction | int) -> Number:
    """How far one end of the guide bar stands off the axis more than the other: s = t L / 2.

    taper      : Taper
    bar_length : mm between the two points measured, along the axis of the lathe
    Returns    : mm, exact where the taper is
    Raises     : OutOfRange for a length of zero or less
    Valid      : a taper attachment whose bar is set by measuring; graduated ones are set to the
                 taper per foot or to the half angle
    Source     : geometry of the cone: the bar moves the tool by the change of radius

    >>> attachment_offset(taper_by_foot(Fraction(3, 5)), 240)
    Fraction(6, 1)
    """
    _positive("length of guide bar", bar_length, "mm")
    return taper.per_length * Fraction(bar_length) / 2


def indicator_reading(taper: Taper, carriage_travel: Fraction | int) -> Number:
    """Change of a dial indicator square to the axis while the carriage travels: r = t L / 2.

    taper           : Taper
    carriage_travel : mm along the axis, more than 0
    Returns         : mm of the indicator, a change of radius; exact where the taper is
    Raises          : OutOfRange for a travel of zero or less
    Valid           : indicator at centre height on a tapered gauge or the work, or on a tapered bar
                      held true between centres
    Source          : geometry of the cone

    >>> indicator_reading(taper_by_ratio(20), 50)
    Fraction(5, 4)
    """
    _positive("travel of carriage", carriage_travel, "mm")
    return taper.per_length * Fraction(carriage_travel) / 2


def compound_indicator_reading(taper: Taper, compound_travel: Fraction | float) -> float:
    """Change of an indicator on the compound against a parallel bar: r = L sin(a), a the half angle.

    taper           : Taper
    compound_travel : mm by the dial of the compound slide, more than 0
    Returns         : mm of the indicator, approximate
    Raises          : OutOfRange for a travel of zero or less
    Valid           : indicator square to a parallel bar between centres, at centre height; finer
                      than the degree scale of the compound
    Source          : geometry of the cone

    >>> round(compound_indicator_reading(taper_by_half_angle(30), 50), 6)
    25.0
    """
    _positive("travel of compound slide", compound_travel, "mm")
    return float(compound_travel) * math.sin(math.radians(taper.half_angle))


def sine_bar_height(angle: Number, bar_length: Fraction | int) -> float:
    """Height of gauge blocks under a sine bar: h = L sin(a).

    angle      : degrees, more than 0 and up to 60: the included angle to bring the far side of a
                 taper plug level, the half angle to set a slide
    bar_length : mm between the rollers' axes, more than 0
    Returns    : mm, approximate
    Raises     : OutOfRange outside 0 to 60 degrees, or for a bar of zero or less
    Valid      : best below 45 degrees, where a small error of height matters least
    Source     : definition of the sine bar

    >>> round(sine_bar_height(30, 100), 6)
    50.0
    """
    _positive("length of sine bar", bar_length, "mm")
    if not 0 < angle <= 60:
        allowed = "a sine bar is set from more than 0 to 60 degrees"
        raise OutOfRange("angle", f"{float(angle):g} degrees", allowed)
    return float(bar_length) * math.sin(math.radians(float(angle)))


def diameter_at(
    taper: Taper, known_diameter: _Length, distance: _Length, towards_large: bool = False
) -> Number:
    """Diameter at a distance from a known one: d = D - t x, or D + t x towards the large end.

    taper          : Taper
    known_diameter : mm, more than 0
    distance       : mm along the axis from there, 0 or more
    towards_large  : True to measure towards the large end
    Returns        : mm, exact where taper and sizes are
    Raises         : OutOfRange for a negative distance, and past the point of the cone
    Source         : definition of taper

    >>> diameter_at(taper_by_ratio(20), Fraction(30), Fraction(40))
    Fraction(28, 1)
    """
    _positive("diameter", known_diameter, "mm")
    if not 0 <= distance < math.inf:
        raise OutOfRange("distance", f"{float(distance):g} mm", "must be 0 mm or more")
    change = taper.per_length * distance
    diameter = known_diameter + change if towards_large else known_diameter - change
    if diameter <= 0:
        point = float(known_diameter / taper.per_length)
        allowed = f"the taper comes to a point after {point:.2f} mm"
        raise OutOfRange("distance", f"{float(distance):g} mm", allowed)
    return diameter


def length_between(taper: Taper, large: _Length, small: _Length) -> Number:
    """Length along the axis between two diameters: L = (D - d) / t.

    taper   : Taper
    large   : mm, larger diameter
    small   : mm, smaller diameter, 0 for a point
    Returns : mm, exact where taper and sizes are
    Raises  : OutOfRange where the diameters are the wrong way round or negative
    Source  : definition of taper

    >>> length_between(taper_by_ratio(20), Fraction(30), Fraction(28))
    Fraction(40, 1)
    """
    if small < 0:
        raise OutOfRange("small diameter", f"{float(small):g} mm", "must be 0 mm or more")
    if not small <= large < math.inf:
        allowed = f"must not be smaller than the small diameter {float(small):g} mm"
        raise OutOfRange("large diameter", f"{float(large):g} mm", allowed)
    return (large - small) / taper.per_length


def take_off_for_gap(taper: Taper, gap: _Length) -> Number:
    """What comes off the diameter so that a gauge goes on farther by a gap: x = t g.

    taper   : Taper
    gap     : mm that the gauge still stands off along the axis, more than 0
    Returns : mm on the diameter, exact where taper and gap are; half of it per side
    Raises  : OutOfRange for a gap of zero or less
    Source  : definition of taper

    >>> take_off_for_gap(taper_by_ratio(20), Fraction(3))
    Fraction(3, 20)
    """
    _positive("gap", gap, "mm")
    return taper.per_length * gap
