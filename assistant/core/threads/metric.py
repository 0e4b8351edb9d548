"""ISO metric threads: which sizes there are (ISO 261, 262) and their basic diameters (ISO 68-1, 724)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.threads import forms, listed_sizes
from assistant.core.threads.inch_sizes import check_starts
from assistant.core.threads.thread import BasicSizes, Thread
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed

FORM = "iso-60"
SIZES = "iso_metric_sizes.csv"
PITCH_RANGES = "iso965_pitch_tolerances.csv"


@dataclass(frozen=True)
class MetricSize:
    """One row of ISO 261: a diameter with one of its pitches."""

    nominal: Fraction
    """Basic major diameter, mm."""
    pitch: Fraction
    """mm."""
    coarse: bool
    """True for the coarse pitch of the diameter."""
    choice: int
    """Column of ISO 261: 1 is to be preferred, then 2, then 3."""
    iso_262: bool
    """True where ISO 262 selects it for screws, bolts and nuts."""
    source: str


def _size(row: dict[str, str]) -> MetricSize:
    return MetricSize(
        nominal=Fraction(row["nominal"]),
        pitch=Fraction(row["pitch"]),
        coarse={"yes": True, "no": False}[row["coarse"]],
        choice=int(row["choice"]),
        iso_262={"yes": True, "no": False}[row["iso_262"]],
        source=row["source"],
    )


@cache
def sizes() -> tuple[MetricSize, ...]:
    """Every diameter of ISO 261 with each of its pitches.

    Returns : rows in rising diameter, coarse pitch first; lengths in mm, exact
    Raises  : TableError if the table is broken
    Valid   : M1 to M300
    Source  : tables/iso_metric_sizes.csv, a source in every row

    >>> sizes()[0].nominal
    Fraction(1, 1)
    """
    return tuple(parsed(SIZES, _size))


@cache
def coarsest_pitches() -> tuple[tuple[Fraction, Fraction, Fraction], ...]:
    """The coarsest pitch that ISO 965-1 tolerates in each of its ranges of diameter.

    Returns : (over, up to and including, coarsest pitch), mm, exact, rising
    Raises  : TableError if the table is broken
    Valid   : 0.99 to 355 mm
    Source  : ISO 965-1, tables/iso965_pitch_tolerances.csv

    >>> coarsest_pitches()[0][2]
    Fraction(3, 10)
    """
    found: dict[tuple[Fraction, Fraction], Fraction] = {}
    for over, up_to, pitch in parsed(
        PITCH_RANGES,
        lambda row: (Fraction(row["over"]), Fraction(row["up_to"]), Fraction(row["pitch"])),
    ):
        found[over, up_to] = max(pitch, found.get((over, up_to), pitch))
    return tuple((over, up_to, pitch) for (over, up_to), pitch in sorted(found.items()))


def name(nominal: Fraction, pitch: Fraction | None = None, starts: int = 1) -> str:
    """Designation of a metric thread without tolerance class: M, diameter, x, pitch (or lead Ph and pitch P).

    nominal : mm
    pitch   : mm, or None for the diameter alone
    starts  : number of starts
    Returns : text, to six figures
    Raises  : nothing
    Valid   : right-hand threads
    Source  : ISO 261, ISO 965-1; the pitch always written out

    >>> name(Fraction(12), Fraction(7, 4))
    'M12x1.75'
    """
    if pitch is None:
        return f"M{float(nominal):g}"
    if starts > 1:
        return f"M{float(nominal):g}xPh{float(pitch * starts):g}P{float(pitch):g}"
    return f"M{float(nominal):g}x{float(pitch):g}"


def nearest(nominal: Fraction) -> tuple[Fraction, ...]:
    """The diameter or, in a tie, diameters of ISO 261 nearest to a wanted one: least |d - wanted|.

    nominal : mm
    Returns : one or two diameters, mm, exact
    Raises  : nothing
    Valid   : any number
    Source  : ISO 261

    >>> nearest(Fraction(13))
    (Fraction(12, 1), Fraction(14, 1))
    """
    return listed_sizes.nearest((size.nominal for size in sizes()), nominal)


def _nearest_names(nominal: Fraction) -> str:
    return " or ".join(name(one) for one in nearest(nominal))


def check_nominal(nominal: Fraction) -> None:
    """Refuse a diameter outside ISO 261: 1 mm <= d <= 300 mm.

    nominal : mm
    Returns : nothing
    Raises  : OutOfRange, with the nearest size that is listed
    Valid   : metric threads
    Source  : ISO 261

    >>> check_nominal(Fraction(12))
    """
    first, last = sizes()[0].nominal, sizes()[-1].nominal
    if not first <= nominal <= last:
        raise OutOfRange(
            "thread",
            name(nominal),
            f"ISO 261 goes from {name(first)} to {name(last)}",
            _nearest_names(nominal),
        )


def pitches(nominal: Fraction) -> tuple[Fraction, ...]:
    """Pitches that ISO 261 lists for a diameter.

    nominal : basic major diameter, mm
    Returns : mm, exact, coarsest first
    Raises  : OutOfRange outside M1 to M300; NoSuchSize for a diameter between that is not listed
    Valid   : M1 to M300
    Source  : ISO 261

    >>> [str(pitch) for pitch in pitches(Fraction(8))]
    ['5/4', '1', '3/4']
    """
    check_nominal(nominal)
    found = [size.pitch for size in sizes() if size.nominal == nominal]
    if not found:
        raise NoSuchSize(
            "thread", name(nominal), "ISO 261 does not list this diameter", _nearest_names(nominal)
        )
    return tuple(found)


def coarse_pitch(nominal: Fraction) -> Fraction:
    """The coarse pitch of a diameter.

    nominal : basic major diameter, mm
    Returns : mm, exact
    Raises  : OutOfRange outside M1 to M300; NoSuchSize for a diameter that is not listed, or that
              has fine pitches only (then the nearest names the coarsest of them)
    Valid   : M1 to M68, the diameters with a coarse pitch
    Source  : ISO 261

    >>> coarse_pitch(Fraction(12))
    Fraction(7, 4)
    """
    listed = pitches(nominal)
    for size in sizes():
        if size.nominal == nominal and size.coarse:
            return size.pitch
    raise NoSuchSize(
        "thread",
        name(nominal),
        "has no coarse pitch in ISO 261; name the pitch",
        name(nominal, listed[0]),
    )


def _check_special(nominal: Fraction, pitch: Fraction) -> None:
    """Refuse a special that no standard pitch comes near: finer than 0.2 mm, or coarser than the range's."""
    finest = min(size.pitch for size in sizes())
    over, up_to, coarsest = next(
        entry for entry in coarsest_pitches() if entry[0] < nominal <= entry[1]
    )
    if pitch < finest:
        raise OutOfRange(
            "thread",
            name(nominal, pitch),
            f"the finest pitch of ISO 261 is {float(finest):g} mm",
            _closest(nominal, pitch),
        )
    if pitch > coarsest:
        raise OutOfRange(
            "thread",
            name(nominal, pitch),
            f"over {float(over):g} to {float(up_to):g} mm the coarsest metric pitch is "
            f"{float(coarsest):g} mm",
            _closest(nominal, pitch),
        )


