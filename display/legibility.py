"""How large words must be to be read from where the operator stands, and how many lines that leaves.

Angles: 20 to 22 minutes of arc of capital height are recommended and 16 the least for screens that
are read without haste (ISO 9241-303, figures from memory). Swarfside takes 20 and never less.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from assistant.errors import DeviceError, OutOfRange

MINUTES_OF_ARC: Final = 20
"""Angle that a capital letter fills at the eye."""
CAPITAL: Final = 0.73
"""Capital height over font size of DejaVu Sans, measured."""
LINE: Final = 1.17
"""Line height over font size of DejaVu Sans, measured."""
MM_PER_INCH: Final = 25.4
LEAST_LINES: Final = 7
"""A screen that holds fewer lines of the smallest size cannot carry an answer."""
LEAST_LETTERS: Final = 16
"""Nor can one across which fewer average letters fit."""
LETTER: Final = 0.60
"""Average width of a letter over font size, DejaVu Sans, for an estimate only."""
DISTANCES_MM: Final = (300.0, 20_000.0)
SCREENS_MM: Final = (40.0, 5_000.0)
DEFAULT_DISTANCE_MM: Final = 3_000.0
DEFAULT_SCREEN: Final = "24in"
_MM_PER: Final = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": MM_PER_INCH, "ft": 12 * MM_PER_INCH}


def capital_height(distance: float, minutes: float = MINUTES_OF_ARC) -> float:
    """Capital height that fills `minutes` of arc at `distance`: h = 2 L tan(a / 2).

    distance : mm from eye to screen
    minutes  : minutes of arc
    Returns  : mm, approximate

    >>> round(capital_height(3000), 1)
    17.5
    """
    return 2 * distance * math.tan(math.radians(minutes / 60) / 2)


@dataclass(frozen=True)
class Legibility:
    """What can be read on a screen of this size from this distance."""

    distance: float
    """mm from eye to screen."""
    screen_height: float
    """mm of the lit area."""
    pixels: int
    """Rows of pixels in that height."""

    @cached_property
    def font_size(self) -> float:
        """The smallest font size, px; everything on the screen has at least this.

        >>> round(Legibility(4000, 398.5, 1080).font_size)
        86
        """
        return capital_height(self.distance) / CAPITAL * self.pixels / self.screen_height

    @cached_property
    def line_height(self) -> float:
        """Height of one line of the smallest size, px."""
        return self.font_size * LINE

    @property
    def lines(self) -> int:
        """Whole lines of the smallest size in the height of the screen.

        >>> Legibility(4000, 398.5, 1080).lines
        10
        """
        return int(self.pixels / self.line_height)

    def letters(self, width: int) -> int:
        """About how many letters of the smallest size fit in `width` px."""
        return int(width / (self.font_size * LETTER))

    def enough(self, width: int) -> bool:
        """True if a screen `width` px wide can carry an answer at this distance."""
        return self.lines >= LEAST_LINES and self.letters(width) >= LEAST_LETTERS

    def require_enough(self, width: int) -> None:
        """DeviceError if a screen `width` px wide cannot carry an answer at this distance."""
        if self.enough(width):
            return
        share = min(
            self.pixels / (LEAST_LINES * self.line_height),
            width / (LEAST_LETTERS * LETTER * self.font_size),
        )
        nearest = math.floor(self.distance * share / 100) / 10
        raise DeviceError(
            "screen",
            f"this screen is too small to be read from {_metres(self.distance)}",
            f"stand it within {nearest:.1f} m, and say so with --distance, or take a larger one",
        )


def _metres(distance: float) -> str:
    return f"{distance / 1000:g} m"


def length_mm(text: str, limits: tuple[float, float], quantity: str) -> float:
    """A length with its unit (mm, cm, m, in, ft) in mm, within `limits`.

    Raises OutOfRange if it is no length or lies outside.

    >>> length_mm("4m", DISTANCES_MM, "reading distance")
    4000.0
    """
    match = re.fullmatch(r"\s*(\d+(?:\.\d+)?|\.\d+)\s*(mm|cm|m|in|inch|ft)\s*", text.lower())
    if match is None:
        raise OutOfRange(quantity, repr(text), "write a number and mm, cm, m, in or ft", "3m")
    length = float(match[1]) * _MM_PER[match[2].removesuffix("ch")]
    least, most = limits
    if not least <= length <= most:
        limit = least if length < least else most
        raise OutOfRange(
            quantity, text.strip(), f"must be {least:g} mm to {most:g} mm", f"{limit:g} mm"
        )
    return length


def screen_height(diagonal: float, width: int, height: int) -> float:
    """Height in mm of a screen of `diagonal` mm that shows width x height px: D h / sqrt(w^2 + h^2).

    >>> round(screen_height(32 * MM_PER_INCH, 1920, 1080), 1)
    398.5
    """
    return diagonal * height / math.hypot(width, height)


def screen_diagonal(text: str) -> float:
    """The diagonal of a screen in mm, from '32in' or '810 mm'.

    >>> round(screen_diagonal("32in"), 1)
    812.8
    """
    return length_mm(text, SCREENS_MM, "screen diagonal")


def reading_distance(text: str) -> float:
    """The reading distance in mm, from '4m' or '13 ft'.

    >>> reading_distance("4m")
    4000.0
    """
    return length_mm(text, DISTANCES_MM, "reading distance")
