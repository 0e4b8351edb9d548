"""What is known of the levers and change gears of the lathe in use, and the plan that was last told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from assistant.core.levers import GearTrain, Move, Setting
from profiles.lathe import Lathe

KNOWN = "known"
"""Name of the setting in an answer that reports where levers stand and wants none moved."""


@dataclass(frozen=True)
class PlanTold:
    """A plan as the operator was told it; nothing of it is taken as done until confirmed."""

    settings: tuple[Setting, ...]
    moves: tuple[Move, ...]
    change_gears: bool
    """True where gears must be mounted before any lever is moved."""
    train: GearTrain | None
    """Change gears that the settings count on; None where they count on none, or on usual ones unknown."""
    mount: str
    """The gears to mount, in words; empty where none change."""

    @property
    def target(self) -> Mapping[str, str]:
        """Lever -> position once the plan is carried out."""
        return {name: place for each in self.settings for name, place in each.levers.items()}


@dataclass(frozen=True)
class SetUp:
    """Levers, change gears and the plan in hand."""

    confirmed: Mapping[str, str] = field(default_factory=dict)
    """Lever -> position as the operator last confirmed it."""
    doubtful: frozenset[str] = frozenset()
    """Levers that a plan told since may have moved: told, and neither confirmed nor told otherwise."""
    mounted: GearTrain | None = None
    """Change gears as last confirmed; None for the usual ones."""
    gears_known: bool = True
    """False where it is not known which change gears are on."""
    plan: PlanTold | None = None
    step: int = 0
    """Step of the plan that was last told; 0 before the first."""

    @property
    def known(self) -> Mapping[str, str]:
        """Lever -> position that may be relied on: confirmed, and in no plan that was told since."""
        return {name: at for name, at in self.confirmed.items() if name not in self.doubtful}


def set_up_at_start(lathe: Lathe) -> SetUp:
    """Nothing known of the levers; a lathe with a feed box is taken to have its usual gears on.

    >>> from profiles.load import find
    >>> set_up_at_start(find("juniper")).gears_known
    False
    """
    return SetUp(gears_known=lathe.gearbox)