def _closest(nominal: Fraction, pitch: Fraction) -> str:
    one = nearest(nominal)[0]
    return name(one, listed_sizes.nearest(pitches(one), pitch)[-1])


def standard(
    nominal: Fraction,
    pitch: Fraction | None = None,
    *,
    starts: int = 1,
    left_hand: bool = False,
) -> Thread:
    """The metric thread of a diameter and a pitch; without a pitch, the coarse one.

    nominal   : basic major diameter, mm
    pitch     : mm, or None for the coarse pitch
    starts    : number of starts, 1 or more
    left_hand : True for a left-hand thread
    Returns   : Thread, lengths exact; `special` is True where ISO 261 does not list the pair
    Raises    : OutOfRange for a diameter outside M1 to M300, a pitch that is zero or negative, finer
                than 0.2 mm or coarser than any metric pitch of that range of diameter, or starts
                below 1; NoSuchSize where the pitch was not named and the size has no coarse one
    Valid     : M1 to M300
    Source    : ISO 261; ISO 965-1 for the coarsest pitch of a range

    >>> standard(Fraction(12)).designation
    'M12x1.75'
    """
    check_nominal(nominal)
    check_starts(starts)
    if pitch is None:
        pitch = coarse_pitch(nominal)
    forms.check_pitch(pitch)
    listed = any(size.nominal == nominal and size.pitch == pitch for size in sizes())
    if not listed:
        _check_special(nominal, pitch)
    return Thread(
        designation=name(nominal, pitch, starts),
        series="M",
        form=FORM,
        pitch=pitch,
        major_diameter=nominal,
        starts=starts,
        left_hand=left_hand,
        special=not listed,
    )


def printed(length: float) -> Fraction:
    """A length rounded as ISO 724 prints it: to 0.001 mm.

    length  : mm
    Returns : mm, exact, a whole number of micrometres
    Raises  : nothing
    Valid   : any length; halves do not occur, the triangle's height being irrational
    Source  : ISO 724

    >>> printed(9.02572)
    Fraction(4513, 500)
    """
    return Fraction(round(length * 1000), 1000)


def basic_sizes(thread: Thread) -> BasicSizes:
    """Basic diameters as printed: d2 = d - 0.64952 P, d1 = d - 1.08253 P, to 0.001 mm.

    thread  : a metric thread
    Returns : BasicSizes in mm, rounded to 0.001 mm like ISO 724
    Raises  : OutOfRange if the thread is not a metric one
    Valid   : ISO metric threads
    Source  : ISO 68-1, ISO 724

    >>> basic_sizes(standard(Fraction(8))).pitch_diameter
    7.188
    """
    if thread.series != "M":
        raise OutOfRange("thread", thread.designation, "is not an ISO metric thread")
    exact = forms.basic_sizes(thread)
    return BasicSizes(
        major_diameter=exact.major_diameter,
        pitch_diameter=float(printed(exact.pitch_diameter)),
        minor_diameter=float(printed(exact.minor_diameter)),
        minor_diameter_internal=float(printed(exact.minor_diameter_internal)),
        major_diameter_internal=exact.major_diameter_internal,
    )
