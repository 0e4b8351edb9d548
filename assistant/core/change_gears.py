"""The change gears for a lead: every train of the gears that the shop owns, at every box position.

A train is one pair with an idler between, or two pairs whose middle gears share the stud; both
turn the leadscrew the same way. The ratios of all trains are sorted once; at each box position the
nearest ones are found by bisection, and only those few are worked out exactly.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, permutations
from math import ceil, floor
from typing import TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

from assistant.core.levers import GearTrain
from assistant.errors import OutOfRange

MOST_TEETH = 1000
"""Up to here the quotients of products of two gears are one floating number for each ratio."""
MOST_GEARS = 48
"""Two pairs out of 48 gears are over a million trains; beyond that an answer takes seconds."""
TIPS = 2
"""A gear measures over its tips as if it had two teeth more: an addendum of a module each side."""
NO_LIMIT = 4 * MOST_TEETH
"""More teeth than any sum of gears in mesh."""

Array: TypeAlias = NDArray[np.int64]
Hung: TypeAlias = tuple[tuple[int, ...], tuple[int, ...], int | None]
"""Drivers, driven gears and idler of a train, as it hangs."""
Distances: TypeAlias = tuple[Fraction | None, Fraction | None]
Teeth = TypeVar("Teeth", int, Array)


@dataclass(frozen=True)
class BanjoLimits:
    """What the change gears must fit; a limit left at its default is not looked at.

    The first driver sits on the upper stud and the last driven gear on the box shaft; these two
    stand still. The middle stud moves in the slot of the banjo.
    """

    clearance_teeth: int = 0
    """Teeth by which the sum of one pair must at least exceed the gear of the other pair that turns
    beside its far shaft: 2 for the tips, plus shaft diameter over module, rounded up."""
    module: Fraction | None = None
    """mm; needed for the distances below."""
    upper_distance: Distances = (None, None)
    """mm, least and most from upper stud to middle stud; None where not known."""
    lower_distance: Distances = (None, None)
    """mm, least and most from middle stud to box shaft, the ends of the slot; None where not known."""
    shaft_distance: Fraction | None = None
    """mm from upper stud to box shaft; the middle stud must make a triangle with them."""


@dataclass(frozen=True)
class GearsFound:
    """A train at a box position, and how far its lead is from the one that was wanted."""

    train: GearTrain
    idler: int | None
    """Teeth of an idler for a single pair, the largest spare gear that fits; None for two pairs."""
    box: int
    """Which of the box leads that were given, from 0."""
    lead: Fraction
    """mm per turn of the spindle that it cuts, exact."""
    pitch_error: Fraction
    """mm, lead cut less lead wanted, exact."""
    error_ppm: Fraction
    """The same in millionths of the lead wanted, exact; positive where the thread comes out long."""

    @property
    def error_over_100_mm(self) -> Fraction:
        """Micrometres by which 100 mm of thread come out long, exact: ppm / 10.

        >>> train = GearTrain((80,), (63,))
        >>> long = GearsFound(train, None, 0, Fraction(3), Fraction(0), Fraction(-125))
        >>> long.error_over_100_mm
        Fraction(-25, 2)
        """
        return self.error_ppm / 10

    @property
    def exact(self) -> bool:
        """True where the lead is the one that was wanted."""
        return self.pitch_error == 0


def change_gears(
    lead: Fraction,
    gears: Sequence[int],
    box_leads: Sequence[Fraction],
    banjo: BanjoLimits | None = None,
    count: int = 5,
    largest_error_ppm: Fraction | None = None,
) -> tuple[GearsFound, ...]:
    """The `count` trains nearest to a lead: least |ratio x box lead - L|, the exact ones first.

    Of equal errors the train with fewest gears comes first, then the box position given first,
    then the smaller drivers, then the smaller driven gears.

    lead      : wanted, mm per turn of the spindle
    gears     : teeth of the gears that the shop owns, one entry for each gear
    box_leads : mm that each box position cuts with a train of ratio 1; without a box the
                leadscrew's lead alone
    banjo     : what the gears must fit; None for no limits
    count     : how many trains to give
    largest_error_ppm : trains that miss by more millionths of the lead are left out; None for all
    Returns   : GearsFound, best first, exact; fewer if there are fewer
    Raises    : OutOfRange for a lead, box lead or count of zero or less, for fewer than 3 or more
                than 48 gears, for gears outside 1 to 1000 teeth, for limits that cannot be, if no
                train fits, and if the best misses by more than `largest_error_ppm`
    Valid     : gears of one module or diametral pitch; whether a train fits a real banjo is sure
                only once it hangs there
    Source    : F. D. Jones, Turning and Boring (1914), change gears; the search is ours

    >>> best = change_gears(Fraction(3), (60, 63, 120, 127), (Fraction(127, 40),), count=1)[0]
    >>> best.train, best.idler, best.exact
    (GearTrain(drivers=(120,), driven=(127,)), 63, True)
    """
    _check(lead, gears, box_leads, count)
    trains = _Trains(tuple(sorted(gears)), _Fit(banjo or BanjoLimits()))
    misses = sorted(
        (abs(trains.ratio(group) * box_lead - lead), box, group)
        for box, box_lead in enumerate(box_leads)
        for group in trains.nearest(float(Fraction(lead) / box_lead), count)
    )
    if not misses:
        raise OutOfRange("change gears", _listed(gears), "give no train that fits the banjo")
    if largest_error_ppm is not None:
        allowed = largest_error_ppm * lead / 1_000_000
        _check_best(lead, misses[0], largest_error_ppm, trains, box_leads)
        misses = [entry for entry in misses if entry[0] <= allowed]
    found: list[GearsFound] = []
    for _, tied in groupby(misses, key=lambda entry: entry[0]):
        if len(found) >= count:
            break
        found += _of_one_error(lead, box_leads, trains, list(tied), count - len(found))
    return tuple(found)


def _of_one_error(
    lead: Fraction,
    box_leads: Sequence[Fraction],
    trains: _Trains,
    tied: Sequence[tuple[Fraction, int, int]],
    count: int,
) -> list[GearsFound]:
    """Up to `count` trains whose errors tie: fewest gears first, then box by box."""
    found: list[GearsFound] = []
    for hung_in in (trains.single_pairs, trains.two_pairs):
        for box, entries in groupby(tied, key=lambda entry: entry[1]):
            here = sorted(hung for _, _, group in entries for hung in hung_in(group))
            for drivers, driven, idler in here[: count - len(found)]:
                train = GearTrain(drivers, driven)
                cut = train.ratio * box_leads[box]
                error = cut - lead
                found.append(GearsFound(train, idler, box, cut, error, error / lead * 1_000_000))
    return found


class _Fit:
    """A banjo's limits as sums of teeth: a distance is half the sum of teeth times the module."""

    def __init__(self, banjo: BanjoLimits) -> None:
        _check_banjo(banjo)
        self.clearance = banjo.clearance_teeth
        self.upper = self.lower = (0, NO_LIMIT)
        self.nearest, self.span = 0, NO_LIMIT
        if banjo.module is not None:
            half = Fraction(banjo.module) / 2
            self.upper = _whole_teeth(banjo.upper_distance, half)
            self.lower = _whole_teeth(banjo.lower_distance, half)
            both = (banjo.shaft_distance, banjo.shaft_distance)
            self.nearest, self.span = _whole_teeth(both, half)

    def studs(self, upper: Teeth, lower: Teeth) -> bool | NDArray[np.bool_]:
        """Whether the middle stud can stand where two pairs with these sums of teeth need it."""
        # The other side of the triangle, |upper - lower| <= span, follows from gears that clear
        # both shafts, which the callers look at.
        return (
            (upper >= self.upper[0])
            & (upper <= self.upper[1])
            & (lower >= self.lower[0])
            & (lower <= self.lower[1])
            & (upper + lower >= self.nearest)
        )

    def two_pairs(self, a: Teeth, b: Teeth, c: Teeth, d: Teeth) -> bool | NDArray[np.bool_]:
        """Whether a drives b, and c on b's stud drives d, clear of the shafts beside them."""
        return (
            self.studs(a + b, c + d)
            & (a + b >= c + self.clearance)
            & (c + d >= b + self.clearance)
            & (a + self.clearance <= self.span)
            & (d + self.clearance <= self.span)
        )

    def single_pair(self, driver: int, idler: int, driven: int) -> bool:
        """Whether an idler reaches both gears of a pair, and these two do not touch each other."""
        apart = driver + driven + 2 * TIPS <= self.span
        return bool(apart and self.studs(driver + idler, idler + driven))


