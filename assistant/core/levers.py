"""Levers, the settings they give, and the moves between settings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction


class WhenToShift(Enum):
    """When a lever may be moved; the values are the words of the answer's JSON."""

    STOPPED = "stopped"
    BY_HAND = "by-hand"
    """Stopped, and the chuck turned by hand or jogged until the teeth meet."""
    SLOW = "slow"
    """Running slowly."""
    ANY = "any"


@dataclass(frozen=True)
class Lever:
    """One lever, knob, or belt of a lathe."""

    name: str
    """As on this lathe's placard."""
    group: str
    """'spindle' (sets the speed), 'feed' (sets pitch and feed) or 'direction'."""
    positions: tuple[str, ...]
    """Position names in the order in which they lie."""
    when: WhenToShift = WhenToShift.STOPPED
    spoken: str | None = None
    """How the name is said, if not as written."""
    spoken_positions: Mapping[str, str] = field(default_factory=dict)
    """How a position is said, where not as written."""


@dataclass(frozen=True)
class GearTrain:
    """Change gears between spindle and feed box: motion goes driver -> driven for each pair."""

    drivers: tuple[int, ...]
    """Teeth of the driving gears, spindle side first."""
    driven: tuple[int, ...]
    """Teeth of the driven gears, in the same order."""

    @property
    def ratio(self) -> Fraction:
        """Turns of the last driven gear for one turn of the first driver, exact.

        >>> GearTrain((40,), (127,)).ratio
        Fraction(40, 127)
        """
        ratio = Fraction(1)
        for driver, driven in zip(self.drivers, self.driven, strict=True):
            ratio *= Fraction(driver, driven)
        return ratio


@dataclass(frozen=True)
class Setting:
    """Lever positions, and perhaps change gears, that give one speed, feed or pitch."""

    gives: Fraction
    """turns per minute (speed), mm per turn (feed, and lead of a thread), exact."""
    levers: Mapping[str, str]
    """Lever name -> position name; only the levers that matter for it."""
    train: GearTrain | None = None
    """Change gears to mount; None where the usual ones stay or there are none."""


@dataclass(frozen=True)
class Move:
    """One lever to move."""

    lever: str
    to: str
    when: WhenToShift
    start: str | None = None
    """Where it stands now; None if not known."""
