"""A loaded lathe: what the answers need to know of the machine that the operator stands at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from assistant.core.dial_types import Leadscrew, SlideDial, ThreadDial
from assistant.core.levers import GearTrain, Lever, Setting


@dataclass(frozen=True)
class Chuck:
    """A chuck or faceplate."""

    name: str
    diameter: Fraction
    """mm."""
    top_speed: Fraction
    """turns per minute, as the chuck's maker allows."""


@dataclass(frozen=True)
class Reversing:
    """The lever that reverses the leadscrew against the spindle."""

    lever: str
    right_hand: str
    """Position for a right-hand thread, and for a feed towards the headstock."""
    left_hand: str
    neutral: str | None = None


@dataclass(frozen=True)
class SpindleDirection:
    """The lever that starts, reverses and stops the spindle. Swarfside never moves it."""

    lever: str
    forward: str
    reverse: str
    stopped: str | None = None


@dataclass(frozen=True)
class Banjo:
    """What the banjo takes; lengths in mm, None where the shop has not measured it."""

    min_centres: Fraction | None = None
    """Least distance from the stud of a pair of gears to the next shaft."""
    max_centres: Fraction | None = None
    """Greatest such distance."""
    module: Fraction | None = None
    """Of the change gears: two gears of a and b teeth stand module (a + b) / 2 apart."""


@dataclass(frozen=True)
class Lathe:
    """One lathe, checked and computed. Lengths in mm, speeds in turns per minute."""

    name: str
    """Short plain-English nickname, as typed: 'heron'."""
    spoken: tuple[str, ...]
    """How it is called aloud, one or several phrases."""
    description: str
    inch: bool
    """True where the operator's dials and placards are in inches."""
    levers: tuple[Lever, ...]
    speeds: tuple[Setting, ...]
    """Every spindle speed with every lever set that gives it; rising."""
    feeds: tuple[Setting, ...]
    """Longitudinal feeds, mm per turn; rising."""
    cross_feeds: tuple[Setting, ...]
    """Cross feeds, mm per turn; rising."""
    pitches: tuple[Setting, ...]
    """Leads that the half-nut drive cuts, mm per turn; rising. Several settings may give one lead."""
    leadscrew: Leadscrew
    thread_dial: ThreadDial | None
    cross_slide: SlideDial
    compound: SlideDial
    speed_excess: Fraction
    """How far above the ideal a spindle speed may be chosen: 1/10 is ten per cent."""
    chucks: tuple[Chuck, ...] = ()
    motor_power: float | None = None
    """kW at the motor."""
    drive_efficiency: float = 0.75
    """Power at the spindle over power at the motor."""
    distance_between_centres: Fraction | None = None
    swing_over_bed: Fraction | None = None
    swing_over_slide: Fraction | None = None
    tailstock_taper: str | None = None
    tailstock_travel: Fraction | None = None
    gears: tuple[int, ...] = ()
    """Change gears that the shop owns, one entry each."""
    usual_train: GearTrain | None = None
    """End train for which `feeds`, and `pitches` without a train, hold; None without a gearbox."""
    first_ratio: Fraction = Fraction(1)
    """Turns of the first change gear for one turn of the spindle."""
    gearbox: bool = True
    """False where every lead needs its own change gears."""
    banjo: Banjo | None = None
    reversing: Reversing | None = None
    spindle_direction: SpindleDirection | None = None
    extra: Mapping[str, str] = field(default_factory=dict)
    """Free remarks by the shop, shown as they are."""

    @property
    def top_speed(self) -> Fraction:
        """The highest spindle speed, turns per minute."""
        return max(setting.gives for setting in self.speeds)
