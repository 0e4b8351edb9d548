"""Text to the pieces of words that the model knows, by its own vocabulary."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

BLANK = "\u2581"
"""How the vocabulary writes a blank."""
START, END = 1, 2
"""The pieces that open and close a sentence."""
LONG = 128
"""A piece's length takes a second byte from here on."""


class Pieces:
    """The vocabulary: pieces by their numbers. The lower a piece's number, the sooner its parts are joined."""

    def __init__(self, file: bytes) -> None:
        """file: for each piece its length (one byte, or two, low seven bits first) and its letters.

        Raises ValueError where the file breaks off.
        """
        self._texts: list[str] = []
        place = 0
        while place < len(file):
            length = file[place]
            place += 1
            if length >= LONG:
                length = length - LONG + file[place] * LONG
                place += 1
            if place + length > len(file):
                raise ValueError("the vocabulary breaks off")
            self._texts.append(file[place : place + length].decode("utf-8", "replace"))
            place += length
        self._numbers = {text: number for number, text in enumerate(self._texts)}
        # A letter or figure stands in it twice: among the first as a bare byte, which the model only
        # writes where it has no piece, and again as a piece.
        self.of = lru_cache(maxsize=None)(self._of)

    def stands_apart(self, piece: int) -> bool:
        """True for a piece with a blank before it.

        It is what keeps '1. 5', a number and another one, apart from '1.5'.
        """
        return self._texts[piece].startswith(BLANK)

    def text(self, pieces: tuple[int, ...]) -> str:
        """What `pieces` write."""
        return "".join(self._texts[each] for each in pieces).replace(BLANK, " ")

    def _of(self, text: str) -> tuple[int, ...]:
        """The pieces of `text`; raises KeyError for a letter that the vocabulary lacks."""
        parts = list(text.replace(" ", BLANK))
        while True:
            joined = [
                (number, place)
                for place, pair in enumerate(pairwise(parts))
                if (number := self._numbers.get("".join(pair))) is not None
            ]
            if not joined:
                return tuple(self._numbers[part] for part in parts)
            place = min(joined)[1]
            parts[place : place + 2] = [parts[place] + parts[place + 1]]
