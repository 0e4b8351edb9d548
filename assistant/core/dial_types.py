"""What a lathe's dials are: the thread dial and the graduated collars of the slides."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class DialMark:
    """One line on the face of the thread dial."""

    label: str
    """What is engraved beside it; empty for a plain line."""
    position: Fraction
    """Fraction of a turn of the dial from the first mark, 0 <= position < 1."""

    @property
    def numbered(self) -> bool:
        """True where the line carries a label."""
        return self.label != ""


@dataclass(frozen=True)
class DialGear:
    """A pick-off gear that can be meshed with the leadscrew."""

    name: str | None
    """Name where the lathe has several to choose from; None where there is one."""
    teeth: int


@dataclass(frozen=True)
class ThreadDial:
    """The thread dial: one face, one or several pick-off gears."""

    gears: tuple[DialGear, ...]
    marks: tuple[DialMark, ...]
    """In the order in which they pass the index."""


@dataclass(frozen=True)
class Leadscrew:
    """The leadscrew."""

    pitch: Fraction
    """mm, of one thread."""
    starts: int = 1

    @property
    def lead(self) -> Fraction:
        """mm per turn."""
        return self.pitch * self.starts


@dataclass(frozen=True)
class SlideDial:
    """The graduated collar of a slide."""

    division: Fraction
    """mm that one division stands for, as it reads."""
    divisions: int
    """Divisions in one turn of the collar."""
    reads: str
    """'diameter' (a division takes that much off the diameter) or 'radius' (slide travel)."""
