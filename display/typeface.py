"""The typeface of the screen, DejaVu Sans, and its measure."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Final

import kivy
from kivy.core.text import Label as CoreLabel
from kivy.core.text import LabelBase

NAME: Final = "Swarfside"
SCRIPT: Final = "Latn"
"""Script of Kivy's label widget; its core label has another, which spaces letters differently."""


def register() -> None:
    """Make the typeface known to Kivy: regular from its wheel, bold from here."""
    regular = Path(kivy.kivy_data_dir) / "fonts" / "DejaVuSans.ttf"
    bold = files("display").joinpath("fonts", "DejaVuSans-Bold.ttf")
    LabelBase.register(NAME, str(regular), fn_bold=str(bold))


register()


@lru_cache(maxsize=256)
def _label(size: float, bold: bool) -> CoreLabel:
    """A label to measure with."""
    label = CoreLabel(font_size=size, font_name=NAME, bold=bold, font_script_name=SCRIPT)
    label._size = (1, 1)
    label._render_begin()
    return label


@lru_cache(maxsize=32768)
def measure(text: str, size: float, bold: bool) -> float:
    """Width of `text` on one line, px."""
    if not text:
        return 0.0
    label = _label(size, bold)
    # A face spaces letters differently once something was drawn with it, and Kivy opens faces anew
    # as it likes: draw first, then measure.
    label._render_text("i", 0, 0)
    return float(label.get_extents(text)[0])
