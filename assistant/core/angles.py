"""Angles in degrees, minutes and seconds of arc, and in decimal degrees."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.errors import OutOfRange


@dataclass(frozen=True)
class DegreesMinutesSeconds:
    """An angle as it stands on a protractor with a vernier."""

    negative: bool
    degrees: int
    minutes: int
    seconds: Fraction
    """Seconds of arc, 0 <= seconds < 60."""

    @property
    def decimal(self) -> Fraction:
        """Decimal degrees, exact."""
        size = self.degrees + Fraction(self.minutes, 60) + self.seconds / 3600
        return -size if self.negative else size


def degrees_minutes_seconds(
    angle: Fraction | float, finest: Fraction | int | None = None
) -> DegreesMinutesSeconds:
    """An angle as degrees, minutes, seconds: whole degrees, then 60ths, then 3600ths of the rest.

    angle   : decimal degrees, any sign
    finest  : seconds of arc to round to (60 rounds to whole minutes); None does not round
    Returns : DegreesMinutesSeconds; exact for a Fraction without `finest`
    Raises  : OutOfRange beyond 360 degrees, or for a `finest` of zero or less
    Source  : SI Brochure 9th ed. (2019), Table 8: 1 degree = 60' = 3600"

    >>> degrees_minutes_seconds(Fraction(5, 4)).minutes
    15
    """
    if not abs(float(angle)) <= 360:  # catches "not a number" too
        raise OutOfRange("angle", f"{float(angle):g} degrees", "must be within 360 degrees")
    seconds = abs(Fraction(angle)) * 3600
    if finest is not None:
        if finest <= 0:
            raise OutOfRange("rounding", f"{float(finest):g} seconds", "must be more than 0")
        # Rounded before splitting, so that 59.99' carries into the degrees.
        seconds = Fraction(round(seconds / finest)) * finest
    minutes, rest = divmod(seconds, 60)
    degrees, minutes = divmod(minutes, 60)
    return DegreesMinutesSeconds(angle < 0, int(degrees), int(minutes), rest)


def decimal_degrees(degrees: int, minutes: int = 0, seconds: Fraction | int = 0) -> Fraction:
    """Decimal degrees of an angle: d + m/60 + s/3600.

    degrees : whole degrees, 0 to 360
    minutes : whole minutes of arc, 0 to 59
    seconds : seconds of arc, from 0 to less than 60
    Returns : degrees, exact
    Raises  : OutOfRange for a part outside its range or an angle beyond 360 degrees
    Source  : SI Brochure 9th ed. (2019), Table 8

    >>> decimal_degrees(8, 17, 50)
    Fraction(2987, 360)
    """
    if not 0 <= minutes < 60:
        raise OutOfRange("minutes of arc", str(minutes), "must be from 0 to 59")
    if not 0 <= seconds < 60:
        raise OutOfRange("seconds of arc", f"{float(seconds):g}", "must be from 0 to less than 60")
    angle = degrees + Fraction(minutes, 60) + Fraction(seconds) / 3600
    if degrees < 0 or angle > 360:
        raise OutOfRange("angle", f"{float(angle):g} degrees", "must be from 0 to 360 degrees")
    return angle
