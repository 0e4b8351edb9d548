"""Where profiles come from: files, texts, the bundled ones, and the shop's own folder."""

from __future__ import annotations

import os
import re
from importlib.resources import files
from pathlib import Path

from assistant.errors import ProfileError, nearest_names
from profiles import placard
from profiles.placard import Placard, Place

PLAIN_TEXT = "profile text"
"""Stands for the file's name where the profile was given as a text."""

SUFFIX = ".yaml"
NO_LATHES = frozenset({"questions.yaml"})
"""Files of this folder that end like a profile and are none."""
SHOP_FILE = "shop.yaml"
"""In the shop's folder: its settings, which are no lathe."""
BUNDLED = "bundled "
"""Goes before the file's name in messages about a profile that comes with Swarfside."""


def is_text(source: Path | str) -> bool:
    """Whether `source` is the text of a profile rather than the name of a file.

    >>> is_text("heron.yaml"), is_text("name: heron\\nunits: inch")
    (False, True)
    """
    return isinstance(source, str) and (source[-len(SUFFIX) :] != SUFFIX or "\n" in source)


def opened(source: Path | str) -> Placard:
    """The profile in `source`: a Path (or a one-line name that ends in .yaml) is a file, else a text.

    Raises ProfileError for what cannot be read as plain YAML.
    """
    if is_text(source):
        return _read(str(source), PLAIN_TEXT, None)
    path = Path(source)
    return _read(placard.text_of(path), str(path), path.parent)


def opened_bundled(name: str) -> Placard:
    """The bundled profile called `name`, which must be one of `bundled()`."""
    return _read(_bundled_text(name), _bundled_file(name), None)


def bundled() -> list[str]:
    """The names of the lathes that come with Swarfside, sorted.

    >>> "heron" in bundled()
    True
    """
    found = {entry.name for entry in files("profiles").iterdir()} - NO_LATHES
    return sorted(name.removesuffix(SUFFIX) for name in found if name.endswith(SUFFIX))


def shop_folder() -> Path:
    """Where the shop's own profiles stand: `swarfside/profiles` in the XDG data folder."""
    data = Path(os.environ.get("XDG_DATA_HOME") or "")
    # The XDG base directory specification has relative paths ignored.
    root = data if data.is_absolute() else Path.home() / ".local" / "share"
    return root / "swarfside" / "profiles"


def own(folder: Path | None) -> dict[str, Path]:
    """Name -> file of the profiles in `folder`; empty where there is no such folder."""
    if folder is None:
        return {}
    try:
        here = sorted(path for path in folder.iterdir() if path.suffix == SUFFIX)
    except FileNotFoundError:
        return {}
    except OSError as fault:
        raise ProfileError(str(folder), None, f"cannot be read: {fault.strerror}") from fault
    return {path.stem.lower(): path for path in here if path.name != SHOP_FILE}


def _bundled_file(name: str) -> str:
    return f"{BUNDLED}{name}{SUFFIX}"


def _bundled_text(name: str) -> str:
    raw = files("profiles").joinpath(name + SUFFIX).read_bytes()
    return placard.text_from(_bundled_file(name), raw)


def _read(text: str, file: str, folder: Path | None) -> Placard:
    def fetch(name: str, asked: Place) -> tuple[str, str]:
        # A plain name only: an include never leaves its own folder and the bundled profiles.
        if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_-]{0,60}", name):
            raise ProfileError(
                asked.file,
                asked.line,
                f'include is "{placard.shown(name)}"; expected the name of a profile such as "heron", no path',
            )
        beside = None if folder is None else folder / (name + SUFFIX)
        # A shop's own heron.yaml may build on the bundled heron.
        itself = str(beside) == asked.file and name in bundled()
        if beside is not None and beside.is_file() and not itself:
            return str(beside), placard.text_of(beside)
        if name in bundled():
            return _bundled_file(name), _bundled_text(name)
        close = nearest_names(name, [*own(folder), *bundled()], 1)
        hint = f"; the nearest is {close[0]}" if close else ""
        raise ProfileError(
            asked.file,
            asked.line,
            f'include is "{placard.shown(name)}", which is no profile known here{hint}',
        )

    return placard.read(text, file, fetch)