class _Trains:
    """All trains of a set of gears that fit a banjo, grouped by ratio, the ratios rising."""

    def __init__(self, gears: tuple[int, ...], fit: _Fit) -> None:
        self.fit = fit
        self.singles = _single_pairs(gears, fit)
        self.drivers, self.driven = _two_pairs(np.array(gears, dtype=np.int64), fit)
        pairs = np.array([hung[:2] for hung in self.singles], dtype=np.int64).reshape(-1, 2)
        self.above = np.concatenate((pairs[:, 0], self.drivers.prod(axis=1)))
        self.below = np.concatenate((pairs[:, 1], self.driven.prod(axis=1)))
        # Division rounds once, so equal ratios are equal numbers and others differ: MOST_TEETH.
        quotients = self.above / self.below
        self.order = np.argsort(quotients, kind="stable")
        self.ratios, self.begins = np.unique(quotients[self.order], return_index=True)

    def ratio(self, group: int) -> Fraction:
        """The ratio that all trains of a group have, exact."""
        one = self.order[self.begins[group]]
        return Fraction(int(self.above[one]), int(self.below[one]))

    def nearest(self, ratio: float, count: int) -> range:
        """Groups that hold the `count` nearest trains on each side of `ratio`."""
        # One more on each side, because `ratio` was rounded on the way here.
        place = int(np.searchsorted(self.ratios, ratio))
        return range(max(0, place - count - 1), min(len(self.ratios), place + count + 1))

    def single_pairs(self, group: int) -> list[Hung]:
        """Trains of a single pair with an idler in a group."""
        chosen = [self.singles[one] for one in self._members(group) if one < len(self.singles)]
        return [((driver,), (driven,), idler) for driver, driven, idler in chosen]

    def two_pairs(self, group: int) -> list[Hung]:
        """Trains of two pairs in a group; of the ways to hang the same four gears the first."""
        rows = [one - len(self.singles) for one in self._members(group)]
        sets = {
            (tuple(self.drivers[row].tolist()), tuple(self.driven[row].tolist()))
            for row in rows
            if row >= 0
        }
        return [self._hang(drivers, driven) for drivers, driven in sets]

    def _members(self, group: int) -> list[int]:
        last = group + 1 == len(self.begins)
        end = len(self.order) if last else self.begins[group + 1]
        members: list[int] = self.order[self.begins[group] : end].tolist()
        return members

    def _hang(self, drivers: tuple[int, ...], driven: tuple[int, ...]) -> Hung:
        ways = ((above, below) for above in permutations(drivers) for below in permutations(driven))
        above, below = next(
            (above, below)
            for above, below in ways
            if self.fit.two_pairs(above[0], below[0], above[1], below[1])
        )
        return above, below, None


