"""Whether a window can open on this computer, and which way SDL is to open it."""

from __future__ import annotations

import ctypes
import logging
import os
import socket
import sys
from collections.abc import Mapping
from pathlib import Path

from assistant.errors import DeviceError

OWN_WINDOWS = ("win32", "darwin")
"""Systems that always have a desktop; SDL finds it unasked."""
_M_MMAP_THRESHOLD = -3
"""glibc, malloc.h."""
_LARGE = 256 * 1024
"""Bytes."""


class KivyUnavailable(DeviceError):
    """No window can be opened; the terminal view still works."""

    def __init__(self, problem: str) -> None:
        super().__init__("screen", problem, "start with --display terminal, or from the desktop")


def available() -> bool:
    """True if a window that someone can see would open; nothing is opened to find out."""
    return sys.platform in OWN_WINDOWS or bool(drivers(os.environ))


def drivers(environment: Mapping[str, str]) -> list[str]:
    """The SDL video drivers that would reach a screen, best first."""
    found = []
    if _wayland_answers(environment):
        found.append("wayland")
    if _x11_answers(environment.get("DISPLAY", "")):
        found.append("x11")
    if not found and _console_screen():
        found.append("kmsdrm")
    return found


def choose_screen() -> None:
    """Let SDL use a real screen and nothing else; KivyUnavailable where there is none."""
    _quieten()
    if sys.platform in OWN_WINDOWS:
        return
    found = drivers(os.environ)
    if not found:
        raise KivyUnavailable("there is no screen to open a window on")
    os.environ["SDL_VIDEODRIVER"] = ",".join(found)
    # A full screen must not give way when something else takes the keyboard.
    os.environ.setdefault("SDL_VIDEO_MINIMIZE_ON_FOCUS_LOSS", "0")


def choose_offscreen() -> None:
    """Let SDL draw into memory only, for pictures of the screen."""
    _quieten()
    os.environ["SDL_VIDEODRIVER"] = "offscreen"


def give_memory_back() -> None:
    """Have large blocks, such as pictures of words, given back to the system as soon as they are free.

    Otherwise the C library keeps and scatters them, and memory grows by a fifth within an hour.
    """
    try:
        ctypes.CDLL(None).mallopt(_M_MMAP_THRESHOLD, _LARGE)
    except (OSError, AttributeError, TypeError):
        # Another system or C library, where nothing of the kind is known.
        return


def _quieten() -> None:
    """Keep Kivy's notes, such as on touch panels it cannot find, off the operator's terminal."""
    logging.getLogger("kivy").addHandler(logging.NullHandler())


def _answers(address: str) -> bool:
    """True if something listens on the Unix socket `address`."""
    with socket.socket(socket.AF_UNIX) as probe:
        probe.settimeout(1)
        try:
            probe.connect(address)
        except OSError:
            return False
    return True


def _wayland_answers(environment: Mapping[str, str]) -> bool:
    name = environment.get("WAYLAND_DISPLAY", "")
    folder = environment.get("XDG_RUNTIME_DIR", "")
    if not name or not (folder or os.path.isabs(name)):
        return False
    return _answers(str(Path(folder) / name))


def _x11_answers(display: str) -> bool:
    host, colon, number = display.rpartition(":")
    number = number.split(".")[0]
    if not colon or not number.isdigit():
        return False
    if host in ("", "unix"):
        path = f"/tmp/.X11-unix/X{number}"
        return _answers(path) or _answers("\0" + path)
    try:
        socket.create_connection((host, 6000 + int(number)), timeout=2).close()
    except OSError:
        return False
    return True


def _console_screen(
    devices: Path = Path("/dev/dri"), states: Path = Path("/sys/class/drm")
) -> bool:
    """True if a screen is plugged in and this user may drive it without a desktop."""
    cards = [card for card in devices.glob("card*") if os.access(card, os.R_OK | os.W_OK)]
    plugged = [state for state in states.glob("card*-*/status") if _is_connected(state)]
    return bool(cards and plugged)


def _is_connected(state: Path) -> bool:
    return state.read_text(encoding="ascii", errors="replace").strip() == "connected"


def monitors_plugged(states: Path = Path("/sys/class/drm")) -> tuple[str, ...]:
    """Names of the connectors with a monitor on them, sorted; empty where the system does not tell."""
    try:
        found = [
            state.parent.name for state in states.glob("card*-*/status") if _is_connected(state)
        ]
    except OSError:
        # A connector may go while it is being read.
        return ()
    return tuple(sorted(name.partition("-")[2] for name in found))
