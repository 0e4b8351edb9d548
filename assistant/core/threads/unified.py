"""Unified inch threads (ASME B1.1): which sizes there are, and their basic diameters."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.threads import forms, inch_sizes
from assistant.core.threads.listed_sizes import nearest
from assistant.core.threads.thread import BasicSizes, Thread
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed
from assistant.units import inches

FORM = "iso-60"
SIZES = "unified_sizes.csv"
SERIES = ("UNC", "UNF", "UNEF", "UN", "UNS")
SPOKEN_SERIES = {"coarse": "UNC", "fine": "UNF", "extra fine": "UNEF"}


@dataclass(frozen=True)
class UnifiedSize:
    """One row of the standard series: a diameter with one of its pitches."""

    size: str
    """'#10' for a number size, else inches: '1 1/4'."""
    diameter: Fraction
    """Basic major diameter, mm."""
    threads_per_inch: Fraction
    series: str
    """UNC, UNF, UNEF, or UN for the constant-pitch series."""
    source: str

    @property
    def designation(self) -> str:
        """As on a drawing: '1/2-13 UNC'."""
        return _name(self.size, self.threads_per_inch, self.series)


def _name(size: str, threads_per_inch: Fraction, series: str) -> str:
    return f"{size}-{float(threads_per_inch):g} {series}"


def _row(row: dict[str, str]) -> UnifiedSize:
    if row["series"] not in SERIES:
        raise ValueError(f"series is {row['series']!r}; expected one of {', '.join(SERIES)}")
    return UnifiedSize(
        size=row["size"],
        diameter=inches(Fraction(row["diameter"])),
        threads_per_inch=Fraction(row["tpi"]),
        series=row["series"],
        source=row["source"],
    )


@cache
def sizes() -> tuple[UnifiedSize, ...]:
    """Every diameter of the standard series with each of its pitches.

    Returns : rows in rising diameter; lengths in mm, exact
    Raises  : TableError if the table is broken
    Valid   : #0 to 4 inch
    Source  : ASME B1.1, tables/unified_sizes.csv, a source in every row

    >>> sizes()[0].designation
    '#0-80 UNF'
    """
    return tuple(parsed(SIZES, _row))


@cache
def _diameters() -> dict[str, Fraction]:
    return {row.size: row.diameter for row in sizes()}


def size_at(diameter: Fraction) -> str:
    """The size of the standard series nearest to a diameter: least |d - wanted|, the smaller in a tie.

    diameter : mm
    Returns  : '#10', '1 1/4'
    Raises   : nothing
    Valid    : any number
    Source   : ASME B1.1

    >>> size_at(Fraction(127, 10))
    '1/2'
    """
    best = nearest(_diameters().values(), diameter)[0]
    return next(size for size, listed in _diameters().items() if listed == best)


def _number(text: str) -> int | None:
    match = re.fullmatch(r"(?:#|no\.?|number)\s*(\d+)", text.strip().lower())
    return None if match is None else int(match[1])


def _number_size(number: int) -> str:
    name = f"#{number}"
    if name in _diameters():
        return name
    listed = [Fraction(size[1:]) for size in _diameters() if size.startswith("#")]
    if number > max(listed):
        raise OutOfRange(
            "thread size", name, f"number sizes end at #{max(listed)}", f"#{max(listed)}"
        )
    close = " or ".join(f"#{one}" for one in nearest(listed, Fraction(number)))
    raise NoSuchSize("thread size", name, "is not a number size of ASME B1.1", close)


def _inch_size(text: str) -> str:
    diameter = inch_sizes.value(text)
    found = size_at(diameter)
    if _diameters()[found] == diameter:
        return found
    given = f"{inch_sizes.written(diameter)} inch"
    close = found if found.startswith("#") else f"{found} inch"
    if not min(_diameters().values()) < diameter < max(_diameters().values()):
        raise OutOfRange("thread size", given, "the Unified series go from #0 to 4 inch", close)
    raise NoSuchSize("thread size", given, "ASME B1.1 does not list this diameter", close)


def size_of(text: str, threads_per_inch: Fraction | None = None) -> str:
    """The size of the standard series that a text names.

    text             : '#10', 'number 10', '1/2', '1 1/4', '0.190'; a bare '10' or '6' is a number
                       size. A bare 1, 2, 3 or 4 is inches unless only the number size has that
                       many threads per inch
    threads_per_inch : 1/inch, or None if not known
    Returns          : '#10', '1 1/4'
    Raises           : NoSuchSize for a diameter between the listed ones, OutOfRange beyond them,
                       each with the nearest size
    Valid            : #0 to 4 inch
    Source           : ASME B1.1

    >>> size_of("4", Fraction(40))
    '#4'
    """
    number = _number(text)
    if number is not None:
        return _number_size(number)
    bare = text.strip()
    if not bare.isdecimal():
        return _inch_size(text)
    if bare not in _diameters():
        return _number_size(int(bare))
    having = [row.size for row in sizes() if row.threads_per_inch == threads_per_inch]
    as_number = f"#{bare}"
    return as_number if as_number in having and bare not in having else bare


def _of(size: str) -> tuple[UnifiedSize, ...]:
    return tuple(row for row in sizes() if row.size == size)


def pitches(size: str) -> tuple[UnifiedSize, ...]:
    """The pitches that the standard series have for a size.

    size    : as `size_of` reads it
    Returns : rows of the table, UNC, UNF, UNEF, then UN
    Raises  : NoSuchSize or OutOfRange as `size_of`
    Valid   : #0 to 4 inch
    Source  : ASME B1.1

    >>> [row.designation for row in pitches("#10")]
    ['#10-24 UNC', '#10-32 UNF']
    """
    return _of(size_of(size))


def series_of(text: str) -> tuple[str, Fraction | None]:
    """The series that a word names, with the threads per inch that a name such as '8-UN' holds.

    text    : UNC, UNF, UNEF, UN, UNS in any case, '8-UN', 'coarse', 'fine', 'extra fine'
    Returns : (series, threads per inch or None)
    Raises  : NoSuchSize if there is no such series, with those that there are
    Valid   : Unified threads
    Source  : ASME B1.1

    >>> series_of("fine")
    ('UNF', None)
    """
    word = " ".join(text.replace("-", " ").split()).lower()
    constant = re.fullmatch(r"(\d+) ?un", word)
    if constant is not None:
        return "UN", Fraction(constant[1])
    series = SPOKEN_SERIES.get(word, word.upper())
    if series not in SERIES:
        raise NoSuchSize("series", repr(text), f"Unified series are {', '.join(SERIES)}")
    return series, None


def _listing(rows: Iterable[UnifiedSize]) -> str:
    return ", ".join(row.designation for row in rows)


def _by_series(size: str, series: str | None) -> UnifiedSize:
    """The one row of a size in a series, where no pitch was named."""
    listed = _of(size)
    fitting = [row for row in listed if series in (None, row.series)]
    if len(fitting) == 1:
        return fitting[0]
    named = (
        f"{size} inch" if series is None and size[0] != "#" else f"{size} {series or ''}".strip()
    )
    if fitting:
        raise NoSuchSize(
            "thread", named, "has several pitches; name the threads per inch", _listing(fitting)
        )
    why = "is special; name the threads per inch" if series == "UNS" else "is not in that series"
    raise NoSuchSize("thread", named, why, _listing(listed))


def _check_special(size: str, threads_per_inch: Fraction) -> None:
    """Refuse a special pitch beyond what the standard series reach: finest, coarsest, and for the diameter."""
    given = _name(size, threads_per_inch, "UNS")
    known = sorted({row.threads_per_inch for row in sizes()})
    close = min(_of(size), key=lambda row: abs(row.threads_per_inch - threads_per_inch))
    if not known[0] <= threads_per_inch <= known[-1]:
        raise OutOfRange(
            "thread",
            given,
            f"Unified pitches go from {known[0]} to {known[-1]} threads per inch",
            close.designation,
        )
    if (threads_per_inch * 2).denominator != 1:
        raise NoSuchSize(
            "thread", given, "threads per inch are whole or half numbers", close.designation
        )
    coarsest = min(sizes(), key=lambda row: row.diameter * row.threads_per_inch)
    if _diameters()[size] * threads_per_inch < coarsest.diameter * coarsest.threads_per_inch:
        raise OutOfRange(
            "thread",
            given,
            f"is coarser for its diameter than any Unified thread ({coarsest.designation})",
            close.designation,
        )


def _check_series(row: UnifiedSize, series: str | None) -> None:
    # 'UN' is also said of the constant-pitch series as a whole, of which UNC, UNF and UNEF sizes are part.
    if series in (None, "UN", row.series):
        return
    if series == "UNS":
        raise NoSuchSize(
            "thread",
            _name(row.size, row.threads_per_inch, "UNS"),
            f"is no special; it is {row.series}",
            row.designation,
        )
    named = [other for other in _of(row.size) if other.series == series]
    raise NoSuchSize(
        "thread",
        _name(row.size, row.threads_per_inch, str(series)),
        f"{float(row.threads_per_inch):g} threads per inch is {row.series} at {row.size}",
        _listing([*named, row]),
    )


def _by_pitch(size: str, threads_per_inch: Fraction, series: str | None) -> UnifiedSize:
    for row in _of(size):
        if row.threads_per_inch == threads_per_inch:
            _check_series(row, series)
            return row
    _check_special(size, threads_per_inch)
    if series not in (None, "UNS"):
        named = [row for row in _of(size) if row.series == series]
        raise NoSuchSize(
            "thread",
            _name(size, threads_per_inch, str(series)),
            f"{float(threads_per_inch):g} threads per inch is a special (UNS) at {size}",
            _listing(named) or _name(size, threads_per_inch, "UNS"),
        )
    return UnifiedSize(
        size, _diameters()[size], threads_per_inch, "UNS", "special pitch by ASME B1.1 formulas"
    )


def standard(
    size: str,
    threads_per_inch: Fraction | None = None,
    series: str | None = None,
    *,
    starts: int = 1,
    left_hand: bool = False,
) -> Thread:
    """The Unified thread of a size with its threads per inch, or with its series: P = 25.4 / n.

    size             : as `size_of` reads it: '#10', '1/2', '1 1/4'
    threads_per_inch : 1/inch, or None where the series is named
    series           : as `series_of` reads it, or None where the pitch says it
    starts           : number of starts, 1 or more
    left_hand        : True for a left-hand thread
    Returns          : Thread, lengths exact; series UNS and `special` for a pitch that no standard
                       series has at that size
    Raises           : NoSuchSize for a size that is not listed, a series that does not go with size
                       and pitch, or a size with several pitches and neither named; OutOfRange for
                       zero or negative numbers and pitches beyond the standard's; each with what
                       there is instead
    Valid            : #0 to 4 inch, 4 to 80 threads per inch
    Source           : ASME B1.1

    >>> standard("1/2", Fraction(13)).designation
    '1/2-13 UNC'
    """
    inch_sizes.check_starts(starts)
    key, constant = (None, None) if series is None else series_of(series)
    if threads_per_inch is None:
        threads_per_inch = constant
    elif constant not in (None, threads_per_inch):
        raise NoSuchSize(
            "series", f"{series} with {float(threads_per_inch):g} threads per inch", "do not agree"
        )
    name = size_of(size, threads_per_inch)
    if threads_per_inch is None:
        row = _by_series(name, key)
    else:
        inch_sizes.pitch_of(threads_per_inch)
        row = _by_pitch(name, threads_per_inch, key)
    return Thread(
        designation=inch_sizes.with_starts(row.designation, starts),
        series=row.series,
        form=FORM,
        pitch=inch_sizes.pitch_of(row.threads_per_inch),
        major_diameter=row.diameter,
        starts=starts,
        left_hand=left_hand,
        special=row.series == "UNS",
    )


def check_unified(thread: Thread) -> Fraction:
    """The basic major diameter of a Unified thread; refuses any other thread.

    thread  : any thread
    Returns : mm, exact
    Raises  : OutOfRange if its series is not one of ASME B1.1
    Valid   : Unified threads
    Source  : ASME B1.1

    >>> check_unified(standard("1/4", Fraction(20)))
    Fraction(127, 20)
    """
    if thread.series not in SERIES or thread.major_diameter is None:
        raise OutOfRange("thread", thread.designation, "is not a Unified thread")
    return thread.major_diameter


def basic_sizes(thread: Thread) -> BasicSizes:
    """Basic diameters as printed: D2 = D - 0.64951905 P, D1 = D - 1.08253175 P, to 0.0001 inch.

    thread  : a Unified thread
    Returns : BasicSizes in mm, rounded to 0.0001 inch like ASME B1.1
    Raises  : OutOfRange if the thread is not a Unified one
    Valid   : Unified threads
    Source  : ASME B1.1, basic dimensions

    >>> round(basic_sizes(standard("1/2", Fraction(13))).pitch_diameter / 25.4, 4)
    0.45
    """
    check_unified(thread)
    exact = forms.basic_sizes(thread)
    return BasicSizes(
        major_diameter=exact.major_diameter,
        pitch_diameter=float(inch_sizes.printed(exact.pitch_diameter)),
        minor_diameter=float(inch_sizes.printed(exact.minor_diameter)),
        minor_diameter_internal=float(inch_sizes.printed(exact.minor_diameter_internal)),
        major_diameter_internal=exact.major_diameter_internal,
    )
