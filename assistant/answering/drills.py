"""Drills by name and by size."""

from __future__ import annotations

from fractions import Fraction

from assistant.answer import Answer, Phrase, Value
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.core import drills
from assistant.core.drills import Drill
from assistant.errors import OutOfRange
from assistant.query_drilling import DrillSizeOf, NearestDrillFor, ThreadShareOf
from assistant.units import MM_PER_INCH, Quantity, magnitude_in

INCH_DRILLS = ("number", "letter", "fraction")


def kinds_of(drills_named: str | None) -> tuple[str, ...] | None:
    """The sets that a word stands for; None where none was named."""
    if drills_named is None:
        return None
    return INCH_DRILLS if drills_named == "inch" else (drills_named,)


def drill_text(drill: Drill) -> str:
    """How a drill is written on the screen, so that it can also be said: '#7', 'letter F', '27/64 in'."""
    if drill.kind == "letter":
        return f"letter {drill.name}"
    if drill.kind == "fraction":
        return f"{drill.name.removesuffix(' inch')} in"
    return drill.name


def named_drill(query: DrillSizeOf | ThreadShareOf) -> Drill:
    """The drill that a question names. Raises NoSuchSize or OutOfRange where no set has it."""
    if query.drill_number is not None:
        return drills.drill(f"#{query.drill_number}")
    if query.letter is not None:
        return drills.drill(f"letter {query.letter}")
    assert query.size is not None
    return _sized(query.size)


def _sized(size: Quantity) -> Drill:
    """The fractional or metric drill of a size; a size that is neither is a drill of no set, and named so."""
    diameter = magnitude_in(size, "mm")
    metric = "inch" not in str(size.units) and "thou" not in str(size.units)
    for one in drills.drills(["metric"] if metric else INCH_DRILLS):
        if one.diameter == diameter:
            return one
    close = " or ".join(
        drill_text(near.drill) for near in drills.nearest_drills(diameter, ["metric", "fraction"])
    )
    text = f"{float(diameter):g} mm" if metric else f"{float(size.to('inch').magnitude):g} in"
    raise OutOfRange("drill", text, "is no size of these drills", close)


def _near_values(
    diameter: Fraction, kinds: tuple[str, ...]
) -> tuple[dict[str, Value], dict[str, str]]:
    """Figures and names of the nearest drill of each set."""
    values, texts = {}, {}
    for near in drills.nearest_drills(diameter, kinds):
        kind = near.drill.kind
        values[f"{kind}_drill"] = Value(near.drill.diameter, "mm")
        values[f"{kind}_difference"] = Value(near.difference, "mm")
        texts[f"{kind}_name"] = drill_text(near.drill)
    return values, texts


@answers(DrillSizeOf)
def drill_size(query: DrillSizeOf, situation: Situation) -> Answer:
    """The diameter of a drill, and its neighbours in the other sets."""
    drill = named_drill(query)
    others = tuple(kind for kind in drills.KINDS if kind != drill.kind)
    values, texts = _near_values(drill.diameter, others)
    diameter = Value(drill.diameter, "mm")
    return Answer(
        kind="drill-size",
        values={"drill_diameter": diameter, **values},
        texts={"drill": drill_text(drill), "drill_kind": drill.kind, **texts},
        working=(
            Phrase("drill-size-working", {"drill": drill_text(drill), "drill_diameter": diameter}),
        ),
        sources=(drill.source,),
    )


@answers(NearestDrillFor)
def nearest_drill(query: NearestDrillFor, situation: Situation) -> Answer:
    """The nearest drill, and that of each set, with the difference."""
    kinds = kinds_of(query.drills) or drills.KINDS
    hole, taken = _hole(query, kinds)
    nearest = drills.nearest_drills(hole, kinds)[0]
    values, texts = _near_values(hole, kinds)
    figures = {
        "hole": Value(hole, "mm"),
        "drill_diameter": Value(nearest.drill.diameter, "mm"),
        "difference": Value(nearest.difference, "mm"),
    }
    return Answer(
        kind="drill-nearest",
        values={**figures, **values},
        texts={
            "drill": drill_text(nearest.drill),
            "drill_kind": nearest.drill.kind,
            "fit": _fit(nearest.difference),
            **texts,
        },
        assumed=taken,
        working=(Phrase("drill-nearest-working", {"drill": drill_text(nearest.drill), **figures}),),
        sources=(nearest.drill.source,),
    )


def _hole(query: NearestDrillFor, kinds: tuple[str, ...]) -> tuple[Fraction, tuple[Phrase, ...]]:
    """The wanted diameter; a bare number that no drill has in inches is taken as millimetres, and said so."""
    hole = magnitude_in(query.hole, "mm")
    largest = max(one.diameter for one in drills.drills(kinds))
    if "hole" in query.bare and "unit-inch" in query.assumed and hole > largest:
        in_mm = hole / MM_PER_INCH
        return in_mm, (Phrase("taken-hole-mm", {"hole": Value(in_mm, "mm")}),)
    return hole, tuple(Phrase(f"taken-{each}") for each in query.assumed)


def _fit(difference: Fraction) -> str:
    if difference == 0:
        return "exact"
    return "larger" if difference > 0 else "smaller"
