"""What a page of the screen is made of: words and shapes, each with its place in pixels."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import Final

from display.legibility import Legibility
from display.typesetting import Block, Measure

ROWS: Final = 12
"""Most rows on one page."""
LEVERS: Final = 8
"""Most levers on one page."""
MARKS: Final = 32
"""Most marks on a picture of the thread dial."""


@dataclass(frozen=True)
class Rect:
    """A box in px; y grows downwards from the top edge of the screen."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Lower edge."""
        return self.y + self.height

    @property
    def middle(self) -> tuple[float, float]:
        """Centre point."""
        return self.x + self.width / 2, self.y + self.height / 2

    def contains(self, other: Rect, slack: float = 0.5) -> bool:
        """True if `other` lies inside, give or take `slack` px."""
        return (
            other.x >= self.x - slack
            and other.y >= self.y - slack
            and other.right <= self.right + slack
            and other.bottom <= self.bottom + slack
        )

    def overlaps(self, other: Rect, slack: float = 0.5) -> bool:
        """True if the boxes share more than `slack` px in both directions."""
        return (
            min(self.right, other.right) - max(self.x, other.x) > slack
            and min(self.bottom, other.bottom) - max(self.y, other.y) > slack
        )


@dataclass(frozen=True)
class Words:
    """One piece of text."""

    role: str
    """What it is: 'headline', 'label', 'value', 'note', 'caution', 'heard', 'ear', 'place', 'page',
    'kicker', 'sign', 'sequence', 'following', 'lever', 'start', 'to', 'when', 'step', 'mark' or
    'figure', a word of any other picture."""
    text: str
    rect: Rect
    """Exactly the box of its lines."""
    size: float
    """Font size, px."""
    bold: bool = False
    colour: str = "ink"
    """Name of a colour of the scheme."""
    behind: str = "ground"
    """Name of the colour on which it stands."""
    align: str = "left"


@dataclass(frozen=True)
class Shape:
    """A plain figure."""

    kind: str
    """'box' and 'pill' (x, y, width, height), 'disc' and 'ring' (x, y, radius), 'line' (x, y, …),
    'fan' (x, y, …: a filled outline seen whole from its first point), 'arc' (x, y, radius, from, to:
    degrees clockwise from the top)."""
    numbers: tuple[float, ...]
    colour: str
    thickness: float = 0.0
    """Of a ring, line or arc, px."""


@dataclass(frozen=True)
class Page:
    """Everything on the screen at one time."""

    words: tuple[Words, ...] = ()
    shapes: tuple[Shape, ...] = ()
    alarm: bool = False
    """True where the whole page is in the colours of an alarm."""
    calm: bool = False
    """True where nothing on the page shall draw the eye."""


@dataclass(frozen=True)
class Sheet:
    """The screen that a page is set for."""

    width: int
    height: int
    """px."""
    legibility: Legibility
    measure: Measure

    @property
    def font(self) -> float:
        """Smallest font size, whole px."""
        return float(math.ceil(self.legibility.font_size))

    @property
    def margin(self) -> float:
        """Clear edge all round, px."""
        return max(0.035 * min(self.width, self.height), 0.35 * self.font)

    @property
    def inner(self) -> float:
        """Width between the margins, px."""
        return self.width - 2 * self.margin

    @property
    def portrait(self) -> bool:
        """True where the screen stands on its short side."""
        return self.height > self.width


@dataclass
class Draft:
    """Words and shapes being collected for a page."""

    words: list[Words] = field(default_factory=list)
    shapes: list[Shape] = field(default_factory=list)

    def put(self, role: str, block: Block, x: float, y: float, **look: str) -> Rect:
        """Place `block` with its upper left corner at (x, y)."""
        rect = Rect(x, y, block.width, block.height)
        self.words.append(Words(role, block.text, rect, block.size, block.bold, **look))
        return rect

    def centre(self, role: str, block: Block, x: float, y: float, **look: str) -> Rect:
        """Place `block` with its middle at (x, y)."""
        return self.put(
            role, block, x - block.width / 2, y - block.height / 2, align="center", **look
        )

    def add(self, other: Draft, x: float = 0.0, y: float = 0.0) -> None:
        """Take over `other`, moved by (x, y)."""
        for words in other.words:
            rect = words.rect
            moved = Rect(rect.x + x, rect.y + y, rect.width, rect.height)
            self.words.append(replace(words, rect=moved))
        self.shapes += [shifted(shape, x, y) for shape in other.shapes]


def shifted(shape: Shape, x: float, y: float) -> Shape:
    """`shape` moved by (x, y).

    >>> shifted(Shape("disc", (1.0, 2.0, 9.0), "ink"), 10, 20).numbers
    (11.0, 22.0, 9.0)
    """
    numbers = shape.numbers
    if shape.kind in ("line", "fan"):
        moved = tuple(n + (y if at % 2 else x) for at, n in enumerate(numbers))
    else:
        moved = (numbers[0] + x, numbers[1] + y, *numbers[2:])
    return replace(shape, numbers=moved)
