"""Picture of the levers: which to move, in which order, from where to where, and when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from assistant.answer import Answer
from assistant.core.levers import WhenToShift
from display.page import LEVERS, Draft, Rect, Shape
from display.table import Row
from display.typesetting import Block, Measure, line_height
from display.words import word

PITCH: Final = 1.45
"""Height of a lever's line over the line height of its words."""
PAD: Final = 0.45
"""Space left and right of a position on its plate, in font sizes."""
TALL: Final = 1.3
"""Height of a plate over the line height of its words."""
NUMBER: Final = 1.75
"""Width of the column of numbers, in font sizes."""
SIGN: Final = 1.35
"""Width of the sign before the words that say when, in font sizes."""
GAP: Final = 0.7
"""Between columns, in font sizes."""
ARROW: Final = 1.7
"""Width of the arrow between two positions, in font sizes."""
WHEN_WORDS: Final = {when: word("when", when.value) for when in WhenToShift}
"""When a lever may be moved, over the levers that it holds for."""
SHORT_WHEN: Final = {when: word("short_when", when.value) for when in WhenToShift}
"""The same before each lever; the square before it says that the spindle is stopped."""


@dataclass(frozen=True)
class Step:
    """One lever on the picture."""

    number: int | None
    """Its turn in the order of moves; None where only the position is told."""
    lever: str
    start: str | None
    to: str
    when: WhenToShift | None


def steps(answer: Answer) -> tuple[Step, ...]:
    """The levers of `answer`: the moves in their order, or where there are none, the settings.

    >>> from assistant.core.levers import Move
    >>> steps(Answer("speed", moves=(Move("Range", "low", WhenToShift.STOPPED),)))[0].number
    1
    """
    if answer.moves:
        return tuple(
            Step(number, move.lever, move.start, move.to, move.when)
            for number, move in enumerate(answer.moves, start=1)
        )
    return tuple(
        Step(None, lever, None, position, None)
        for setting in answer.settings.values()
        for lever, position in setting.levers.items()
    )


def as_row(step: Step) -> Row:
    """The same in words, for a screen that is too narrow for the picture.

    >>> as_row(Step(1, "Range", "high", "low", WhenToShift.STOPPED)).text
    'high → low (spindle stopped)'
    """
    start = f"{step.start} → " if step.start is not None else ""
    when = f" ({WHEN_WORDS[step.when]})" if step.when is not None else ""
    return Row(step.lever, f"{start}{step.to}{when}")


@dataclass(frozen=True)
class Arrangement:
    """Levers one below another: `when` before each lever, or as a heading over those it holds for."""

    steps: tuple[Step, ...]
    font: float
    inline: bool
    when: float
    """Left edge of the column that says when, px; and of the headings."""
    name: float
    """Left edge of the names."""
    start: float
    to: float
    width: float

    @property
    def lines(self) -> int:
        """Lines that it takes, headings included."""
        return lines(self.steps, self.inline)

    @property
    def height(self) -> float:
        """Height of all lines, px."""
        return self.lines * line_pitch(self.font)


def arranged(
    found: Sequence[Step], width: float, font: float, measure: Measure
) -> Arrangement | None:
    """`found` in `width` px, on as few lines as can be; None where it is too wide either way."""
    for inline in (True, False):
        arrangement = _arrangement(tuple(found), inline, font, measure)
        if arrangement.width <= width:
            return arrangement
    return None


def _arrangement(
    found: tuple[Step, ...], inline: bool, font: float, measure: Measure
) -> Arrangement:
    when = NUMBER * font if any(step.number is not None for step in found) else 0.0
    words = SHORT_WHEN if inline else WHEN_WORDS
    told = [measure(words[step.when], font, False) for step in found if step.when is not None]
    said = SIGN * font + max(told) if told else 0.0
    name = when + (said + GAP * font if inline and told else 0.0)
    if told and not inline:
        name = max(name, NUMBER * font)
    start = name + max(measure(step.lever, font, False) for step in found) + GAP * font
    starts = [measure(step.start, font, False) for step in found if step.start is not None]
    to = start + (_plate_width(max(starts), font) + ARROW * font if starts else 0.0)
    right = to + _plate_width(max(measure(step.to, font, True) for step in found), font)
    width = right if inline else max(right, name + said)
    return Arrangement(found, font, inline, when, name, start, to, width)


def line_pitch(font: float) -> float:
    """Height of one line of the picture, px."""
    return PITCH * line_height(font)


def lines(found: Sequence[Step], inline: bool) -> int:
    """Lines that the picture of `found` takes, headings included."""
    if inline:
        return len(found)
    headings = 0
    when: WhenToShift | None = None
    for step in found:
        headings += step.when is not None and step.when is not when
        when = step.when
    return len(found) + headings


