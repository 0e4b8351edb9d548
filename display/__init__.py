"""The screen, read from across the shop, and the terminal as another; knows answers and nothing behind them.

The environment for Kivy is set here, before anything imports it: no command line of its own, no
files in the home folder, no log of its own.
"""

import os

os.environ.update(
    KIVY_NO_ARGS="1",
    KIVY_NO_CONFIG="1",
    KIVY_NO_FILELOG="1",
    KIVY_NO_CONSOLELOG="1",
    KIVY_LOG_MODE="PYTHON",
    KIVY_WINDOW="sdl2",
)

from display.window import available

__all__ = ["available"]
