"""Taper pipe threads, 1 in 16 on diameter: R and Rc (ISO 7-1) and NPT (ASME B1.20.1)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.threads import forms, inch_sizes
from assistant.core.threads.listed_sizes import nearest
from assistant.core.threads.thread import BasicSizes, Thread, ThreadLimits
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed
from assistant.units import inches

TAPER = Fraction(1, 16)
ISO_SIZES = "iso7_sizes.csv"
NPT_SIZES = "npt_sizes.csv"
FORMS = {"R": "whitworth-55", "Rc": "whitworth-55", "NPT": "npt-60"}
STANDARDS = {"R": "ISO 7-1", "Rc": "ISO 7-1", "NPT": "ASME B1.20.1"}
SPOKEN_SERIES = {"bspt": "R", "rc": "Rc", "r": "R", "npt": "NPT"}
"""Words for a series, lower case."""


@dataclass(frozen=True)
class TaperSize:
    """One size of a taper pipe thread; lengths in mm, exact."""

    size: str
    """Of the pipe, inches; not a dimension of the thread."""
    threads_per_inch: Fraction
    nominal: Fraction
    """R: major diameter in the gauge plane. NPT: outside diameter of the pipe."""
    pitch_at_small_end: Fraction | None
    """NPT E0 as printed; None for R, which the standard does not print."""
    pitch_in_plane: Fraction | None
    """NPT E1 as printed, in the hand-tight plane."""
    gauge_length: Fraction
    """Small end of the screw to the gauge plane (R) or hand-tight plane (NPT L1)."""
    margin: Fraction
    """By how much the gauge length may be more or less."""
    useful_length: Fraction
    """Useful thread of R, at least; effective thread L2 of NPT."""
    tap_drill: str | None
    """Shop chart's drill for NPT, without a taper reamer; None where there is none."""
    source: str


@dataclass(frozen=True)
class TaperGauge:
    """What is needed to cut and to gauge a taper pipe thread; mm and degrees."""

    plane: str
    """'gauge plane' or 'hand-tight plane': where the gauge stands flush."""
    gauge_length: Fraction
    gauge_length_minimum: Fraction
    gauge_length_maximum: Fraction
    useful_length: Fraction
    pitch_in_plane: float
    pitch_at_small_end: float
    major_at_small_end: float
    """Diameter of the blank at the end of the pipe."""
    minor_at_small_end: float
    half_angle: float
    """Degrees, between the cone and the axis."""
    tap_drill: str | None
    source: str


def _iso_size(row: dict[str, str]) -> TaperSize:
    return TaperSize(
        size=row["size"],
        threads_per_inch=Fraction(row["tpi"]),
        nominal=Fraction(row["major"]),
        pitch_at_small_end=None,
        pitch_in_plane=None,
        gauge_length=Fraction(row["gauge_length"]),
        margin=Fraction(row["gauge_margin"]),
        useful_length=Fraction(row["useful_length"]),
        tap_drill=None,
        source=row["source"],
    )


def _npt_size(row: dict[str, str]) -> TaperSize:
    threads_per_inch = Fraction(row["tpi"])
    return TaperSize(
        size=row["size"],
        threads_per_inch=threads_per_inch,
        nominal=inches(Fraction(row["outside"])),
        pitch_at_small_end=inches(Fraction(row["E0"])),
        pitch_in_plane=inches(Fraction(row["E1"])),
        gauge_length=inches(Fraction(row["L1"])),
        # ASME B1.20.1 lets the gauge stand one turn either way (from memory).
        margin=inch_sizes.pitch_of(threads_per_inch),
        useful_length=inches(Fraction(row["L2"])),
        tap_drill=row["tap_drill"] or None,
        source=row["source"],
    )


@cache
def sizes(series: str) -> tuple[TaperSize, ...]:
    """Every size of a series.

    series  : 'R', 'Rc' or 'NPT'
    Returns : rows in rising size; lengths in mm, exact
    Raises  : TableError if the table is broken; NoSuchSize for another series
    Valid   : 1/16 to 6 inch
    Source  : ISO 7-1, ASME B1.20.1; a source in every row of the tables

    >>> sizes("NPT")[0].size
    '1/16'
    """
    if series_of(series) == "NPT":
        return tuple(parsed(NPT_SIZES, _npt_size))
    return tuple(parsed(ISO_SIZES, _iso_size))


