"""Figures for the eye and for the ear: all rounding happens here, once, on the way out."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from assistant.answer import Value
from assistant.errors import TableError
from assistant.tables import plain_yaml
from grammar.spelling import LARGEST, decimal_words, digit_words

_WIDE = Context(prec=60, rounding=ROUND_HALF_EVEN)
_MILLIMETRES = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? mm(/turn)?\b(?! \()")
_METRIC_BY_NAME = re.compile(r"^(?:thread|pitch|lead|drill|tap|tolerance)\b|\bISO\b|\bM\d")
_THOU = Fraction(1, 1000)


@cache
def _forms() -> dict[str, dict[str, Any]]:
    text = files("assistant.catalogue").joinpath("forms.yaml").read_text(encoding="utf-8")
    found: dict[str, dict[str, Any]] = plain_yaml(text)
    for form in found.values():
        for system in ("mm", "inch"):
            form[system]["per"] = Fraction(form[system]["per"])
    return found


@cache
def _usual_form(unit: str) -> str:
    for name, form in _forms().items():
        if form["unit"] == unit:
            return name
    raise TableError("forms.yaml", f"has no form for the unit '{unit}'")


def rounded(number: Fraction | float, places: int, *, trim: bool = False) -> str:
    """`number` as a decimal with `places` places, half to even; `trim` drops closing zeros.

    >>> rounded(Fraction(127, 65), 4), rounded(Fraction(3, 2), 3, trim=True), rounded(0.0004, 2)
    ('1.9538', '1.5', '0.00')
    """
    exact = Fraction(number)
    whole = _WIDE.divide(Decimal(exact.numerator), Decimal(exact.denominator))
    text = f"{whole.quantize(Decimal(1).scaleb(-places), context=_WIDE):f}"
    if trim and "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.removeprefix("-") if not text.strip("-0.") else text


def _chosen(value: Value, form: str, units: str) -> tuple[dict[str, Any], str]:
    name, _, system = form.partition("/")
    forms = _forms()
    name = name or _usual_form(value.unit)
    if name not in forms:
        raise TableError("forms.yaml", f"has no form '{name}'")
    return forms[name], system or units


def shown(value: Value, form: str, units: str) -> str:
    """A figure as written on the screen.

    form  : name in forms.yaml, or '' for the usual one of the value's unit; '/mm', '/inch' behind it
            fixes the system, '/both' adds the other one in brackets
    units : 'mm' or 'inch', the operator's

    >>> shown(Value(Fraction(127, 10), "mm"), "length/both", "mm")
    '12.70 mm (0.500 in)'
    """
    chosen, system = _chosen(value, form, units)
    if system == "both":
        other = "inch" if units == "mm" else "mm"
        name = form.partition("/")[0] or _usual_form(value.unit)
        return (
            f"{shown(value, f'{name}/{units}', units)} ({shown(value, f'{name}/{other}', units)})"
        )
    if isinstance(value.number, tuple):
        each = [_figure(number, chosen[system]) for number in value.number]
        return f"{', '.join(each)} {chosen[system]['text']}".strip()
    gap = "" if chosen[system].get("close") or chosen[system]["text"] == "%" else " "
    return f"{_figure(value.number, chosen[system])}{gap}{chosen[system]['text']}".strip()


def bare(value: Value, form: str, units: str) -> str:
    """The figure alone, without its unit.

    >>> bare(Value(Fraction(850), "rpm"), "", "mm")
    '850'
    """
    chosen, system = _chosen(value, form, units)
    system = units if system == "both" else system
    assert not isinstance(value.number, tuple)
    return _figure(value.number, chosen[system])


def with_inches(sentence: str) -> str:
    """A sentence about lengths in mm for an operator in inches: each with inches in brackets.

    Sentences about what is named in millimetres (metric threads, ISO's tables, metric drills) stay as they are.

    >>> with_inches("work diameter 635 mm: the heron swings 355.6 mm over the bed")
    'work diameter 635 mm (25 in): the heron swings 355.6 mm (14 in) over the bed'
    >>> with_inches("feed 9 mm/turn: the heron feeds from 0.0254 to 0.635 mm/turn")
    'feed 9 mm/turn (0.3543 in/turn): the heron feeds from 0.0254 to 0.635 mm/turn (0.001 to 0.025 in/turn)'
    """
    if _METRIC_BY_NAME.search(sentence):
        return sentence

    def both(match: re.Match[str]) -> str:
        look = _forms()["size"]["inch"]
        if Fraction(match[1]) == 0:
            return match[0]
        inches = [_figure(Fraction(each), look) for each in (match[1], match[2]) if each]
        return f"{match[0]} ({' to '.join(inches)} in{match[3] or ''})"

    return _MILLIMETRES.sub(both, sentence)


def _figure(number: Fraction | float, look: dict[str, Any]) -> str:
    return rounded(Fraction(number) * look["per"], look["places"], trim=bool(look.get("trim")))


def figure_words(text: str) -> str:
    """A written decimal in words, closing zeros unsaid; above 9999 the digits one by one.

    >>> figure_words("1.20"), figure_words("-0.05"), figure_words("12500")
    ('one point two', 'minus point oh five', 'one two five oh oh')
    """
    if text.startswith("-"):
        return f"minus {figure_words(text[1:])}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    whole = text.partition(".")[0]
    if int(whole or 0) > LARGEST:
        return digit_words(whole)
    return decimal_words(text)


def _thou_words(figure: str) -> str:
    """Thousandths of an inch in the trade's way: halves are halves.

    >>> _thou_words("62.5"), _thou_words("0.5"), _thou_words("62.4")
    ('sixty two and a half', 'half a', 'sixty two point four')
    """
    whole, _, part = figure.partition(".")
    if part != "5" or figure.startswith("-"):
        return figure_words(figure)
    return f"{figure_words(whole)} and a half" if int(whole) else "half a"


def said(value: Value, form: str, units: str) -> str:
    """A figure as it is said: below one inch in thou, as the trade does.

    >>> said(Value(Fraction(127, 5) * Fraction(47, 1000), "mm"), "length", "inch")
    'forty seven thou'
    >>> said(Value(Fraction(6, 5), "mm"), "length", "mm")
    'one point two millimetres'
    """
    chosen, system = _chosen(value, form, units)
    look = chosen[units if system == "both" else system]
    if isinstance(value.number, tuple):
        return ", ".join(said(Value(number, value.unit), form, units) for number in value.number)
    if look["say"].startswith("inches"):
        inches = Fraction(value.number) * look["per"]
        if abs(inches) < 1 and look["places"] >= 3:
            figure = rounded(inches / _THOU, look["places"] - 3, trim=True)
            return f"{_thou_words(figure)} {look['say'].replace('inches', 'thou')}"
    figure = _figure(value.number, look)
    unit = look["say"]
    if Fraction(figure) == 1:
        unit = {
            "millimetres": "millimetre",
            "inches": "inch",
            "degrees": "degree",
            "turns": "turn",
        }.get(unit, unit)
    words = _thou_words(figure) if unit == "thou" else figure_words(figure)
    return f"{words} {unit}".strip()
