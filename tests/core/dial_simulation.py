"""A lathe with a thread dial, turned step by step; it knows nothing of the rule in core/thread_dial.

Spindle, leadscrew, carriage and dial are counters in one small unit of length. A pass is cut with
the half-nut closed, the carriage is cranked back while the spindle runs on, and then every moment
is looked at in which the half-nut could drop in while a mark stands at the index. What counts is
where the tool would then stand against the groove that it cut before.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from assistant.core.dial_types import Leadscrew, ThreadDial

CUT_THREADS = 3
"""Threads of the leadscrew that the first pass runs along, and a third of one more."""
CRANK_SPEED = 2
"""Cranking back, in units of the leadscrew's own travel."""


@dataclass
class SimulatedLathe:
    """Counters of a lathe while it runs, all in the same unit of length."""

    unit: Fraction
    """mm of one unit."""
    lead: int
    """Units that the work's groove moves along in one turn of the spindle."""
    screw_pitch: int
    """Units between neighbouring threads of the leadscrew."""
    dial_turn: int
    """Units of travel along the leadscrew that turn the dial once."""
    groove: int = 0
    """Units that the groove has moved since the first closing."""
    screw: int = 0
    """Units that the leadscrew's threads have moved."""
    carriage: int = 0
    """Units that the carriage has moved."""
    dial: int = 0
    """Units that have gone by at the dial."""

    def turn(self, units: int, carriage_moves: int) -> None:
        """Run the spindle on until the groove has moved `units`; the carriage goes its own way."""
        self.groove += units
        self.screw += units
        self.carriage += carriage_moves
        self.dial += units - carriage_moves

    def half_nut_drops_in(self) -> bool:
        """Whether the threads of half-nut and leadscrew stand opposite each other."""
        return (self.screw - self.carriage) % self.screw_pitch == 0

    def tool_behind_groove(self) -> int:
        """Units by which the tool trails the nearest groove ahead of it, below one lead."""
        return (self.groove - self.carriage) % self.lead


def built(lead: Fraction, leadscrew: Leadscrew, teeth: int) -> SimulatedLathe:
    """A lathe geared so that the leadscrew carries the carriage `lead` for a turn of the spindle."""
    # A third of a screw thread must be whole too, so that passes may end between threads.
    unit = Fraction(1, lcm(lead.denominator, (leadscrew.pitch / 3).denominator))
    pitch = int(leadscrew.pitch / unit)
    screw_turns_per_spindle_turn = lead / leadscrew.lead
    per_turn = screw_turns_per_spindle_turn * leadscrew.starts * pitch
    # A worm with several starts moves the dial's gear by as many teeth in each turn.
    return SimulatedLathe(unit, int(per_turn), pitch, teeth * pitch)


def offsets_seen(
    lead: Fraction,
    leadscrew: Leadscrew,
    teeth: int,
    dial: ThreadDial,
    first: int = 0,
    dial_turns: int = 3,
) -> tuple[frozenset[Fraction], ...]:
    """For each mark, how far (mm) the tool would trail its groove at the moments it could be closed on.

    lead       : mm per turn of the spindle
    leadscrew  : pitch and starts
    teeth      : of the dial gear
    dial       : its face
    first      : index of the mark of the first closing
    dial_turns : how many turns of the dial are watched
    """
    lathe = built(lead, leadscrew, teeth)
    start = dial.marks[first].position
    marks_at: dict[int, int] = {}
    for index, mark in enumerate(dial.marks):
        place = (mark.position - start) % 1 * lathe.dial_turn
        if place.denominator == 1:
            marks_at[int(place)] = index
    third = lathe.screw_pitch // 3
    for _ in range(3 * CUT_THREADS + 1):
        lathe.turn(third, third)
    for _ in range(2):
        lathe.turn(third, -CRANK_SPEED * third)
    while not lathe.half_nut_drops_in():
        lathe.turn(third, 0)
    seen: list[set[int]] = [set() for _ in dial.marks]
    for _ in range(dial_turns * teeth):
        index = marks_at.get(lathe.dial % lathe.dial_turn, -1)
        if index >= 0 and lathe.half_nut_drops_in():
            seen[index].add(lathe.tool_behind_groove())
        lathe.turn(lathe.screw_pitch, 0)
    return tuple(frozenset(units * lathe.unit for units in offsets) for offsets in seen)


def safe_marks(
    lead: Fraction,
    leadscrew: Leadscrew,
    teeth: int,
    dial: ThreadDial,
    first: int = 0,
    dial_turns: int = 3,
) -> tuple[bool, ...]:
    """For each mark, whether the tool met its groove at every closing, and there was one."""
    seen = offsets_seen(lead, leadscrew, teeth, dial, first, dial_turns)
    return tuple(offsets == {0} for offsets in seen)
