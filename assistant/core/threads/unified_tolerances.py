"""Limits of size of Unified threads: the tolerance formulas of ASME B1.1, stacked as it prints them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.threads import forms, inch_sizes, unified
from assistant.core.threads.thread import Limits, Thread, ThreadLimits
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed
from assistant.units import MM_PER_INCH, inches

CLASSES = "unified_classes.csv"
ENGAGEMENT = "unified_engagement.csv"
SOURCE = "ASME B1.1 formulas; its printed limits may differ by 0.0001 inch"

THREE_PLACES_FROM = inches(Fraction(138, 1000))
"""From #6 on, minor diameters of nuts are printed to 0.001 inch (3B: the smallest only)."""
ROUNDED_ROOT_DROP = 11 / 8
"""Screw of class 2A or 3A with rounded root (UNR): major diameter less minor, in heights H."""


@dataclass(frozen=True)
class ToleranceClass:
    """A tolerance class of ASME B1.1."""

    name: str
    """'2A', '3B', …"""
    internal: bool
    pitch_factor: Fraction
    """Pitch diameter tolerance as a multiple of that of class 2A."""
    allowance: Fraction
    """Share of the class 2A pitch diameter tolerance that the screw stays below basic."""
    crest_factor: Fraction | None
    """Factor of P^(2/3) in a screw's major diameter tolerance; None for a nut."""
    series: tuple[str, ...]
    smallest: Fraction
    """Smallest basic major diameter that has the class, mm."""


def _class(row: dict[str, str]) -> ToleranceClass:
    return ToleranceClass(
        name=row["class"],
        internal={"screw": False, "nut": True}[row["member"]],
        pitch_factor=Fraction(row["pitch_factor"]),
        allowance=Fraction(row["allowance"]),
        crest_factor=Fraction(row["crest_factor"]) if row["crest_factor"] else None,
        series=tuple(row["series"].split()),
        smallest=inches(Fraction(row["smallest"])),
    )


@cache
def _classes() -> tuple[ToleranceClass, ...]:
    return tuple(parsed(CLASSES, _class))


def classes(thread: Thread) -> tuple[str, ...]:
    """Tolerance classes that ASME B1.1 has for a thread.

    thread  : a Unified thread
    Returns : names, screws first
    Raises  : OutOfRange if the thread is not a Unified one
    Valid   : Unified threads
    Source  : ASME B1.1, tables/unified_classes.csv

    >>> classes(unified.standard("1/2", Fraction(28)))
    ('2A', '3A', '2B', '3B')
    """
    major = unified.check_unified(thread)
    return tuple(
        one.name for one in _classes() if thread.series in one.series and major >= one.smallest
    )


def tolerance_class(thread: Thread, name: str) -> ToleranceClass:
    """The tolerance class of a name, if the thread has it.

    thread  : a Unified thread
    name    : '1A' '2A' '3A' for a screw, '1B' '2B' '3B' for a nut, in any case
    Returns : ToleranceClass
    Raises  : NoSuchSize if there is no such class, or not for this series or size, with those
              that there are; OutOfRange if the thread is not a Unified one
    Valid   : Unified threads
    Source  : ASME B1.1, tables/unified_classes.csv

    >>> tolerance_class(unified.standard("1/2", Fraction(13)), "2a").pitch_factor
    Fraction(1, 1)
    """
    known = {one.name: one for one in _classes()}
    wanted = name.strip().upper()
    having = classes(thread)
    if wanted not in known:
        usual = "2B" if wanted.endswith("B") else "2A"
        raise NoSuchSize("tolerance class", repr(name), f"ASME B1.1 has {', '.join(known)}", usual)
    if wanted not in having:
        raise NoSuchSize(
            "tolerance class",
            wanted,
            f"ASME B1.1 does not have it for {thread.designation}",
            ", ".join(having),
        )
    return known[wanted]


def _in_inches(length: Fraction) -> float:
    return float(length / MM_PER_INCH)


def _four_places(number: Fraction | float) -> Fraction:
    return Fraction(round(number * 10_000), 10_000)


