"""Limits of size of BSW and BSF threads: the tolerance formulae of BS 84."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import cbrt, sqrt

from assistant.core.threads import inch_sizes, whitworth
from assistant.core.threads.thread import BasicSizes, Limits, Thread, ThreadLimits
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed
from assistant.units import MM_PER_INCH, inches

CLASSES = "whitworth_classes.csv"
NUT_MINORS = "whitworth_nut_minors.csv"
SMALLEST = inches(Fraction(1, 8))
"""BS 84:1956 begins here; finer sizes are of the older Whitworth series."""
ALLOWANCE_FROM = inches(Fraction(1, 4))
"""Smaller screws have the allowance of this size."""
ALLOWANCE_TO = inches(Fraction(3, 4))
"""Larger screws have no allowance."""
NUT_MINOR_SHARE = Fraction(1, 5)
"""Part of the pitch in the tolerance of the nut's minor diameter."""
SOURCE = "BS 84:1956 tolerance formulae, length of engagement one diameter; from memory"


@dataclass(frozen=True)
class WhitworthClass:
    """One class of one member; the factors of whitworth_classes.csv."""

    internal: bool
    name: str
    share: Fraction
    """Part of T on the pitch diameter."""
    major_root: float | None
    """Factor of the root of the pitch, inch; None for a nut."""
    minor_root: float | None
    allowance: Fraction
    """Part of T that the screw stays below basic."""


def _class(row: dict[str, str]) -> WhitworthClass:
    nut = row["member"] == "nut"
    return WhitworthClass(
        internal=nut,
        name=row["class"],
        share=Fraction(row["share"]),
        major_root=None if nut else float(row["major_root"]),
        minor_root=None if nut else float(row["minor_root"]),
        allowance=Fraction(0) if nut else Fraction(row["allowance"]),
    )


@cache
def _classes() -> tuple[WhitworthClass, ...]:
    return tuple(parsed(CLASSES, _class))


@cache
def _nut_minors() -> tuple[tuple[Fraction, Fraction], ...]:
    return tuple(
        parsed(NUT_MINORS, lambda row: (Fraction(row["tpi_from"]), Fraction(row["added"])))
    )


def whitworth_class(name: str, internal: bool = False) -> WhitworthClass:
    """The class of a name, of the screw or of the nut.

    name     : 'close', 'medium', 'free' (screw only), 'normal' (nut only), in any case
    internal : True for the nut
    Returns  : WhitworthClass
    Raises   : NoSuchSize for a class that the member does not have, with those that it has
    Valid    : BSW and BSF
    Source   : BS 84:1956, tables/whitworth_classes.csv

    >>> whitworth_class("Free").share
    Fraction(3, 2)
    """
    having = [each for each in _classes() if each.internal == internal]
    for each in having:
        if each.name == name.strip().lower():
            return each
    member = "nut" if internal else "screw"
    listed = ", ".join(each.name for each in having)
    raise NoSuchSize(
        "tolerance class", repr(name), f"BS 84 has {listed} for the {member}", "medium"
    )


def pitch_tolerance(diameter: Fraction, pitch: Fraction) -> float:
    """The tolerance T that every class takes a part of: 0.002 D^(1/3) + 0.003 D^(1/2) + 0.005 p^(1/2), inch.

    diameter : basic major diameter, mm; the length of engagement is taken as the same
    pitch    : mm
    Returns  : mm, approximate
    Raises   : OutOfRange if either is zero or negative
    Valid    : BSW and BSF
    Source   : BS 84:1956, from memory

    >>> round(pitch_tolerance(inches(Fraction(1)), inches(Fraction(1, 8))) / 25.4, 4)
    0.0068
    """
    if diameter <= 0:
        raise OutOfRange("diameter", f"{float(diameter):g} mm", "must be more than 0 mm")
    if pitch <= 0:
        raise OutOfRange("pitch", f"{float(pitch):g} mm", "must be more than 0 mm")
    size, step = float(diameter / MM_PER_INCH), float(pitch / MM_PER_INCH)
    total = 0.002 * cbrt(size) + 0.003 * sqrt(size) + 0.005 * sqrt(step)
    return total * float(MM_PER_INCH)


