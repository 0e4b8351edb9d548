"""British Association threads (BS 93): numbers 0 to 16."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.threads import inch_sizes
from assistant.core.threads.thread import BasicSizes, Limits, Thread, ThreadLimits
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed

FORM = "ba-47.5"
SIZES = "ba_sizes.csv"
CLASSES = "ba_classes.csv"
SOURCE = "BS 93 tolerance formulae, from memory"


@dataclass(frozen=True)
class BaSize:
    """One size of BS 93; lengths in mm, exact."""

    number: int
    major: Fraction
    pitch: Fraction
    """Axial pitch."""
    effective: Fraction
    """Basic pitch diameter as printed."""
    minor: Fraction
    source: str

    @property
    def designation(self) -> str:
        """As on a drawing: '2 BA'."""
        return f"{self.number} BA"


@dataclass(frozen=True)
class BaClass:
    """Tolerances of one class over a span of numbers; parts of the pitch, and mm added."""

    internal: bool
    name: str
    numbers: range
    allowance: Fraction
    """mm that the whole screw stays below basic."""
    major: Fraction | None
    """Part of the pitch; None for a nut."""
    pitch: Fraction
    pitch_added: Fraction
    minor: Fraction
    minor_added: Fraction


def _size(row: dict[str, str]) -> BaSize:
    return BaSize(
        number=int(row["number"]),
        major=Fraction(row["major"]),
        pitch=Fraction(row["pitch"]),
        effective=Fraction(row["effective"]),
        minor=Fraction(row["minor"]),
        source=row["source"],
    )


@cache
def sizes() -> tuple[BaSize, ...]:
    """Every size of BS 93.

    Returns : rows in rising number, so falling diameter; lengths in mm, exact
    Raises  : TableError if the table is broken
    Valid   : 0 BA to 16 BA
    Source  : BS 93, tables/ba_sizes.csv, a source in every row

    >>> sizes()[2].designation
    '2 BA'
    """
    return tuple(parsed(SIZES, _size))


def standard(number: Fraction | int, *, starts: int = 1, left_hand: bool = False) -> Thread:
    """The British Association thread of a number: about D = 6 P^1.2 with P = 0.9^number, as printed.

    number    : 0 to 16, a whole number
    starts    : number of starts, 1 or more
    left_hand : True for a left-hand thread
    Returns   : Thread, lengths exact
    Raises    : NoSuchSize for a number that is not whole, OutOfRange below 0 or above 16
    Valid     : 0 BA to 16 BA
    Source    : BS 93

    >>> standard(2).major_diameter
    Fraction(47, 10)
    """
    inch_sizes.check_starts(starts)
    by_number = {row.number: row for row in sizes()}
    first, last = min(by_number), max(by_number)
    given = f"{float(number):g} BA"
    if not first <= number <= last:
        close = first if number < first else last
        raise OutOfRange("thread", given, f"BA goes from {first} to {last}", f"{close} BA")
    if number not in by_number:
        raise NoSuchSize("thread", given, "BA numbers are whole", f"{round(number)} BA")
    row = by_number[int(number)]
    return Thread(
        designation=inch_sizes.with_starts(row.designation, starts),
        series="BA",
        form=FORM,
        pitch=row.pitch,
        major_diameter=row.major,
        starts=starts,
        left_hand=left_hand,
    )


def _row(thread: Thread) -> BaSize:
    row = next((one for one in sizes() if one.major == thread.major_diameter), None)
    if thread.series != "BA" or row is None:
        raise OutOfRange("thread", thread.designation, "is not a British Association thread")
    return row


def basic_sizes(thread: Thread) -> BasicSizes:
    """Basic diameters as printed: about D - 0.6 P and D - 1.2 P.

    thread  : a BA thread
    Returns : BasicSizes in mm, exact values of the table
    Raises  : OutOfRange if the thread is of another kind
    Valid   : 0 BA to 16 BA
    Source  : BS 93, tables/ba_sizes.csv

    >>> basic_sizes(standard(2)).pitch_diameter
    4.215
    """
    row = _row(thread)
    return BasicSizes(float(row.major), float(row.effective), float(row.minor), float(row.minor))


def _class(row: dict[str, str]) -> BaClass:
    return BaClass(
        internal=row["member"] == "nut",
        name=row["class"],
        numbers=range(int(row["from"]), int(row["to"]) + 1),
        allowance=Fraction(row["allowance"]),
        major=None if row["major"] == "-" else Fraction(row["major"]),
        pitch=Fraction(row["pitch"]),
        pitch_added=Fraction(row["pitch_added"]),
        minor=Fraction(row["minor"]),
        minor_added=Fraction(row["minor_added"]),
    )


@cache
def _classes() -> tuple[BaClass, ...]:
    return tuple(parsed(CLASSES, _class))


def tolerance_class(number: int, name: str) -> BaClass:
    """The row of tolerances of a class for a BA number.

    number  : 0 to 16
    name    : 'close' or 'normal' for the screw, 'nut' for the nut, in any case
    Returns : BaClass
    Raises  : NoSuchSize for a class that this number does not have, with those that it has
    Valid   : 0 BA to 16 BA; close to 10 BA
    Source  : BS 93, tables/ba_classes.csv

    >>> tolerance_class(2, "normal").allowance
    Fraction(1, 40)
    """
    having = [each for each in _classes() if number in each.numbers]
    for each in having:
        if each.name == name.strip().lower():
            return each
    listed = " and ".join(each.name for each in having if not each.internal)
    raise NoSuchSize(
        "tolerance class",
        repr(name),
        f"BS 93 has {listed} for the screw of {number} BA and one zone for the nut",
        "normal",
    )


def _span(size: Fraction, tolerance: Fraction) -> Limits:
    return Limits(float(size - tolerance), float(size))


def limits(thread: Thread, tolerance: str) -> ThreadLimits:
    """Limits of size: an allowance, and tolerances of the form a P + b from there, into the metal.

    thread    : a BA thread with one start
    tolerance : 'close' (to 10 BA) or 'normal' for the screw, 'nut' for the nut
    Returns   : ThreadLimits in mm, exact values of the formulae; the nut's major has no maximum
    Raises    : NoSuchSize for another class; OutOfRange for several starts or another kind of thread
    Valid     : 0 BA to 16 BA, before any plating
    Source    : BS 93 tolerance formulae, from memory

    >>> limits(standard(2), "close").pitch.minimum
    4.1302
    """
    row = _row(thread)
    cls = tolerance_class(row.number, tolerance)
    if thread.starts != 1:
        raise OutOfRange(
            "limits", f"of {thread.designation}", "BS 93 tolerates single-start threads only"
        )
    pitch_zone = cls.pitch * row.pitch + cls.pitch_added
    minor_zone = cls.minor * row.pitch + cls.minor_added
    if cls.major is None:
        return ThreadLimits(
            tolerance_class=cls.name,
            internal=True,
            major=Limits(float(row.major), None),
            pitch=Limits(float(row.effective), float(row.effective + pitch_zone)),
            minor=Limits(float(row.minor), float(row.minor + minor_zone)),
            source=SOURCE,
        )
    return ThreadLimits(
        tolerance_class=cls.name,
        internal=False,
        major=_span(row.major - cls.allowance, cls.major * row.pitch),
        pitch=_span(row.effective - cls.allowance, pitch_zone),
        minor=_span(row.minor - cls.allowance, minor_zone),
        source=SOURCE,
    )
