"""British Association threads (BS 93): numbers 0 to 16."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.threads import inch_sizes
from assistant.core.threads.thread import BasicSizes, Thread, ThreadLimits
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed

FORM = "ba-47.5"
SIZES = "ba_sizes.csv"


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
    row = next((one for one in sizes() if one.major == thread.major_diameter), None)
    if thread.series != "BA" or row is None:
        raise OutOfRange("thread", thread.designation, "is not a British Association thread")
    return BasicSizes(float(row.major), float(row.effective), float(row.minor), float(row.minor))


def limits(thread: Thread, tolerance: str) -> ThreadLimits:
    """Refuse the limits of a BA thread: the tables hold the basic sizes of BS 93 only.

    thread    : a BA thread
    tolerance : any class
    Returns   : nothing, it always refuses
    Raises    : OutOfRange that says what is missing
    Valid     : BA threads
    Source    : none; the tolerances of BS 93 could not be read

    >>> limits(standard(2), "close")
    Traceback (most recent call last):
    assistant.errors.OutOfRange: limits of 2 BA: the tables hold basic sizes of BS 93 only; take limits from the standard
    """
    basic_sizes(thread)
    raise OutOfRange(
        "limits",
        f"of {thread.designation}",
        "the tables hold basic sizes of BS 93 only; take limits from the standard",
    )
