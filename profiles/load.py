"""Find a profile, read it, check it, and give the Lathe; every failure is a ProfileError.

Building a lathe takes far longer than any answer, so each is built once: a bundled one for good, a
file of the shop's until something in its folder changes.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TypeAlias

from assistant.errors import ProfileError, nearest_names
from profiles import source as sources
from profiles.build import lathe
from profiles.check import examined
from profiles.lathe import Lathe
from profiles.placard import Placard
from profiles.source import bundled, shop_folder

__all__ = ["bundled", "find", "load", "names", "shop_folder"]

State: TypeAlias = tuple[tuple[str, int, int, int, int], ...]
"""Of each profile in a folder: name, times of change, size and file number."""

_built_from_files: dict[Path, tuple[State, Lathe]] = {}


def load(source: Path | str) -> Lathe:
    """The lathe in `source`: a Path (or a one-line name that ends in .yaml) is a file, else a text.

    Raises ProfileError, with file and line, for the first thing that stops the lathe from
    being used. Nothing in a profile is ever executed.
    """
    if sources.is_text(source):
        return _built(sources.opened(source))
    path = Path(source).absolute()
    # Looked at before the file is read: what is written in between must not count as read.
    state = _state(path)
    known = _built_from_files.get(path)
    if known is not None and known[0] == state:
        return known[1]
    found = _built(sources.opened(source))
    if state is None:
        _built_from_files.pop(path, None)
    else:
        _built_from_files[path] = state, found
    return found


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
        return _bundled_lathe(wanted)
    known = names(extra_folder)
    close = nearest_names(wanted, known, 1)
    hint = f"the nearest is {close[0]}" if close else f"there are {', '.join(known)}"
    raise ProfileError(name, None, f"is no lathe that is known here; {hint}")


@cache
def _bundled_lathe(name: str) -> Lathe:
    return _built(sources.opened_bundled(name))


def _state(path: Path) -> State | None:
    """What `path` and all that it may include look like now; None where the folder cannot be read.

    A profile includes only what stands beside it, or what is bundled and never changes.
    """
    try:
        beside = [each for each in path.parent.iterdir() if each.suffix == sources.SUFFIX]
        return tuple(sorted(_stamp(each) for each in {*beside, path}))
    except (OSError, ValueError):
        return None


def _stamp(path: Path) -> tuple[str, int, int, int, int]:
    seen = path.stat()
    return path.name, seen.st_mtime_ns, seen.st_ctime_ns, seen.st_size, seen.st_ino


def _built(placard: Placard) -> Lathe:
    profile, findings = examined(placard)
    stopping = [finding for finding in findings if finding.stops]
    if stopping or profile is None:
        first = stopping[0]
        more = len(stopping) - 1
        rest = f" (and {more} more)" if more else ""
        raise ProfileError(first.file, first.line, first.problem + rest)
    return lathe(profile)
