"""Holes for internal threads: the tap drill for a share of full thread, and the bore for a single-point tool."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core import drills
from assistant.core.drills import Drill
from assistant.core.threads import forms, pipe_taper
from assistant.core.threads.thread import Thread
from assistant.errors import OutOfRange
from assistant.tables import parsed

RACKS = "drill_racks.csv"
METRIC_CHART = "iso2306_tap_drills.csv"
TAPPED_FORMS = ("iso-60", "whitworth-55", "ba-47.5")
USUAL_PERCENTAGE = Fraction(75)
LOWEST_PERCENTAGE = Fraction(50)
HIGHEST_PERCENTAGE = Fraction(85)
MOST_OFF = 15
"""Percentage points by which the nearest drill may miss what was wanted before it is refused."""
FORMULA = "hole = D - percentage/100 x full thread; full thread on diameter 1.299038 P (60 degrees), 1.280654 P (Whitworth), 1.2 P (BA)"


@dataclass(frozen=True)
class TapDrill:
    """A drill for tapping."""

    drill: Drill
    percentage: float | None
    """Share of full thread that the drill gives, per cent; None for a taper pipe thread."""
    hole: float
    """Diameter that was wanted, mm."""
    chart: bool
    """True where a standard's or a shop chart names this drill, False where it was worked out."""
    source: str


def full_thread(thread: Thread) -> float:
    """Depth on diameter that counts as 100 per cent of thread: twice the drop to the pitch line.

    thread  : a parallel thread of 60 degrees, Whitworth or BA form
    Returns : mm on diameter, approximate: 1.299038 P, 1.280654 P, 1.2 P
    Raises  : OutOfRange for another form, which is not tapped by percentage
    Valid   : tapped threads
    Source  : American shop rule hole = D - percentage x 0.01299 / n, read in shop charts; for the
              other forms the full depth of the form, common practice

    >>> round(full_thread(Thread("M10x1.5", "M", "iso-60", Fraction(3, 2), Fraction(10))), 4)
    1.9486
    """
    if thread.form not in TAPPED_FORMS or thread.taper:
        raise OutOfRange(
            "thread",
            thread.designation,
            "is not tapped by percentage of thread; bore it to the minor diameter",
        )
    return 2 * forms.form(thread.form).pitch_diameter_drop * float(thread.pitch)


def _major(thread: Thread) -> float:
    if thread.major_diameter is None:
        raise OutOfRange("thread", thread.designation, "has a pitch but no diameter; name the size")
    return float(thread.major_diameter)


def hole_for(thread: Thread, percentage: Fraction | float) -> float:
    """Hole that gives a share of full thread: D - percentage/100 x full thread.

    thread     : a parallel thread of 60 degrees, Whitworth or BA form, with its diameter
    percentage : per cent, 50 to 85
    Returns    : mm, approximate
    Raises     : OutOfRange for a share outside 50 to 85, another form, or no diameter
    Valid      : tapped threads
    Source     : as `full_thread`

    >>> round(hole_for(Thread("1/4-20 UNC", "UNC", "iso-60", Fraction(127, 100), Fraction(127, 20)), 75), 3)
    5.113
    """
    if not LOWEST_PERCENTAGE <= percentage <= HIGHEST_PERCENTAGE:
        close = LOWEST_PERCENTAGE if percentage < LOWEST_PERCENTAGE else HIGHEST_PERCENTAGE
        raise OutOfRange(
            "percentage of thread",
            f"{float(percentage):g} %",
            f"must be from {LOWEST_PERCENTAGE} to {HIGHEST_PERCENTAGE} %",
            f"{close} %",
        )
    return _major(thread) - float(percentage) / 100 * full_thread(thread)


def percentage_of(thread: Thread, hole: Fraction | float) -> float:
    """Share of full thread that a hole gives: 100 (D - hole) / full thread.

    thread  : a parallel thread of 60 degrees, Whitworth or BA form, with its diameter
    hole    : mm
    Returns : per cent, approximate
    Raises  : OutOfRange for a hole that is no smaller than the thread, zero or negative, or
              another form
    Valid   : tapped threads
    Source  : as `full_thread`

    >>> round(percentage_of(Thread("1/4-20 UNC", "UNC", "iso-60", Fraction(127, 100), Fraction(127, 20)), 5.1054), 1)
    75.4
    """
    major = _major(thread)
    if not 0 < hole < major:
        raise OutOfRange(
            "hole",
            f"{float(hole):g} mm",
            f"must be more than 0 and less than the thread's {major:g} mm",
        )
    return 100 * (major - float(hole)) / full_thread(thread)


@cache
def _racks() -> dict[str, tuple[str, ...]]:
    return dict(parsed(RACKS, lambda row: (row["series"], tuple(row["kinds"].split()))))


@cache
def _metric_chart() -> dict[tuple[Fraction, Fraction], tuple[Fraction, str]]:
    return dict(
        parsed(
            METRIC_CHART,
            lambda row: (
                (Fraction(row["nominal"]), Fraction(row["pitch"])),
                (Fraction(row["drill"]), row["source"]),
            ),
        )
    )


def _from_chart(thread: Thread, kinds: Sequence[str]) -> TapDrill | None:
    """The drill of ISO 2306, where it lists the thread and metric drills are at hand."""
    if thread.series != "M" or "metric" not in kinds or thread.major_diameter is None:
        return None
    listed = _metric_chart().get((thread.major_diameter, thread.pitch))
    if listed is None:
        return None
    diameter, source = listed
    found = drills.nearest_drill(diameter, ["metric"])
    if found.diameter != diameter:
        return None
    return TapDrill(found, percentage_of(thread, diameter), float(diameter), True, source)


