"""What the dial of a slide has been seen to be wrong by, learnt from the cuts of one job.

From one measurement to the next the dial says how much should have come off the size, and the
measuring tool says how much did. The first measurement after the touch also holds the error of the
touch and the spring of the tool; these repeat in every cut of the same depth and so drop out of all
later differences. What remains is learnt: the mean excess over what was dialled, over cuts of the
same kind. That more comes off than dialled is believed at once, since it only leaves metal; that less
comes off, only after it was seen twice, since believing it wrongly cuts the work too small.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from assistant.core.cut_depths import practice
from assistant.core.turning_plan import CutKind
from assistant.errors import OutOfRange


@dataclass(frozen=True)
class CutTaken:
    """What came off from one measurement to the next; mm on the size, exact."""

    kind: CutKind
    """Of the last cut in it."""
    dialled: Fraction
    took: Fraction
    learnt: bool
    """False for the first after the touch, a reading that was asked about, and cuts of both kinds together."""

    @property
    def excess(self) -> Fraction:
        """More than the dial said; negative where less came off."""
        return self.took - self.dialled


def cuts_to_learn_from(cuts: Sequence[CutTaken], kind: CutKind) -> tuple[CutTaken, ...]:
    """The cuts that say something about the next one: those of its kind, else all that were learnt from.

    cuts    : what came off, in order
    kind    : of the next cut
    Returns : cuts, in order
    Raises  : nothing
    Valid   : one tool, one slide, backlash always taken up the same way
    Source  : common practice: cuts of one depth spring alike

    >>> cuts_to_learn_from([CutTaken(CutKind.ROUGH, Fraction(2), Fraction(2), False)], CutKind.ROUGH)
    ()
    """
    every = tuple(cut for cut in cuts if cut.learnt and cut.dialled > 0)
    return tuple(cut for cut in every if cut.kind is kind) or every


def excess_share(cuts: Sequence[CutTaken], kind: CutKind) -> Fraction:
    """Excess for each millimetre dialled: sum of excess / sum of dialled, as far as it is believed.

    cuts    : what came off, in order
    kind    : of the next cut
    Returns : share, exact: 1/50 says that 2 per cent more comes off than is dialled; 0 if nothing is
              known; less than nothing only after two cuts, and not below minus the doubt of the table
    Raises  : nothing
    Valid   : as `cuts_to_learn_from`
    Source  : mean; see the head of this file

    >>> excess_share([CutTaken(CutKind.ROUGH, Fraction(2), Fraction(51, 25), True)], CutKind.ROUGH)
    Fraction(1, 50)
    """
    like = cuts_to_learn_from(cuts, kind)
    if not like:
        return Fraction(0)
    share = sum((cut.excess for cut in like), Fraction(0)) / sum(cut.dialled for cut in like)
    if share < 0 and len(like) < 2:
        return Fraction(0)
    return max(share, -practice("dial_doubt"))


def doubt_share(cuts: Sequence[CutTaken], kind: CutKind) -> Fraction:
    """How much more than believed may come off for each millimetre dialled: doubt / (1 + cuts learnt from).

    cuts    : what came off, in order
    kind    : of the next cut
    Returns : share, exact
    Raises  : nothing
    Valid   : as `cuts_to_learn_from`
    Source  : tables/cutting_practice.yaml; that it shrinks with the cuts is ours

    >>> doubt_share([], CutKind.FINISH)
    Fraction(1, 25)
    """
    return practice("dial_doubt") / (1 + len(cuts_to_learn_from(cuts, kind)))


def last_divisions(
    amount: Fraction, room: Fraction, each: Fraction, cuts: Sequence[CutTaken]
) -> int:
    """Divisions nearest to the aim that do not spoil the work, even if more comes off than believed.

    amount  : mm on the size still to come off to stand on the aim
    room    : mm on the size that may come off before the work is spoiled
    each    : mm on the size that a division stands for
    cuts    : what came off so far
    Returns : whole divisions, 0 where not even one may be taken
    Raises  : OutOfRange for a division of zero or less
    Valid   : the last cut
    Source  : arithmetic of the collar

    >>> last_divisions(Fraction(1, 4), Fraction(13, 50), Fraction(1, 50), [])
    12
    """
    if each <= 0:
        raise OutOfRange("dial", f"division of {float(each):g} mm", "must be more than 0 mm")
    share, doubt = excess_share(cuts, CutKind.FINISH), doubt_share(cuts, CutKind.FINISH)
    nearest = ceil(amount / (each * (1 + share)) - Fraction(1, 2))
    # One division's own doubt is let pass, or a size without tolerance could never be reached; but
    # not what is believed.
    safe = floor((room + each * doubt) / (each * (1 + share + doubt)))
    believed = floor(room / (each * (1 + share)))
    return max(0, min(nearest, safe, believed))
