"""From the checked fields of a profile to the Lathe that the answers use."""

from __future__ import annotations

from fractions import Fraction

from assistant.core.dial_types import DialGear, DialMark, Leadscrew, SlideDial, ThreadDial
from assistant.core.levers import Lever, WhenToShift
from assistant.units import MM_PER_INCH
from profiles.exact import Printed
from profiles.kinematics import listings
from profiles.lathe import Banjo, Chuck, Lathe, Reversing, SpindleDirection
from profiles.schema import (
    BanjoField,
    DirectionField,
    LeverField,
    Profile,
    ReversingField,
    SlideField,
    ThreadDialField,
)


def lathe(profile: Profile) -> Lathe:
    """The Lathe that `profile` describes; speeds, leads and feeds computed exactly and sorted."""
    speeds, leads, feeds, cross_feeds = listings(profile)
    kinematics, change_gears = profile.feed.kinematics, profile.feed.change_gears
    motor = profile.motor
    screw = profile.leadscrew
    return Lathe(
        name=profile.name,
        spoken=profile.spoken or (profile.name,),
        description=profile.description,
        inch=profile.units == "inch",
        levers=tuple(_lever(field) for field in profile.levers),
        speeds=speeds.settings,
        feeds=feeds.settings,
        cross_feeds=cross_feeds.settings,
        pitches=leads.settings,
        leadscrew=Leadscrew(screw.pitch.value, screw.starts),
        thread_dial=None if profile.thread_dial is None else _thread_dial(profile.thread_dial),
        cross_slide=_slide(profile.cross_slide),
        compound=_slide(profile.compound),
        speed_excess=profile.speed_excess,
        chucks=tuple(
            Chuck(chuck.name, chuck.diameter.value, chuck.top_speed.value)
            for chuck in profile.chucks
        ),
        motor_power=None if motor is None else float(motor.power.value),
        drive_efficiency=0.75 if motor is None else float(motor.drive_efficiency),
        distance_between_centres=_value(profile.distance_between_centres),
        swing_over_bed=_value(profile.swing_over_bed),
        swing_over_slide=_value(profile.swing_over_slide),
        tailstock_taper=profile.tailstock.taper,
        tailstock_travel=_value(profile.tailstock.travel),
        gears=tuple(sorted(profile.gears)),
        usual_train=None if kinematics is None else kinematics.end_train,
        first_ratio=Fraction(1) if change_gears is None else change_gears.first,
        gearbox=change_gears is None,
        banjo=None if profile.banjo is None else _banjo(profile.banjo),
        reversing=_reversing(profile.feed.reversing),
        spindle_direction=_direction(profile.spindle.direction),
        extra=profile.remarks,
    )


def _value(figure: Printed | None) -> Fraction | None:
    return None if figure is None else figure.value


def _lever(field: LeverField) -> Lever:
    return Lever(
        name=field.name,
        group=field.group,
        positions=field.positions,
        when=WhenToShift(field.when),
        spoken=field.spoken,
        spoken_positions=field.spoken_positions,
    )


def _thread_dial(field: ThreadDialField) -> ThreadDial:
    return ThreadDial(
        gears=tuple(DialGear(gear.name, gear.teeth) for gear in field.gears),
        marks=tuple(
            DialMark(label, place) for label, place in zip(field.marks, field.places, strict=True)
        ),
    )


def _slide(field: SlideField) -> SlideDial:
    return SlideDial(field.division.value, field.divisions, field.reads)


def _banjo(field: BanjoField) -> Banjo:
    module = _value(field.module)
    if field.diametral_pitch is not None:
        module = MM_PER_INCH / field.diametral_pitch
    return Banjo(_value(field.min_centres), _value(field.max_centres), module)


def _reversing(field: ReversingField | None) -> Reversing | None:
    if field is None:
        return None
    return Reversing(field.lever, field.right_hand, field.left_hand, field.neutral)


def _direction(field: DirectionField | None) -> SpindleDirection | None:
    if field is None:
        return None
    return SpindleDirection(field.lever, field.forward, field.reverse, field.stopped)
