"""How long a cut takes, and how many cuts a job needs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from assistant.core.bounds import check, with_unit
from assistant.errors import OutOfRange


@dataclass(frozen=True)
class CutPlan:
    """How many roughing cuts of equal depth take work down to size; lengths in mm, exact."""

    cuts: int
    """Roughing cuts; 0 where only the finishing cut is left."""
    depth_on_radius: Fraction
    """Depth of each roughing cut."""
    finish_on_radius: Fraction
    """Left for the finishing cut; 0 for none."""

    @property
    def all_cuts(self) -> int:
        """Roughing cuts and the finishing cut."""
        return self.cuts + (1 if self.finish_on_radius else 0)


def time_of_cut(length: Fraction, feed: Fraction, spindle_speed: Fraction) -> Fraction:
    """Time of one cut along the work: t = L / (f n).

    length        : mm of tool travel, run-in and run-out included
    feed          : mm per turn
    spindle_speed : turns per minute
    Returns       : minutes, exact; the carriage's way back and the setting of the tool are not in it
    Raises        : OutOfRange for bad numbers
    Valid         : turning, boring and drilling at constant speed and feed
    Source        : definition of feed

    >>> time_of_cut(Fraction(200), Fraction(1, 5), Fraction(400))
    Fraction(5, 2)
    """
    check("length", length)
    check("feed", feed)
    check("spindle speed", spindle_speed)
    return Fraction(length) / (feed * spindle_speed)


def time_of_facing(
    outer_diameter: Fraction, inner_diameter: Fraction, feed: Fraction, spindle_speed: Fraction
) -> Fraction:
    """Time of one facing or parting cut at constant spindle speed: t = (D - d) / (2 f n).

    outer_diameter : mm
    inner_diameter : mm, 0 for a cut to the centre
    feed           : mm per turn, cross feed on the radius
    spindle_speed  : turns per minute
    Returns        : minutes, exact
    Raises         : OutOfRange for bad numbers, or an inner diameter not below the outer
    Valid          : constant spindle speed and feed
    Source         : definition of feed

    >>> time_of_facing(Fraction(100), Fraction(0), Fraction(1, 10), Fraction(250))
    Fraction(2, 1)
    """
    check("work diameter", outer_diameter)
    check("inner diameter", inner_diameter)
    if inner_diameter >= outer_diameter:
        raise OutOfRange(
            "inner diameter",
            with_unit(inner_diameter, "mm"),
            f"must be less than the outer diameter {with_unit(outer_diameter, 'mm')}",
        )
    return time_of_cut((outer_diameter - inner_diameter) / Fraction(2), feed, spindle_speed)


def cut_plan(
    from_diameter: Fraction,
    to_diameter: Fraction,
    largest_depth_on_radius: Fraction,
    finish_on_radius: Fraction = Fraction(0),
) -> CutPlan:
    """Equal roughing cuts, none deeper than allowed: cuts = ceil((allowance - finish) / depth).

    from_diameter           : mm, as it stands
    to_diameter             : mm, wanted: smaller in turning, larger in boring
    largest_depth_on_radius : mm, deepest roughing cut
    finish_on_radius        : mm, left for the finishing cut
    Returns                 : CutPlan, exact
    Raises                  : OutOfRange for bad numbers, nothing to take off, or a finishing cut deeper than that
    Valid                   : turning and boring
    Source                  : common practice

    >>> cut_plan(Fraction(50), Fraction(40), Fraction(2), Fraction(1, 4)).cuts
    3
    """
    check("work diameter", from_diameter)
    check("work diameter", to_diameter)
    check("depth of cut", largest_depth_on_radius)
    allowance = abs(Fraction(from_diameter) - Fraction(to_diameter)) / 2
    if not allowance:
        raise OutOfRange(
            "wanted diameter", with_unit(to_diameter, "mm"), "is the diameter as it stands: no cut"
        )
    if not 0 <= finish_on_radius <= allowance:
        most = with_unit(allowance, "mm")
        raise OutOfRange(
            "finishing cut",
            with_unit(finish_on_radius, "mm"),
            f"must be from 0 to the allowance on the radius, {most}",
            most,
        )
    rough = allowance - Fraction(finish_on_radius)
    cuts = math.ceil(rough / Fraction(largest_depth_on_radius))
    check("number of cuts", max(cuts, 1))
    return CutPlan(cuts, rough / cuts if cuts else Fraction(0), Fraction(finish_on_radius))


def time_of_cuts(time_of_one: Fraction, cuts: int, back: Fraction = Fraction(0)) -> Fraction:
    """Time of several equal cuts: t = cuts x (time of one + time back).

    time_of_one : minutes
    cuts        : how many
    back        : minutes to bring the tool back and set it, each time
    Returns     : minutes, exact
    Raises      : OutOfRange for bad numbers
    Valid       : equal cuts
    Source      : definition

    >>> time_of_cuts(Fraction(5, 2), 4)
    Fraction(10, 1)
    """
    check("number of cuts", cuts)
    if not time_of_one > 0 or back < 0:
        raise OutOfRange(
            "time", with_unit(min(time_of_one, back), "minutes"), "must be more than 0"
        )
    return cuts * (Fraction(time_of_one) + Fraction(back))
