"""ISO 286 limits and fits: a tolerance zone such as H7 or g6 to the limits of size, exact.

The tables give the fundamental deviations of shafts; most holes follow from them by rule:
A to H are the shaft turned round (EI = -es); K, M and N up to IT8 and P to ZC up to IT7 are turned
round and raised by delta (ES = -ei + delta, delta = IT(n) - IT(n-1), above 3 mm), so that one fit
has nearly the same interference on a hole basis and on a shaft basis; coarser ones are ES = -ei.
What does not follow stands in tables/iso286_holes.csv.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache

from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed

LARGEST_SIZE = 500
"""mm; the standard goes on to 3150 mm, this table does not."""

GRADES = ("01", "0", *(str(number) for number in range(1, 19)))
"""Tolerance grades in order, finest first."""

SHAFT_LETTERS = (
    *("a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "j", "js", "k", "m", "n"),
    *("p", "r", "s", "t", "u", "v", "x", "y", "z", "za", "zb", "zc"),
)
"""Letters of the tolerance zones in order, from the loosest shaft to the tightest."""

_MICROMETRE = Fraction(1, 1000)
_PAST_END = f"outside the table of ISO 286-1, which ends at {LARGEST_SIZE} mm here"


class FitKind(Enum):
    """What two parts always, or may, have between them."""

    CLEARANCE = "clearance"
    TRANSITION = "transition"
    INTERFERENCE = "interference"


@dataclass(frozen=True)
class Zone:
    """A tolerance zone: where the tolerance lies and how wide it is."""

    letter: str
    """Capital for a hole, small for a shaft."""
    grade: str
    """'01', '0', '1' … '18'."""

    @property
    def designation(self) -> str:
        """As on a drawing: 'H7'."""
        return self.letter + self.grade

    @property
    def is_hole(self) -> bool:
        """True for a hole, False for a shaft."""
        return self.letter.isupper()


@dataclass(frozen=True)
class SizeLimits:
    """A nominal size with its deviations; all mm, exact."""

    size: Fraction
    zone: str
    """'H7', 'g6', or '' where the limits come from elsewhere."""
    upper_deviation: Fraction
    lower_deviation: Fraction
    sources: tuple[str, ...]

    @property
    def maximum(self) -> Fraction:
        """Largest size allowed."""
        return self.size + self.upper_deviation

    @property
    def minimum(self) -> Fraction:
        """Smallest size allowed."""
        return self.size + self.lower_deviation

    @property
    def middle(self) -> Fraction:
        """Middle of the tolerance, the size to aim at."""
        return (self.maximum + self.minimum) / 2

    @property
    def tolerance(self) -> Fraction:
        """Maximum minus minimum."""
        return self.upper_deviation - self.lower_deviation


@dataclass(frozen=True)
class Fit:
    """A hole and a shaft of one nominal size."""

    hole: SizeLimits
    shaft: SizeLimits

    @property
    def clearance_min(self) -> Fraction:
        """Smallest hole minus largest shaft, mm; negative is interference."""
        return self.hole.minimum - self.shaft.maximum

    @property
    def clearance_max(self) -> Fraction:
        """Largest hole minus smallest shaft, mm; negative is interference."""
        return self.hole.maximum - self.shaft.minimum

    @property
    def kind(self) -> FitKind:
        """Clearance, interference or transition, as ISO 286-1 defines them."""
        if self.clearance_min >= 0:
            return FitKind.CLEARANCE
        if self.clearance_max <= 0:
            return FitKind.INTERFERENCE
        return FitKind.TRANSITION


@dataclass(frozen=True)
class _Row:
    """One row of a table of tolerances or deviations, in mm."""

    name: str
    grades: range
    """Places in GRADES that it is for."""
    over: Fraction
    up_to: Fraction
    deviation: Fraction
    is_upper: bool
    add_delta: bool
    source: str

    def holds(self, size: Fraction, grade: str | None) -> bool:
        """True where the row is for this size and grade."""
        fits_grade = grade is None or GRADES.index(grade) in self.grades
        return fits_grade and self.over < size <= self.up_to


def _row(cells: dict[str, str]) -> _Row:
    first = GRADES.index(cells.get("from_grade", "01"))
    last = GRADES.index(cells.get("to_grade", "18"))
    return _Row(
        name=cells.get("letter") or cells["grade"],
        grades=range(first, last + 1),
        over=Fraction(cells["over_mm"]),
        up_to=Fraction(cells["up_to_mm"]),
        deviation=Fraction(cells["um"]) * _MICROMETRE,
        is_upper=cells.get("limit", "es") == "es",
        add_delta=cells.get("add_delta") == "yes",
        source=cells["source"],
    )


@cache
def _table(name: str) -> dict[str, tuple[_Row, ...]]:
    found: dict[str, list[_Row]] = {}
    for row in parsed(name, _row):
        found.setdefault(row.name, []).append(row)
    return {key: tuple(rows) for key, rows in found.items()}


def _find(table: str, name: str, size: Fraction, grade: str | None = None) -> _Row | None:
    rows = _table(table).get(name, ())
    return next((row for row in rows if row.holds(size, grade)), None)


def _millimetres(size: Fraction) -> str:
    return f"{float(size):g} mm"


def _check_size(size: Fraction) -> None:
    if size <= 0:
        raise OutOfRange("nominal size", _millimetres(size), "must be more than 0 mm")
    if size > LARGEST_SIZE:
        raise OutOfRange("nominal size", _millimetres(size), _PAST_END, f"{LARGEST_SIZE} mm")


def zone_named(designation: str) -> Zone:
    """The tolerance zone written as `designation`: letters, then a grade.

    designation : 'H7', 'js6', 'ZC8'; capitals are holes, small letters shafts
    Returns     : Zone
    Raises      : NoSuchSize with the nearest zones for a letter or grade that ISO 286-1 does not have
    Valid       : grades 01 to 18; whether the zone exists at a size is for `limits` to say
    Source      : ISO 286-1:2010, clause 4.1.1 (letters I, L, O, Q and W are not used)

    >>> zone_named("H7").is_hole
    True
    """
    parts = re.fullmatch(r"([A-Za-z]{1,2}) ?([0-9]{1,2})", designation.strip())
    if parts is None:
        allowed = "is not a letter and a grade"
        raise NoSuchSize("tolerance zone", f"'{designation}'", allowed, "H7 or g6")
    letter, grade = parts.groups()
    one_case = letter in (letter.upper(), letter.lower())
    if not one_case or letter.lower() not in SHAFT_LETTERS:
        nearest = ", ".join(near + grade for near in _near_letters(letter))
        raise NoSuchSize("tolerance zone", designation, "ISO 286-1 has no such letter", nearest)
    if grade not in GRADES:
        nearest = f"{letter}{min(int(grade), 18)}"
        allowed = "ISO 286-1 has grades 01, 0 and 1 to 18"
        raise NoSuchSize("tolerance zone", designation, allowed, nearest)
    return Zone(letter, grade)


def _near_letters(letter: str) -> tuple[str, ...]:
    """The existing letters on both sides of one that does not exist, in the case of its first letter."""
    before = [known for known in SHAFT_LETTERS if known < letter.lower()]
    after = [known for known in SHAFT_LETTERS if known > letter.lower()]
    near = (*before[-1:], *after[:1])
    return tuple(known.upper() if letter[0].isupper() else known for known in near)


def standard_tolerance(size: Fraction | int, grade: str) -> tuple[Fraction, str]:
    """Width of a tolerance, IT(grade) at a size: a look-up.

    size    : mm, nominal, more than 0 and up to 500
    grade   : '01', '0', '1' … '18'
    Returns : (tolerance in mm, exact; source)
    Raises  : OutOfRange outside 0 to 500 mm, and for IT14 and coarser at 1 mm or less; NoSuchSize
              for a grade that does not exist
    Valid   : ISO 286-1 up to 500 mm
    Source  : ISO 286-1:2010 Table 1

    >>> standard_tolerance(30, "7")[0]
    Fraction(21, 1000)
    """
    size = Fraction(size)
    _check_size(size)
    if grade not in GRADES:
        allowed = "ISO 286-1 has grades 01, 0 and 1 to 18"
        raise NoSuchSize("tolerance grade", f"IT{grade}", allowed, "IT18")
    row = _find("iso286_it.csv", grade, size)
    if row is None:
        allowed = "ISO 286-1 does not use it at 1 mm or less"
        raise OutOfRange(f"IT{grade} at", _millimetres(size), allowed, "IT13")
    return row.deviation, row.source


def limits(size: Fraction | int, zone: str | Zone) -> SizeLimits:
    """Limits of size of a zone: fundamental deviation and IT(n); js and JS are +- IT(n)/2.

    size    : mm, nominal, more than 0 and up to 500
    zone    : 'H7', 'g6', …; capital for a hole
    Returns : SizeLimits in mm, exact
    Raises  : OutOfRange outside 0 to 500 mm; NoSuchSize, with the nearest zones, where ISO 286-1 has
              no such zone at this size
    Valid   : at the reference temperature of 20 degrees Celsius
    Source  : ISO 286-1:2010 Tables 1 to 5; each row of the table says how it was checked

    >>> limits(30, "g6").upper_deviation
    Fraction(-7, 1000)
    """
    size = Fraction(size)
    _check_size(size)
    wanted = zone if isinstance(zone, Zone) else zone_named(zone)
    found = _limits(size, wanted)
    if found is None:
        nearest = ", ".join(near.designation for near in _near_zones(size, wanted))
        allowed = f"ISO 286-1 has no such zone at {_millimetres(size)}, or not one stored here"
        raise NoSuchSize("tolerance zone", wanted.designation, allowed, nearest or None)
    return found


def _limits(size: Fraction, zone: Zone) -> SizeLimits | None:
    width = _find("iso286_it.csv", zone.grade, size)
    if width is None:
        return None
    tolerance = width.deviation
    if zone.letter.lower() == "js":
        return SizeLimits(size, zone.designation, tolerance / 2, -tolerance / 2, (width.source,))
    found = _hole_deviation(size, zone) if zone.is_hole else _shaft_deviation(size, zone)
    if found is None:
        return None
    deviation, is_upper, source = found
    upper = deviation if is_upper else deviation + tolerance
    sources = (width.source, source)
    return SizeLimits(size, zone.designation, upper, upper - tolerance, sources)


_Deviation = tuple[Fraction, bool, str]
"""Deviation in mm, whether it is the upper one, and its source."""


def _shaft_deviation(size: Fraction, zone: Zone) -> _Deviation | None:
    row = _find("iso286_shafts.csv", zone.letter, size, zone.grade)
    return None if row is None else (row.deviation, row.is_upper, row.source)


def _hole_deviation(size: Fraction, zone: Zone) -> _Deviation | None:
    listed = _find("iso286_holes.csv", zone.letter, size, zone.grade)
    if listed is not None:
        delta = _delta(size, zone.grade) if listed.add_delta else Fraction(0)
        return None if delta is None else (listed.deviation + delta, True, listed.source)
    if zone.letter in ("J", "K") or (zone.letter == "N" and GRADES.index(zone.grade) > 9):
        # Only what the table of holes lists exists; no rule from the shaft leads to them.
        return None
    row = _find("iso286_shafts.csv", zone.letter.lower(), size, zone.grade)
    if row is None:
        return None
    if row.is_upper:
        return -row.deviation, False, f"{row.source}; EI = -es (ISO 286-1 Table 2)"
    coarsest_with_delta = "8" if zone.letter in ("M", "N") else "7"
    if GRADES.index(zone.grade) > GRADES.index(coarsest_with_delta):
        return -row.deviation, True, f"{row.source}; ES = -ei (ISO 286-1 Table 3)"
    delta = _delta(size, zone.grade)
    if delta is None:
        return None
    return delta - row.deviation, True, f"{row.source}; ES = -ei + delta (ISO 286-1 Table 3)"


def _delta(size: Fraction, grade: str) -> Fraction | None:
    """IT(n) - IT(n-1), 0 up to 3 mm; None for grades finer than IT3, where the standard lists none."""
    if size <= 3:
        return Fraction(0)
    place = GRADES.index(grade)
    if place < GRADES.index("3"):
        return None
    finer = standard_tolerance(size, GRADES[place - 1])[0]
    return standard_tolerance(size, grade)[0] - finer


def _near_zones(size: Fraction, zone: Zone) -> Iterator[Zone]:
    """Zones that exist at this size: the same letter at the nearest grade, then the nearest letters."""
    place = GRADES.index(zone.grade)
    grades = sorted(GRADES, key=lambda grade: abs(GRADES.index(grade) - place))
    same_letter = (Zone(zone.letter, grade) for grade in grades)
    yield from [near for near in same_letter if _limits(size, near) is not None][:1]
    spot = SHAFT_LETTERS.index(zone.letter.lower())
    for side in (SHAFT_LETTERS[:spot][::-1], SHAFT_LETTERS[spot + 1 :]):
        letters = (letter.upper() if zone.is_hole else letter for letter in side)
        same_grade = (Zone(letter, zone.grade) for letter in letters)
        yield from [near for near in same_grade if _limits(size, near) is not None][:1]


def fit(size: Fraction | int, hole: str | Zone, shaft: str | Zone) -> Fit:
    """A hole and a shaft together: clearance from EI - es to ES - ei.

    size    : mm, nominal, more than 0 and up to 500
    hole    : zone of the hole, capital: 'H7'
    shaft   : zone of the shaft, small: 'g6'
    Returns : Fit; its clearances in mm, exact, negative for interference
    Raises  : as `limits`; NoSuchSize where the hole is not a hole or the shaft is not a shaft
    Valid   : both parts at 20 degrees Celsius
    Source  : ISO 286-1:2010, clause 3.4 (kinds of fit); tables as for `limits`

    >>> fit(30, "H7", "g6").clearance_min
    Fraction(7, 1000)
    """
    hole_zone = hole if isinstance(hole, Zone) else zone_named(hole)
    shaft_zone = shaft if isinstance(shaft, Zone) else zone_named(shaft)
    if not hole_zone.is_hole:
        near = hole_zone.designation.upper()
        raise NoSuchSize("hole", hole_zone.designation, "a hole has a capital letter", near)
    if shaft_zone.is_hole:
        near = shaft_zone.designation.lower()
        raise NoSuchSize("shaft", shaft_zone.designation, "a shaft has a small letter", near)
    return Fit(limits(size, hole_zone), limits(size, shaft_zone))
