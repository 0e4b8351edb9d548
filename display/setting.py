"""How the screen is set: by command, by the shop's file, by what the system tells, or as usual."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, Final

import yaml

from assistant.errors import OutOfRange, ProfileError
from display.legibility import (
    DEFAULT_DISTANCE_MM,
    DEFAULT_SCREEN,
    reading_distance,
    screen_diagonal,
)
from display.theme import SCHEMES

SHOP_FILE: Final = "shop.yaml"
"""In the folder of the shop's profiles; its part `display` is read here."""
MOST_MONITORS: Final = 16


@dataclass(frozen=True)
class Wish:
    """What was asked for; None where nothing was said."""

    distance: str | None = None
    """From the reader's eyes, with its unit: '4m'."""
    screen: str | None = None
    """Corner to corner, with its unit: '32in'."""
    scheme: str | None = None
    monitor: int | None = None
    talk_key: str | None = None
    talk_line: str | None = None
    """GPIO line that a foot switch closes: '17'; not the screen's, but asked for beside its key."""

    def over(self, other: Wish) -> Wish:
        """This wish, with `other` where nothing was said.

        >>> Wish(distance="4m").over(Wish("3m", "32in")).screen
        '32in'
        """
        return Wish(
            **{
                field.name: own if (own := getattr(self, field.name)) is not None else theirs
                for field in fields(Wish)
                for theirs in (getattr(other, field.name),)
            }
        )


@dataclass(frozen=True)
class Setting:
    """How the screen is set."""

    distance_mm: float
    diagonal_mm: float
    scheme: str
    monitor: int
    talk_key: str
    """'' for the usual ones."""


def shop_wish(folder: Path) -> Wish:
    """What `display:` in the shop's file asks for; nothing where there is no such file.

    Raises ProfileError, with the key and what would be right.
    """
    path = folder / SHOP_FILE
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return Wish()
    except (OSError, UnicodeDecodeError) as fault:
        raise ProfileError(str(path), None, f"cannot be read: {fault}") from fault
    try:
        found = yaml.safe_load(text)
    except yaml.YAMLError as fault:
        mark = getattr(fault, "problem_mark", None)
        line = None if mark is None else mark.line + 1
        raise ProfileError(str(path), line, "is no YAML") from fault
    part = found.get("display") if isinstance(found, Mapping) else found
    if part is None:
        return Wish()
    if not isinstance(part, Mapping):
        raise ProfileError(str(path), None, f"display is {part!r}; expected keys such as distance")
    return _wish(part, str(path))


def _wish(part: Mapping[Any, Any], file: str) -> Wish:
    known = [field.name for field in fields(Wish)]
    for key in part:
        if key not in known:
            allowed = ", ".join(known)
            raise ProfileError(file, None, f"display has no key {key!r}; there are {allowed}")
    for key in ("distance", "screen", "scheme"):
        if not isinstance(part.get(key, ""), str):
            example = {"distance": "4m", "screen": "32in", "scheme": "light"}[key]
            problem = f"display.{key} is {part[key]!r}; expected words such as {example}"
            raise ProfileError(file, None, problem)
    if not isinstance(part.get("talk_key", ""), str | int):
        raise ProfileError(file, None, "display.talk_key is no name of a key, such as f9")
    line = part.get("talk_line")
    if line is not None and (isinstance(line, bool) or not isinstance(line, str | int)):
        problem = f"display.talk_line is {line!r}; expected a GPIO line such as 17 or BOARD11"
        raise ProfileError(file, None, problem)
    key = part.get("talk_key")
    wish = Wish(
        part.get("distance"),
        part.get("screen"),
        part.get("scheme"),
        part.get("monitor"),
        None if key is None else str(key),
        None if line is None else str(line),
    )
    try:
        _checked(wish)
    except OutOfRange as fault:
        raise ProfileError(file, None, f"display: {fault}") from fault
    return wish


def _checked(wish: Wish) -> None:
    """OutOfRange for the first thing asked for that cannot be."""
    if wish.distance is not None:
        reading_distance(wish.distance)
    if wish.screen is not None:
        screen_diagonal(wish.screen)
    if wish.scheme is not None and wish.scheme not in SCHEMES:
        raise OutOfRange("scheme", repr(wish.scheme), f"must be {' or '.join(SCHEMES)}")
    monitor = wish.monitor
    if monitor is not None and (
        isinstance(monitor, bool)
        or not isinstance(monitor, int)
        or not 1 <= monitor <= MOST_MONITORS
    ):
        raise OutOfRange("monitor", repr(monitor), f"must be a number from 1 to {MOST_MONITORS}")


def setting_for(
    wish: Wish,
    system: Callable[[], float | None],
    remembered: str | None = None,
    ask: Callable[[], str | None] = lambda: None,
) -> Setting:
    """The setting that a wish comes to.

    system     : diagonal in mm as the system tells it, or None
    remembered : the size that was told when it was asked for
    ask        : asks for the size; None where nobody answers
    Raises     : OutOfRange for a wish that cannot be

    >>> setting_for(Wish(distance="4m"), lambda: 812.8).diagonal_mm
    812.8
    """
    _checked(wish)
    distance = DEFAULT_DISTANCE_MM if wish.distance is None else reading_distance(wish.distance)
    if wish.screen is not None:
        diagonal: float | None = screen_diagonal(wish.screen)
    elif remembered is not None:
        diagonal = screen_diagonal(remembered)
    else:
        diagonal = system()
    if diagonal is None:
        diagonal = screen_diagonal(ask() or DEFAULT_SCREEN)
    return Setting(
        distance, diagonal, wish.scheme or "dark", wish.monitor or 1, wish.talk_key or ""
    )
