"""ISO metric trapezoidal threads: sizes (ISO 2902), basic diameters (ISO 2904), limits (ISO 2903)."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.threads import forms
from assistant.core.threads.inch_sizes import check_starts
from assistant.core.threads.listed_sizes import listing, nearest, nearest_text
from assistant.core.threads.thread import BasicSizes, Limits, Thread, ThreadLimits
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed

FORM = "trapezoidal-30"
SIZES = "trapezoidal_sizes.csv"
CREST_TOLERANCES = "trapezoidal_crest_tolerances.csv"
PITCH_TOLERANCES = "trapezoidal_pitch_tolerances.csv"
STARTS = "trapezoidal_starts.csv"
MICROMETRE = Fraction(1, 1000)

MINOR_SHARE = Fraction(5, 4)
"""ISO 2903: the screw's minor diameter varies by 1.25 times the pitch diameter's tolerance, and es."""


@dataclass(frozen=True)
class TrapezoidalSize:
    """One row of ISO 2902: a diameter with one of its pitches."""

    nominal: Fraction
    """Basic major diameter, mm."""
    pitch: Fraction
    """mm."""
    preferred: bool
    """True for the pitch that is meant when none is named."""
    choice: int
    """Column of ISO 2902, 1 to be preferred."""
    source: str


def _size(row: dict[str, str]) -> TrapezoidalSize:
    return TrapezoidalSize(
        nominal=Fraction(row["nominal"]),
        pitch=Fraction(row["pitch"]),
        preferred={"yes": True, "no": False}[row["preferred"]],
        choice=int(row["choice"]),
        source=row["source"],
    )


@cache
def sizes() -> tuple[TrapezoidalSize, ...]:
    """Every diameter of the table with each of its pitches.

    Returns : rows in rising diameter, preferred pitch first; mm, exact
    Raises  : TableError if the table is broken
    Valid   : Tr8 to Tr100; the standard goes on to Tr300
    Source  : ISO 2902, tables/trapezoidal_sizes.csv

    >>> sizes()[0].pitch
    Fraction(3, 2)
    """
    return tuple(parsed(SIZES, _size))


def name(nominal: Fraction, pitch: Fraction | None = None, starts: int = 1) -> str:
    """Designation without tolerance class: Tr, diameter, x, pitch; with several starts lead P pitch.

    nominal : mm
    pitch   : mm, or None for the diameter alone
    starts  : number of starts
    Returns : text, to six figures
    Raises  : nothing
    Valid   : right-hand threads
    Source  : ISO 2902

    >>> name(Fraction(40), Fraction(7), 2)
    'Tr40x14P7'
    """
    if pitch is None:
        return f"Tr{float(nominal):g}"
    lead = f"Tr{float(nominal):g}x{float(pitch * starts):g}"
    return lead if starts == 1 else f"{lead}P{float(pitch):g}"


def pitches(nominal: Fraction) -> tuple[Fraction, ...]:
    """Pitches that ISO 2902 lists for a diameter, the preferred one first.

    nominal : basic major diameter, mm
    Returns : mm, exact
    Raises  : OutOfRange outside Tr8 to Tr100; NoSuchSize for a diameter between that is not listed
    Valid   : Tr8 to Tr100
    Source  : ISO 2902, tables/trapezoidal_sizes.csv

    >>> [int(pitch) for pitch in pitches(Fraction(30))]
    [6, 10, 3]
    """
    _check_nominal(nominal)
    found = [size.pitch for size in sizes() if size.nominal == nominal]
    if not found:
        raise NoSuchSize(
            "thread", name(nominal), "ISO 2902 does not list this diameter", _nearest_names(nominal)
        )
    return tuple(found)


def _nearest_sizes(nominal: Fraction) -> tuple[Fraction, ...]:
    return nearest((size.nominal for size in sizes()), nominal)


def _nearest_names(nominal: Fraction) -> str:
    return " or ".join(name(one) for one in _nearest_sizes(nominal))


def _check_nominal(nominal: Fraction) -> None:
    first, last = sizes()[0].nominal, sizes()[-1].nominal
    if not first <= nominal <= last:
        raise OutOfRange(
            "thread",
            name(nominal),
            f"the table of trapezoidal threads goes from {name(first)} to {name(last)}",
            _nearest_names(nominal),
        )


def _check_special(nominal: Fraction, pitch: Fraction) -> None:
    """Refuse a special whose pitch is beyond those of the neighbouring listed diameters."""
    near = _nearest_sizes(nominal)
    known = sorted(pitch for one in near for pitch in pitches(one))
    if not known[0] <= pitch <= known[-1]:
        raise OutOfRange(
            "thread",
            name(nominal, pitch),
            f"near {float(nominal):g} mm ISO 2902 has pitches from {float(known[0]):g} "
            f"to {float(known[-1]):g} mm",
            name(near[0], nearest(pitches(near[0]), pitch)[-1]),
        )


def standard(
    nominal: Fraction,
    pitch: Fraction | None = None,
    *,
    starts: int = 1,
    left_hand: bool = False,
) -> Thread:
    """The trapezoidal thread of a diameter and a pitch; without a pitch, the preferred one.

    nominal   : basic major diameter, mm
    pitch     : mm (not the lead), or None for the preferred pitch
    starts    : number of starts, 1 or more; lead = starts times pitch
    left_hand : True for a left-hand thread
    Returns   : Thread, lengths exact; `special` is True where ISO 2902 does not list the pair
    Raises    : OutOfRange for a diameter outside Tr8 to Tr100, a pitch of zero or less or beyond
                those of the neighbouring sizes, or starts below 1; NoSuchSize for a diameter
                that is not listed when no pitch is named
    Valid     : Tr8 to Tr100
    Source    : ISO 2902

    >>> standard(Fraction(20)).designation
    'Tr20x4'
    """
    _check_nominal(nominal)
    check_starts(starts)
    if pitch is None:
        pitch = pitches(nominal)[0]
    forms.check_pitch(pitch)
    listed = any(size.nominal == nominal and size.pitch == pitch for size in sizes())
    if not listed:
        _check_special(nominal, pitch)
    return Thread(
        designation=name(nominal, pitch, starts),
        series="Tr",
        form=FORM,
        pitch=pitch,
        major_diameter=nominal,
        starts=starts,
        left_hand=left_hand,
        special=not listed,
    )


def starts_of(lead: Fraction, pitch: Fraction) -> int:
    """Number of starts of a designation such as Tr40x14P7: lead over pitch.

    lead    : mm per turn
    pitch   : mm
    Returns : whole number
    Raises  : OutOfRange if either is zero or less, or the lead is not a whole number of pitches
    Valid   : every thread
    Source  : ISO 2902, designation

    >>> starts_of(Fraction(14), Fraction(7))
    2
    """
    forms.check_pitch(pitch)
    if lead <= 0 or lead % pitch != 0:
        whole = max(1, round(lead / pitch))
        raise OutOfRange(
            "lead",
            f"{float(lead):g} mm",
            f"must be a whole number of pitches of {float(pitch):g} mm",
            f"{float(whole * pitch):g} mm",
        )
    return int(lead / pitch)


def basic_sizes(thread: Thread) -> BasicSizes:
    """Basic diameters: d2 = d - P/2, d3 = d - P - 2 ac, D1 = d - P, D4 = d + 2 ac.

    thread  : a trapezoidal thread
    Returns : BasicSizes in mm (d, d2, d3, D1, D4); the factors are exact
    Raises  : OutOfRange if the thread is of another kind
    Valid   : ISO 2904, pitches from 1.5 mm
    Source  : ISO 2904

    >>> basic_sizes(standard(Fraction(12))).minor_diameter
    8.5
    """
    if thread.series != "Tr":
        raise OutOfRange("thread", thread.designation, "is not a trapezoidal thread")
    return forms.basic_sizes(thread)


@cache
def _crest_cells() -> dict[tuple[Fraction, str], Fraction]:
    return dict(
        parsed(
            CREST_TOLERANCES,
            lambda row: (
                (Fraction(row["pitch"]), row["quantity"]),
                Fraction(row["value"]) * MICROMETRE,
            ),
        )
    )


@cache
def _pitch_cells() -> tuple[tuple[str, Fraction, Fraction, Fraction, int, Fraction], ...]:
    return tuple(
        parsed(
            PITCH_TOLERANCES,
            lambda row: (
                row["member"],
                Fraction(row["over"]),
                Fraction(row["up_to"]),
                Fraction(row["pitch"]),
                int(row["grade"]),
                Fraction(row["tolerance"]) * MICROMETRE,
            ),
        )
    )


@cache
def _start_factors() -> tuple[tuple[int, Fraction], ...]:
    return tuple(parsed(STARTS, lambda row: (int(row["starts_from"]), Fraction(row["factor"]))))


def _refuse_pitch(pitch: Fraction, having: Iterable[Fraction], where: str) -> NoSuchSize:
    known = list(having)
    return NoSuchSize(
        "pitch",
        f"{float(pitch):g} mm",
        f"{where} the table of ISO 2903 has pitches {listing(known)} mm",
        f"{nearest_text(known, pitch)} mm",
    )


def _crest_value(pitch: Fraction, quantity: str) -> Fraction:
    cells = _crest_cells()
    if (pitch, quantity) not in cells:
        having = [listed for listed, kind in cells if kind == quantity]
        raise _refuse_pitch(pitch, having, f"for {quantity}")
    return cells[pitch, quantity]


def pitch_tolerance(thread: Thread, grade: int, internal: bool = False) -> Fraction:
    """Tolerance of the pitch diameter: Td2 or TD2 of the table times the factor for several starts.

    thread   : a trapezoidal thread
    grade    : 7 or 8
    internal : True for the nut
    Returns  : mm, exact (not rounded where a factor for starts comes in)
    Raises   : NoSuchSize if the table has no cell; nothing is interpolated
    Valid    : over 5.6 to 180 mm, the pitches of each range
    Source   : ISO 2903, tables/trapezoidal_pitch_tolerances.csv and trapezoidal_starts.csv

    >>> pitch_tolerance(standard(Fraction(12)), 7)
    Fraction(28, 125)
    """
    member = "nut" if internal else "screw"
    nominal = thread.major_diameter
    cells = [
        cell
        for cell in _pitch_cells()
        if nominal is not None and cell[0] == member and cell[1] < nominal <= cell[2]
    ]
    matching = {cell[4]: cell[5] for cell in cells if cell[3] == thread.pitch}
    if not matching:
        raise _refuse_pitch(
            thread.pitch, [cell[3] for cell in cells], f"at {thread.designation.split('x')[0]}"
        )
    if grade not in matching:
        grades = [Fraction(one) for one in matching]
        raise NoSuchSize(
            "tolerance grade",
            str(grade),
            f"the table of ISO 2903 has grades {listing(grades)}",
            nearest_text(grades, Fraction(grade)),
        )
    factor = max(value for starts, value in _start_factors() if thread.starts >= starts)
    return matching[grade] * factor


def _screw_limits(thread: Thread, text: str, grade: int) -> ThreadLimits:
    sizes_of = basic_sizes(thread)
    major, pitch, minor = (
        Fraction(str(length))
        for length in (sizes_of.major_diameter, sizes_of.pitch_diameter, sizes_of.minor_diameter)
    )
    deviation = _crest_value(thread.pitch, "deviation e")
    zone = pitch_tolerance(thread, grade)
    return ThreadLimits(
        tolerance_class=text,
        internal=False,
        major=Limits(
            float(major - _crest_value(thread.pitch, "screw major grade 4")), float(major)
        ),
        pitch=Limits(float(pitch + deviation - zone), float(pitch + deviation)),
        minor=Limits(float(minor - MINOR_SHARE * zone + deviation), float(minor)),
        source="ISO 2903, ISO 2904; tables from memory",
    )


def _nut_limits(thread: Thread, text: str, grade: int) -> ThreadLimits:
    sizes_of = basic_sizes(thread)
    pitch, minor = (
        Fraction(str(length))
        for length in (sizes_of.pitch_diameter, sizes_of.minor_diameter_internal)
    )
    zone = pitch_tolerance(thread, grade, internal=True)
    crest = _crest_value(thread.pitch, "nut minor grade 4")
    return ThreadLimits(
        tolerance_class=text,
        internal=True,
        major=Limits(sizes_of.major_diameter_internal, None),
        pitch=Limits(float(pitch), float(pitch + zone)),
        minor=Limits(float(minor), float(minor + crest)),
        source="ISO 2903, ISO 2904; tables from memory",
    )


def limits(thread: Thread, tolerance: str) -> ThreadLimits:
    """Limits of size of one member: basic diameter + deviation, and the tolerance from there.

    thread    : a trapezoidal thread
    tolerance : '7e', '8e' for the screw; '7H', '8H' for the nut
    Returns   : ThreadLimits in mm; the screw's minor diameter is d3 less 1.25 Td2 + |es|
    Raises    : NoSuchSize for another class, or a pitch that the tables leave out; OutOfRange for
                another kind of thread
    Valid     : Tr8 to Tr100, normal length of engagement
    Source    : ISO 2903; the tables are from memory, save what printed 7e limits bear out

    >>> limits(standard(Fraction(16)), "7e").pitch.minimum
    13.64
    """
    match = re.fullmatch(r"([78])([eH])", tolerance)
    if match is None:
        raise NoSuchSize(
            "tolerance class",
            repr(tolerance),
            "for trapezoidal threads there are 7e and 8e for the screw, 7H and 8H for the nut",
            "7e or 7H",
        )
    make = _nut_limits if match[2] == "H" else _screw_limits
    return make(thread, tolerance, int(match[1]))
