"""Ratios of gears, pulleys, leadscrew and apron: kinematics only, exact.

A ratio is turns of the last shaft for one turn of the first. Driving gears stand above the line,
driven gears below it. An idler drops out of the ratio but turns the direction round.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import pi, prod

from assistant.errors import OutOfRange


@dataclass(frozen=True)
class Motion:
    """What a train of gears makes of one turn of its first shaft."""

    ratio: Fraction
    """Turns of the last shaft for one turn of the first, exact, more than 0."""
    same_way: bool
    """True where the last shaft turns the same way as the first."""


def train_ratio(drivers: Sequence[int], driven: Sequence[int]) -> Fraction:
    """Ratio of a compound train: product of the drivers over product of the driven.

    drivers : teeth of the driving gears, spindle side first
    driven  : teeth of the driven gears, in the same order, as many
    Returns : turns of the last shaft per turn of the first, exact
    Raises  : OutOfRange if there is no pair, one side has more gears, or a gear has no teeth
    Valid   : gears in mesh without slip; idlers are left out, as they do not change the ratio
    Source  : F. D. Jones, Turning and Boring (1914), change gears

    >>> train_ratio((40, 50), (100, 60))
    Fraction(1, 3)
    """
    if not drivers or len(drivers) != len(driven):
        raise OutOfRange(
            "gear train",
            f"of {len(drivers)} drivers and {len(driven)} driven",
            "must have one driven gear for each driver, and at least one pair",
        )
    _check_teeth((*drivers, *driven))
    return Fraction(prod(drivers), prod(driven))


def simple_train(teeth: Sequence[int]) -> Motion:
    """Motion through gears in one row, each meshing with the next: first teeth over last teeth.

    teeth   : of the gears in the row, driver first; those between are idlers
    Returns : Motion; each mesh turns the direction round
    Raises  : OutOfRange for fewer than two gears or a gear without teeth
    Valid   : external gears
    Source  : F. D. Jones, Turning and Boring (1914), change gears: idlers change direction only

    >>> simple_train((40, 65, 80))
    Motion(ratio=Fraction(1, 2), same_way=True)
    """
    if len(teeth) < 2:
        raise OutOfRange("gear train", f"of {len(teeth)} gears", "must have at least two gears")
    _check_teeth(teeth)
    return Motion(Fraction(teeth[0], teeth[-1]), len(teeth) % 2 == 1)


def compound_train(pairs: Sequence[Sequence[int]]) -> Motion:
    """Motion through rows of gears one after the other on common studs: product of their ratios.

    pairs   : rows as for `simple_train`, each with its idlers; the last gear of one row shares its
              stud with the first of the next
    Returns : Motion
    Raises  : OutOfRange if there is no row, and as `simple_train`
    Valid   : external gears
    Source  : F. D. Jones, Turning and Boring (1914), change gears

    >>> compound_train(((20, 40), (30, 90)))
    Motion(ratio=Fraction(1, 6), same_way=True)
    """
    if not pairs:
        raise OutOfRange("gear train", "of 0 pairs", "must have at least one pair")
    rows = [simple_train(pair) for pair in pairs]
    reversals = sum(not row.same_way for row in rows)
    return Motion(prod((row.ratio for row in rows), start=Fraction(1)), reversals % 2 == 0)


def lead_cut(train: Fraction, box: Fraction, leadscrew_lead: Fraction) -> Fraction:
    """Lead that the carriage takes on the half-nut: L = train x box x leadscrew lead.

    train          : turns into the feed box per turn of the spindle
    box            : turns of the leadscrew per turn into the box; 1 where there is no box
    leadscrew_lead : mm per turn of the leadscrew (pitch times its starts)
    Returns        : mm per turn of the spindle, exact
    Raises         : OutOfRange if any of them is zero or negative
    Valid          : half-nut closed
    Source         : F. D. Jones, Turning and Boring (1914), change gears

    >>> lead_cut(Fraction(120, 127), Fraction(1), Fraction(127, 40))
    Fraction(3, 1)
    """
    _check_more_than_zero(("train ratio", train), ("box ratio", box))
    _check_more_than_zero(("leadscrew lead, mm", leadscrew_lead))
    return Fraction(train) * box * leadscrew_lead


def train_for_lead(lead: Fraction, box: Fraction, leadscrew_lead: Fraction) -> Fraction:
    """Train ratio that cuts a lead: train = L / (box x leadscrew lead).

    lead           : wanted, mm per turn of the spindle
    box            : turns of the leadscrew per turn into the box
    leadscrew_lead : mm per turn of the leadscrew
    Returns        : turns into the box per turn of the spindle, exact
    Raises         : OutOfRange if any of them is zero or negative
    Valid          : half-nut closed
    Source         : F. D. Jones, Turning and Boring (1914), change gears

    >>> train_for_lead(Fraction(3), Fraction(1), Fraction(127, 30))
    Fraction(90, 127)
    """
    _check_more_than_zero(("lead, mm", lead), ("box ratio", box))
    _check_more_than_zero(("leadscrew lead, mm", leadscrew_lead))
    return Fraction(lead) / (Fraction(box) * leadscrew_lead)


def feed_by_apron(lead: Fraction, apron: Fraction) -> Fraction:
    """Feed through the apron at a gearing that would cut `lead`: f = lead x apron ratio.

    lead    : mm per turn of the spindle that the half-nut would cut with the same levers
    apron   : feed over lead, as the machine's manual gives it, longitudinal or cross
    Returns : mm per turn of the spindle, exact
    Raises  : OutOfRange if either is zero or negative
    Valid   : lathes whose feed is driven by the same box as the leadscrew
    Source  : definition of the ratio; its value is the machine's own

    >>> feed_by_apron(Fraction(2), Fraction(1, 10))
    Fraction(1, 5)
    """
    _check_more_than_zero(("lead, mm", lead), ("apron ratio", apron))
    return Fraction(lead) * apron


def feed_by_rack(
    rod_turns: Fraction, apron: Fraction, pinion_teeth: int, rack_pitch: Fraction
) -> Fraction:
    """Longitudinal feed by pinion and rack: f = rod turns x apron x teeth x rack pitch.

    rod_turns    : turns of the feed rod per turn of the spindle
    apron        : turns of the rack pinion per turn of the feed rod
    pinion_teeth : of the pinion on the rack
    rack_pitch   : mm from tooth to tooth along the rack
    Returns      : mm per turn of the spindle, exact for an exact rack pitch
    Raises       : OutOfRange if any of them is zero or negative
    Valid        : half-nut open; for a rack by module see `feed_by_module_rack`
    Source       : worked by hand: each tooth of the pinion moves the carriage by one rack pitch

    >>> feed_by_rack(Fraction(1, 10), Fraction(1, 24), 12, Fraction(6))
    Fraction(3, 10)
    """
    _check_more_than_zero(("turns of the feed rod", rod_turns), ("apron ratio", apron))
    _check_more_than_zero(("rack pitch, mm", rack_pitch))
    _check_teeth((pinion_teeth,))
    return Fraction(rod_turns) * apron * pinion_teeth * rack_pitch


def feed_by_module_rack(
    rod_turns: Fraction, apron: Fraction, pinion_teeth: int, module: Fraction
) -> float:
    """Longitudinal feed by a rack cut to a module: f = rod turns x apron x teeth x pi x module.

    rod_turns    : turns of the feed rod per turn of the spindle
    apron        : turns of the rack pinion per turn of the feed rod
    pinion_teeth : of the pinion on the rack
    module       : mm, of rack and pinion
    Returns      : mm per turn of the spindle, approximate (pi)
    Raises       : OutOfRange if any of them is zero or negative
    Valid        : half-nut open
    Source       : worked by hand, as `feed_by_rack`; the module is the pitch over pi by definition

    >>> round(feed_by_module_rack(Fraction(1, 10), Fraction(1, 24), 12, Fraction(2)), 5)
    0.31416
    """
    # The rack's pitch is pi times the module, so all but pi is the exact formula for a rack.
    return pi * float(feed_by_rack(rod_turns, apron, pinion_teeth, module))


def cross_feed_by_screw(rod_turns: Fraction, apron: Fraction, screw_lead: Fraction) -> Fraction:
    """Cross feed by the cross slide's screw: f = rod turns x apron x screw lead.

    rod_turns  : turns of the feed rod per turn of the spindle
    apron      : turns of the cross slide's screw per turn of the feed rod
    screw_lead : mm per turn of that screw
    Returns    : mm of slide travel per turn of the spindle, exact; the diameter changes by twice that
    Raises     : OutOfRange if any of them is zero or negative
    Valid      : power cross feed engaged
    Source     : worked by hand: a turn of the screw moves the slide by its lead

    >>> cross_feed_by_screw(Fraction(1, 10), Fraction(1, 4), Fraction(4))
    Fraction(1, 10)
    """
    _check_more_than_zero(("turns of the feed rod", rod_turns), ("apron ratio", apron))
    _check_more_than_zero(("screw lead, mm", screw_lead))
    return Fraction(rod_turns) * apron * screw_lead


def spindle_speed_through(
    motor_speed: Fraction,
    pulleys: Sequence[tuple[Fraction, Fraction]] = (),
    gears: Sequence[tuple[int, int]] = (),
    slip: Fraction = Fraction(0),
) -> Fraction:
    """Spindle speed through belts and gears: n = motor x product(driver / driven) x (1 - slip).

    motor_speed : turns per minute, at load
    pulleys     : (driver, driven) effective diameters in one unit, motor side first
    gears       : (driver, driven) teeth, motor side first
    slip        : of all belts together, 1/50 for two per cent; 0 for none
    Returns     : turns per minute, exact for these figures
    Raises      : OutOfRange if a speed, diameter or tooth number is zero or negative, or slip is
                  outside 0 to below 1
    Valid       : flat and vee belts by effective diameter; toothed belts by teeth
    Source      : worked by hand: belt speed is the same on both pulleys, tooth speed on both gears

    >>> spindle_speed_through(Fraction(1400), [(Fraction(80), Fraction(160))], [(20, 70)])
    Fraction(200, 1)
    """
    _check_more_than_zero(("motor speed, turns a minute", motor_speed))
    for driver, driven in pulleys:
        _check_more_than_zero(("pulley diameter", driver), ("pulley diameter", driven))
    if not 0 <= slip < 1:
        raise OutOfRange("belt slip", f"{float(slip):g}", "must be 0 to below 1")
    belts = prod((Fraction(driver) / driven for driver, driven in pulleys), start=Fraction(1))
    teeth = train_ratio(*zip(*gears, strict=True)) if gears else Fraction(1)
    return Fraction(motor_speed) * belts * teeth * (1 - Fraction(slip))


def _check_teeth(teeth: Sequence[int]) -> None:
    for count in teeth:
        if count < 1:
            raise OutOfRange("gear", f"of {count} teeth", "must have at least 1 tooth")


def _check_more_than_zero(*named: tuple[str, Fraction]) -> None:
    for quantity, given in named:
        if given <= 0:
            raise OutOfRange(quantity, f"{float(given):g}", "must be more than 0")