def pages(found: Sequence[Step], most: int, inline: bool) -> list[tuple[Step, ...]]:
    """`found` in groups of at most `most` lines.

    >>> pages((Step(None, "A", None, "1", None),) * 5, 3, True)[1][0].lever
    'A'
    """
    groups: list[tuple[Step, ...]] = []
    group: tuple[Step, ...] = ()
    for step in found:
        if group and (lines((*group, step), inline) > most or len(group) == LEVERS):
            groups.append(group)
            group = ()
        group = (*group, step)
    return [*groups, group] if group else groups


def picture(arrangement: Arrangement, measure: Measure) -> Draft:
    """The levers with the upper left corner at (0, 0)."""
    draft = Draft()
    pitch = line_pitch(arrangement.font)
    y = pitch / 2
    when: WhenToShift | None = None
    for step in arrangement.steps:
        new = step.when is not None and (arrangement.inline or step.when is not when)
        if new and step.when is not None:
            words = SHORT_WHEN if arrangement.inline else WHEN_WORDS
            _draw_when(draft, step.when, words[step.when], arrangement, y, measure)
            y += 0 if arrangement.inline else pitch
        when = step.when
        _draw_step(draft, step, arrangement, y, measure)
        y += pitch
    return draft


def _words(text: str, font: float, bold: bool, measure: Measure) -> Block:
    return Block((text,), font, bold, measure(text, font, bold))


def _draw_when(
    draft: Draft, when: WhenToShift, text: str, place: Arrangement, y: float, measure: Measure
) -> None:
    """A square where the spindle stands, an arrowhead where it turns, a ring where both will do."""
    font = place.font
    half = 0.4 * font
    left = place.when if place.inline else 0.12 * font
    x = left + half + 0.1 * font
    if when in (WhenToShift.STOPPED, WhenToShift.BY_HAND):
        draft.shapes.append(Shape("box", (x - half, y - half, 2 * half, 2 * half), "ink"))
    elif when is WhenToShift.SLOW:
        arrow = (x - half, y - half, x + half, y, x - half, y + half)
        draft.shapes.append(Shape("fan", arrow, "ink"))
    else:
        draft.shapes.append(Shape("ring", (x, y, 0.8 * half), "ink", max(3.0, 0.12 * font)))
    words = _words(text, font, False, measure)
    right = left + SIGN * font if place.inline else place.name
    draft.put("when", words, right, y - words.height / 2)


def _draw_step(draft: Draft, step: Step, place: Arrangement, y: float, measure: Measure) -> None:
    font = place.font
    if step.number is not None:
        edge = max(2.0, 0.06 * font)
        draft.shapes.append(Shape("ring", (0.62 * font, y, 0.6 * font), "quiet", edge))
        draft.centre("step", _words(str(step.number), font, True, measure), 0.62 * font, y)
    name = _words(step.lever, font, False, measure)
    draft.put("lever", name, place.name, y - name.height / 2, colour="quiet")
    if step.start is not None:
        start = _words(step.start, font, False, measure)
        plate = _plate(start, place.start, y, font)
        draft.shapes += [
            Shape("pill", (plate.x, plate.y, plate.width, plate.height), "quiet"),
            Shape("pill", _inside(plate, max(2.0, 0.06 * font)), "ground"),
            *_arrow(place.to - 1.35 * font, place.to - 0.35 * font, y, font),
        ]
        draft.centre("start", start, *plate.middle, colour="quiet")
    to = _words(step.to, font, True, measure)
    plate = _plate(to, place.to, y, font)
    draft.shapes.append(Shape("pill", (plate.x, plate.y, plate.width, plate.height), "accent"))
    draft.centre("to", to, *plate.middle, colour="on_accent", behind="accent")


def _plate_width(words: float, font: float) -> float:
    return max(words + 2 * PAD * font, TALL * line_height(font))


def _plate(word: Block, x: float, y: float, font: float) -> Rect:
    tall = TALL * line_height(font)
    return Rect(x, y - tall / 2, _plate_width(word.width, font), tall)


def _inside(plate: Rect, edge: float) -> tuple[float, ...]:
    return plate.x + edge, plate.y + edge, plate.width - 2 * edge, plate.height - 2 * edge


def _arrow(left: float, right: float, y: float, font: float) -> list[Shape]:
    half = 0.26 * font
    neck = right - 0.45 * font
    head = (neck, y - half, right, y, neck, y + half)
    shaft = (left, y - 0.06 * font, neck - left, 0.12 * font)
    return [Shape("box", shaft, "ink"), Shape("fan", head, "ink")]
