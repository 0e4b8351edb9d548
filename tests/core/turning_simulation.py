"""Work and a lathe to cut it on that knows nothing of the plan: only what its dial and its spring do."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from hypothesis import assume
from hypothesis import strategies as st

from assistant.core.dial_types import SlideDial
from assistant.core.to_size import Target
from assistant.core.turning_plan import Work, size_after, size_of_division
from profiles.load import bundled, find

SLIDES = [
    dial
    for name in bundled()
    for lathe in [find(name)]
    for dial in (lathe.cross_slide, lathe.compound)
]


def limits(least, largest):
    low, high = Fraction(least), Fraction(largest)
    return Target(low, high, (low + high) / 2)


@st.composite
def jobs(draw):
    work = draw(st.sampled_from(Work))
    dial = draw(st.sampled_from(SLIDES))
    each = size_of_division(work, dial)
    aim = draw(st.fractions(10, 200, max_denominator=500))
    half = each * draw(st.fractions(Fraction(53, 100), 4, max_denominator=100))
    amount = draw(st.fractions(Fraction(1, 2), 12, max_denominator=200))
    most = draw(st.fractions(Fraction(1, 5), 3, max_denominator=20))
    zero = draw(st.integers(0, dial.divisions - 1))
    # Against the direction of cutting.
    size = size_after(aim, -amount, work)
    assume(size > 1)
    return size, Target(aim - half, aim + half, aim), work, dial, most, zero


@dataclass
class Machine:
    """A lathe that knows nothing of the plan: its dial is out by a share, tool and touch by a constant."""

    start: Fraction
    work: Work
    dial: SlideDial
    dial_error: Fraction
    spring: Fraction
    """mm on the size left standing by every cut, touch included."""

    def size(self, count):
        moved = count * self.dial.division * (1 + self.dial_error)
        if self.dial.reads == "diameter":
            moved /= 2
        took = moved * (1 if self.work is Work.FACE else 2) - self.spring
        return self.start + took if self.work is Work.BORE else self.start - took
