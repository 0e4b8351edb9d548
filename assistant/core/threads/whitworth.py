"""Threads of Whitworth form: BSW and BSF (BS 84), and parallel pipe threads G (ISO 228-1)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.threads import forms, inch_sizes
from assistant.core.threads.listed_sizes import nearest
from assistant.core.threads.thread import BasicSizes, Limits, Thread, ThreadLimits
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed

FORM = "whitworth-55"
SIZES = "whitworth_sizes.csv"
PIPE_SIZES = "iso228_sizes.csv"
SERIES = ("BSW", "BSF", "G")
SPOKEN_SERIES = {
    "whitworth": "BSW",
    "whitworth coarse": "BSW",
    "whitworth fine": "BSF",
    "bsp": "G",
    "bspp": "G",
}
"""Other words for a series, lower case."""
CLASS_B_FACTOR = 2
"""ISO 228-1: the pitch diameter tolerance of class B is twice that of class A."""


@dataclass(frozen=True)
class WhitworthSize:
    """One size of BSW or BSF."""

    series: str
    size: str
    """Inches, as written: '1 1/4'."""
    diameter: Fraction
    """Basic major diameter, mm."""
    threads_per_inch: Fraction
    source: str

    @property
    def designation(self) -> str:
        """As on a drawing: '1/2-12 BSW'."""
        return f"{self.size}-{float(self.threads_per_inch):g} {self.series}"


@dataclass(frozen=True)
class PipeSize:
    """One size of ISO 228-1; lengths in mm, exact."""

    size: str
    """Of the pipe, inches; not a dimension of the thread."""
    threads_per_inch: Fraction
    major: Fraction
    pitch: Fraction
    """Basic pitch diameter."""
    minor: Fraction
    pitch_tolerance: Fraction
    """Of the nut's pitch diameter, and of a class A screw's."""
    minor_tolerance: Fraction
    """Of the nut's minor diameter."""
    major_tolerance: Fraction
    """Of the screw's major diameter."""
    source: str


def _size(row: dict[str, str]) -> WhitworthSize:
    return WhitworthSize(
        series=row["series"],
        size=row["size"],
        diameter=inch_sizes.value(row["size"]),
        threads_per_inch=Fraction(row["tpi"]),
        source=row["source"],
    )


def _pipe_size(row: dict[str, str]) -> PipeSize:
    return PipeSize(
        size=row["size"],
        threads_per_inch=Fraction(row["tpi"]),
        major=Fraction(row["major"]),
        pitch=Fraction(row["pitch"]),
        minor=Fraction(row["minor"]),
        pitch_tolerance=Fraction(row["pitch_tolerance"]),
        minor_tolerance=Fraction(row["minor_tolerance"]),
        major_tolerance=Fraction(row["major_tolerance"]),
        source=row["source"],
    )


@cache
def sizes() -> tuple[WhitworthSize, ...]:
    """Every size of BSW and BSF.

    Returns : BSW, then BSF, in rising diameter; lengths in mm, exact
    Raises  : TableError if the table is broken
    Valid   : 1/16 to 6 inch
    Source  : BS 84, tables/whitworth_sizes.csv, a source in every row

    >>> sizes()[-1].designation
    '4 1/4-4 BSF'
    """
    return tuple(parsed(SIZES, _size))


@cache
def pipe_sizes() -> tuple[PipeSize, ...]:
    """Every size of ISO 228-1.

    Returns : rows in rising size; lengths in mm, exact
    Raises  : TableError if the table is broken
    Valid   : G1/16 to G6
    Source  : ISO 228-1, tables/iso228_sizes.csv, a source in every row

    >>> pipe_sizes()[0].size
    '1/16'
    """
    return tuple(parsed(PIPE_SIZES, _pipe_size))


def series_of(text: str) -> str:
    """The series that a word names: BSW, BSF or G.

    text    : 'BSW', 'Whitworth', 'BSF', 'Whitworth fine', 'G', 'BSP', 'BSPP', in any case
    Returns : 'BSW', 'BSF' or 'G'
    Raises  : NoSuchSize if there is no such series
    Valid   : parallel threads of Whitworth form
    Source  : BS 84, ISO 228-1

    >>> series_of("Whitworth fine")
    'BSF'
    """
    word = " ".join(text.split()).lower()
    series = SPOKEN_SERIES.get(word, word.upper())
    if series not in SERIES:
        raise NoSuchSize(
            "series", repr(text), "parallel threads of Whitworth form are BSW, BSF and G"
        )
    return series


