"""Other units than lengths, hardness, angles, and 'tenths' that could be either."""

from __future__ import annotations

from fractions import Fraction

from assistant.answer import Answer, Ask, Phrase, Value
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.core.angles import degrees_minutes_seconds
from assistant.core.conversions import Unit, convert, unit_named
from assistant.core.hardness import SCALES, convert_hardness
from assistant.query_geometry import (
    AngleConversion,
    HardnessConversion,
    TenthsConversion,
    UnitConversion,
)

_SMALL = Fraction(1, 10)
"""Below this a result is shown with more places."""


@answers(UnitConversion)
def unit_conversion(query: UnitConversion, situation: Situation) -> Answer:
    """The amount in the unit asked for, with the definition that it rests on."""
    unit, into = unit_named(query.from_unit), unit_named(query.to_unit)
    found = convert(query.number, unit.name, into.name)
    values = {"result": Value(found.number, into.name), "amount": Value(query.number, unit.name)}
    texts = {
        "unit": _symbol(unit),
        "into": _symbol(into),
        "unit_said": _plural(unit),
        "into_said": _plural(into),
        "basis": found.basis,
    }
    small = found.number != 0 and abs(Fraction(found.number)) < _SMALL
    return Answer(
        kind="convert-small-unit" if small else "convert-unit",
        values=values,
        texts=texts,
        working=(Phrase("unit-working", {**values, **texts}),),
        sources=(found.source,),
    )


def _symbol(unit: Unit) -> str:
    """A unit as the screen shows it."""
    return unit.name.replace("*", "·").replace("deg", "°").replace("^2", "²").replace("^3", "³")


def _plural(unit: Unit) -> str:
    """A unit as it is said behind a number."""
    first, *others = unit.spoken
    return next((each for each in others if each.startswith(first[:-1])), first)


@answers(TenthsConversion)
def tenths_conversion(query: TenthsConversion, situation: Situation) -> Ask:
    """A tenth is a tenth of a thou to one and of an inch or millimetre to another: never guessed."""
    key = "which-tenths" if query.parts == 10 else "which-hundredths"
    return Ask(Phrase(key, {"decimal": Value(Fraction(query.tenths, query.parts), "")}))


@answers(HardnessConversion)
def hardness_conversion(query: HardnessConversion, situation: Situation) -> Answer:
    """A hardness on another scale, inside the table's range only."""
    found = convert_hardness(query.hardness, query.from_scale, query.to_scale)
    values = {
        "result": Value(found.number, found.scale),
        "amount": Value(query.hardness, query.from_scale),
    }
    if found.other is not None:
        values["other"] = Value(found.other, found.scale)
    texts = {
        "unit": query.from_scale,
        "into": found.scale,
        "unit_said": SCALES[query.from_scale],
        "into_said": SCALES[found.scale],
    }
    return Answer(
        kind="convert-hardness",
        values=values,
        texts=texts,
        assumed=(Phrase("hardness-steels"),),
        working=(Phrase("hardness-working", {**values, **texts}),),
        sources=(found.source,),
    )


@answers(AngleConversion)
def angle_conversion(query: AngleConversion, situation: Situation) -> Answer:
    """An angle as decimal degrees or in minutes and seconds, to the nearest second."""
    exact = degrees_minutes_seconds(query.angle)
    shown = degrees_minutes_seconds(query.angle, 1)
    dms = f"{shown.degrees}° {shown.minutes}′ {int(shown.seconds)}″"
    values = {"result": Value(query.angle, "degree")}
    return Answer(
        kind="convert-decimal-angle" if query.to == "decimal" else "convert-minutes",
        values=values,
        texts={
            "dms": dms,
            "degrees": str(shown.degrees),
            "minutes": str(shown.minutes),
            "seconds": str(int(shown.seconds)),
            "exactness": "exact" if exact == shown else "to the nearest second",
        },
        working=(Phrase("angle-working", {**values, "dms": dms}),),
        sources=(
            "360 degrees a turn, 60 minutes a degree, 60 seconds a minute: SI Brochure Table 8",
        ),
    )
