"""Limits of size of ISO metric threads: tolerance grades and positions of ISO 965-1."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import radians, sin

from assistant.core.threads import forms, metric
from assistant.core.threads.listed_sizes import listing, nearest_text
from assistant.core.threads.thread import Limits, Thread, ThreadLimits
from assistant.errors import NoSuchSize
from assistant.tables import parsed, rows

DEVIATIONS = "iso965_deviations.csv"
CREST_TOLERANCES = "iso965_crest_tolerances.csv"
PITCH_TOLERANCES = "iso965_pitch_tolerances.csv"

ROOT_RADIUS = Fraction(1, 8)
"""Smallest root radius of a screw in ISO 965-1, as a part of the pitch; sets the least minor diameter."""

MICROMETRE = Fraction(1, 1000)


@dataclass(frozen=True)
class ToleranceClass:
    """A tolerance class taken apart: '5g6g' is pitch grade 5, crest grade 6, position g."""

    text: str
    pitch_grade: int
    crest_grade: int
    position: str
    """e f g h of a screw, G H of a nut."""

    @property
    def internal(self) -> bool:
        """True for a nut: capital letters."""
        return self.position.isupper()


def tolerance_class(text: str) -> ToleranceClass:
    """The parts of a tolerance class: grade and position of the pitch, then of the crest diameter.

    text    : '6g', '6H', '5g6g', '4H5H'; capital letters are nuts
    Returns : ToleranceClass
    Raises  : NoSuchSize if it is not a class of ISO 965-1 with positions e f g h G H
    Valid   : one letter for both diameters
    Source  : ISO 965-1, designation

    >>> tolerance_class("5g6g").crest_grade
    6
    """
    match = re.fullmatch(r"([3-9])([efghGH])(?:([3-9])([efghGH]))?", text)
    if match is None or (match[4] is not None and match[4] != match[2]):
        raise NoSuchSize(
            "tolerance class",
            repr(text),
            "ISO 965-1 writes a grade 3 to 9 and e, f, g, h for a screw or G, H for a nut",
            "6g for a screw, 6H for a nut",
        )
    return ToleranceClass(text, int(match[1]), int(match[3] or match[1]), match[2])


@cache
def _deviations() -> dict[tuple[Fraction, str], Fraction]:
    return dict(
        parsed(
            DEVIATIONS,
            lambda row: (
                (Fraction(row["pitch"]), row["position"]),
                Fraction(row["deviation"]) * MICROMETRE,
            ),
        )
    )


@cache
def _crest_tolerances() -> dict[tuple[str, Fraction, int], Fraction]:
    return dict(
        parsed(
            CREST_TOLERANCES,
            lambda row: (
                (row["diameter"], Fraction(row["pitch"]), int(row["grade"])),
                Fraction(row["tolerance"]) * MICROMETRE,
            ),
        )
    )


@dataclass(frozen=True)
class _PitchCell:
    member: str
    over: Fraction
    up_to: Fraction
    pitch: Fraction
    grade: int
    tolerance: Fraction


@cache
def _pitch_cells() -> tuple[_PitchCell, ...]:
    return tuple(
        parsed(
            PITCH_TOLERANCES,
            lambda row: _PitchCell(
                member=row["member"],
                over=Fraction(row["over"]),
                up_to=Fraction(row["up_to"]),
                pitch=Fraction(row["pitch"]),
                grade=int(row["grade"]),
                tolerance=Fraction(row["tolerance"]) * MICROMETRE,
            ),
        )
    )


@cache
def _remembered() -> frozenset[tuple[str | Fraction, ...]]:
    """Cells of the three tables that were not read in print: the columns that name them."""
    columns = {
        DEVIATIONS: ("pitch", "position"),
        CREST_TOLERANCES: ("diameter", "pitch", "grade"),
        PITCH_TOLERANCES: ("member", "over", "pitch", "grade"),
    }
    return frozenset(
        (table, *(_number(row[name]) for name in names))
        for table, names in columns.items()
        for row in rows(table)
        if "from memory" in row["source"]
    )


def _number(cell: str) -> str | Fraction:
    return Fraction(cell) if cell[0].isdigit() else cell


def _source(thread: Thread, zone: ToleranceClass, printed: str) -> str:
    """`printed`, and that it is from memory where a cell of the limits is."""
    nominal, pitch = _basic(thread)[0], thread.pitch
    member, diameter = ("nut", "nut minor") if zone.internal else ("screw", "screw major")
    over = _cells_at(nominal, member)[0].over
    cells = (
        (DEVIATIONS, pitch, zone.position),
        (CREST_TOLERANCES, diameter, pitch, Fraction(zone.crest_grade)),
        (PITCH_TOLERANCES, member, over, pitch, Fraction(zone.pitch_grade)),
    )
    return f"{printed}; cells from memory" if _remembered().intersection(cells) else printed


def fundamental_deviation(pitch: Fraction, position: str) -> Fraction:
    """Distance of the tolerance zone from the basic profile: es of a screw, EI of a nut.

    pitch    : mm, one of the table's
    position : e f g h (screw) or G H (nut)
    Returns  : mm, exact; negative for e f g, zero for h and H, positive for G
    Raises   : NoSuchSize if the table has no cell for the pitch or the position
    Valid    : pitches 0.2 to 8 mm; e from 0.5, f from 0.35
    Source   : ISO 965-1 Table 1, tables/iso965_deviations.csv

    >>> fundamental_deviation(Fraction(7, 4), "g")
    Fraction(-17, 500)
    """
    table = _deviations()
    if (pitch, position) in table:
        return table[pitch, position]
    having = [listed for listed, letter in table if letter == position]
    if not having:
        raise NoSuchSize(
            "position", repr(position), "ISO 965-1 has e, f, g, h, G, H here", "g or H"
        )
    raise NoSuchSize(
        "pitch",
        f"{float(pitch):g} mm",
        f"ISO 965-1 Table 1 gives no position {position} for it",
        f"{nearest_text(having, pitch)} mm",
    )


def crest_tolerance(pitch: Fraction, grade: int, internal: bool = False) -> Fraction:
    """Tolerance of the crest diameter: Td of a screw's major, TD1 of a nut's minor diameter.

    pitch    : mm, one of the table's
    grade    : 4, 6, 8 for a screw; 4 to 8 for a nut
    internal : True for a nut
    Returns  : mm, exact
    Raises   : NoSuchSize if the table has no cell for the pitch or the grade
    Valid    : pitches 0.2 to 8 mm
    Source   : ISO 965-1 Tables 2 and 3, tables/iso965_crest_tolerances.csv

    >>> crest_tolerance(Fraction(3, 2), 6)
    Fraction(59, 250)
    """
    diameter = "nut minor" if internal else "screw major"
    table = _crest_tolerances()
    if (diameter, pitch, grade) in table:
        return table[diameter, pitch, grade]
    grades = [Fraction(step) for kind, cut, step in table if kind == diameter and cut == pitch]
    if grades:
        raise NoSuchSize(
            "tolerance grade",
            str(grade),
            f"ISO 965-1 gives the {diameter} diameter at pitch {float(pitch):g} mm "
            f"the grades {listing(grades)}",
            nearest_text(grades, Fraction(grade)),
        )
    cuts = [cut for kind, cut, _ in table if kind == diameter]
    raise NoSuchSize(
        "pitch",
        f"{float(pitch):g} mm",
        "ISO 965-1 has no crest tolerance for it",
        f"{nearest_text(cuts, pitch)} mm",
    )


def _cells_at(nominal: Fraction, member: str) -> list[_PitchCell]:
    """The cells of the range of diameter that `nominal` lies in."""
    found = [
        cell
        for cell in _pitch_cells()
        if cell.member == member and cell.over < nominal <= cell.up_to
    ]
    if not found:
        raise NoSuchSize(
            "diameter",
            f"{float(nominal):g} mm",
            "ISO 965-1 tolerates metric threads over 0.99 up to 355 mm",
            "1 mm" if nominal < 2 else "355 mm",
        )
    return found


def pitch_tolerance(
    nominal: Fraction, pitch: Fraction, grade: int, internal: bool = False
) -> Fraction:
    """Tolerance of the pitch diameter: Td2 of a screw, TD2 of a nut.

    nominal  : basic major diameter, mm
    pitch    : mm
    grade    : 3 to 9 for a screw, 4 to 8 for a nut
    internal : True for a nut
    Returns  : mm, exact
    Raises   : NoSuchSize if the table has no cell; nothing is interpolated
    Valid    : over 0.99 to 355 mm, the pitches of each range of diameter
    Source   : ISO 965-1 Tables 4 and 5, tables/iso965_pitch_tolerances.csv

    >>> pitch_tolerance(Fraction(20), Fraction(3, 2), 6, internal=True)
    Fraction(19, 100)
    """
    member = "nut" if internal else "screw"
    spanned = _cells_at(nominal, member)
    between = f"over {float(spanned[0].over):g} up to {float(spanned[0].up_to):g} mm"
    cells = [cell for cell in spanned if cell.pitch == pitch]
    if not cells:
        cuts = [cell.pitch for cell in spanned]
        raise NoSuchSize(
            "pitch",
            f"{float(pitch):g} mm",
            f"{between} ISO 965-1 gives tolerances for pitches {listing(cuts)} mm",
            f"{nearest_text(cuts, pitch)} mm",
        )
    for cell in cells:
        if cell.grade == grade:
            return cell.tolerance
    grades = [Fraction(cell.grade) for cell in cells]
    raise NoSuchSize(
        "tolerance grade",
        str(grade),
        f"{between} at pitch {float(pitch):g} mm the {member} has the grades {listing(grades)}",
        nearest_text(grades, Fraction(grade)),
    )


def root_allowance(pitch: Fraction) -> float:
    """How far the rounded root may lie under the pitch line: H/2 - R (1/sin 30 - 1), R = P/8.

    pitch   : mm
    Returns : mm on radius, approximate (the triangle's height)
    Raises  : OutOfRange for a pitch of zero or less
    Valid   : ISO 60 degree screws with the least root radius
    Source  : ASME B1.13M / ISO 965-1, least root radius 0.125 P; agrees with printed d3 min

    >>> round(root_allowance(Fraction(1)), 4)
    0.308
    """
    forms.check_pitch(pitch)
    shape = forms.form(metric.FORM)
    overhang = ROOT_RADIUS * (1 / sin(radians(shape.half_angle)) - 1)
    return float(pitch) * (shape.height / 2 - overhang)


def _limits(minimum: Fraction | None, maximum: Fraction | None) -> Limits:
    return Limits(
        minimum=None if minimum is None else float(minimum),
        maximum=None if maximum is None else float(maximum),
    )


def _basic(thread: Thread) -> tuple[Fraction, Fraction, Fraction]:
    sizes = metric.basic_sizes(thread)
    return (
        metric.printed(sizes.major_diameter),
        metric.printed(sizes.pitch_diameter),
        metric.printed(sizes.minor_diameter),
    )


def _screw_limits(thread: Thread, zone: ToleranceClass) -> ThreadLimits:
    major, pitch, minor = _basic(thread)
    deviation = fundamental_deviation(thread.pitch, zone.position)
    pitch_zone = pitch_tolerance(major, thread.pitch, zone.pitch_grade)
    pitch_least = pitch + deviation - pitch_zone
    root = metric.printed(2 * root_allowance(thread.pitch))
    return ThreadLimits(
        tolerance_class=zone.text,
        internal=False,
        major=_limits(
            major + deviation - crest_tolerance(thread.pitch, zone.crest_grade), major + deviation
        ),
        pitch=_limits(pitch_least, pitch + deviation),
        minor=_limits(pitch_least - root, minor + deviation),
        source=_source(
            thread,
            zone,
            "ISO 965-1 (tables), ISO 724; least minor diameter with a root radius of P/8",
        ),
    )


def _nut_limits(thread: Thread, zone: ToleranceClass) -> ThreadLimits:
    major, pitch, minor = _basic(thread)
    deviation = fundamental_deviation(thread.pitch, zone.position)
    pitch_zone = pitch_tolerance(major, thread.pitch, zone.pitch_grade, internal=True)
    crest_zone = crest_tolerance(thread.pitch, zone.crest_grade, internal=True)
    return ThreadLimits(
        tolerance_class=zone.text,
        internal=True,
        major=_limits(major + deviation, None),
        pitch=_limits(pitch + deviation, pitch + deviation + pitch_zone),
        minor=_limits(minor + deviation, minor + deviation + crest_zone),
        source=_source(thread, zone, "ISO 965-1 (tables), ISO 724"),
    )


def limits(thread: Thread, tolerance: str) -> ThreadLimits:
    """Limits of size of one member: basic diameter (to 0.001 mm) + deviation, and the tolerance from there.

    thread    : a metric thread
    tolerance : '6g', '5g6g' for the screw; '6H', '4H5H' for the nut
    Returns   : ThreadLimits in mm, whole micrometres. The screw's minor diameter: at most the flat
                root (go gauge), at least the root with radius P/8. The nut's major has no maximum.
    Raises    : NoSuchSize for a class, grade or pitch that the tables leave out; OutOfRange for
                another form of thread
    Valid     : M1 to M300, normal length of engagement, before any plating
    Source    : ISO 965-1, ISO 724; minor diameter of the screw ASME B1.13M

    >>> limits(metric.standard(Fraction(10)), "6g").pitch.maximum
    8.994
    """
    if thread.series != "M" or thread.major_diameter is None:
        raise NoSuchSize("thread", thread.designation, "ISO 965-1 is for metric threads", "M10")
    zone = tolerance_class(tolerance)
    return _nut_limits(thread, zone) if zone.internal else _screw_limits(thread, zone)