def engagement(thread: Thread) -> Fraction:
    """Length of engagement for which the standard limits hold: D, or 9 P.

    thread  : a Unified thread
    Returns : mm, exact
    Raises  : OutOfRange if the thread is not a Unified one
    Valid   : D for UNC, UNF and 4-, 6-, 8-UN; 9 P for the rest
    Source  : ASME B1.1, tables/unified_engagement.csv

    >>> engagement(unified.standard("1", Fraction(8)))
    Fraction(127, 5)
    """
    major = unified.check_unified(thread)
    text = str(inch_sizes.per_inch(thread.pitch))
    found = next(
        length
        for series, tpi, length in parsed(
            ENGAGEMENT, lambda row: (row["series"], row["tpi"], row["engagement"])
        )
        if series == thread.series and tpi in (text, "any")
    )
    return major if found == "diameter" else Fraction(found) * thread.pitch


def _pitch_tolerance_2a(thread: Thread) -> Fraction:
    """Class 2A tolerance, inch, to the six places to which the standard carries it."""
    diameter = _in_inches(unified.check_unified(thread))
    length = _in_inches(engagement(thread))
    pitch = _in_inches(thread.pitch)
    tolerance = 0.0015 * diameter ** (1 / 3) + 0.0015 * length**0.5 + 0.015 * pitch ** (2 / 3)
    return Fraction(round(tolerance * 1_000_000), 1_000_000)


def pitch_tolerance(thread: Thread, name: str) -> Fraction:
    """Pitch diameter tolerance: c (0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3)), inch.

    thread  : a Unified thread
    name    : tolerance class; c is 1.5, 1, 0.75 for 1A, 2A, 3A and 1.95, 1.3, 0.975 for 1B, 2B, 3B
    Returns : mm, rounded to 0.0001 inch
    Raises  : NoSuchSize as `tolerance_class`
    Valid   : single-start threads, the length of engagement of `engagement`
    Source  : ASME B1.1, pitch diameter tolerances

    >>> round(float(pitch_tolerance(unified.standard("1/2", Fraction(13)), "2B") / MM_PER_INCH), 4)
    0.0065
    """
    factor = tolerance_class(thread, name).pitch_factor
    return inches(_four_places(factor * _pitch_tolerance_2a(thread)))


def allowance(thread: Thread, name: str) -> Fraction:
    """Allowance of a screw: 0.3 of the class 2A pitch diameter tolerance in classes 1A and 2A.

    thread  : a Unified thread
    name    : tolerance class
    Returns : mm, rounded to 0.0001 inch; 0 for 3A and for nuts
    Raises  : NoSuchSize as `tolerance_class`
    Valid   : single-start threads
    Source  : ASME B1.1, allowances

    >>> round(float(allowance(unified.standard("1/2", Fraction(13)), "2A") / MM_PER_INCH), 4)
    0.0015
    """
    # The rounded tolerance is taken, not the one to six places: 5/8-11 is printed with 0.0016.
    share = tolerance_class(thread, name).allowance
    return inches(_four_places(share * _four_places(_pitch_tolerance_2a(thread))))


def _nut_minor_tolerance(diameter: float, pitch: float, fine_class: bool) -> float:
    """Minor diameter tolerance of a nut, inch; 3B is the fine class."""
    general = 0.05 * math.pow(pitch, 2 / 3) + 0.03 * pitch / diameter - 0.002
    most = 0.394 * pitch
    coarse_pitch = pitch > 1 / 12.5
    if fine_class:
        least = 0.12 * pitch if coarse_pitch else 0.23 * pitch - 1.5 * pitch**2
        return min(max(general, least), most)
    usual = 0.25 * pitch - 0.4 * pitch**2
    return usual if diameter >= 0.25 else min(max(general, usual), most)