def pipe_size(text: str) -> PipeSize:
    """The row of ISO 228-1 that a pipe size names.

    text    : '1/2', '1 1/4', inches
    Returns : PipeSize
    Raises  : NoSuchSize or OutOfRange with the nearest size
    Valid   : G1/16 to G6
    Source  : ISO 228-1

    >>> pipe_size("1/2").major
    Fraction(4191, 200)
    """
    by_size = {inch_sizes.value(row.size): row for row in pipe_sizes()}
    return by_size[_listed(inch_sizes.value(text), by_size, "G", "ISO 228-1")]


def _listed(
    wanted: Fraction,
    listed: dict[Fraction, PipeSize] | dict[Fraction, WhitworthSize],
    series: str,
    where: str,
) -> Fraction:
    """`wanted` if it is one of `listed`; refuses it with the nearest otherwise."""
    if wanted in listed:
        return wanted
    close = " or ".join(inch_sizes.written(one) for one in nearest(listed, wanted))
    first, last = (inch_sizes.written(end) for end in (min(listed), max(listed)))
    given = f"{inch_sizes.written(wanted)} {series}"
    if min(listed) < wanted < max(listed):
        raise NoSuchSize("thread", given, f"{where} does not list this size", close)
    raise OutOfRange("thread", given, f"{where} goes from {first} to {last} inch", close)


def _row(size: str, series: str, threads_per_inch: Fraction | None) -> WhitworthSize:
    listed = {row.diameter: row for row in sizes() if row.series == series}
    row = listed[_listed(inch_sizes.value(size), listed, series, "BS 84")]
    if threads_per_inch in (None, row.threads_per_inch):
        return row
    same = [other.designation for other in sizes() if other.diameter == row.diameter]
    raise NoSuchSize(
        "thread",
        f"{row.size}-{float(threads_per_inch or 0):g} {series}",
        f"{row.size} {series} has {float(row.threads_per_inch):g} threads per inch",
        " or ".join(same),
    )


def _by_pitch(size: str, threads_per_inch: Fraction | None) -> WhitworthSize:
    """The row of a size where the series was not named but the pitch says it."""
    wanted = inch_sizes.value(size)
    same = [row for row in sizes() if row.diameter == wanted]
    for row in same:
        if row.threads_per_inch == threads_per_inch:
            return row
    if not same:
        return _row(size, "BSW", threads_per_inch)
    named = size if threads_per_inch is None else f"{size}-{float(threads_per_inch):g}"
    raise NoSuchSize(
        "thread",
        named,
        "name the series, BSW or BSF" if threads_per_inch is None else "is in neither BSW nor BSF",
        " or ".join(row.designation for row in same),
    )


def _pipe_thread(size: str, threads_per_inch: Fraction | None, starts: int, left: bool) -> Thread:
    row = pipe_size(size)
    if threads_per_inch not in (None, row.threads_per_inch):
        raise NoSuchSize(
            "thread",
            f"G{row.size} with {float(threads_per_inch or 0):g} threads per inch",
            f"ISO 228-1 has {row.threads_per_inch}",
            f"G{row.size}",
        )
    return Thread(
        designation=inch_sizes.with_starts(f"G{row.size}", starts),
        series="G",
        form=FORM,
        pitch=inch_sizes.pitch_of(row.threads_per_inch),
        major_diameter=row.major,
        starts=starts,
        left_hand=left,
    )


def standard(
    size: str,
    series: str | None = None,
    threads_per_inch: Fraction | None = None,
    *,
    starts: int = 1,
    left_hand: bool = False,
) -> Thread:
    """The thread of a size in BSW, BSF or G: the series gives the threads per inch, P = 25.4 / n.

    size             : '1/2', '1 1/4': inches; for G the size of the pipe
    series           : as `series_of` reads it, or None where the pitch tells BSW from BSF
    threads_per_inch : 1/inch, or None where the series is named
    starts           : number of starts, 1 or more
    left_hand        : True for a left-hand thread
    Returns          : Thread, lengths exact
    Raises           : NoSuchSize for a size or pitch that the series does not have, OutOfRange past
                       its ends or for zero and negative numbers, with what there is instead
    Valid            : BSW 1/16 to 6 inch, BSF 3/16 to 4 1/4 inch, G1/16 to G6
    Source           : BS 84, ISO 228-1

    >>> standard("1/2", "BSW").designation
    '1/2-12 BSW'
    """
    inch_sizes.check_starts(starts)
    if threads_per_inch is not None:
        inch_sizes.pitch_of(threads_per_inch)
    key = None if series is None else series_of(series)
    if key == "G":
        return _pipe_thread(size, threads_per_inch, starts, left_hand)
    row = _by_pitch(size, threads_per_inch) if key is None else _row(size, key, threads_per_inch)
    return Thread(
        designation=inch_sizes.with_starts(row.designation, starts),
        series=row.series,
        form=FORM,
        pitch=inch_sizes.pitch_of(row.threads_per_inch),
        major_diameter=row.diameter,
        starts=starts,
        left_hand=left_hand,
    )