def series_of(text: str) -> str:
    """The series that a word names: R, Rc or NPT.

    text    : 'R', 'Rc', 'BSPT', 'NPT', in any case
    Returns : 'R', 'Rc' or 'NPT'
    Raises  : NoSuchSize if there is no such series
    Valid   : taper pipe threads
    Source  : ISO 7-1, ASME B1.20.1

    >>> series_of("npt")
    'NPT'
    """
    word = text.strip().lower()
    if word not in SPOKEN_SERIES:
        raise NoSuchSize("series", repr(text), "taper pipe threads are R, Rc and NPT")
    return SPOKEN_SERIES[word]


def name(size: str, threads_per_inch: Fraction, series: str) -> str:
    """Designation of a taper pipe thread: 'R1/2', '1/2-14 NPT'.

    size             : of the pipe, as written
    threads_per_inch : 1/inch
    series           : 'R', 'Rc' or 'NPT'
    Returns          : text
    Raises           : nothing
    Valid            : taper pipe threads
    Source           : ISO 7-1, ASME B1.20.1, designation

    >>> name("1/2", Fraction(14), "NPT")
    '1/2-14 NPT'
    """
    if series == "NPT":
        return f"{size}-{float(threads_per_inch):g} NPT"
    return f"{series}{size}"


def size_of(text: str, series: str) -> TaperSize:
    """The row that a pipe size names.

    text    : '1/2', '1 1/4', inches
    series  : as `series_of` reads it
    Returns : TaperSize
    Raises  : NoSuchSize or OutOfRange with the nearest size
    Valid   : 1/16 to 6 inch
    Source  : ISO 7-1, ASME B1.20.1

    >>> size_of("1/2", "NPT").threads_per_inch
    Fraction(14, 1)
    """
    key = series_of(series)
    by_size = {inch_sizes.value(row.size): row for row in sizes(key)}
    wanted = inch_sizes.value(text)
    if wanted in by_size:
        return by_size[wanted]
    close = " or ".join(
        name(by_size[one].size, by_size[one].threads_per_inch, key)
        for one in nearest(by_size, wanted)
    )
    given = f"{inch_sizes.written(wanted)} {key}"
    first, last = (inch_sizes.written(end) for end in (min(by_size), max(by_size)))
    if min(by_size) < wanted < max(by_size):
        raise NoSuchSize("thread", given, f"{STANDARDS[key]} does not list this size", close)
    raise OutOfRange(
        "thread", given, f"the table of {STANDARDS[key]} goes from {first} to {last} inch", close
    )


def standard(
    size: str,
    series: str,
    threads_per_inch: Fraction | None = None,
    *,
    left_hand: bool = False,
) -> Thread:
    """The taper pipe thread of a size: P = 25.4 / n, taper 1 in 16 on diameter.

    size             : of the pipe: '1/2', '1 1/4', inches
    series           : 'R' (screw), 'Rc' (taper hole) or 'NPT'
    threads_per_inch : 1/inch if it was named, to be checked against the table; else None
    left_hand        : True for a left-hand thread
    Returns          : Thread, lengths exact; its major diameter is that of the gauge plane (R, Rc)
                       or the outside diameter of the pipe (NPT)
    Raises           : NoSuchSize for a size or pitch that the standard does not have, OutOfRange
                       past the table or for zero and negative numbers
    Valid            : 1/16 to 6 inch
    Source           : ISO 7-1, ASME B1.20.1

    >>> standard("1/2", "NPT").designation
    '1/2-14 NPT'
    """
    key = series_of(series)
    row = size_of(size, key)
    designation = name(row.size, row.threads_per_inch, key)
    if threads_per_inch is not None:
        inch_sizes.pitch_of(threads_per_inch)
    if threads_per_inch not in (None, row.threads_per_inch):
        raise NoSuchSize(
            "thread",
            f"{designation} with {float(threads_per_inch or 0):g} threads per inch",
            f"{STANDARDS[key]} has {float(row.threads_per_inch):g}",
            designation,
        )
    return Thread(
        designation=designation,
        series=key,
        form=FORMS[key],
        pitch=inch_sizes.pitch_of(row.threads_per_inch),
        major_diameter=row.nominal,
        left_hand=left_hand,
        taper=TAPER,
    )