def _screw_limits(thread: Thread, cls: ToleranceClass) -> ThreadLimits:
    room = allowance(thread, cls.name)
    major = inch_sizes.printed(float(unified.check_unified(thread))) - room
    drop = forms.form(thread.form).pitch_diameter_drop * float(thread.pitch)
    basic_pitch = inch_sizes.printed(float(unified.check_unified(thread)) - drop) - room
    crest = float(cls.crest_factor or 0) * _in_inches(thread.pitch) ** (2 / 3)
    pitch_minimum = basic_pitch - pitch_tolerance(thread, cls.name)
    minor_drop = forms.form(thread.form).minor_diameter_drop * float(thread.pitch)
    return ThreadLimits(
        tolerance_class=cls.name,
        internal=False,
        major=Limits(float(major - inches(_four_places(crest))), float(major)),
        pitch=Limits(float(pitch_minimum), float(basic_pitch)),
        # Flat root: a flat of P/4 at the largest size, of no less than P/8 at the smallest, where
        # the root lies as far below the pitch line as the pitch line below the major diameter.
        minor=Limits(
            float(pitch_minimum - inch_sizes.printed(drop)),
            float(major - inch_sizes.printed(minor_drop)),
        ),
        source=SOURCE,
    )


def _nut_limits(thread: Thread, cls: ToleranceClass) -> ThreadLimits:
    major = unified.check_unified(thread)
    diameter, pitch = _in_inches(major), _in_inches(thread.pitch)
    shape = forms.form(thread.form)
    basic_pitch = inch_sizes.printed(float(major) - shape.pitch_diameter_drop * float(thread.pitch))
    fine_class = cls.name == "3B"
    tolerance = _nut_minor_tolerance(diameter, pitch, fine_class)
    basic_minor = diameter - shape.nut_minor_drop * pitch
    minimum = _four_places(basic_minor)
    maximum = minimum + _four_places(tolerance)
    if major >= THREE_PLACES_FROM:
        minimum = Fraction(round(basic_minor * 1000), 1000)
        if not fine_class:
            maximum = Fraction(round((basic_minor + tolerance) * 1000), 1000)
    return ThreadLimits(
        tolerance_class=cls.name,
        internal=True,
        major=Limits(float(major), None),
        pitch=Limits(float(basic_pitch), float(basic_pitch + pitch_tolerance(thread, cls.name))),
        minor=Limits(float(inches(minimum)), float(inches(maximum))),
        source=SOURCE,
    )


def _check_single(thread: Thread) -> None:
    if thread.starts != 1:
        raise OutOfRange(
            "thread", thread.designation, "ASME B1.1 limits are for single-start threads"
        )


def limits(thread: Thread, name: str) -> ThreadLimits:
    """Limits of size of one member: basic sizes less the allowance, and the tolerance from there.

    thread  : a Unified thread with one start
    name    : '1A' '2A' '3A' for the screw, '1B' '2B' '3B' for the nut
    Returns : ThreadLimits in mm, from values rounded to 0.0001 inch; the screw's minor diameter is
              that of the flat root
    Raises  : NoSuchSize if the series has no such class; OutOfRange for another kind of thread or
              several starts
    Valid   : the length of engagement of `engagement`
    Source  : ASME B1.1; its printed limits may differ by 0.0001 inch

    >>> round(limits(unified.standard("1/2", Fraction(13)), "2A").pitch.maximum / 25.4, 4)
    0.4485
    """
    cls = tolerance_class(thread, name)
    _check_single(thread)
    return _nut_limits(thread, cls) if cls.internal else _screw_limits(thread, cls)


def rounded_root_minor(thread: Thread, name: str) -> Fraction:
    """Largest minor diameter of a screw with rounded root (UNR): largest major - 11/8 H.

    thread  : a Unified thread with one start
    name    : '1A', '2A' or '3A'
    Returns : mm, to 0.0001 inch; a reference, not a limit
    Raises  : as `limits`; NoSuchSize for a nut's class
    Valid   : external threads
    Source  : ASME B1.1, from memory (11/8 H = 1.19078 P)

    >>> round(float(rounded_root_minor(unified.standard("1/4", Fraction(20)), "2A") / MM_PER_INCH), 4)
    0.1894
    """
    cls = tolerance_class(thread, name)
    _check_single(thread)
    if cls.internal:
        screws = [one for one in classes(thread) if one.endswith("A")]
        raise NoSuchSize(
            "tolerance class",
            cls.name,
            "is a nut's; rounded roots are cut on screws",
            ", ".join(screws),
        )
    major = unified.check_unified(thread) - allowance(thread, name)
    drop = ROUNDED_ROOT_DROP * forms.form(thread.form).height * float(thread.pitch)
    return inch_sizes.printed(float(major)) - inch_sizes.printed(drop)
