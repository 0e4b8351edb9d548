"""What comes back: Answer, Ask and Refusal, their values and cautions; no formatting here.

`Shown` is an Answer after wording: the very lines for a screen, already rounded.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from assistant.core.levers import Move, Setting


@dataclass(frozen=True)
class Value:
    """One figure of an answer."""

    number: Fraction | float | tuple[float, ...]
    """Fraction where exact, float where approximate; a tuple for a list such as pass depths."""
    unit: str
    """'mm', 'degree', 'rpm', 'm/min', 'N', 'kW', 'N*m', 's', 'um', 'mm/turn', 'ppm', '%', '1/inch' or ''."""

    @property
    def exact(self) -> bool:
        """True for a rational figure."""
        return isinstance(self.number, Fraction)


@dataclass(frozen=True)
class Engage:
    """When the half-nut may be closed again."""

    keep_closed: bool
    """True where no mark serves: keep the half-nut closed and reverse the spindle."""
    marks: tuple[str, ...] = ()
    """Names of the marks that serve, in order; 'plain after 1' for a line without a label."""
    every: int | None = None
    """Every so many teeth of the dial gear is safe."""
    dial_teeth: int | None = None
    pick_off_gear: str | None = None
    all_marks: tuple[tuple[str, Fraction, bool], ...] = ()
    """The whole face for a picture: label ('' for plain), position in turns, safe or not."""


@dataclass(frozen=True)
class Phrase:
    """A sentence of the catalogue with the figures that belong in it."""

    key: str
    """Key in the catalogue."""
    values: Mapping[str, Value | str] = field(default_factory=dict)


@dataclass(frozen=True)
class Ladder:
    """The passes of a thread or the cuts to a size, for a picture."""

    readings: tuple[str, ...]
    """What the dial reads at each, in order: '15', '1 turn 15'."""
    depths: tuple[float, ...]
    """Depth of each from where the tool touched, on the radius, mm."""
    present: int
    """Place in `readings` of the one to take now; their number when all are taken."""
    slide: str = "compound"
    """Whose dial: 'compound', 'cross slide', 'carriage' or 'tailstock'."""


@dataclass(frozen=True)
class Place:
    """Where in a sequence an answer stands."""

    sequence: str
    """What is being done: 'half inch 13', 'mount work in the three-jaw chuck'."""
    number: int
    """The present step, from 1."""
    of: int
    """How many steps there are, as far as is known now."""
    following: Phrase | None = None
    """The next step in a few words; None at the last."""


@dataclass(frozen=True)
class Answer:
    """A question answered."""

    kind: str
    """Catalogue entry that presents it: 'speed', 'thread', …"""
    values: Mapping[str, Value] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
    """Names for the wording: material, tool, designation, lathe."""
    settings: Mapping[str, Setting] = field(default_factory=dict)
    """'spindle', 'feed' -> the setting to take."""
    moves: tuple[Move, ...] = ()
    engage: Engage | None = None
    lever_words: Mapping[tuple[str, str], str] = field(default_factory=dict)
    """(lever, position) -> how it is said; position '' for the lever's own name."""
    gears: tuple[tuple[tuple[int, ...], tuple[int, ...]], ...] = ()
    """Change gear trains, best first: (drivers, driven)."""
    ladder: Ladder | None = None
    place: Place | None = None
    cautions: tuple[Phrase, ...] = ()
    assumed: tuple[Phrase, ...] = ()
    working: tuple[Phrase, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Ask:
    """A question back, because two readings are close or something is missing."""

    question: Phrase
    kind: str = "ask"


@dataclass(frozen=True)
class Refusal:
    """Understood, but there is no answer: which limit was passed and what to say next."""

    reason: str
    """One sentence for the screen; names the limit and the nearest that exists."""
    say_next: str
    """At most eight words."""
    spoken: str = ""
    """What was wrong, in a few words for the ear; empty for a plain 'I can not answer that'."""
    kind: str = "refused"


@dataclass(frozen=True)
class Line:
    """A row on a screen."""

    label: str
    text: str


@dataclass(frozen=True)
class ShownPlace:
    """Where in a sequence an answer stands, in words."""

    sequence: str
    count: str
    """'step 3 of 9'."""
    following: str = ""
    """The next step in a few words."""


@dataclass(frozen=True)
class Shown:
    """An outcome in words, rounded, ready for a screen and a voice."""

    status: str
    """'answered', 'ask', 'refused', 'not-understood' or 'alarm' (fills the screen)."""
    heard: str
    headline: str
    rows: tuple[Line, ...] = ()
    cautions: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    working: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    spoken: str = ""
    lathe: str = ""
    units: str = "mm"
    place: ShownPlace | None = None
    """Where in a sequence this stands; the following step is shown dimmed."""
