"""What can be asked about fits, tolerances, tapers, and what to take off to reach a size."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar

from assistant.query import Query
from assistant.units import Quantity


@dataclass(frozen=True, kw_only=True)
class FitOf(Query):
    """Limits of a hole, of a shaft, or of both together, in ISO tolerance zones."""

    kind: ClassVar[str] = "fit"
    size: Quantity
    hole: str | None = None
    """Zone of the hole: 'H7'."""
    shaft: str | None = None
    """Zone of the shaft: 'g6'."""
    zone: str | None = None
    """Zone that was said without hole or shaft, in small letters; to be asked about."""


@dataclass(frozen=True, kw_only=True)
class InchFitOf(Query):
    """Limits of hole and shaft in a class of inch fit."""

    kind: ClassVar[str] = "fit"
    size: Quantity
    fit_class: str
    """'RC4', 'LC2', …"""


@dataclass(frozen=True, kw_only=True)
class GeneralToleranceOf(Query):
    """What a dimension without a tolerance of its own may be off."""

    kind: ClassVar[str] = "fit"
    size: Quantity
    """Length, or the shorter leg of an angle."""
    tolerance_class: str
    """'f', 'm', 'c' or 'v'."""
    of: str = "length"
    """'length' or 'angle'."""


@dataclass(frozen=True, kw_only=True)
class SizeWanted:
    """A size that is wanted, plain or in a zone."""

    wanted: Quantity
    hole: str | None = None
    """Zone wanted in a bore: 'H7'."""
    shaft: str | None = None
    """Zone wanted outside: 'h7'."""
    zone: str | None = None
    """Zone said without hole or shaft; a bore takes it as a hole."""
    internal: bool = False
    """True for a bore."""


@dataclass(frozen=True, kw_only=True)
class ToSizeFrom(SizeWanted, Query):
    """What to take off from the size measured to the size wanted."""

    kind: ClassVar[str] = "size"
    any_figure: ClassVar[bool] = True
    measured_size: Quantity
    cut: Quantity | None = None
    """Depth of one pass, per side."""


@dataclass(frozen=True, kw_only=True)
class StartTurning(SizeWanted, Query):
    """Lead from the present diameter to the one wanted, cut by cut."""

    kind: ClassVar[str] = "start"
    start_diameter: Quantity
    cut_length: Quantity | None = None
    material: str | None = None
    """Key in tables/materials.csv; None: the material in hand."""


def wanted_in_mm(query: ToSizeFrom | StartTurning) -> bool:
    """True where the wanted size was said with an ISO zone and without a unit."""
    in_zone = bool(query.hole or query.shaft or query.zone)
    return in_zone and "unit-mm" in query.assumed and f"{query.wanted.units:~}" == "mm"


@dataclass(frozen=True, kw_only=True)
class ColdSizeOf(Query):
    """What warm work will measure at 20 degrees Celsius."""

    kind: ClassVar[str] = "size"
    diameter: Quantity
    """As measured warm."""
    material: str
    """Key in tables/materials.csv."""
    temperature: Fraction
    """Degrees of the scale below."""
    temperature_scale: str = "celsius"
    """'celsius' or 'fahrenheit'."""


@dataclass(frozen=True, kw_only=True)
class TaperStated:
    """A taper as it was stated: by name, ratio, per foot, angle or two diameters."""

    taper_name: str | None = None
    """'MT3', 'Jarno 7', …"""
    ratio_diameter: Fraction | None = None
    ratio_length: Fraction | None = None
    per_foot: Quantity | None = None
    """Of diameter per foot of length."""
    included_angle: Fraction | None = None
    """Degrees."""
    half_angle: Fraction | None = None
    """Degrees."""
    angle: Fraction | None = None
    """Degrees; said without included or half, to be asked about."""
    large: Quantity | None = None
    small: Quantity | None = None
    run: Quantity | None = None
    """Length between the two diameters."""


@dataclass(frozen=True, kw_only=True)
class TaperFor(TaperStated, Query):
    """Compound angle, taper per foot and the rest of a taper."""

    kind: ClassVar[str] = "taper"


@dataclass(frozen=True, kw_only=True)
class SetOverFor(TaperStated, Query):
    """How far to set the tailstock over."""

    kind: ClassVar[str] = "taper"
    overall: Quantity | None = None
    """Length of the whole work between centres."""


@dataclass(frozen=True, kw_only=True)
class DiameterOnTaper(TaperStated, Query):
    """The diameter of a taper at a distance from its large or small end."""

    kind: ClassVar[str] = "taper"
    distance: Quantity
    from_end: str = "large"
    """'large' or 'small'."""


@dataclass(frozen=True, kw_only=True)
class IndicatorFor(TaperStated, Query):
    """What an indicator shows over a travel along a taper."""

    kind: ClassVar[str] = "taper"
    travel: Quantity


@dataclass(frozen=True, kw_only=True)
class SineBarFor(TaperStated, Query):
    """Height of gauge blocks under a sine bar for a taper's included angle, or an angle."""

    kind: ClassVar[str] = "taper"
    sine_bar: Quantity
    """Length between the rollers."""


@dataclass(frozen=True, kw_only=True)
class GapOnTaper(TaperStated, Query):
    """What to take off so that a gauge goes on farther."""

    kind: ClassVar[str] = "taper"
    gap: Quantity
