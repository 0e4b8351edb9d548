"""The foot of every page: what was heard, what the ear is doing, which lathe and units, which page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from display.page import Draft, Rect, Shape, Sheet
from display.signs import EAR_COLOURS, ear_sign
from display.typesetting import Block, balanced, line_height, wrapped
from display.view import EAR_STATES

PLATE: Final = 1.3
"""Height of the plate of the ear over the line height of its word."""
HEARD_LINES: Final = 2
"""Most lines of what was heard in the foot; more of them become a page of their own."""
SPACE: Final = 0.8
"""Between neighbours, in font sizes."""


@dataclass(frozen=True)
class Foot:
    """The foot, drawn from (0, 0) in the width between the margins."""

    draft: Draft
    height: float
    whole: bool
    """False where what was heard was cut short."""


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


def set_foot(
    sheet: Sheet, ear: str, heard: str, place: str, page: str, most: int = HEARD_LINES
) -> Foot:
    """The foot: in one line where that holds all, else at most `most` lines heard above the rest."""
    status = _status(sheet, ear, place, page)
    words = quoted(heard)
    one_line = _one_line(sheet, status, words, ear)
    if one_line is not None:
        return one_line
    draft = Draft()
    block, whole = _heard(sheet, words, most)
    y = 0.0
    if block is not None:
        draft.put("heard", block, 0.0, 0.0, colour="quiet")
        y = block.height + 0.25 * line_height(sheet.font)
    for line in _filled(status, sheet.inner, sheet.font):
        _draw_line(draft, line, y, sheet, ear)
        y += PLATE * line_height(sheet.font) * 1.12
    return Foot(draft, y - 0.12 * PLATE * line_height(sheet.font), whole)


def _status(sheet: Sheet, ear: str, place: str, page: str) -> list[_Piece]:
    """The ear, the page and the place as pieces, the ear first."""
    font = sheet.font
    pieces = []
    for role, text in (("ear", ear), ("page", page), ("place", place)):
        if text:
            bold = role != "place"
            block = Block((text,), font, bold, sheet.measure(text, font, bold))
            width = _ear_width(sheet, ear) if role == "ear" else block.width
            pieces.append(_Piece(role, block, width))
    return pieces


def _ear_width(sheet: Sheet, ear: str) -> float:
    """Width of the plate: the same for all usual states, so that nothing jumps when they change."""
    words = EAR_STATES[:-1] if ear in EAR_STATES[:-1] else (ear,)
    return max(sheet.measure(word, sheet.font, True) for word in words) + 2.3 * sheet.font


def _one_line(sheet: Sheet, status: list[_Piece], words: str, ear: str) -> Foot | None:
    """Ear, what was heard, page and place on one line, or None where that is too wide."""
    font = sheet.font
    total = sum(piece.width for piece in status) + SPACE * font * (len(status) - 1)
    heard = sheet.measure(words, font, False) + SPACE * font if words else 0.0
    if total + heard > sheet.inner:
        return None
    draft = Draft()
    _draw_line(draft, status, 0.0, sheet, ear)
    tall = PLATE * line_height(font)
    if words:
        block = Block((words,), font, False, heard - SPACE * font)
        x = status[0].width + SPACE * font
        draft.put("heard", block, x, (tall - block.height) / 2, colour="quiet")
    return Foot(draft, tall, True)


def _heard(sheet: Sheet, words: str, most: int) -> tuple[Block | None, bool]:
    """What was heard in few lines; False where it had to be cut at a word."""
    if not words:
        return None, True
    block = balanced(words, sheet.font, False, sheet.inner, sheet.measure)
    if len(block.lines) <= most:
        return block, True
    kept = words.rstrip("”").split(" ")
    while len(kept) > 1:
        kept.pop()
        block = wrapped(" ".join(kept) + " …", sheet.font, False, sheet.inner, sheet.measure)
        if len(block.lines) <= most:
            break
    return block, False


def _filled(pieces: list[_Piece], width: float, font: float) -> list[list[_Piece]]:
    """`pieces` in lines, each as full as it goes."""
    lines: list[list[_Piece]] = [[]]
    used = 0.0
    for piece in pieces:
        if lines[-1] and used + SPACE * font + piece.width > width:
            lines.append([])
            used = 0.0
        used += piece.width + (SPACE * font if lines[-1] else 0.0)
        lines[-1].append(piece)
    return lines


def _draw_line(draft: Draft, line: list[_Piece], y: float, sheet: Sheet, ear: str) -> None:
    """The ear at the left edge, everything else from the right edge inwards."""
    font = sheet.font
    tall = PLATE * line_height(font)
    right = sheet.inner
    for piece in reversed(line):
        if piece.role == "ear":
            _draw_ear(draft, piece, Rect(0.0, y, piece.width, tall), font, ear)
            continue
        right -= piece.width
        colour = "ink" if piece.role == "page" else "quiet"
        draft.put(
            piece.role, piece.block, right, y + (tall - piece.block.height) / 2, colour=colour
        )
        right -= SPACE * font


def _draw_ear(draft: Draft, piece: _Piece, plate: Rect, font: float, ear: str) -> None:
    behind, on = EAR_COLOURS[ear]
    box = (plate.x, plate.y, plate.width, plate.height)
    draft.shapes.append(Shape("pill", box, behind))
    x, y = plate.x + 1.05 * font, plate.y + plate.height / 2
    draft.shapes += ear_sign(ear, x, y, 0.8 * font)
    left = plate.x + 1.7 * font
    draft.put("ear", piece.block, left, y - piece.block.height / 2, colour=on, behind=behind)
