"""A foot switch wired to a GPIO line of this machine: pressed and let go like a key."""

from __future__ import annotations

import os
import shutil
import tempfile
import threading
import warnings
from collections.abc import Callable
from contextlib import chdir
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from assistant.errors import DeviceError
from assistant.talking import LINE

BOUNCE = 0.03
"""Seconds for which the line must have been steady before it counts; common practice, no source."""
DEVICES = Path("/dev")
INSTALL = "install it with: pip install '.[line]'"
OTHERWISE = "press a key or talk by another way"


class TalkLine:
    """Watches one line until closed; the switch is closed to ground, the pull-up is the board's own.

    Contacts bounce, and a motor that starts is seen on a long wire as a spike: both are shorter than
    BOUNCE and are passed over.
    """

    def __init__(
        self, line: str, press: Callable[[str], None], release: Callable[[str], None]
    ) -> None:
        """line : its BCM number, '17', or another name that gpiozero knows: 'BOARD11', 'J8:11'

        press, release : called with LINE, on a thread of the line's own

        Raises DeviceError where the package, the GPIO or the line is missing or not to be had. A
        switch that is closed already counts from the next press on.
        """
        self._press, self._release = press, release
        self._folder = tempfile.mkdtemp(prefix="swarfside-line-")
        try:
            self._button = _button(line, self._folder)
        except DeviceError:
            shutil.rmtree(self._folder, ignore_errors=True)
            raise
        self._edge = threading.Event()
        self._closed = False
        self._down: bool = self._button.is_pressed
        self._button.when_pressed = self._button.when_released = self._edge.set
        self._thread = threading.Thread(target=self._watch, name="talk line", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """Give the line back; a switch held at that moment is let go."""
        self._closed = True
        self._edge.set()
        self._thread.join()
        self._button.close()
        shutil.rmtree(self._folder, ignore_errors=True)
        if self._down:
            self._release(LINE)

    def _watch(self) -> None:
        # gpiozero's own bounce time means another thing with each of its backends, with some of them
        # a lost release, and nothing at all with simulated pins.
        while True:
            self._edge.wait()
            while self._edge.is_set() and not self._closed:
                self._edge.clear()
                self._edge.wait(BOUNCE)
            if self._closed:
                return
            pressed: bool = self._button.is_pressed
            if pressed != self._down:
                self._down = pressed
                (self._press if pressed else self._release)(LINE)


def _button(line: str, folder: str) -> Any:
    """gpiozero's Button on `line`, its backend's own files in `folder`."""
    try:
        from gpiozero import BadPinFactory, Button, PinInvalidPin, PinUnknownPi
    except ImportError as fault:
        problem = "the package gpiozero for the GPIO line is not installed"
        raise DeviceError("GPIO line", problem, INSTALL) from fault
    try:
        # Each backend that it tries in vain is a warning. And lgpio makes a pipe in the working
        # folder when it is loaded, and fails where that folder is not to be written to.
        with warnings.catch_warnings(), chdir(folder):
            warnings.simplefilter("ignore")
            return Button(line, pull_up=True, bounce_time=None)
    except (BadPinFactory, PinUnknownPi) as fault:
        raise _no_gpio() from fault
    except PinInvalidPin as fault:
        remedy = "give its number, such as 17, or its place, such as BOARD11"
        raise DeviceError("GPIO line", f"there is no GPIO line {line}", remedy) from fault
    except Exception as fault:
        # Each backend has errors of its own for a line that it does not get.
        raise DeviceError(
            "GPIO line",
            f"the GPIO line {line} is in use or not permitted ({fault})",
            "close the program that holds it or choose another line, then start again",
        ) from fault


def _no_gpio() -> DeviceError:
    """Why gpiozero found no pins."""
    chips = list(DEVICES.glob("gpiochip*"))
    if not chips:
        return DeviceError("GPIO line", "this machine has no GPIO", OTHERWISE)
    if find_spec("lgpio") is None:
        problem = "the package lgpio for the GPIO line is not installed"
        return DeviceError("GPIO line", problem, INSTALL)
    if not all(os.access(chip, os.R_OK | os.W_OK) for chip in chips):
        problem = f"the GPIO may not be used by this user ({chips[0]})"
        remedy = "add the user to the group that owns it, mostly gpio, and log in again"
        return DeviceError("GPIO line", problem, remedy)
    return DeviceError("GPIO line", "gpiozero does not know the GPIO of this machine", OTHERWISE)