def _single_pairs(gears: tuple[int, ...], fit: _Fit) -> list[tuple[int, int, int]]:
    """Driver, driven gear and idler of every single pair that a spare gear can join."""
    found = []
    for driver, driven in sorted(set(permutations(gears, 2))):
        spare = Counter(gears) - Counter((driver, driven))
        idlers = sorted(spare, reverse=True)
        fitting = (idler for idler in idlers if fit.single_pair(driver, idler, driven))
        idler = next(fitting, None)
        if idler is not None:
            found.append((driver, driven, idler))
    return found


def _two_pairs(teeth: Array, fit: _Fit) -> tuple[Array, Array]:
    """Drivers and driven gears, each rising, of every four gears that hang in some arrangement."""
    one, other = np.triu_indices(len(teeth), 1)
    above, below = (part.ravel() for part in np.indices((len(one), len(one))))
    i, j, k, m = one[above], other[above], one[below], other[below]
    apart = (i != k) & (i != m) & (j != k) & (j != m)
    a, b, c, d = teeth[i[apart]], teeth[j[apart]], teeth[k[apart]], teeth[m[apart]]
    hangs = (
        fit.two_pairs(a, c, b, d)
        | fit.two_pairs(a, d, b, c)
        | fit.two_pairs(b, c, a, d)
        | fit.two_pairs(b, d, a, c)
    )
    return np.stack((a, b), axis=1)[hangs], np.stack((c, d), axis=1)[hangs]


