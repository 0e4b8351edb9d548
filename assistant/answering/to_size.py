"""From the size measured to the size wanted, on this lathe's cross slide; and warm work."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.answer import Answer, Phrase, Value
from assistant.answering.fits import limits_working, taken_units
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.work import material_assumed
from assistant.core.fits import SizeLimits, limits
from assistant.core.materials import material
from assistant.core.thermal import growth, size_at_reference
from assistant.core.to_size import (
    SizeState,
    Target,
    ToSize,
    dial_move,
    passes,
    plain_target,
    target_within,
    to_size,
)
from assistant.errors import OutOfRange
from assistant.query_sizing import ColdSizeOf, ToSizeFrom, wanted_in_mm
from assistant.units import magnitude_in, quantity


@dataclass(frozen=True)
class _Wanted:
    """The size that is wanted, as it was understood."""

    target: Target
    name: str
    internal: bool
    part: SizeLimits | None
    """Limits of a zone; None for a plain size."""


_MOST = 4
"""Measured and wanted further apart than this many times are not in one system of units."""


def _same_units(query: ToSizeFrom, units: str) -> tuple[Fraction, Fraction, tuple[Phrase, ...]]:
    """Measured and wanted in mm, and what was assumed.

    Numbers without a unit are in the operator's, unless only the other system brings the two together.
    """
    own = {name: getattr(query, name) for name in ("measured_size", "wanted")}
    bare = [name for name in own if name in query.bare]
    for system in (units, "inch" if units == "mm" else "mm"):
        sizes = {**own, **{name: quantity(Fraction(own[name].magnitude), system) for name in bare}}
        measured, wanted = (magnitude_in(sizes[name], "mm") for name in own)
        if not bare or (wanted <= _MOST * measured and measured <= _MOST * wanted):
            taken = {system} if bare else set()
            # A size beside an ISO zone is in millimetres where no unit was said.
            if wanted_in_mm(query):
                taken.add("mm")
            return measured, wanted, tuple(Phrase(f"taken-unit-{each}") for each in sorted(taken))
    return (
        magnitude_in(own["measured_size"], "mm"),
        magnitude_in(own["wanted"], "mm"),
        taken_units(query),
    )


def _wanted(query: ToSizeFrom, size: Fraction) -> _Wanted:
    internal = query.internal or query.hole is not None
    if query.shaft and query.internal:
        allowed = "is for a shaft; a bore has a capital letter"
        raise OutOfRange("zone", query.shaft, allowed, query.shaft.upper())
    zone = query.hole or query.shaft
    if query.zone:
        zone = query.zone.upper() if internal else query.zone
    if zone is None:
        return _Wanted(plain_target(size), "", internal, None)
    part = limits(size, zone)
    return _Wanted(target_within(part), f"{float(size):.6g} {zone}", internal, part)


@answers(ToSizeFrom)
def to_size_from(query: ToSizeFrom, situation: Situation) -> Answer:
    """Off the diameter, per side and in divisions of the cross slide's dial."""
    measured, size, taken = _same_units(query, situation.units)
    wanted = _wanted(query, size)
    cut = to_size(measured, wanted.target, wanted.internal)
    values = {
        "measured": Value(measured, "mm"),
        "aim": Value(wanted.target.aim, "mm"),
        "size_min": Value(wanted.target.minimum, "mm"),
        "size_max": Value(wanted.target.maximum, "mm"),
        "remove_on_diameter": Value(cut.on_diameter, "mm"),
        "remove_per_side": Value(cut.per_side, "mm"),
    }
    texts = {"wanted": wanted.name, "work": "bore" if wanted.internal else "shaft"}
    texts["toleranced" if wanted.part else "plain"] = "yes"
    assumed = list(taken)
    if query.zone and wanted.part:
        assumed.append(Phrase("assumed-zone", {"zone": wanted.part.zone}))
    if cut.state is not SizeState.TAKE_OFF:
        return _nothing_to_cut(cut, wanted, values, texts, assumed)
    dial_values, dial_texts = _on_the_dial(query, cut, situation)
    values.update(dial_values)
    working = Phrase("to-size-bore-working" if wanted.internal else "to-size-shaft-working", values)
    return Answer(
        kind="size" if wanted.part else "size-plain",
        values=values,
        texts={**texts, **dial_texts},
        cautions=(Phrase("stop-to-measure"),),
        assumed=tuple(assumed),
        working=(
            *([limits_working(wanted.part)] if wanted.part else []),
            working,
            Phrase("dial-size-working", values),
        ),
        sources=_sources(wanted),
    )


