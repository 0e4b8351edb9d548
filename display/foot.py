"""The foot of every page: what was heard, what the ear is doing, which lathe and units, which page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from display.page import Draft, Rect, Shape, Sheet
from display.signs import EAR_COLOURS, ear_sign
from display.typesetting import Block, balanced, line_height, wrapped
from display.view import EAR_STATES
from display.words import word

PLATE: Final = 1.3
"""Height of a line with the plate of the ear, over the line height of its words."""
LEAD: Final = 0.12
"""Between two such lines, over their height."""
SPACE: Final = 0.8
"""Between neighbours, in font sizes."""


@dataclass(frozen=True)
class Told:
    """What the foot has to tell."""

    ear: str
    heard: str
    place: str
    page: str


@dataclass(frozen=True)
class Foot:
    """The foot, drawn from (0, 0) in the width between the margins."""

    draft: Draft
    height: float
    left_out: str
    """What had to be cut short or left out, whole; it needs a page of its own."""


@dataclass(frozen=True)
class _Piece:
    role: str
    block: Block
    width: float


def quoted(heard: str) -> str:
    """What was heard, between quotation marks; nothing stays nothing.

    >>> quoted("feed five")
    '“feed five”'
    """
    return f"“{heard}”" if heard else ""


def set_foot(sheet: Sheet, told: Told, heard_lines: int, with_place: bool) -> Foot:
    """The foot: one line where that holds all, else at most `heard_lines` lines heard above the rest.

    With no lines for what was heard, or without the place, these are left out.
    """
    place = told.place if with_place else ""
    status = _status(sheet, told, place)
    words = quoted(told.heard)
    one_line = _one_line(sheet, status, words, told)
    if one_line is not None and with_place:
        return one_line
    draft = Draft()
    y, whole = 0.0, not words
    if words and heard_lines:
        aside = _aside(status, sheet)
        block, whole = _heard(sheet, words, heard_lines, aside)
        draft.put("heard", block, 0.0, 0.0, colour="quiet")
        if aside is not None:
            draft.put("page", aside.block, sheet.inner - aside.width, 0.0)
            status.remove(aside)
        y = block.height + 0.25 * line_height(sheet.font)
    for line in _stacked(status, sheet.inner, sheet.font):
        _draw_line(draft, line, y, sheet, told.ear)
        y += _line(sheet) * (1 + LEAD)
    left_out = [] if whole else [words]
    if told.place and not with_place:
        left_out.append(told.place)
    return Foot(draft, y - _line(sheet) * LEAD, "\n".join(left_out))


def _line(sheet: Sheet) -> float:
    return PLATE * line_height(sheet.font)


def _status(sheet: Sheet, told: Told, place: str) -> list[_Piece]:
    """The ear, the page and the place as pieces, the ear first."""
    font = sheet.font
    pieces = []
    for role, text in (("ear", word("ear", told.ear)), ("page", told.page), ("place", place)):
        if text:
            bold = role != "place"
            block = Block((text,), font, bold, sheet.measure(text, font, bold))
            width = _ear_width(sheet, told.ear) if role == "ear" else block.width
            pieces.append(_Piece(role, block, width))
    return pieces


def _ear_width(sheet: Sheet, ear: str) -> float:
    """Width of the plate: the same for all usual states, so that nothing jumps when they change."""
    states = EAR_STATES[:-1] if ear in EAR_STATES[:-1] else (ear,)
    widths = [sheet.measure(word("ear", state), sheet.font, True) for state in states]
    return max(widths) + 2.3 * sheet.font


def _total(pieces: list[_Piece], font: float) -> float:
    return sum(piece.width for piece in pieces) + SPACE * font * max(0, len(pieces) - 1)


def _one_line(sheet: Sheet, status: list[_Piece], words: str, told: Told) -> Foot | None:
    """Ear, what was heard, page and place on one line, or None where that is too wide."""
    font = sheet.font
    heard = sheet.measure(words, font, False) + SPACE * font if words else 0.0
    if _total(status, font) + heard > sheet.inner:
        return None
    draft = Draft()
    _draw_line(draft, status, 0.0, sheet, told.ear)
    if words:
        block = Block((words,), font, False, heard - SPACE * font)
        x = status[0].width + SPACE * font
        draft.put("heard", block, x, (_line(sheet) - block.height) / 2, colour="quiet")
    return Foot(draft, _line(sheet), "")


def _aside(status: list[_Piece], sheet: Sheet) -> _Piece | None:
    """The page number, if it has to go beside what was heard so that the rest fits on one line."""
    rest = [piece for piece in status if piece.role != "page"]
    page = next((piece for piece in status if piece.role == "page"), None)
    crowded = _total(status, sheet.font) > sheet.inner >= _total(rest, sheet.font)
    return page if crowded else None


def _heard(sheet: Sheet, words: str, most: int, aside: _Piece | None) -> tuple[Block, bool]:
    """What was heard in at most `most` lines; False where it had to be cut at a word."""
    font = sheet.font
    width = sheet.inner - (aside.width + SPACE * font if aside is not None else 0.0)
    block = balanced(words, font, False, width, sheet.measure)
    if len(block.lines) <= most:
        return block, True
    kept = words.rstrip("”").split(" ")
    while len(kept) > 1 and len(block.lines) > most:
        kept.pop()
        block = wrapped(" ".join(kept) + " …", font, False, width, sheet.measure)
    return block, False


def _stacked(pieces: list[_Piece], width: float, font: float) -> list[list[_Piece]]:
    """`pieces` on as few lines as they need; the ear is always on the last, at the same place."""
    ear, others = pieces[0], pieces[1:]
    above: list[_Piece] = []
    while others and _total([ear, *others], font) > width:
        above.append(others.pop(0))
    lines = [above] if _total(above, font) <= width else [[piece] for piece in above]
    return [*(line for line in lines if line), [ear, *others]]


def _draw_line(draft: Draft, line: list[_Piece], y: float, sheet: Sheet, ear: str) -> None:
    """The ear at the left edge, everything else from the right edge inwards."""
    right = sheet.inner
    for piece in reversed(line):
        if piece.role == "ear":
            _draw_ear(draft, piece, Rect(0.0, y, piece.width, _line(sheet)), sheet.font, ear)
            continue
        right -= piece.width
        top = y + (_line(sheet) - piece.block.height) / 2
        colour = "ink" if piece.role == "page" else "quiet"
        draft.put(piece.role, piece.block, right, top, colour=colour)
        right -= SPACE * sheet.font


def _draw_ear(draft: Draft, piece: _Piece, plate: Rect, font: float, ear: str) -> None:
    behind, on = EAR_COLOURS[ear]
    draft.shapes.append(Shape("pill", (plate.x, plate.y, plate.width, plate.height), behind))
    x, y = plate.x + 1.05 * font, plate.y + plate.height / 2
    draft.shapes += ear_sign(ear, x, y, 0.8 * font)
    left = plate.x + 1.7 * font
    draft.put("ear", piece.block, left, y - piece.block.height / 2, colour=on, behind=behind)
