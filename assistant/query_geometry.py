"""What can be asked about shop geometry, and about other units than lengths."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar

from assistant.query import Query
from assistant.units import Quantity


@dataclass(frozen=True, kw_only=True)
class BoltCircleOf(Query):
    """Places of holes on a circle, and the chord between them."""

    kind: ClassVar[str] = "geometry"
    holes: int
    circle_diameter: Quantity
    start_angle: Fraction = Fraction(0)
    """Degrees of the first hole, counter-clockwise from three o'clock."""


@dataclass(frozen=True, kw_only=True)
class FlatsOf(Query):
    """Round stock for a polygon across flats, or the largest polygon in round stock."""

    kind: ClassVar[str] = "geometry"
    sides: int
    flats: Quantity | None = None
    """Size across flats that is wanted."""
    round_stock: Quantity | None = None
    """Stock that is at hand."""


@dataclass(frozen=True, kw_only=True)
class BallOf(Query):
    """Steps to turn a ball, its length to a neck, or its diameter at a place."""

    kind: ClassVar[str] = "geometry"
    ball: Quantity
    neck: Quantity | None = None
    place: Quantity | None = None
    """Distance from the end of the ball."""


@dataclass(frozen=True, kw_only=True)
class KnurlOn(Query):
    """Work diameters on which a knurl closes."""

    kind: ClassVar[str] = "geometry"
    diameter: Quantity
    knurl_name: str | None = None
    """'coarse', '96 DP', …"""
    knurl_pitch: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class CentreDrillFor(Query):
    """Which centre drill for this work, and how deep."""

    kind: ClassVar[str] = "geometry"
    diameter: Quantity


@dataclass(frozen=True, kw_only=True)
class KeyseatFor(Query):
    """Width and depth of the keyseat in this shaft."""

    kind: ClassVar[str] = "geometry"
    diameter: Quantity


@dataclass(frozen=True, kw_only=True)
class UnitConversion(Query):
    """An amount in another unit: speed, torque, pressure, mass, force, power, volume, temperature."""

    kind: ClassVar[str] = "convert"
    any_figure: ClassVar[bool] = True
    number: Fraction
    from_unit: str
    """Key of the unit; see `assistant.core.conversions.units`."""
    to_unit: str


@dataclass(frozen=True, kw_only=True)
class TenthsConversion(Query):
    """'Six tenths', 'four hundredths': of an inch, of a thou, or of a millimetre? It is asked."""

    kind: ClassVar[str] = "convert"
    any_figure: ClassVar[bool] = True
    tenths: int
    """How many."""
    parts: int = 10
    """10 for tenths, 100 for hundredths."""
    to: str


@dataclass(frozen=True, kw_only=True)
class HardnessConversion(Query):
    """A hardness on another scale."""

    kind: ClassVar[str] = "convert"
    any_figure: ClassVar[bool] = True
    hardness: Fraction
    from_scale: str
    """'HRC', 'HRB', 'HV' or 'HB'."""
    to_scale: str


@dataclass(frozen=True, kw_only=True)
class AngleConversion(Query):
    """An angle as decimal degrees, or as degrees, minutes and seconds."""

    kind: ClassVar[str] = "convert"
    any_figure: ClassVar[bool] = True
    angle: Fraction
    """Degrees."""
    to: str
    """'decimal' or 'minutes'."""
