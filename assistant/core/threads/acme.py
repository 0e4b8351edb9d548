"""Acme threads, 29 degrees: general purpose (ASME B1.5) and stub (ASME B1.8)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.threads import forms, inch_sizes
from assistant.core.threads.listed_sizes import nearest
from assistant.core.threads.thread import BasicSizes, Limits, Thread, ThreadLimits
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed
from assistant.units import MM_PER_INCH, inches

SIZES = "acme_sizes.csv"
CLASSES = "acme_classes.csv"
FORMS = {"Acme": "acme-29", "Stub Acme": "stub-acme-29"}
CREST_SHARE = Fraction(1, 20)
"""Crest tolerance (screw's major, nut's minor diameter) as a part of the pitch."""
SMALLEST_CREST_TOLERANCE = inches(Fraction(5, 1000))
ROOT_SHARE = 1.5
"""Tolerance of the screw's minor diameter as a multiple of its pitch diameter tolerance."""
SOURCES = {"Acme": "ASME B1.5 formulas", "Stub Acme": "ASME B1.8 formulas, from memory"}
CHECKED_CLASS = "2G"
"""Printed limits of the screw in five sizes agree; see tables/acme_classes.csv."""
STUB_CLASS = "2G"
"""The one class of Stub Acme whose formulas are held: those of general purpose 2G."""


@dataclass(frozen=True)
class AcmeSize:
    """A diameter with its preferred pitch."""

    size: str
    """Inches, as written: '1 1/4'."""
    diameter: Fraction
    """Basic major diameter, mm."""
    threads_per_inch: Fraction
    source: str

    @property
    def designation(self) -> str:
        """As on a drawing: '1-5 Acme'."""
        return _name(self.size, self.threads_per_inch, "Acme")


@dataclass(frozen=True)
class AcmeClass:
    """Factors of a tolerance class for diameters and pitches in inch."""

    name: str
    allowance: float
    """Factor of D^(1/2)."""
    diameter_part: float
    """Factor of D^(1/2) in the pitch diameter tolerance."""
    pitch_part: float
    """Factor of P^(1/2) in the pitch diameter tolerance."""


def _name(size: str, threads_per_inch: Fraction, series: str) -> str:
    return f"{size}-{float(threads_per_inch):g} {series}"


def _size(row: dict[str, str]) -> AcmeSize:
    return AcmeSize(
        size=row["size"],
        diameter=inch_sizes.value(row["size"]),
        threads_per_inch=Fraction(row["tpi"]),
        source=row["source"],
    )


@cache
def sizes() -> tuple[AcmeSize, ...]:
    """Every diameter of the general purpose Acme series with its preferred pitch.

    Returns : rows in rising diameter; lengths in mm, exact
    Raises  : TableError if the table is broken
    Valid   : 1/4 to 5 inch
    Source  : ASME B1.5, tables/acme_sizes.csv, a source in every row

    >>> sizes()[0].designation
    '1/4-16 Acme'
    """
    return tuple(parsed(SIZES, _size))


@cache
def _classes() -> dict[str, AcmeClass]:
    found = parsed(
        CLASSES,
        lambda row: AcmeClass(
            name=row["class"],
            allowance=float(row["allowance"]),
            diameter_part=float(row["diameter_part"]),
            pitch_part=float(row["pitch_part"]),
        ),
    )
    return {one.name: one for one in found}


def size_of(text: str) -> AcmeSize:
    """The row of the Acme series that an inch size names.

    text    : '1', '1 1/4'
    Returns : AcmeSize with the preferred pitch
    Raises  : NoSuchSize or OutOfRange with the nearest size
    Valid   : 1/4 to 5 inch
    Source  : ASME B1.5

    >>> size_of("1").threads_per_inch
    Fraction(5, 1)
    """
    by_diameter = {row.diameter: row for row in sizes()}
    wanted = inch_sizes.value(text)
    if wanted in by_diameter:
        return by_diameter[wanted]
    close = " or ".join(by_diameter[one].designation for one in nearest(by_diameter, wanted))
    given = f"{inch_sizes.written(wanted)} Acme"
    first, last = sizes()[0], sizes()[-1]
    if first.diameter < wanted < last.diameter:
        raise NoSuchSize("thread", given, "ASME B1.5 does not list this diameter", close)
    raise OutOfRange("thread", given, f"Acme goes from {first.size} to {last.size} inch", close)


