"""The one pint registry, and the exact bridges between it and the core's plain numbers."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path
from pickle import UnpicklingError
from typing import Any, TypeAlias

import pint
from platformdirs import user_cache_path

_NO_CACHE = (
    OSError,
    EOFError,
    UnpicklingError,
    ValueError,
    AttributeError,
    ImportError,
    IndexError,
)
"""What reading a cache that is missing, forbidden or broken off raises."""

Quantity: TypeAlias = Any
"""A quantity of the registry below; pint's own classes are made at run time, so no closer type exists."""


@cache
def registry() -> pint.UnitRegistry[Any]:
    """The registry: exact (Fraction) magnitudes, with the trade's own units added.

    pint's definitions take a fifth of a second to read; it keeps them read in the user's cache folder.

    >>> registry().Quantity(Fraction(1, 13), "inch").to("mm").magnitude
    Fraction(127, 65)
    """
    try:
        units = _registry(user_cache_path("swarfside") / "units")
    except _NO_CACHE:
        # A folder that cannot be written, or a file that another start is just writing.
        units = _registry(None)
    units.define("tenth = thou / 10")
    return units


def _registry(cache_folder: Path | None) -> pint.UnitRegistry[Any]:
    return pint.UnitRegistry(
        non_int_type=Fraction,
        autoconvert_offset_to_baseunit=True,
        cache_folder=None if cache_folder is None else str(cache_folder),
    )


def quantity(magnitude: Fraction | int, unit: str) -> Quantity:
    """`magnitude` in `unit` as an exact Quantity.

    >>> quantity(Fraction(7, 16), "inch").magnitude
    Fraction(7, 16)
    """
    return registry().Quantity(Fraction(magnitude), unit)


def magnitude_in(amount: Quantity, unit: str) -> Fraction:
    """The number of `unit` in `amount`, exact.

    >>> magnitude_in(quantity(1, "inch"), "mm")
    Fraction(127, 5)
    """
    return Fraction(amount.to(unit).magnitude)


MM_PER_INCH = Fraction(127, 5)
"""Exact by definition (international yard and pound agreement, 1959)."""


def inches(number: Fraction | int) -> Fraction:
    """`number` of inches in mm, exact.

    >>> inches(Fraction(1, 8))
    Fraction(127, 40)
    """
    return Fraction(number) * MM_PER_INCH