def _on_the_dial(
    query: ToSizeFrom, cut: ToSize, situation: Situation
) -> tuple[dict[str, Value], dict[str, str]]:
    """What to turn the cross slide by, and how many passes."""
    dial = situation.lathe.cross_slide
    move = dial_move(cut, dial)
    values = {
        "dial_divisions": Value(move.divisions, ""),
        "dial_whole": Value(Fraction(move.whole_divisions), ""),
        "dial_turns": Value(Fraction(move.turns), ""),
        "dial_rest": Value(Fraction(move.rest), ""),
        "size_after": Value(move.size, "mm"),
        "division": Value(dial.division, "mm"),
    }
    texts = {"reads": dial.reads}
    left = cut.target.aim - move.size if cut.internal else move.size - cut.target.aim
    if not cut.target.minimum <= move.size <= cut.target.maximum:
        values["left"] = Value(left, "mm")
    if move.turns:
        texts["several_turns"] = "yes"
    if query.cut is not None:
        shared = passes(cut.per_side, magnitude_in(query.cut, "mm"))
        values["passes"] = Value(Fraction(shared.count), "")
        values["pass_depth"] = Value(shared.full_depth, "mm")
        values["last_pass"] = Value(shared.last_depth, "mm")
    return values, texts


def _nothing_to_cut(
    cut: ToSize,
    wanted: _Wanted,
    values: dict[str, Value],
    texts: dict[str, str],
    assumed: list[Phrase],
) -> Answer:
    """On size already, or past it: said, without a figure to cut."""
    if cut.state is SizeState.WITHIN_LIMITS:
        kind = "size-within"
    else:
        kind = "size-past"
        values["past_by"] = Value(cut.past_by, "mm")
        texts["verdict"] = "Oversize" if wanted.internal else "Undersize"
    return Answer(
        kind=kind,
        values=values,
        texts=texts,
        assumed=tuple(assumed),
        working=(limits_working(wanted.part),)
        if wanted.part
        else (Phrase("plain-size-working", values),),
        sources=_sources(wanted),
    )


def _sources(wanted: _Wanted) -> tuple[str, ...]:
    return tuple(dict.fromkeys(wanted.part.sources)) if wanted.part else ("arithmetic",)


@answers(ColdSizeOf)
def cold_size_of(query: ColdSizeOf, situation: Situation) -> Answer:
    """What warm work will measure at 20 degrees Celsius."""
    work = material(query.material)
    if work.expansion is None:
        allowed = "has no one figure for its expansion; let the work cool"
        raise OutOfRange("material", work.name, allowed)
    warm = magnitude_in(query.diameter, "mm")
    degrees = query.temperature
    if query.temperature_scale == "fahrenheit":
        degrees = (degrees - 32) * Fraction(5, 9)
    cold = size_at_reference(warm, degrees, work.expansion)
    values = {
        "cold_size": Value(cold, "mm"),
        "warm_size": Value(warm, "mm"),
        "growth": Value(growth(cold, degrees, work.expansion), "mm"),
        "temperature": Value(degrees, ""),
        "coefficient": Value(work.expansion, ""),
    }
    return Answer(
        kind="size-cold",
        values=values,
        texts={"material": work.name},
        assumed=(*taken_units(query), *material_assumed(query, work)),
        working=(Phrase("cold-working", values),),
        sources=(work.source, "D = D20 (1 + a (T - 20)): linear expansion; ISO 1 for 20 degrees"),
    )
