"""The table of written designations: which entries need a figure in the text to fit at all."""

from __future__ import annotations

from re import _constants as codes  # type: ignore[attr-defined]
from re import _parser as parser  # type: ignore[attr-defined]
from typing import Any

import pytest

from grammar.written import Unreadable, _entries, words_of


def _is_digit(code: Any, argument: Any) -> bool:
    """True for a part of a pattern that fits nothing but a digit."""
    if code is codes.LITERAL:
        return chr(argument).isdigit()
    if code is not codes.IN:
        return False
    return all(
        (kind is codes.RANGE and all(chr(end).isdigit() for end in what))
        or (kind is codes.LITERAL and chr(what).isdigit())
        or (kind is codes.CATEGORY and what is codes.CATEGORY_DIGIT)
        for kind, what in argument
    )


def needs_digit(parts: Any) -> bool:
    """True where no text without a digit can fit this parsed pattern."""
    for code, argument in parts:
        if _is_digit(code, argument):
            return True
        if code is codes.SUBPATTERN and needs_digit(argument[3]):
            return True
        if code is codes.BRANCH and all(needs_digit(branch) for branch in argument[1]):
            return True
        if code is codes.MAX_REPEAT and argument[0] > 0 and needs_digit(argument[2]):
            return True
        if code is codes.ASSERT and needs_digit(argument[1]):
            return True
    return False


@pytest.mark.parametrize("number", range(len(_entries())))
def test_an_entry_without_its_mark_needs_a_figure(number: int) -> None:
    entry = _entries()[number]
    assert needs_digit(parser.parse(entry.pattern.pattern)) is entry.with_figure, entry.text


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("thirteen threads per inch", "thirteen threads per inch"),
        ("fifty HRC in HV", "fifty rockwell c in vickers"),
        ("half inch UNC", "half inch u n c"),
        ("F drill", "letter f drill"),
        ("M12x1.25-4H5H", "metric twelve by one point two five class internal four h five h"),
        ("M10-5g6g LH", "metric ten class five g six g left hand"),
        ("rake -6", "rake minus six"),
        ("hole 30 H7", "thirty h seven hole"),
        ("shaft 25 k6", "twenty five k six shaft"),
        ('1" FN2', "one inch f n two"),
        ("12.7 mm in 64ths", "twelve point seven millimetres in sixty fourths"),
    ],
)
def test_written_text_is_read_as_these_words(typed: str, words: str) -> None:
    assert words_of(typed) == words


@pytest.mark.parametrize(
    ("typed", "figure"),
    [
        ("-2 BA", "-2"),
        ("limits of -30 H7", "-30"),
        (" -1/2-13 UNC", "-1/2"),
        ("speed -.5", "-.5"),
        ("\N{MINUS SIGN}5 mm", "-5"),
    ],
)
def test_a_sign_before_a_designation_is_not_swallowed(typed: str, figure: str) -> None:
    with pytest.raises(Unreadable, match="sizes are more than zero") as refused:
        words_of(typed)
    assert refused.value.figure == figure