def _check_special(row: AcmeSize, threads_per_inch: Fraction) -> None:
    """Refuse a special pitch beyond what the series reaches: finest, coarsest, and for the diameter."""
    given = _name(row.size, threads_per_inch, "Acme")
    known = [one.threads_per_inch for one in sizes()]
    if not min(known) <= threads_per_inch <= max(known):
        raise OutOfRange(
            "thread",
            given,
            f"Acme pitches go from {min(known)} to {max(known)} threads per inch",
            row.designation,
        )
    if (threads_per_inch * 2).denominator != 1:
        raise NoSuchSize(
            "thread", given, "threads per inch are whole or half numbers", row.designation
        )
    coarsest = min(sizes(), key=lambda one: one.diameter * one.threads_per_inch)
    if row.diameter * threads_per_inch < coarsest.diameter * coarsest.threads_per_inch:
        raise OutOfRange(
            "thread",
            given,
            f"is coarser for its diameter than any Acme thread ({coarsest.designation})",
            row.designation,
        )


def standard(
    size: str,
    threads_per_inch: Fraction | None = None,
    *,
    stub: bool = False,
    starts: int = 1,
    left_hand: bool = False,
) -> Thread:
    """The Acme thread of a size; without threads per inch, the preferred pitch: P = 25.4 / n.

    size             : '1', '1 1/4': inches
    threads_per_inch : 1/inch, or None for the preferred pitch
    stub             : True for Stub Acme
    starts           : number of starts, 1 or more; lead = starts times pitch
    left_hand        : True for a left-hand thread
    Returns          : Thread, lengths exact; `special` is True where the pitch is not the preferred one
    Raises           : NoSuchSize for a diameter between the listed ones or odd threads per inch,
                       OutOfRange past the ends of the series and for zero and negative numbers
    Valid            : 1/4 to 5 inch, 2 to 16 threads per inch
    Source           : ASME B1.5; B1.8 has the same sizes

    >>> standard("1").designation
    '1-5 Acme'
    """
    inch_sizes.check_starts(starts)
    row = size_of(size)
    if threads_per_inch is None:
        threads_per_inch = row.threads_per_inch
    pitch = inch_sizes.pitch_of(threads_per_inch)
    special = threads_per_inch != row.threads_per_inch
    if special:
        _check_special(row, threads_per_inch)
    series = "Stub Acme" if stub else "Acme"
    return Thread(
        designation=inch_sizes.with_starts(_name(row.size, threads_per_inch, series), starts),
        series=series,
        form=FORMS[series],
        pitch=pitch,
        major_diameter=row.diameter,
        starts=starts,
        left_hand=left_hand,
        special=special,
    )


def _major(thread: Thread) -> Fraction:
    if thread.series not in FORMS or thread.major_diameter is None:
        raise OutOfRange("thread", thread.designation, "is not an Acme thread")
    return thread.major_diameter


def basic_sizes(thread: Thread) -> BasicSizes:
    """Basic diameters: D - P/2 and D - P; stub D - 0.3 P and D - 0.6 P, to 0.0001 inch.

    thread  : Acme or Stub Acme
    Returns : BasicSizes in mm; the cut goes deeper by the clearance, which is not in the minor
              diameter; the nut's major diameter has the same clearance
    Raises  : OutOfRange if the thread is of another kind
    Valid   : Acme threads
    Source  : ASME B1.5, B1.8

    >>> round(basic_sizes(standard("1")).pitch_diameter / 25.4, 4)
    0.9
    """
    major = _major(thread)
    exact = forms.basic_sizes(thread)
    room = 2 * forms.clearance(thread.form, thread.pitch)
    return BasicSizes(
        major_diameter=float(major),
        pitch_diameter=float(inch_sizes.printed(exact.pitch_diameter)),
        minor_diameter=float(inch_sizes.printed(exact.minor_diameter)),
        minor_diameter_internal=float(inch_sizes.printed(exact.minor_diameter_internal)),
        major_diameter_internal=float(major + room),
    )


def tolerance_class(name: str) -> AcmeClass:
    """The tolerance class of a name.

    name    : '2G', '3G' or '4G', in any case
    Returns : AcmeClass
    Raises  : NoSuchSize for another class, with those that there are
    Valid   : general purpose Acme
    Source  : ASME B1.5, tables/acme_classes.csv

    >>> tolerance_class("2g").allowance
    0.008
    """
    wanted = name.strip().upper()
    if wanted not in _classes():
        raise NoSuchSize(
            "tolerance class",
            repr(name),
            f"the tables have {', '.join(_classes())} of general purpose Acme",
            "2G",
        )
    return _classes()[wanted]


def _is_stub(thread: Thread) -> bool:
    return thread.series == "Stub Acme"


