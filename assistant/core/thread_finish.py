"""From a measured thread to what its tool still goes in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.core.bounds import Number
from assistant.core.pass_plan import PassesInHand, deepen
from assistant.core.to_size import SizeState, Target, to_size
from assistant.errors import OutOfRange


@dataclass(frozen=True)
class FinishLeft:
    """What a measurement of the thread says is still to be taken."""

    verdict: SizeState
    on_diameter: Fraction
    """mm off the pitch diameter to stand in the middle of its limits, exact; 0 unless to be taken off."""
    past_by: Fraction
    """mm beyond the last limit, exact; 0 unless past it."""
    state: PassesInHand
    """With the finish planned anew; nothing left to cut where the thread is within limits or past them."""

    @property
    def on_radius(self) -> float:
        """What the tool still goes in, mm on the radius."""
        return float(self.on_diameter) / 2


def left_from_measurement(
    state: PassesInHand,
    measured: Number,
    minimum: Number,
    maximum: Number,
    *,
    internal: bool = False,
) -> FinishLeft:
    """What a measured thread still wants: the tool goes in by half of what the pitch diameter is out.

    state    : the passes in hand
    measured : mm, over the wires or the pitch diameter itself
    minimum  : mm, its least limit, measured in the same way
    maximum  : mm, its largest limit, measured in the same way
    internal : True for a nut, whose pitch diameter grows
    Returns  : FinishLeft; its state is planned to the middle of the limits
    Raises   : OutOfRange for sizes of zero or less, crossed limits, or more than the thread is deep
    Valid    : one set of wires, so that over wires and pitch diameter differ by a constant; with
               straight infeed and along the flank alike, as the groove grows by the same width
    Source   : geometry: a symmetrical groove cut e/2 deeper loses e of pitch diameter

    >>> from assistant.core.infeed import passes
    >>> from assistant.core.pass_plan import at_depth, begin
    >>> done = at_depth(begin(passes(0.92, 30, first=0.46, least=0.05)), 0.92)
    >>> round(left_from_measurement(done, 10.10, 10.00, 10.04).on_radius, 3)
    0.04
    """
    if not 0 < minimum <= maximum:
        raise OutOfRange(
            "limits of the thread",
            f"{float(minimum):g} to {float(maximum):g} mm",
            "must rise from above 0 mm",
        )
    low, high = Fraction(minimum), Fraction(maximum)
    cut = to_size(Fraction(measured), Target(low, high, (low + high) / 2), internal)
    if cut.state is SizeState.TAKE_OFF:
        state = deepen(state, float(cut.per_side))
    else:
        state = replace(state, left=(), spring_left=0)
    return FinishLeft(cut.state, cut.on_diameter, cut.past_by, state)