def _allowance(thread: Thread, major: Fraction, share: Fraction) -> Fraction:
    """How far the whole screw stays below basic, mm."""
    if share == 0 or major > ALLOWANCE_TO:
        return Fraction(0)
    taken = thread
    if major < ALLOWANCE_FROM:
        taken = whitworth.standard(inch_sizes.written(ALLOWANCE_FROM), thread.series)
        major = ALLOWANCE_FROM
    return inch_sizes.printed(float(share) * pitch_tolerance(major, taken.pitch))


def _screw_limits(
    thread: Thread, major: Fraction, basic: BasicSizes, cls: WhitworthClass
) -> ThreadLimits:
    zone = float(cls.share) * pitch_tolerance(major, thread.pitch)
    root = sqrt(thread.pitch / MM_PER_INCH) * float(MM_PER_INCH)
    down = _allowance(thread, major, cls.allowance)

    def span(size: float, tolerance: float) -> Limits:
        most = inch_sizes.printed(size) - down
        return Limits(float(most - inch_sizes.printed(tolerance)), float(most))

    return ThreadLimits(
        tolerance_class=cls.name,
        internal=False,
        major=span(basic.major_diameter, zone + (cls.major_root or 0) * root),
        pitch=span(basic.pitch_diameter, zone),
        minor=span(basic.minor_diameter, zone + (cls.minor_root or 0) * root),
        source=SOURCE,
    )


def _nut_limits(
    thread: Thread, major: Fraction, basic: BasicSizes, cls: WhitworthClass
) -> ThreadLimits:
    zone = float(cls.share) * pitch_tolerance(major, thread.pitch)
    rate = inch_sizes.per_inch(thread.pitch)
    added = [step for start, step in _nut_minors() if rate >= start][-1]
    minor_zone = float(NUT_MINOR_SHARE * thread.pitch + inches(added))
    pitch = inch_sizes.printed(basic.pitch_diameter)
    minor = inch_sizes.printed(basic.minor_diameter_internal)
    return ThreadLimits(
        tolerance_class=cls.name,
        internal=True,
        major=Limits(float(inch_sizes.printed(basic.major_diameter)), None),
        pitch=Limits(float(pitch), float(pitch + inch_sizes.printed(zone))),
        minor=Limits(float(minor), float(minor + inch_sizes.printed(minor_zone))),
        source=SOURCE,
    )


def limits(thread: Thread, tolerance: str, internal: bool = False) -> ThreadLimits:
    """Limits of size: parts of T on the pitch diameter, wider by the root of the pitch on the screw's crest and root.

    thread    : BSW or BSF with one start
    tolerance : 'close', 'medium', 'free' for the screw; 'close', 'medium', 'normal' for the nut
    internal  : True for the nut
    Returns   : ThreadLimits in mm, rounded to 0.0001 inch; the nut's major diameter has no maximum
    Raises    : NoSuchSize for another class; OutOfRange for several starts, for sizes under 1/8 inch
                and for another kind of thread
    Valid     : 1/8 inch and over; length of engagement about one diameter, before any plating
    Source    : BS 84:1956, from memory

    >>> round(limits(whitworth.standard("1/2", "BSW"), "medium").pitch.maximum / 25.4, 4)
    0.4451
    """
    if thread.series not in ("BSW", "BSF") or thread.major_diameter is None:
        raise OutOfRange("thread", thread.designation, "is not a BSW or BSF thread")
    cls = whitworth_class(tolerance, internal)
    if thread.starts != 1:
        raise OutOfRange(
            "limits", f"of {thread.designation}", "BS 84 tolerates single-start threads only"
        )
    if thread.major_diameter < SMALLEST:
        first = f"{inch_sizes.written(SMALLEST)} inch"
        raise OutOfRange(
            "limits", f"of {thread.designation}", f"BS 84:1956 begins at {first}", first
        )
    basic = whitworth.basic_sizes(thread)
    build = _nut_limits if internal else _screw_limits
    return build(thread, thread.major_diameter, basic, cls)