def _pipe_drill(thread: Thread) -> TapDrill:
    gauge = pipe_taper.gauge(thread)
    if gauge.tap_drill is None:
        raise OutOfRange(
            "tap drill",
            f"of {thread.designation}",
            f"is not in the tables; the thread's minor diameter at the small end is "
            f"{gauge.minor_at_small_end:.2f} mm",
        )
    found = drills.drill(gauge.tap_drill)
    return TapDrill(found, None, float(found.diameter), True, gauge.source)


def tap_drill(
    thread: Thread,
    percentage: Fraction | None = None,
    kinds: Sequence[str] | None = None,
) -> TapDrill:
    """Drill before tapping: nearest of the rack to D - percentage/100 x full thread.

    thread     : the thread to be tapped, with its diameter
    percentage : per cent of full thread, 50 to 85; None for the usual: the drill of ISO 2306 for a
                 metric coarse thread, else 75 per cent
    kinds      : sets of drills to choose from; None for those usual with the series
    Returns    : TapDrill with the share that the drill really gives; for NPT the drill of the chart
    Raises     : OutOfRange for a share outside 50 to 85, a thread that is not tapped so, or where no
                 drill of the sets comes within 15 points of the share
    Valid      : parallel threads of 60 degrees, Whitworth and BA form; NPT 1/16 to 3
    Source     : as `full_thread`; ISO 2306; NPT by shop charts, from memory

    >>> tap_drill(Thread("1/4-20 UNC", "UNC", "iso-60", Fraction(127, 100), Fraction(127, 20))).drill.name
    '#7'
    """
    if thread.series == "NPT":
        return _pipe_drill(thread)
    if kinds is None:
        kinds = _racks().get(thread.series, drills.KINDS)
    if percentage is None:
        charted = _from_chart(thread, kinds)
        if charted is not None:
            return charted
        percentage = USUAL_PERCENTAGE
    hole = hole_for(thread, percentage)
    found = drills.nearest_drill(hole, kinds)
    missed = float(found.diameter) - hole
    if abs(missed) / full_thread(thread) * 100 > MOST_OFF:
        raise OutOfRange(
            "tap drill",
            f"of {hole:.2f} mm for {thread.designation}",
            f"no {' or '.join(kinds)} drill comes near enough; bore it",
            found.name,
        )
    return TapDrill(found, percentage_of(thread, found.diameter), hole, False, FORMULA)


def tap_drill_within(
    thread: Thread,
    percentage: Fraction,
    smallest: float,
    largest: float,
    kinds: Sequence[str] | None = None,
) -> TapDrill:
    """Drill inside the limits of the nut's minor diameter: of those, the nearest to D - percentage/100 x full thread.

    thread     : a parallel thread of 60 degrees, Whitworth or BA form, with its diameter
    percentage : per cent of full thread wanted, 50 to 85
    smallest   : mm, least minor diameter of the nut
    largest    : mm, largest minor diameter of the nut
    kinds      : sets of drills to choose from; None for those usual with the series
    Returns    : TapDrill with the share that the drill really gives
    Raises     : OutOfRange for a share outside 50 to 85, another form, or where no drill of the sets
                 lies between the limits
    Valid      : tapped threads whose limits are known
    Source     : as `full_thread`; limits by the thread's standard

    >>> thread = Thread("1/2-12 BSW", "BSW", "whitworth-55", Fraction(127, 60), Fraction(127, 10))
    >>> tap_drill_within(thread, Fraction(75), 9.99, 10.592, ["metric"]).drill.name
    '10.5 mm'
    """
    if kinds is None:
        kinds = _racks().get(thread.series, drills.KINDS)
    hole = hole_for(thread, percentage)
    inside = [one for one in drills.drills(kinds) if smallest <= one.diameter <= largest]
    if not inside:
        raise OutOfRange(
            "tap drill",
            f"for {thread.designation}",
            f"no {' or '.join(kinds)} drill lies between the nut's limits, "
            f"{smallest:.3f} and {largest:.3f} mm",
            drills.nearest_drill(largest, kinds).name,
        )
    found = min(inside, key=lambda one: abs(float(one.diameter) - hole))
    return TapDrill(found, percentage_of(thread, found.diameter), hole, False, FORMULA)


def bore_diameter(thread: Thread) -> float:
    """Bore before cutting an internal thread with a single-point tool: the nut's basic minor diameter.

    thread  : a parallel thread with its diameter
    Returns : mm, approximate: D - 1.082532 P (60 degrees), D - 1.280654 P (Whitworth), D - P (Acme,
              trapezoidal); the tolerance of the nut's minor diameter goes upward from it
    Raises  : OutOfRange if only the pitch is known, or for a taper thread, whose bore is a taper
    Valid   : parallel threads
    Source  : tables/thread_forms.yaml, the standards' basic minor diameter of the nut

    >>> round(bore_diameter(Thread("M10x1.5", "M", "iso-60", Fraction(3, 2), Fraction(10))), 3)
    8.376
    """
    if thread.taper:
        raise OutOfRange(
            "bore", f"of {thread.designation}", "is a taper; see its gauge plane and small end"
        )
    return forms.basic_sizes(thread).minor_diameter_internal
