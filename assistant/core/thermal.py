"""Warm work: what it will measure at 20 degrees Celsius, the reference temperature of all sizes."""

from __future__ import annotations

from fractions import Fraction

from assistant.errors import OutOfRange

REFERENCE_TEMPERATURE = 20
"""Degrees Celsius at which sizes on a drawing hold (ISO 1)."""

LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE = 0, 100
"""Degrees Celsius between which handbook coefficients of expansion are used here."""

LARGEST_COEFFICIENT = 300
"""um per m and kelvin; no workshop material expands more."""


def _expansion(temperature: float, coefficient: float) -> float:
    """Growth per length from the reference temperature, after checking both."""
    if not LOWEST_TEMPERATURE <= temperature <= HIGHEST_TEMPERATURE:
        given = f"{float(temperature):g} degrees Celsius"
        allowed = f"the correction holds from {LOWEST_TEMPERATURE} to {HIGHEST_TEMPERATURE} degrees"
        nearest = "letting the work cool" if temperature > HIGHEST_TEMPERATURE else None
        raise OutOfRange("temperature of the work", given, allowed, nearest)
    if not 0 < coefficient <= LARGEST_COEFFICIENT:
        given = f"{float(coefficient):g} um per m and kelvin"
        allowed = f"must be more than 0 and at most {LARGEST_COEFFICIENT}"
        raise OutOfRange("coefficient of expansion", given, allowed)
    return float(coefficient) * 1e-6 * (float(temperature) - REFERENCE_TEMPERATURE)


def _check_size(size: Fraction | float) -> None:
    if size <= 0:
        raise OutOfRange("size", f"{float(size):g} mm", "must be more than 0 mm")


def size_at_reference(
    measured: Fraction | float,
    temperature: Fraction | float,
    coefficient: Fraction | float,
) -> float:
    """What warm work will measure at 20 degrees Celsius: D20 = D / (1 + a (T - 20)).

    measured    : mm, read now with a measuring tool that is itself at 20 degrees Celsius
    temperature : degrees Celsius of the work, 0 to 100
    coefficient : a, um per m and kelvin (steel about 11.7, aluminium about 23)
    Returns     : mm, approximate: the coefficient is a handbook figure
    Raises      : OutOfRange outside those ranges
    Valid       : work warm all through; a hot skin on a cool core grows less
    Source      : definition of the coefficient of linear expansion; ISO 1 for 20 degrees

    >>> round(size_at_reference(100, 60, 11.5), 4)
    99.954
    """
    _check_size(measured)
    return float(measured) / (1 + _expansion(float(temperature), float(coefficient)))


def size_when_warm(
    wanted: Fraction | float,
    temperature: Fraction | float,
    coefficient: Fraction | float,
) -> float:
    """What work must measure warm to be on size at 20 degrees Celsius: D = D20 (1 + a (T - 20)).

    wanted      : mm, size at 20 degrees Celsius
    temperature : degrees Celsius of the work, 0 to 100
    coefficient : a, um per m and kelvin
    Returns     : mm, approximate
    Raises      : OutOfRange outside those ranges
    Valid       : as `size_at_reference`
    Source      : definition of the coefficient of linear expansion; ISO 1 for 20 degrees

    >>> round(size_when_warm(100, 60, 11.5), 3)
    100.046
    """
    _check_size(wanted)
    return float(wanted) * (1 + _expansion(float(temperature), float(coefficient)))


def growth(
    size: Fraction | float,
    temperature: Fraction | float,
    coefficient: Fraction | float,
) -> float:
    """How much larger warm work is than at 20 degrees Celsius: dD = D20 a (T - 20).

    size        : mm, size at 20 degrees Celsius
    temperature : degrees Celsius of the work, 0 to 100
    coefficient : a, um per m and kelvin
    Returns     : mm, negative below 20 degrees; approximate
    Raises      : OutOfRange outside those ranges
    Valid       : as `size_at_reference`
    Source      : definition of the coefficient of linear expansion; ISO 1 for 20 degrees

    >>> round(growth(100, 60, 11.5), 4)
    0.046
    """
    _check_size(size)
    return float(size) * _expansion(float(temperature), float(coefficient))