def _pipe_row(thread: Thread) -> PipeSize:
    return next(row for row in pipe_sizes() if row.major == thread.major_diameter)


def _check_series(thread: Thread) -> None:
    if thread.series not in SERIES:
        raise OutOfRange("thread", thread.designation, "is not a BSW, BSF or G thread")


def basic_sizes(thread: Thread) -> BasicSizes:
    """Basic diameters as printed: D - 0.640327 P and D - 1.280654 P; for G those of the table.

    thread  : BSW, BSF or G
    Returns : BasicSizes in mm; BSW and BSF rounded to 0.0001 inch, G to 0.001 mm
    Raises  : OutOfRange if the thread is of another kind
    Valid   : parallel threads of Whitworth form
    Source  : BS 84, ISO 228-1

    >>> basic_sizes(standard("1/2", "G")).pitch_diameter
    19.793
    """
    _check_series(thread)
    if thread.series == "G":
        row = _pipe_row(thread)
        return BasicSizes(float(row.major), float(row.pitch), float(row.minor), float(row.minor))
    exact = forms.basic_sizes(thread)
    return BasicSizes(
        major_diameter=exact.major_diameter,
        pitch_diameter=float(inch_sizes.printed(exact.pitch_diameter)),
        minor_diameter=float(inch_sizes.printed(exact.minor_diameter)),
        minor_diameter_internal=float(inch_sizes.printed(exact.minor_diameter_internal)),
    )


def limits(thread: Thread, tolerance: str) -> ThreadLimits:
    """Limits of size of a G thread: basic sizes and the tolerances of the table, all into the metal.

    thread    : G, with one start
    tolerance : 'A' or 'B' for the screw (B is twice A on the pitch diameter), 'nut' for the one
                zone of the internal thread
    Returns   : ThreadLimits in mm, exact values of the table
    Raises    : NoSuchSize for another class; OutOfRange for several starts and for another thread
    Valid     : G1/16 to G6; BSW and BSF have theirs in whitworth_tolerances
    Source    : ISO 228-1, table of dimensions

    >>> limits(standard("1/2", "G"), "A").pitch.minimum
    19.651
    """
    _check_series(thread)
    if thread.series != "G":
        raise OutOfRange("thread", thread.designation, "is not a G thread")
    if thread.starts != 1:
        raise OutOfRange("thread", thread.designation, "ISO 228-1 has single-start threads only")
    row = _pipe_row(thread)
    name = tolerance.strip().upper()
    if name == "NUT":
        return _pipe_nut(row)
    if name not in ("A", "B"):
        raise NoSuchSize(
            "tolerance class",
            repr(tolerance),
            "ISO 228-1 has A and B for the screw and one zone for the nut",
            "A",
        )
    zone = row.pitch_tolerance * (CLASS_B_FACTOR if name == "B" else 1)
    return ThreadLimits(
        tolerance_class=name,
        internal=False,
        major=Limits(float(row.major - row.major_tolerance), float(row.major)),
        pitch=Limits(float(row.pitch - zone), float(row.pitch)),
        minor=Limits(None, float(row.minor)),
        source="ISO 228-1",
    )


def _pipe_nut(row: PipeSize) -> ThreadLimits:
    return ThreadLimits(
        tolerance_class="nut",
        internal=True,
        major=Limits(float(row.major), None),
        pitch=Limits(float(row.pitch), float(row.pitch + row.pitch_tolerance)),
        minor=Limits(float(row.minor), float(row.minor + row.minor_tolerance)),
        source="ISO 228-1",
    )
