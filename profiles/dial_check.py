"""Thread dial, slide dials, chucks and sizes against the rest of the lathe."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from assistant.units import MM_PER_INCH
from profiles.faults import Fault
from profiles.kinematics import MOST_SETTINGS, how_many, speed_listing
from profiles.placard import Path
from profiles.schema import DialGearField, Profile, SlideField, ThreadDialField

DIAL_GEAR_MM = (10, 160)
"""Pitch diameter, teeth x leadscrew pitch / pi, between which a dial gear can be built in."""
METRIC_SCREW_STEP = Fraction(1, 4)
"""Slide screws in mm have a lead of a multiple of this ..."""
METRIC_SCREW_MM = (Fraction(1, 2), Fraction(12))
"""... between these."""
INCH_SCREW_PER_INCH = range(3, 41)
"""Slide screws in inches have a whole number of threads per inch in this range."""


def dial_faults(profile: Profile) -> Iterator[Fault]:
    """Everything that is wrong with the dials, the chucks and the sizes of `profile`."""
    if profile.thread_dial is not None:
        yield from _face_faults(profile.thread_dial)
        yield from _gear_faults(profile.thread_dial, profile)
    for field, slide in (("cross_slide", profile.cross_slide), ("compound", profile.compound)):
        yield from _slide_faults(field, slide)
    yield from _cross_screw_faults(profile)
    yield from _chuck_faults(profile)
    over_bed, over_slide = profile.swing_over_bed, profile.swing_over_slide
    if over_bed and over_slide and over_slide.value >= over_bed.value:
        yield Fault(
            ("swing_over_slide",),
            f'swing over the slide "{over_slide.text}" is not under the swing over the bed '
            f'"{over_bed.text}"; exchange them',
        )


def _face_faults(dial: ThreadDialField) -> Iterator[Fault]:
    path: Path = ("thread_dial",)
    for label, count in Counter(filter(None, dial.marks)).items():
        if count > 1:
            yield Fault(
                (*path, "marks"), f'mark "{label}" stands {count} times; number each mark once'
            )
    places = dial.places
    if len(places) != len(dial.marks):
        yield Fault(
            (*path, "positions"),
            f"there are {len(places)} positions for {len(dial.marks)} marks; give one for each",
        )
        return
    for index, place in enumerate(places):
        if place >= 1:
            yield Fault(
                (*path, "positions", index),
                f"position {place} is not under one turn; count from the first mark",
            )
    for index, (before, place) in enumerate(pairwise(places), start=1):
        if place <= before:
            yield Fault(
                (*path, "positions", index),
                f"position {place} comes after {before}; list the marks as they pass the index",
            )


def _gear_faults(dial: ThreadDialField, profile: Profile) -> Iterator[Fault]:
    path: Path = ("thread_dial", "gears")
    names = [gear.name for gear in dial.gears]
    if len(names) > 1 and (None in names or len(set(names)) < len(names)):
        yield Fault(path, "several pick-off gears need names that differ; give each its name")
    if len(dial.places) == len(dial.marks):
        yield from _whole_tooth_faults(dial)
    for index, gear in enumerate(dial.gears):
        yield from _plausible_faults((*path, index), gear, profile)


def _whole_tooth_faults(dial: ThreadDialField) -> Iterator[Fault]:
    """Marks at which no half-nut can close: it closes only where a whole tooth has passed."""
    for index, place in enumerate(dial.places):
        if any((place * gear.teeth).denominator == 1 for gear in dial.gears):
            continue
        gear = dial.gears[0]
        name = f'mark "{dial.marks[index]}"' if dial.marks[index] else f"plain mark {index + 1}"
        which = (
            f"{float(place * gear.teeth):.4g} teeth of the gear of {gear.teeth}"
            if len(dial.gears) == 1
            else "no whole number of teeth of any gear"
        )
        yield Fault(
            ("thread_dial", "marks", index),
            f"{name} stands at {which} from the first; marks sit on whole teeth, "
            "so correct the marks or the teeth",
        )
    if len(dial.gears) == 1 or len(dial.marks) == 1:
        return
    for index, gear in enumerate(dial.gears):
        whole = [place for place in dial.places if (place * gear.teeth).denominator == 1]
        if len(whole) < 2:
            yield Fault(
                ("thread_dial", "gears", index),
                f"with {gear.teeth} teeth only the first mark sits on a whole tooth; "
                "correct the teeth or the marks",
            )


def _plausible_faults(path: Path, gear: DialGearField, profile: Profile) -> Iterator[Fault]:
    pitch = profile.leadscrew.pitch.value
    per_inch = MM_PER_INCH / pitch
    if per_inch.denominator == 1 and gear.teeth % per_inch.numerator:
        yield Fault(
            path,
            f"a dial gear of {gear.teeth} teeth on a screw of {per_inch} per inch does not turn "
            f"once in whole inches; expected a multiple of {per_inch}",
            stops=False,
        )
    diameter = gear.teeth * float(pitch) / math.pi
    least, most = DIAL_GEAR_MM
    if not least <= diameter <= most:
        yield Fault(
            path,
            f"a dial gear of {gear.teeth} teeth on this leadscrew would be {diameter:.0f} mm "
            f"across; expected {least} to {most} mm",
            stops=False,
        )


def _screw_lead(slide: SlideField) -> Fraction:
    """mm that the slide moves in one turn of its collar, exact."""
    turn = slide.division.value * slide.divisions
    return turn / 2 if slide.reads == "diameter" else turn


def _slide_faults(field: str, slide: SlideField) -> Iterator[Fault]:
    lead = _screw_lead(slide)
    least, most = METRIC_SCREW_MM
    metric = (lead / METRIC_SCREW_STEP).denominator == 1 and least <= lead <= most
    per_inch = MM_PER_INCH / lead
    inch = per_inch.denominator == 1 and per_inch.numerator in INCH_SCREW_PER_INCH
    if not metric and not inch:
        yield Fault(
            (field, "divisions"),
            f'{slide.divisions} divisions of "{slide.division.text}" reading {slide.reads} make a '
            f"screw of {float(lead):.5g} mm ({float(per_inch):.4g} per inch) lead, which no slide "
            "has; correct division, divisions or reads",
            stops=False,
        )


def _cross_screw_faults(profile: Profile) -> Iterator[Fault]:
    gearing = profile.feed.kinematics
    drive = None if gearing is None else gearing.cross_feeds
    if drive is None or drive.screw is None:
        return
    lead = _screw_lead(profile.cross_slide)
    if drive.screw.value != lead:
        yield Fault(
            ("feed", "kinematics", "cross_feeds", "screw"),
            f'the cross-slide screw is "{drive.screw.text}", but its dial makes it '
            f"{float(lead):.5g} mm; correct the screw or the dial",
        )


def _chuck_faults(profile: Profile) -> Iterator[Fault]:
    # Too many settings to list are reported with the tables.
    few = how_many(profile) <= MOST_SETTINGS
    speeds = speed_listing(profile).settings if few else ()
    names = Counter(chuck.name for chuck in profile.chucks)
    for index, chuck in enumerate(profile.chucks):
        path: Path = ("chucks", index)
        if names[chuck.name] > 1:
            yield Fault(
                (*path, "name"), f'"{chuck.name}" stands more than once; give each its own name'
            )
        if speeds and chuck.top_speed.value < speeds[0].gives:
            yield Fault(
                (*path, "top_speed"),
                f'"{chuck.name}" may turn at most "{chuck.top_speed.text}", under the lowest speed '
                f"of {float(speeds[0].gives):.4g} rpm; it can never be used on this lathe",
                stops=False,
            )
        swing = profile.swing_over_bed
        if swing is not None and chuck.diameter.value > swing.value:
            yield Fault(
                (*path, "diameter"),
                f'"{chuck.name}" of "{chuck.diameter.text}" does not swing over the bed, '
                f'which takes "{swing.text}"; correct one of them',
                stops=False,
            )
