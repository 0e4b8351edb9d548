"""The Kivy side of a page: puts its words into their slots and draws its shapes."""

from __future__ import annotations

from collections import defaultdict
from importlib.resources import files
from itertools import zip_longest
from typing import Any, Final

from kivy.graphics import (
    Color,
    Mesh,
    Rectangle,
    SmoothEllipse,
    SmoothLine,
    SmoothRoundedRectangle,
)
from kivy.lang import Builder
from kivy.properties import ColorProperty, ObjectProperty, StringProperty
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.label import Label
from kivy.uix.widget import Widget

from display import page as parts
from display.page import Page, Rect, Shape
from display.theme import DARK, Scheme, channels

GROUPS: Final = {
    "label": "rows",
    "value": "rows",
    "note": "rows",
    "lever": "levers",
    "start": "levers",
    "to": "levers",
    "when": "levers",
    "step": "levers",
    "mark": "marks",
    "figure": "labels",
}
"""Role -> group of slots; every other role has one slot of the same name."""


class Words(Label):  # type: ignore[misc]
    """A slot for one piece of text."""

    role = StringProperty("")
    behind = StringProperty("")


class SlotGroup(Widget):  # type: ignore[misc]
    """Slots that hold pieces of one kind."""


class Figures(Widget):  # type: ignore[misc]
    """The shapes of a page."""

    def draw(self, shapes: tuple[Shape, ...], scheme: Scheme, height: float) -> None:
        """Draw `shapes` anew; their y grows downwards from `height`."""
        self.canvas.clear()
        with self.canvas:
            for shape in shapes:
                Color(*channels(scheme.colour(shape.colour)))
                _DRAW[shape.kind](shape, height)


class Sheet(FloatLayout):  # type: ignore[misc]
    """The whole screen."""

    ground = ColorProperty(channels(DARK.ground))
    page = ObjectProperty(Page())
    scheme = ObjectProperty(DARK)

    def show(self, page: Page, scheme: Scheme) -> None:
        """Show `page` in the colours of `scheme`."""
        self.page = page
        self.scheme = scheme.in_alarm() if page.alarm else scheme.calm() if page.calm else scheme
        self.ground = channels(self.scheme.ground)
        self.ids.figures.draw(page.shapes, self.scheme, self.height)
        by_slot: dict[str, list[parts.Words]] = defaultdict(list)
        for words in page.words:
            by_slot[GROUPS.get(words.role, words.role)].append(words)
        for name, slot in self.ids.items():
            if name != "figures":
                self._fill(slot, by_slot.pop(name, []))
        if by_slot:
            raise ValueError(f"no slot for {', '.join(by_slot)}")

    def _fill(self, slot: Widget, pieces: list[parts.Words]) -> None:
        slots = [widget for widget in slot.walk(restrict=True) if isinstance(widget, Words)]
        if len(pieces) > len(slots):
            raise ValueError(f"{len(pieces)} pieces for {len(slots)} slots")
        for widget, words in zip_longest(slots, pieces):
            if words is None:
                widget.text = widget.role = ""
            else:
                self._put(widget, words)

    def _put(self, widget: Words, words: parts.Words) -> None:
        widget.role = words.role
        widget.behind = self.scheme.colour(words.behind)
        widget.font_size = words.size
        widget.bold = words.bold
        widget.halign = words.align
        widget.color = channels(self.scheme.colour(words.colour))
        widget.text = words.text
        widget.texture_update()
        x, y = words.rect.middle
        wide, tall = widget.texture_size
        left = words.rect.x if words.align == "left" else x - wide / 2
        widget.pos = round(left), round(self.height - y - tall / 2)


def box_of(widget: Words, height: float) -> Rect:
    """The place of a slot's words in the terms of a page: y downwards."""
    return Rect(widget.x, height - widget.top, widget.width, widget.height)


def _box(shape: Shape, height: float) -> None:
    x, y, wide, tall = shape.numbers
    Rectangle(pos=(round(x), round(height - y - tall)), size=(round(wide), round(tall)))


def _pill(shape: Shape, height: float) -> None:
    x, y, wide, tall = shape.numbers
    SmoothRoundedRectangle(pos=(x, height - y - tall), size=(wide, tall), radius=[tall / 2])


def _disc(shape: Shape, height: float) -> None:
    x, y, radius = shape.numbers
    SmoothEllipse(pos=(x - radius, height - y - radius), size=(2 * radius, 2 * radius))


def _ring(shape: Shape, height: float) -> None:
    x, y, radius = shape.numbers
    SmoothLine(circle=(x, height - y, radius, 0, 360, 120), width=shape.thickness / 2)


def _arc(shape: Shape, height: float) -> None:
    x, y, radius, start, end = shape.numbers
    SmoothLine(circle=(x, height - y, radius, start, end), width=shape.thickness / 2, cap="none")


def _upright(numbers: tuple[float, ...], height: float) -> list[float]:
    return [height - n if at % 2 else n for at, n in enumerate(numbers)]


def _line(shape: Shape, height: float) -> None:
    points = _upright(shape.numbers, height)
    SmoothLine(points=points, width=shape.thickness / 2, cap="square")


def _fan(shape: Shape, height: float) -> None:
    points = _upright(shape.numbers, height)
    corners = list(zip(points[::2], points[1::2], strict=True))
    vertices: list[float] = []
    for x, y in corners:
        vertices += [x, y, 0, 0]
    Mesh(vertices=vertices, indices=list(range(len(corners))), mode="triangle_fan")
    SmoothLine(points=points, width=1.0, close=True)


_DRAW: Final[dict[str, Any]] = {
    "box": _box,
    "pill": _pill,
    "disc": _disc,
    "ring": _ring,
    "arc": _arc,
    "line": _line,
    "fan": _fan,
}

Builder.load_string(files("display").joinpath("screen.kv").read_text(encoding="utf-8"))
