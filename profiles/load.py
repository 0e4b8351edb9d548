"""Find a profile, read it, check it, and give the Lathe; every failure is a ProfileError."""

from __future__ import annotations

from pathlib import Path

from assistant.errors import ProfileError, nearest_names
from profiles import source as sources
from profiles.build import lathe
from profiles.check import examined
from profiles.lathe import Lathe
from profiles.placard import Placard
from profiles.source import bundled, shop_folder

__all__ = ["bundled", "find", "load", "names", "shop_folder"]


def load(source: Path | str) -> Lathe:
    """The lathe in `source`: a Path (or a one-line name that ends in .yaml) is a file, else a text.

    Raises ProfileError, with file and line, for the first thing that stops the lathe from
    being used. Nothing in a profile is ever executed.
    """
    return _built(sources.opened(source))


def names(extra_folder: Path | None = None) -> list[str]:
    """The names of all lathes: bundled, and the files in `extra_folder`; sorted."""
    return sorted({*bundled(), *sources.own(extra_folder)})


def find(name: str, extra_folder: Path | None = None) -> Lathe:
    """The lathe called `name`; the shop's own file wins over a bundled one of that name.

    Raises ProfileError if there is none, offering the nearest, or if it cannot be used.

    >>> find("heron").inch
    True
    """
    wanted = name.strip().lower()
    own = sources.own(extra_folder)
    if wanted in own:
        return load(own[wanted])
    if wanted in bundled():
        return _built(sources.opened_bundled(wanted))
    known = names(extra_folder)
    close = nearest_names(wanted, known, 1)
    hint = f"the nearest is {close[0]}" if close else f"there are {', '.join(known)}"
    raise ProfileError(name, None, f"is no lathe that is known here; {hint}")


def _built(placard: Placard) -> Lathe:
    profile, findings = examined(placard)
    stopping = [finding for finding in findings if finding.stops]
    if stopping or profile is None:
        first = stopping[0]
        more = len(stopping) - 1
        rest = f" (and {more} more)" if more else ""
        raise ProfileError(first.file, first.line, first.problem + rest)
    return lathe(profile)
