"""How the lead of a setting is written on a chart: in threads per inch or as a pitch in mm."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Final

from assistant.answer import Value
from assistant.figures import bare
from assistant.tables import rows
from assistant.units import MM_PER_INCH

NEARLY: Final = "≈"
"""Before a figure that the gears do not give exactly as written."""
NEAR: Final = Fraction(1, 1000)
"""Share by which gears that only come near a lead may miss it; profiles allow no more."""
METRIC_TABLES: Final = ("iso_metric_sizes.csv", "trapezoidal_sizes.csv")
INCH_TABLES: Final = ("unified_sizes.csv", "whitworth_sizes.csv", "acme_sizes.csv", "npt_sizes.csv")
METRIC_STEP: Final = Fraction(1, 40)
"""Metric pitches are multiples of this, in mm ..."""
INCH_STEP: Final = Fraction(1, 2)
"""... and threads per inch of this."""


def reads_in_inches(lead: Fraction, inch_lathe: bool) -> bool:
    """Whether a lead is of the inch kind: so many threads per inch rather than a pitch in mm.

    An inch is 127/5 mm, so an inch lead through exact gears keeps the prime 127 above the line, and
    a metric lead does not have it. Gears that only come near a lead keep or lose it by chance; then
    the kind is the one with a usual figure near by, else that of the lathe.

    lead       : mm per turn, exactly as geared
    inch_lathe : True where the lathe's plates are in inches
    Returns    : True for threads per inch

    >>> reads_in_inches(Fraction(127, 65), False), reads_in_inches(Fraction(4, 5), True)
    (True, False)
    """
    per_inch = MM_PER_INCH / lead
    if lead.numerator % 127 == 0 and per_inch.denominator <= 8:
        return True
    if lead.numerator % 127 and (lead * 10_000).denominator == 1:
        return False
    metric, inch = _strayed(lead / METRIC_STEP), _strayed(per_inch / INCH_STEP)
    if min(metric, inch) > NEAR:
        return inch_lathe
    return inch < metric


def _strayed(figure: Fraction) -> Fraction:
    """How far `figure` is from a whole number, as a share of it."""
    return abs(figure - round(figure)) / figure


def lead_figure(lead: Fraction, inch: bool) -> str:
    """The lead as written in its kind, without unit; ≈ before what is rounded.

    >>> lead_figure(Fraction(127, 65), True), lead_figure(Fraction(8001, 8000), False)
    ('13', '≈1.0001')
    """
    exact = MM_PER_INCH / lead if inch else lead
    text = bare(Value(exact, "1/inch" if inch else "mm"), "" if inch else "pitch", "mm")
    return text if Fraction(text) == exact else f"{NEARLY}{text}"


@cache
def _standard_pitches() -> tuple[Fraction, ...]:
    metric = {Fraction(row["pitch"]) for name in METRIC_TABLES for row in rows(name)}
    inch = {Fraction(row["tpi"]) for name in INCH_TABLES for row in rows(name)}
    return tuple(sorted(metric | {MM_PER_INCH / number for number in inch}))


def is_standard(lead: Fraction) -> bool:
    """Whether some thread of the tables has this pitch, or the gears come as near to it as they can.

    lead : mm per turn

    >>> is_standard(Fraction(127, 65)), is_standard(Fraction(11, 8))
    (True, False)
    """
    return any(abs(lead - pitch) <= pitch * NEAR for pitch in _standard_pitches())
