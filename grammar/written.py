"""Typed text as the words that would be said, so that one grammar reads both."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, cached_property, partial
from importlib.resources import files

from assistant.tables import plain_yaml
from grammar.spelling import LARGEST, decimal_words, digit_words, fraction_words, whole_words

_FIGURE = r"(?:\d+(?:\.\d+)?|\.\d+)"
_SHOP = r"(?:\d+[ -]\d+/\d+|\d+/\d+|\d+(?:\.\d+)?|\.\d+)"
_DIGIT = re.compile(r"[0-9]")
_SHOP_FIGURE = re.compile(r"(\d+)[ -](\d+)/(\d+)|(\d+)/(\d+)")
_VULGAR = {
    "¼": " 1/4",
    "½": " 1/2",
    "¾": " 3/4",
    "⅛": " 1/8",
    "⅜": " 3/8",
    "⅝": " 5/8",
    "⅞": " 7/8",
}
_SPELLED = (
    (r"(?<=\d) *(?:\"|″)", " inch "),
    # 'in' behind a figure is inch where a second 'in' or nothing follows, else the word 'in'.
    (r"(?<=\d) *in(?:\.|\b(?= +(?:in|to|into|as)\b|[ ,;)]*$|,))", " inch "),
    (r"(?<=\d) *mm\b", " millimetres "),
    (r"\bmm\b", " millimetres "),
    (r"\btpi\b", " t p i "),
    (r"(?<=[\d ])°", " degrees "),
    (r"#(?=\d)", " number "),
    (r"(?<=\d) *%", " percent "),
    (r"\bLH\b", " left hand "),
)


class Unreadable(ValueError):
    """A figure that has no words here: its text, and the rule that it breaks."""

    def __init__(self, figure: str, rule: str) -> None:
        self.figure = figure
        self.rule = rule
        super().__init__(f"{figure}: {rule}")


@dataclass(frozen=True)
class _Written:
    """One entry of written.yaml; compiled when it is first tried, for most texts are plain words."""

    text: str
    exact: bool
    """True where capitals count."""
    with_figure: bool
    """True where it only fits a text with a digit in it."""
    words: str

    @cached_property
    def pattern(self) -> re.Pattern[str]:
        text = re.sub(r"(?<=>)N(?=\))", lambda _: _FIGURE, self.text)
        text = re.sub(r"(?<=>)F(?=\))", lambda _: _SHOP, text)
        return re.compile(text, 0 if self.exact else re.IGNORECASE)


@cache
def _entries() -> tuple[_Written, ...]:
    """Every entry of written.yaml, in its order."""
    entries = plain_yaml(files("grammar").joinpath("written.yaml").read_text(encoding="utf-8"))
    return tuple(
        _Written(
            each["pattern"], each.get("case") == "exact", each.get("figure", True), each["words"]
        )
        for each in entries
    )


def _group_words(text: str) -> str:
    if re.fullmatch(_SHOP, text):
        return _figure(text)
    if text.upper() == "LH":
        return "left hand"
    pieces = re.findall(r"\d+|[A-Za-z]", text)
    return " ".join(_piece_words(each) for each in pieces)


def _piece_words(piece: str) -> str:
    """Digits as a number, but '01' as 'oh one': it is another grade than 1."""
    if not piece.isdigit():
        return piece.lower()
    return (
        digit_words(piece) if piece.startswith("0") and len(piece) > 1 else whole_words(int(piece))
    )


def _filled(template: str, match: re.Match[str]) -> str:
    def put(segment: str) -> str:
        return re.sub(r"\{(\w+)\}", lambda name: _group_words(match[name[1]] or ""), segment)

    def optional(segment: re.Match[str]) -> str:
        names = re.findall(r"\{(\w+)\}", segment[1])
        return put(segment[1]) if all(match[name] for name in names) else ""

    kept = re.sub(r"\[([^\]]*)\]", optional, template)
    return f" {put(kept)} "


def _figure(text: str) -> str:
    """One typed figure in words; raises Unreadable where the grammar has none for it."""
    shop = _SHOP_FIGURE.fullmatch(text)
    if shop:
        whole, above, below, top, bottom = shop.groups()
        if int(below or bottom) == 0:
            raise Unreadable(text, "a fraction cannot have 0 below the line")
        number = int(whole or 0) + Fraction(int(above or top), int(below or bottom))
        if number.denominator > 64 or 64 % number.denominator or number >= 100:
            raise Unreadable(text, "fractions are in halves to 64ths, under 100")
        return fraction_words(number)
    whole_part, _, places = text.partition(".")
    if int(whole_part or 0) > LARGEST:
        raise Unreadable(text, f"numbers end at {LARGEST}")
    if len(places) > 6:
        raise Unreadable(text, "at most six decimal places")
    return decimal_words(text)


def _refuse_negative(pattern: str, text: str) -> None:
    negative = re.search(pattern, text)
    if negative:
        raise Unreadable(negative[1], "sizes are more than zero")


def words_of(text: str) -> str:
    """`text` in lower-case words with single spaces: designations, figures and signs spelled out.

    Raises Unreadable for a figure that has no words here.

    >>> words_of('M12x1.25')
    'metric twelve by one point two five'
    >>> words_of('Speed for stainless, 1 3/4", carbide')
    'speed for stainless one and three quarters inch carbide'
    """
    text = text.replace("\N{MINUS SIGN}", "-")
    for sign, figure in _VULGAR.items():
        text = text.replace(sign, figure)
    # Before a designation swallows its sign: '-2 BA'. Only a rake may be negative.
    _refuse_negative(r"(?:^ *|(?<!rake)(?<!angle)(?<=[a-z]) )(-(?:\d[\d./]*|\.\d+))", text)
    for each in _entries():
        if not each.with_figure or _DIGIT.search(text):
            text = each.pattern.sub(partial(_filled, each.words), text)
    for spelled, replacement in _SPELLED:
        text = re.sub(spelled, replacement, text, flags=re.IGNORECASE)
    _refuse_negative(r"(?<![\w.])(-(?:\d[\d./]*|\.\d+))", text)
    text = re.sub(_SHOP, lambda match: f" {_figure(match[0])} ", text)
    text = re.sub(r"[^a-z']+", " ", text.lower())
    return " ".join(text.split())
