"""Limits and fits: ISO zones, inch classes, general tolerances."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from assistant.answer import Answer, Ask, Phrase, Value
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.core.angles import degrees_minutes_seconds
from assistant.core.fits import Fit, SizeLimits, fit, limits, zone_named
from assistant.core.general_tolerances import CLASSES, angle_tolerance, general_limits
from assistant.core.inch_fits import inch_fit
from assistant.query import Query
from assistant.query_sizing import FitOf, GeneralToleranceOf, InchFitOf
from assistant.units import MM_PER_INCH, magnitude_in

_FINEST_SHOWN = Fraction(1, 1000)
_AT_REFERENCE = "sizes hold at 20 degrees Celsius: ISO 1"


def taken_units(query: Query) -> tuple[Phrase, ...]:
    """What was assumed about units while reading."""
    return tuple(Phrase(f"taken-{each}") for each in query.assumed if each.startswith("unit-"))


def _remembered(sources: Iterable[str]) -> tuple[Phrase, ...]:
    """That the figures were not read in print, where a source says so."""
    told = any("from memory" in each for each in sources)
    return (Phrase("limits-from-memory"),) if told else ()


@answers(FitOf)
def fit_of(query: FitOf, situation: Situation) -> Answer | Ask:
    """Limits of the hole, the shaft, or both; a zone said without either is asked about."""
    size = magnitude_in(query.size, "mm")
    if query.hole and query.shaft:
        found = fit(size, query.hole, query.shaft)
        name = f"{_plain(size)} {query.hole}/{query.shaft}"
        return fit_answer(found, name, query, _both_units("mm", situation))
    zone = query.hole or query.shaft
    if zone is None:
        # A zone is heard alike for hole and shaft: only the drawing's capital tells them apart.
        zone = zone_named(query.zone or "").designation
        limits(size, zone)
        return Ask(Phrase("hole-or-shaft", {"size": _plain(size), "zone": zone}))
    part = limits(size, zone)
    return Answer(
        kind="fit-hole" if query.hole else "fit-shaft",
        values={
            **part_values("hole" if query.hole else "shaft", part),
            "size": Value(size, "mm"),
            "aim": Value(part.middle, "mm"),
            "upper_deviation": Value(part.upper_deviation, "mm"),
            "lower_deviation": Value(part.lower_deviation, "mm"),
            "tolerance": Value(part.tolerance, "mm"),
        },
        texts={"designation": f"{_plain(size)} {zone}", **_fine_text(part)},
        assumed=(*taken_units(query), *_remembered(part.sources)),
        working=(limits_working(part),),
        sources=(*dict.fromkeys(part.sources), _AT_REFERENCE),
    )


@answers(InchFitOf)
def inch_fit_of(query: InchFitOf, situation: Situation) -> Answer:
    """Limits of hole and shaft in a class of ANSI B4.1."""
    size = magnitude_in(query.size, "mm")
    found = inch_fit(size, query.fit_class)
    name = f'{_plain(size / MM_PER_INCH)}" {query.fit_class}'
    return fit_answer(found, name, query, _both_units("inch", situation))


def _both_units(printed: str, situation: Situation) -> dict[str, str]:
    """Makes the limits stand in the standard's unit and in the operator's, where they differ."""
    return {} if situation.units == printed else {"printed_in": printed}


@answers(GeneralToleranceOf)
def general_tolerance_of(query: GeneralToleranceOf, situation: Situation) -> Answer:
    """Plus and minus of a dimension without a tolerance of its own."""
    size = magnitude_in(query.size, "mm")
    texts = {"class": CLASSES.get(query.tolerance_class, query.tolerance_class)}
    if query.of == "angle":
        found = angle_tolerance(size, query.tolerance_class)
        parts = degrees_minutes_seconds(found.plus_minus)
        return Answer(
            kind="tolerance-angle",
            values={"plus_minus": Value(found.plus_minus, "degree"), "size": Value(size, "mm")},
            texts={**texts, "plus_minus_minutes": f"{parts.degrees}° {parts.minutes}′"},
            assumed=(*taken_units(query), *_remembered((found.source,))),
            working=(Phrase("tolerance-angle-working", {"size": Value(size, "mm")}),),
            sources=(found.source,),
        )
    part = general_limits(size, query.tolerance_class)
    return Answer(
        kind="tolerance",
        values={
            "plus_minus": Value(part.upper_deviation, "mm"),
            "upper_deviation": Value(part.upper_deviation, "mm"),
            "lower_deviation": Value(part.lower_deviation, "mm"),
            "size": Value(size, "mm"),
            "size_min": Value(part.minimum, "mm"),
            "size_max": Value(part.maximum, "mm"),
        },
        texts=texts,
        assumed=(*taken_units(query), *_remembered(part.sources)),
        working=(limits_working(part),),
        sources=part.sources,
    )


def part_values(part: str, found: SizeLimits) -> dict[str, Value]:
    """Limits and deviations of 'hole' or 'shaft'."""
    return {
        f"{part}_min": Value(found.minimum, "mm"),
        f"{part}_max": Value(found.maximum, "mm"),
        f"{part}_upper_deviation": Value(found.upper_deviation, "mm"),
        f"{part}_lower_deviation": Value(found.lower_deviation, "mm"),
    }


def fit_answer(found: Fit, designation: str, query: Query, texts: dict[str, str]) -> Answer:
    """A fit of two parts, by what lies between them."""
    kind = found.kind.value
    values = {
        **part_values("hole", found.hole),
        **part_values("shaft", found.shaft),
        "clearance_min": Value(found.clearance_min, "mm"),
        "clearance_max": Value(found.clearance_max, "mm"),
        "interference_min": Value(-found.clearance_max, "mm"),
        "interference_max": Value(-found.clearance_min, "mm"),
    }
    return Answer(
        kind=f"fit-{kind}",
        values=values,
        texts={
            "designation": designation,
            "fit": kind,
            **_fine_text(found.hole, found.shaft),
            **texts,
        },
        assumed=(*taken_units(query), *_remembered((*found.hole.sources, *found.shaft.sources))),
        working=(
            limits_working(found.hole),
            limits_working(found.shaft),
            Phrase("fit-working", values),
        ),
        sources=(*dict.fromkeys((*found.hole.sources, *found.shaft.sources)), _AT_REFERENCE),
    )


def limits_working(part: SizeLimits) -> Phrase:
    """The limits with this question's figures."""
    return Phrase(
        "limits-working",
        {
            "zone": part.zone,
            "size": Value(part.size, "mm"),
            "upper": Value(part.upper_deviation, "mm"),
            "lower": Value(part.lower_deviation, "mm"),
            "maximum": Value(part.maximum, "mm"),
            "minimum": Value(part.minimum, "mm"),
        },
    )


def _fine_text(*parts: SizeLimits) -> dict[str, str]:
    """Marks limits that need more places than a micrometre."""
    sizes = [edge for part in parts for edge in (part.minimum, part.maximum)]
    whole = all((size / _FINEST_SHOWN).denominator == 1 for size in sizes)
    return {} if whole else {"half_micron": "yes"}


def _plain(size: Fraction) -> str:
    return f"{float(size):.6g}"
