"""Work and boring bars that stand out: the rule of thumb, and how far they bend."""

from __future__ import annotations

from fractions import Fraction

from assistant.answer import Answer, Phrase, Value
from assistant.answering.bare_numbers import settled
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.work import material_assumed
from assistant.core.deflection import (
    between_centres_deflection,
    cantilever_deflection,
    chuck_and_centre_deflection,
    modulus_of,
    springing,
)
from assistant.core.materials import material
from assistant.core.speeds import stick_out
from assistant.query_cutting import DeflectionOf, StickOutFor


@answers(StickOutFor)
def stick_out_for(query: StickOutFor, situation: Situation) -> Answer:
    """Length over diameter against what common practice allows."""
    sizes = settled(query)
    length, diameter = sizes.sizes["stick_out"], sizes.sizes["diameter"]
    found = stick_out(length, diameter, query.holding.replace("_", "-"))
    values = {
        "overhang_ratio": Value(found.ratio, ""),
        "overhang_allowed": Value(found.allowed, ""),
        "stick_out": Value(length, "mm"),
        "diameter": Value(diameter, "mm"),
    }
    return Answer(
        kind="overhang",
        values=values,
        texts={
            "holding": query.holding.replace("_", " "),
            "verdict": "needs more support" if found.caution else "within the rule",
        },
        cautions=(Phrase(found.caution),) if found.caution else (),
        assumed=sizes.assumed,
        working=(Phrase("overhang-working", values),),
        sources=("common practice, no source",),
    )


_BENDING = {
    "chuck": (cantilever_deflection, "deflection-free-working"),
    "chuck_and_centre": (chuck_and_centre_deflection, "deflection-chuck-centre-working"),
    "between_centres": (between_centres_deflection, "deflection-centres-working"),
}
"""How it is held -> formula and its working; supported at both ends the tool is in the middle."""


@answers(DeflectionOf)
def deflection_of(query: DeflectionOf, situation: Situation) -> Answer:
    """How far the work bends where the tool pushes."""
    work = material(query.material)
    sizes = settled(query)
    length, diameter = sizes.sizes["stick_out"], sizes.sizes["bar_size"]
    modulus = modulus_of(work.key)
    formula, working = _BENDING[query.holding]
    bent = formula(query.force, length, modulus, diameter)
    spring = springing(bent, "finish")
    values = {
        "deflection": Value(bent, "mm"),
        "size_error": Value(2 * bent, "mm"),
        "force": Value(Fraction(query.force), "N"),
        "stick_out": Value(length, "mm"),
        "bar_size": Value(diameter, "mm"),
        "modulus": Value(modulus, ""),
    }
    return Answer(
        kind="deflection",
        values=values,
        texts={"material": work.name, "holding": query.holding.replace("_", " ")},
        cautions=(Phrase(spring.caution, values),) if spring.caution else (),
        assumed=(*sizes.assumed, *material_assumed(query, work), Phrase("assumed-solid-bar")),
        working=(Phrase(working, values),),
        sources=("beam formula of textbooks of strength of materials", work.source),
    )