def _row(thread: Thread) -> TaperSize:
    if thread.series in FORMS:
        for row in sizes(thread.series):
            if row.nominal == thread.major_diameter:
                return row
    raise OutOfRange("thread", thread.designation, "is not a taper pipe thread R, Rc or NPT")


def _pitch_in_plane(thread: Thread, row: TaperSize) -> float:
    if row.pitch_in_plane is not None:
        return float(row.pitch_in_plane)
    return float(row.nominal) - forms.form(thread.form).pitch_diameter_drop * float(thread.pitch)


def basic_sizes(thread: Thread) -> BasicSizes:
    """Diameters in the plane where the gauge stands flush: pitch diameter +- the form's drop.

    thread  : R, Rc or NPT
    Returns : BasicSizes in mm; R, Rc in the gauge plane, NPT in the hand-tight plane (E1 as printed)
    Raises  : OutOfRange if the thread is of another kind
    Valid   : 1/16 to 6 inch
    Source  : ISO 7-1, ASME B1.20.1 (height of thread 0.8 P)

    >>> round(basic_sizes(standard("1/2", "NPT")).pitch_diameter / 25.4, 5)
    0.77843
    """
    pitch = _pitch_in_plane(thread, _row(thread))
    drop = forms.form(thread.form).pitch_diameter_drop * float(thread.pitch)
    return BasicSizes(
        major_diameter=pitch + drop,
        pitch_diameter=pitch,
        minor_diameter=pitch - drop,
        minor_diameter_internal=pitch - drop,
    )


def gauge(thread: Thread) -> TaperGauge:
    """Gauge length and the diameters at the small end: d at the end = d in the plane - length / 16.

    thread  : R, Rc or NPT
    Returns : TaperGauge; lengths exact, diameters in mm approximate, but NPT E0 and E1 as printed
    Raises  : OutOfRange if the thread is of another kind
    Valid   : 1/16 to 6 inch
    Source  : ISO 7-1; ASME B1.20.1 Table 2, E0 = D - (0.05 D + 1.1) p, E1 = E0 + L1/16 (inch)

    >>> round(gauge(standard("1/2", "NPT")).pitch_at_small_end / 25.4, 5)
    0.75843
    """
    row = _row(thread)
    in_plane = _pitch_in_plane(thread, row)
    at_end = in_plane - float(row.gauge_length * TAPER)
    if row.pitch_at_small_end is not None:
        at_end = float(row.pitch_at_small_end)
    drop = forms.form(thread.form).pitch_diameter_drop * float(thread.pitch)
    return TaperGauge(
        plane="hand-tight plane" if thread.series == "NPT" else "gauge plane",
        gauge_length=row.gauge_length,
        gauge_length_minimum=row.gauge_length - row.margin,
        gauge_length_maximum=row.gauge_length + row.margin,
        useful_length=row.useful_length,
        pitch_in_plane=in_plane,
        pitch_at_small_end=at_end,
        major_at_small_end=at_end + drop,
        minor_at_small_end=at_end - drop,
        half_angle=math.degrees(math.atan(TAPER / 2)),
        tap_drill=row.tap_drill,
        source=row.source,
    )


def limits(thread: Thread, tolerance: str) -> ThreadLimits:
    """Refuse limits of size: a taper pipe thread is judged by where its gauge stands, not by diameters.

    thread    : R, Rc or NPT
    tolerance : any class
    Returns   : nothing, it always refuses
    Raises    : OutOfRange with the gauge length and its margin
    Valid     : taper pipe threads
    Source    : ISO 7-1, ASME B1.20.1

    >>> limits(standard("1/2", "R"), "A")
    Traceback (most recent call last):
    assistant.errors.OutOfRange: limits of R1/2: a taper thread is gauged by length: gauge length 8.2 mm, 1.8 mm more or less
    """
    row = _row(thread)
    raise OutOfRange(
        "limits",
        f"of {thread.designation}",
        f"a taper thread is gauged by length: gauge length {float(row.gauge_length):.4g} mm, "
        f"{float(row.margin):.3g} mm more or less",
    )
