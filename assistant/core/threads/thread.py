"""The types that every family of threads shares."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Thread:
    """One screw thread by its nominal sizes; lengths in mm, exact."""

    designation: str
    """As written on a drawing, without tolerance class: 'M12x1.75', '1/2-13 UNC', 'Tr20x4'."""
    series: str
    """'M', 'UNC', 'UNF', 'UNEF', 'UN', 'UNS', 'BSW', 'BSF', 'G', 'R', 'Rc', 'BA', 'Acme', 'Stub Acme', 'Tr', 'NPT', or 'pitch' where only the pitch is known."""
    form: str
    """Key into tables/thread_forms.yaml: 'iso-60', 'whitworth-55', 'ba-47.5', 'acme-29', 'stub-acme-29', 'trapezoidal-30', 'npt-60'."""
    pitch: Fraction
    """Axial distance between neighbouring thread forms."""
    major_diameter: Fraction | None
    """Nominal (basic) major diameter; None where only the pitch was named."""
    starts: int = 1
    left_hand: bool = False
    taper: Fraction = Fraction(0)
    """Change of diameter per length: 1/16 for NPT and R, 0 for a parallel thread."""
    special: bool = False
    """True where the standard does not list this pitch with this diameter."""

    @property
    def lead(self) -> Fraction:
        """Advance per turn, mm: pitch times starts."""
        return self.pitch * self.starts


@dataclass(frozen=True)
class BasicSizes:
    """Basic diameters of a thread, mm."""

    major_diameter: float
    pitch_diameter: float
    minor_diameter: float
    """External root as the standard's basic minor diameter."""
    minor_diameter_internal: float
    """Basic minor diameter of the nut; the same as above for 60 degree threads."""
    major_diameter_internal: float | None = None
    """Basic major diameter of the nut where it has its own (D4 of a trapezoidal thread)."""


@dataclass(frozen=True)
class Limits:
    """Limits of size, mm; None where the standard sets no limit."""

    minimum: float | None
    maximum: float | None


@dataclass(frozen=True)
class ThreadLimits:
    """Limits of size of one member of a thread in one tolerance class, mm."""

    tolerance_class: str
    """'6g', '2A', 'B', …"""
    internal: bool
    major: Limits
    pitch: Limits
    minor: Limits
    source: str
    """Standard and table or clause."""
