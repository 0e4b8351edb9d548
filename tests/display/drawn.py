"""Pages as Kivy really draws them, in memory: the slots that hold words, and the pixels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from display.contact_sheet import Stand
from display.page import Page, Rect
from display.render import lay_out
from display.sheet import Words, box_of


@dataclass(frozen=True)
class Slot:
    """Words on the screen."""

    role: str
    text: str
    size: float
    bold: bool
    colour: str
    behind: str
    box: Rect
    paper: str
    """The colour of most pixels in the box."""
    ink: str
    """The colour of the pixel that differs most from that."""


@dataclass(frozen=True)
class Drawn:
    """A page on the screen."""

    slots: tuple[Slot, ...]
    edge: frozenset[str]
    """All colours of the outermost pixels."""


def drawn(page: Page, stand: Stand, scheme: str = "dark") -> Drawn:
    """`page` drawn on `stand`: what the widget tree holds and what the pixels are."""
    sheet = lay_out(page, stand.size, scheme)
    texture = sheet.export_as_image().texture
    width, height = texture.size
    data = np.frombuffer(texture.pixels, np.uint8).reshape(height, width, 4).astype(np.uint32)
    pixels = (data[:, :, 0] << 16 | data[:, :, 1] << 8 | data[:, :, 2]).astype(np.uint32)
    widgets = [each for each in sheet.walk() if isinstance(each, Words) and each.text]
    slots = tuple(_slot(widget, sheet.height, pixels) for widget in widgets)
    edges = np.concatenate([pixels[0], pixels[-1], pixels[:, 0], pixels[:, -1]])
    return Drawn(slots, frozenset(_hex(colour) for colour in np.unique(edges)))


def _slot(widget: Words, height: float, pixels: NDArray[np.uint32]) -> Slot:
    box = box_of(widget, height)
    rows = slice(max(0, round(box.y)), round(box.bottom))
    columns = slice(max(0, round(box.x)), round(box.right))
    colours, counts = np.unique(pixels[rows, columns], return_counts=True)
    paper = int(colours[counts.argmax()])
    away = sum(np.abs((colours >> at & 255).astype(int) - (paper >> at & 255)) for at in (16, 8, 0))
    return Slot(
        widget.role,
        widget.text,
        widget.font_size,
        widget.bold,
        "#" + "".join(f"{round(255 * part):02X}" for part in widget.color[:3]),
        widget.behind,
        box,
        _hex(paper),
        _hex(int(colours[int(np.argmax(away))])),
    )


def _hex(colour: int) -> str:
    return f"#{int(colour):06X}"
