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

PITCH: Final = 1.6
"""Height of a lever's line over the line height of its words."""
PAD: Final = 0.45
"""Space left and right of a position on its plate, in font sizes."""
TALL: Final = 1.32
"""Height of a plate over the line height of its words."""
WHEN_WORDS: Final = {
    WhenToShift.STOPPED: "spindle stopped",
    WhenToShift.BY_HAND: "stopped, chuck by hand",
    WhenToShift.SLOW: "running slowly",
    WhenToShift.ANY: "stopped or running",
}


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


def pages(found: Sequence[Step], most: int) -> list[tuple[Step, ...]]:
    """`found` in groups of at most `most` lines; a change of `when` takes a line of its own.

    >>> pages((Step(None, "A", None, "1", None),) * 5, 3)[1][0].lever
    'A'
    """
    groups: list[tuple[Step, ...]] = []
    group: tuple[Step, ...] = ()
    for step in found:
        if group and (lines((*group, step)) > most or len(group) == LEVERS):
            groups.append(group)
            group = ()
        group = (*group, step)
    return [*groups, group] if group else groups


def lines(found: Sequence[Step]) -> int:
    """Lines that the picture of `found` takes, headings included."""
    headings = 0
    when: WhenToShift | None = None
    for step in found:
        headings += step.when is not None and step.when is not when
        when = step.when
    return len(found) + headings


def line_pitch(font: float) -> float:
    """Height of one line of the picture, px."""
    return PITCH * line_height(font)


def height(found: Sequence[Step], font: float) -> float:
    """Height of the picture, px."""
    return lines(found) * line_pitch(font)


@dataclass(frozen=True)
class _Columns:
    """Left edges, px."""

    name: float
    start: float
    to: float
    right: float


def _columns(found: Sequence[Step], font: float, measure: Measure) -> _Columns:
    numbered = any(step.number is not None for step in found)
    name = 1.75 * font if numbered else 0.0
    start = name + max(measure(step.lever, font, False) for step in found) + 0.6 * font
    starts = [measure(step.start, font, False) for step in found if step.start is not None]
    to = start + (_plate_width(max(starts), font) + 1.7 * font if starts else 0.0)
    last = max(measure(step.to, font, True) for step in found)
    return _Columns(name, start, to, to + _plate_width(last, font))


def width(found: Sequence[Step], font: float, measure: Measure) -> float:
    """Width that the picture takes, px."""
    headings = [
        measure(WHEN_WORDS[step.when], font, False) + 1.75 * font
        for step in found
        if step.when is not None
    ]
    return max([_columns(found, font, measure).right, *headings])


def picture(found: Sequence[Step], font: float, measure: Measure) -> Draft:
    """The levers one below another, with the upper left corner at (0, 0)."""
    draft = Draft()
    columns = _columns(found, font, measure)
    pitch = line_pitch(font)
    y = pitch / 2
    when: WhenToShift | None = None
    for step in found:
        if step.when is not None and step.when is not when:
            _heading(draft, step.when, y, font, measure)
            y += pitch
        when = step.when
        _draw_step(draft, step, columns, y, font, measure)
        y += pitch
    return draft


def _words(text: str, font: float, bold: bool, measure: Measure) -> Block:
    return Block((text,), font, bold, measure(text, font, bold))


def _heading(draft: Draft, when: WhenToShift, y: float, font: float, measure: Measure) -> None:
    half = 0.42 * font
    middle = 0.62 * font
    if when in (WhenToShift.STOPPED, WhenToShift.BY_HAND):
        draft.shapes.append(Shape("box", (middle - half, y - half, 2 * half, 2 * half), "ink"))
    else:
        arrow = (middle - half, y - half, middle + half, y, middle - half, y + half)
        draft.shapes.append(Shape("fan", arrow, "ink"))
    words = _words(WHEN_WORDS[when], font, False, measure)
    draft.put("when", words, 1.75 * font, y - words.height / 2)


def _draw_step(
    draft: Draft, step: Step, columns: _Columns, y: float, font: float, measure: Measure
) -> None:
    if step.number is not None:
        draft.shapes.append(
            Shape("ring", (0.62 * font, y, 0.6 * font), "quiet", max(2.0, 0.06 * font))
        )
        number = _words(str(step.number), font * 1.0, True, measure)
        draft.centre("step", number, 0.62 * font, y)
    name = _words(step.lever, font, False, measure)
    draft.put("lever", name, columns.name, y - name.height / 2, colour="quiet")
    if step.start is not None:
        start = _words(step.start, font, False, measure)
        plate = _plate(start, columns.start, y, font)
        draft.shapes += [
            Shape("pill", (plate.x, plate.y, plate.width, plate.height), "quiet"),
            Shape("pill", _inside(plate, max(2.0, 0.06 * font)), "ground"),
            *_arrow(columns.to - 1.35 * font, columns.to - 0.35 * font, y, font),
        ]
        draft.centre("start", start, *plate.middle, colour="quiet")
    to = _words(step.to, font, True, measure)
    plate = _plate(to, columns.to, y, font)
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
