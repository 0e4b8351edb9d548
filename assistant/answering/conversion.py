"""Lengths in other units, with how exact the figure is."""

from __future__ import annotations

from assistant.answer import Answer, Phrase, Value
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.core.bounds import check
from assistant.core.conversions import nearest_inch_fraction
from assistant.query import Conversion
from assistant.units import magnitude_in

LONGEST = 100_000
"""mm; beyond it a length is a slip of the tongue."""


@answers(Conversion)
def conversion(query: Conversion, situation: Situation) -> Answer:
    """The length in the unit asked for, exact, with the nearest 64th of an inch beside it."""
    length = magnitude_in(query.amount, "mm")
    check("length", length, LONGEST)
    fraction = nearest_inch_fraction(length)
    near = Value(fraction.inches, "inch")
    values = {
        "result": Value(
            length if query.to == "mm" else magnitude_in(query.amount, _INTO[query.to]),
            _INTO[query.to],
        ),
        "millimetres": Value(length, "mm"),
        "fraction_error": Value(fraction.error, "mm"),
    }
    if query.to == "64ths":
        values["result"] = near
    texts = {"fraction": _fraction_text(fraction.whole, fraction.remainder), "to": query.to}
    if fraction.error == 0:
        texts["exactly"] = "exactly"
    return Answer(
        kind=f"convert-{query.to}",
        values=values,
        texts=texts,
        assumed=tuple(Phrase(f"taken-{each}") for each in query.assumed),
        working=(Phrase("convert-working", values),),
        sources=("1 inch = 25.4 mm exactly: international yard and pound agreement, 1959",),
    )


_INTO = {"mm": "mm", "inch": "inch", "thou": "thou", "64ths": "inch"}


def _fraction_text(whole: int, remainder: object) -> str:
    if remainder == 0:
        return str(whole)
    return f"{whole} {remainder}" if whole else f"{remainder}"
