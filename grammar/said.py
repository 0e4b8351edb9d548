"""A number as it was said, before it is known what of."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Said:
    """A number as it was said."""

    value: Fraction
    shop_fraction: bool
    """True for halves to 64ths: they are of an inch where no unit was named."""