def _source(thread: Thread, cls: AcmeClass, internal: bool) -> str:
    """Where limits are from: only those of the screw in 2G were compared with printed ones."""
    base = SOURCES[thread.series]
    if _is_stub(thread) or (cls.name == CHECKED_CLASS and not internal):
        return base
    return f"{base}; those of the {'nut' if internal else 'screw'} in {cls.name} from memory"


def _pitch_tolerance(thread: Thread, cls: AcmeClass) -> float:
    """Pitch diameter tolerance, inch, not yet rounded."""
    diameter = float(_major(thread) / MM_PER_INCH)
    pitch = float(thread.pitch / MM_PER_INCH)
    return cls.diameter_part * math.sqrt(diameter) + cls.pitch_part * math.sqrt(pitch)


def _crest_tolerance(thread: Thread) -> Fraction:
    return max(SMALLEST_CREST_TOLERANCE, CREST_SHARE * thread.pitch)


def _screw_limits(thread: Thread, cls: AcmeClass) -> ThreadLimits:
    major = _major(thread)
    zone = _pitch_tolerance(thread, cls) * float(MM_PER_INCH)
    room = cls.allowance * math.sqrt(major / MM_PER_INCH) * float(MM_PER_INCH)
    basic = forms.basic_sizes(thread)
    # The clearance belongs to the screw's root here: its largest minor diameter is below basic.
    minor = basic.minor_diameter - 2 * float(forms.clearance(thread.form, thread.pitch))
    pitch_maximum = inch_sizes.printed(basic.pitch_diameter) - inch_sizes.printed(room)
    minor_most = inch_sizes.printed(minor)
    # Rounded once: the standard multiplies the tolerance before it is rounded.
    minor_least = float(minor_most - inch_sizes.printed(ROOT_SHARE * zone))
    return ThreadLimits(
        tolerance_class=cls.name,
        internal=False,
        major=Limits(
            float(inch_sizes.printed(float(major - _crest_tolerance(thread)))), float(major)
        ),
        pitch=Limits(float(pitch_maximum - inch_sizes.printed(zone)), float(pitch_maximum)),
        # The root tolerance of B1.8 is not held: no least minor diameter for a stub.
        minor=Limits(None if _is_stub(thread) else minor_least, float(minor_most)),
        source=_source(thread, cls, internal=False),
    )


def _nut_limits(thread: Thread, cls: AcmeClass) -> ThreadLimits:
    major = _major(thread)
    zone = inch_sizes.printed(_pitch_tolerance(thread, cls) * float(MM_PER_INCH))
    room = 2 * forms.clearance(thread.form, thread.pitch)
    basic = forms.basic_sizes(thread)
    pitch = inch_sizes.printed(basic.pitch_diameter)
    minor = basic.minor_diameter_internal
    return ThreadLimits(
        tolerance_class=cls.name,
        internal=True,
        major=Limits(float(major + room), None if _is_stub(thread) else float(major + 2 * room)),
        pitch=Limits(float(pitch), float(pitch + zone)),
        minor=Limits(
            float(inch_sizes.printed(minor)),
            float(inch_sizes.printed(minor) + inch_sizes.printed(float(_crest_tolerance(thread)))),
        ),
        source=_source(thread, cls, internal=True),
    )


def limits(thread: Thread, tolerance: str, internal: bool = False) -> ThreadLimits:
    """Limits of size: allowance a D^(1/2), pitch tolerance b D^(1/2) + c P^(1/2) (inch), crest 0.05 P.

    thread    : Acme or Stub Acme with one start
    tolerance : '2G', '3G' or '4G', which screw and nut share; '2G' alone for Stub Acme
    internal  : True for the nut
    Returns   : ThreadLimits in mm, rounded to 0.0001 inch; for Stub Acme without the limits of the
                roots (screw's least minor, nut's largest major), which are not held
    Raises    : NoSuchSize for another class; OutOfRange for several starts, or another kind of
                thread: the tables do not hold those limits
    Valid     : lengths of engagement up to twice the diameter
    Source    : ASME B1.5; the nut, 3G and 4G from memory; ASME B1.8 from memory

    >>> round(limits(standard("1"), "2G").pitch.maximum / 25.4, 4)
    0.892
    """
    _major(thread)
    cls = tolerance_class(tolerance)
    if _is_stub(thread) and cls.name != STUB_CLASS:
        raise NoSuchSize(
            "tolerance class",
            repr(tolerance),
            f"the tables have {STUB_CLASS} of Stub Acme only",
            STUB_CLASS,
        )
    if thread.starts != 1:
        raise OutOfRange(
            "limits",
            f"of {thread.designation}",
            "the tables hold limits of single-start Acme only; several starts have wider ones",
        )
    return _nut_limits(thread, cls) if internal else _screw_limits(thread, cls)