def _whole_teeth(distances: Distances, half_module: Fraction) -> tuple[int, int]:
    """Least and most sum of teeth between two centre distances."""
    # Rounded inwards, so that no sum outside the limits is let through.
    least, most = distances
    return (
        0 if least is None else ceil(least / half_module),
        NO_LIMIT if most is None else floor(most / half_module),
    )


def _listed(gears: Sequence[int]) -> str:
    return ", ".join(str(teeth) for teeth in sorted(gears))


def _check_best(
    lead: Fraction,
    best: tuple[Fraction, int, int],
    largest: Fraction,
    trains: _Trains,
    box_leads: Sequence[Fraction],
) -> None:
    if best[0] * 1_000_000 > largest * lead:
        nearest = trains.ratio(best[2]) * box_leads[best[1]]
        raise OutOfRange(
            "lead",
            f"{float(lead):g} mm",
            f"no train comes within {float(largest):g} ppm",
            f"{float(nearest):g} mm",
        )


def _check(lead: Fraction, gears: Sequence[int], box_leads: Sequence[Fraction], count: int) -> None:
    if lead <= 0:
        raise OutOfRange("lead", f"{float(lead):g} mm", "must be more than 0 mm")
    if not box_leads or min(box_leads) <= 0:
        raise OutOfRange("box lead", "of zero, negative or none", "must be more than 0 mm")
    if count < 1:
        raise OutOfRange("number of trains", str(count), "must be 1 or more")
    if not 3 <= len(gears) <= MOST_GEARS:
        limit = f"must be 3 to {MOST_GEARS}: two to drive and one idler at least"
        raise OutOfRange("number of change gears", str(len(gears)), limit)
    for teeth in gears:
        if not 1 <= teeth <= MOST_TEETH:
            limit = f"must have 1 to {MOST_TEETH} teeth"
            raise OutOfRange("change gear", f"of {teeth} teeth", limit)


def _check_banjo(banjo: BanjoLimits) -> None:
    if banjo.clearance_teeth < 0:
        raise OutOfRange("clearance", f"{banjo.clearance_teeth} teeth", "must be 0 teeth or more")
    shafts = (banjo.shaft_distance, banjo.shaft_distance)
    ranges = (banjo.upper_distance, banjo.lower_distance, shafts)
    named = [distance for limits in ranges for distance in limits if distance is not None]
    if banjo.module is None:
        if named:
            raise OutOfRange("banjo", "with distances", "needs the module of its gears")
    elif banjo.module <= 0:
        raise OutOfRange("module", f"{float(banjo.module):g} mm", "must be more than 0 mm")
    for distance in named:
        if distance <= 0:
            raise OutOfRange("centre distance", f"{float(distance):g} mm", "must be more than 0 mm")
    for least, most in ranges:
        if least is not None and most is not None and most < least:
            given = f"{float(least):g} to {float(most):g} mm"
            raise OutOfRange("centre distances", given, "must rise")
