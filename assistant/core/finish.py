"""The finish that feed and nose radius leave, the feed for a wanted finish, and roughness grades."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cache

from assistant.core.bounds import Number, check, with_unit
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed

MEAN_OF_PARABOLA = 18 * math.sqrt(3)
"""Ra of a parabola f^2 / (8 r) high is f^2 / (18 sqrt3 r): its mean line lies a third of the height up."""


def _check_cut(feed: Number, nose_radius: Number) -> None:
    check("nose radius", nose_radius)
    check("feed", feed)
    # As floats: 0.4 and Fraction(2, 5) are the same size to an operator, but not to Python.
    if float(feed) > float(nose_radius):
        raise OutOfRange(
            "feed",
            with_unit(feed, "mm/turn"),
            f"the finish is known up to the nose radius, {with_unit(nose_radius, 'mm')}",
            with_unit(nose_radius, "mm/turn"),
        )


def roughness_rt(feed: Number, nose_radius: Number) -> float:
    """Theoretical height of the feed marks: Rt = f^2 / (8 r).

    feed        : mm per turn
    nose_radius : mm
    Returns     : um, approximate: the parabola, which at f = r is 7 per cent under the arc
    Raises      : OutOfRange for bad numbers, or a feed above the nose radius
    Valid       : feeds up to the nose radius; a real surface is rougher (built-up edge, chatter, wear)
    Source      : geometry of the nose; tool makers print it as Rz

    >>> round(roughness_rt(0.2, 0.8), 3)
    6.25
    """
    _check_cut(feed, nose_radius)
    return 1000 * float(feed) ** 2 / (8 * float(nose_radius))


def roughness_ra(feed: Number, nose_radius: Number) -> float:
    """Theoretical mean roughness: Ra = f^2 / (18 sqrt3 r).

    feed        : mm per turn
    nose_radius : mm
    Returns     : um, approximate; f^2 / (32 r), which many print, is 2.6 per cent lower
    Raises      : OutOfRange for bad numbers, or a feed above the nose radius
    Valid       : feeds up to the nose radius; a real surface is rougher (built-up edge, chatter, wear)
    Source      : mean deviation of a parabola from its mean line, ISO 4287 definition of Ra

    >>> round(roughness_ra(0.2, 0.8), 3)
    1.604
    """
    _check_cut(feed, nose_radius)
    return 1000 * float(feed) ** 2 / (MEAN_OF_PARABOLA * float(nose_radius))


def roughness_rt_of_arc(feed: Number, nose_radius: Number) -> float:
    """Height of the feed marks by the true arc: Rt = r - sqrt(r^2 - f^2 / 4).

    feed        : mm per turn
    nose_radius : mm
    Returns     : um, approximate (root)
    Raises      : OutOfRange for bad numbers, or a feed above the nose radius
    Valid       : as long as only the nose makes the finish; a straight trailing edge leaves less
    Source      : geometry of the nose

    >>> round(roughness_rt_of_arc(0.3, 0.8), 3)
    14.188
    """
    _check_cut(feed, nose_radius)
    f, r = float(feed), float(nose_radius)
    # The textbook form loses its digits for small feeds; multiplied by its conjugate it does not.
    return 1000 * (f**2 / 4) / (r + math.sqrt(r**2 - f**2 / 4))


def roughness_ra_of_arc(feed: Number, nose_radius: Number) -> float:
    """Mean roughness by the true arc: mean distance of the arc from its own mean line.

    feed        : mm per turn
    nose_radius : mm
    Returns     : um, approximate (root and arc sine)
    Raises      : OutOfRange for bad numbers, or a feed above the nose radius
    Valid       : as long as only the nose makes the finish; a straight trailing edge leaves less
    Source      : ISO 4287 definition of Ra; area under a circular arc

    >>> round(roughness_ra_of_arc(0.3, 0.8), 3)
    3.634
    """
    _check_cut(feed, nose_radius)
    r, half = float(nose_radius), float(feed) / 2

    def area(reach: float) -> float:
        """Area under the circle y = sqrt(r^2 - x^2) from 0 to `reach`."""
        return (reach * math.sqrt(r**2 - reach**2) + r**2 * math.asin(reach / r)) / 2

    mean = area(half) / half
    crossing = math.sqrt(r**2 - mean**2)
    # The parts above and below the mean line are equal, so one of them counts twice.
    return 1000 * 2 * (area(crossing) - mean * crossing) / half


def _feed_for(height: float, nose_radius: Number, name: str, most: float, wanted: Number) -> float:
    # A trace of tolerance, so that the roughness of the largest feed gives that feed back.
    if height > most * (1 + 1e-12):
        limit = with_unit(math.floor(100 * most) / 100, "um")
        raise OutOfRange(
            name,
            with_unit(wanted, "um"),
            f"with a nose of {with_unit(nose_radius, 'mm')} the finish is known up to {limit}",
            limit,
        )
    return float(nose_radius) * math.sqrt(height / most)


def feed_for_ra(ra: Number, nose_radius: Number) -> float:
    """Feed that leaves a wanted Ra: f = sqrt(18 sqrt3 r Ra).

    ra          : um wanted
    nose_radius : mm
    Returns     : mm per turn, approximate; theoretical, so take the lathe's feed at or below it
    Raises      : OutOfRange for bad numbers, or a roughness that would need a feed above the nose radius
    Valid       : as `roughness_ra`
    Source      : `roughness_ra` turned round

    >>> round(feed_for_ra(1.6, 0.8), 3)
    0.2
    """
    check("Ra", ra)
    check("nose radius", nose_radius)
    most = 1000 * float(nose_radius) / MEAN_OF_PARABOLA
    return _feed_for(float(ra), nose_radius, "Ra", most, ra)


def feed_for_rz(rz: Number, nose_radius: Number) -> float:
    """Feed that leaves a wanted Rz, taken as the height of the feed marks: f = sqrt(8 r Rz).

    rz          : um wanted
    nose_radius : mm
    Returns     : mm per turn, approximate; theoretical, so take the lathe's feed at or below it
    Raises      : OutOfRange for bad numbers, or a roughness that would need a feed above the nose radius
    Valid       : as `roughness_rt`
    Source      : `roughness_rt` turned round

    >>> round(feed_for_rz(6.25, 0.8), 3)
    0.2
    """
    check("Rz", rz)
    check("nose radius", nose_radius)
    most = 1000 * float(nose_radius) / 8
    return _feed_for(float(rz), nose_radius, "Rz", most, rz)


@cache
def _grades() -> dict[str, Fraction]:
    return dict(parsed("n_grades.csv", lambda row: (row["grade"], Fraction(row["ra"]))))


def ra_of_grade(grade: str) -> Fraction:
    """Ra that a roughness grade number stands for.

    grade   : 'N1' to 'N12'
    Returns : um, exact as printed
    Raises  : NoSuchSize for another grade
    Valid   : older drawings; the table is withdrawn
    Source  : tables/n_grades.csv

    >>> ra_of_grade("N7")
    Fraction(8, 5)
    """
    found = _grades().get(grade)
    if found is None:
        names = tuple(_grades())
        raise NoSuchSize("roughness grade", grade, f"grades go from {names[0]} to {names[-1]}")
    return found


def grade_of_ra(ra: Number) -> str:
    """The finest roughness grade that a surface of `ra` still meets.

    ra      : um
    Returns : 'N1' to 'N12', the first grade whose Ra is not below `ra`
    Raises  : OutOfRange for bad numbers, or a roughness above the last grade
    Valid   : older drawings; the table is withdrawn
    Source  : tables/n_grades.csv

    >>> grade_of_ra(Fraction(3, 2))
    'N7'
    """
    check("Ra", ra, largest=max(_grades().values()))
    # As floats: 1.6 is N7, although its binary digits lie a trace above Fraction(8, 5).
    return next(grade for grade, limit in _grades().items() if float(ra) <= float(limit))
