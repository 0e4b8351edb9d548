"""Work diameters on which a knurl closes on a whole number of teeth."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.errors import NoSuchSize, OutOfRange, nearest_names
from assistant.tables import parsed
from assistant.units import MM_PER_INCH


@dataclass(frozen=True)
class Knurl:
    """A knurl by the distance of its teeth round the work."""

    name: str
    diameter_per_tooth: Fraction | float
    """mm of work diameter for each tooth round it; exact for a diametral pitch."""
    source: str


@dataclass(frozen=True)
class KnurlDiameter:
    """A work diameter with a whole number of teeth."""

    teeth: int
    diameter: Fraction | float
    """mm; exact for a diametral pitch, else approximate."""


@dataclass(frozen=True)
class KnurlFit:
    """The neighbouring diameters on which the teeth close."""

    below: KnurlDiameter | None
    """Largest at or below the diameter that was asked; None if there is none."""
    above: KnurlDiameter
    """Smallest above it."""


def knurl_by_pitch(pitch: Fraction, helix_angle: Fraction | float = 0) -> Knurl:
    """The knurl with a tooth distance: D / N = p / (pi cos b).

    pitch       : p, mm square to the teeth, 0.1 to 5
    helix_angle : b, degrees of the teeth to the axis, 0 for straight, 30 for most diamond knurls
    Returns     : Knurl, approximate (pi)
    Raises      : OutOfRange outside those limits, or for an angle beyond 60 degrees
    Source      : geometry of the helix

    >>> round(knurl_by_pitch(Fraction(1)).diameter_per_tooth, 4)
    0.3183
    """
    if not Fraction(1, 10) <= pitch <= 5:
        given = f"{float(pitch):g} mm"
        raise OutOfRange("pitch of knurl", given, "must be from 0.1 to 5 mm")
    if not 0 <= helix_angle <= 60:
        given = f"{float(helix_angle):g} degrees"
        raise OutOfRange("angle of knurl", given, "must be from 0 to 60 degrees")
    round_the_work = float(pitch) / math.cos(math.radians(float(helix_angle)))
    return Knurl(f"{float(pitch):g} mm", round_the_work / math.pi, "geometry of the helix")


def _knurl(cells: dict[str, str]) -> Knurl:
    figure = Fraction(cells["figure"])
    per_tooth: Fraction | float
    if cells["kind"] == "diametral":
        per_tooth = MM_PER_INCH / figure
    else:
        pitch = {"pitch": figure, "per inch": MM_PER_INCH / figure}[cells["kind"]]
        per_tooth = float(pitch) / math.pi
    return Knurl(cells["name"], per_tooth, cells["source"])


@cache
def knurls() -> tuple[Knurl, ...]:
    """Every knurl that is stored by name, straight teeth: a look-up.

    Returns : Knurl each, in the table's order
    Raises  : TableError if the table is broken
    Source  : tables/knurls.csv, a source in every row

    >>> knurls()[0].name
    '0.5 mm'
    """
    return tuple(parsed("knurls.csv", _knurl))


def knurl_named(name: str) -> Knurl:
    """The knurl called `name`: a look-up by its written name.

    name    : '1 mm', 'coarse', '96 DP', …
    Returns : Knurl
    Raises  : NoSuchSize with the nearest names
    Source  : tables/knurls.csv

    >>> knurl_named("96 DP").diameter_per_tooth
    Fraction(127, 480)
    """
    for known in knurls():
        if name.lower() == known.name.lower():
            return known
    near = nearest_names(name, [known.name for known in knurls()])
    allowed = "no knurl of that name is stored"
    raise NoSuchSize("knurl", f"'{name}'", allowed, ", ".join(near) or None)


def knurl_fit(knurl: Knurl, diameter: Fraction | float) -> KnurlFit:
    """The diameters nearest to a wanted one on which whole teeth fit: D = N (D / N), N whole.

    knurl    : what was measured or chosen
    diameter : mm that is wanted before knurling, more than 0
    Returns  : KnurlFit, the diameters at or below and above
    Raises   : OutOfRange for a diameter of zero or less, or above 1000 mm
    Valid    : a starting value: the knurl prints a little off its own pitch, so try it on scrap
    Source   : geometry of the circle; ANSI B94.6 for diametral pitch

    >>> knurl_fit(knurl_named("96 DP"), Fraction(127, 5)).below.teeth
    96
    """
    if not 0 < diameter <= 1000:
        given = f"{float(diameter):g} mm"
        raise OutOfRange("diameter", given, "must be more than 0 and at most 1000 mm")
    per_tooth = knurl.diameter_per_tooth
    teeth = math.floor(diameter / per_tooth)
    below = KnurlDiameter(teeth, teeth * per_tooth) if teeth else None
    return KnurlFit(below, KnurlDiameter(teeth + 1, (teeth + 1) * per_tooth))
