"""Tapers: compound angle, set-over, and what checks them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.answer import Answer, Ask, Phrase, Value
from assistant.answering.bare_numbers import Settled, settled
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.core.angles import degrees_minutes_seconds
from assistant.core.taper_names import NamedTaper, named_taper
from assistant.core.tapers import (
    LARGEST_SET_OVER,
    Taper,
    diameter_at,
    indicator_reading,
    sine_bar_height,
    tailstock_set_over,
    take_off_for_gap,
    taper_by_diameters,
    taper_by_foot,
    taper_by_half_angle,
    taper_by_included_angle,
    taper_by_ratio,
)
from assistant.errors import OutOfRange
from assistant.query_sizing import (
    DiameterOnTaper,
    GapOnTaper,
    IndicatorFor,
    SetOverFor,
    SineBarFor,
    TaperFor,
    TaperStated,
)
from assistant.units import MM_PER_INCH, magnitude_in

_CONE = "trigonometry of the cone"


@dataclass(frozen=True)
class _Asked:
    """The taper that a question is about."""

    taper: Taper
    name: str
    """As shown: 'MT3', '1 : 20', …"""
    large: Fraction | None
    small: Fraction | None
    length: Fraction | None
    source: str


def _asked(stated: TaperStated, sizes: Settled) -> _Asked | Ask:
    """The taper as it was stated; an angle without a word for which is asked about."""
    if stated.taper_name is not None:
        return _named(named_taper(stated.taper_name.replace("_", " ")))
    if stated.ratio_length is not None and stated.ratio_diameter is not None:
        taper = taper_by_ratio(stated.ratio_length, stated.ratio_diameter)
        name = f"{stated.ratio_diameter} : {_figure(stated.ratio_length)}"
        return _Asked(taper, name, None, None, None, "ratio as stated")
    if stated.per_foot is not None:
        rate = magnitude_in(stated.per_foot, "inch")
        return _Asked(taper_by_foot(rate), f"{_figure(rate)} in/ft", None, None, None, "as stated")
    if stated.included_angle is not None:
        name = f"{_figure(stated.included_angle)}° included"
        return _Asked(taper_by_included_angle(stated.included_angle), name, None, None, None, _CONE)
    if stated.half_angle is not None:
        name = f"{_figure(stated.half_angle)}° per side"
        return _Asked(taper_by_half_angle(stated.half_angle), name, None, None, None, _CONE)
    if stated.large is not None and stated.small is not None and stated.run is not None:
        small, large = sorted((sizes.sizes["large"], sizes.sizes["small"]))
        run = sizes.sizes["run"]
        inch = sizes.in_inches(stated.large)
        ends = [_figure(each / MM_PER_INCH if inch else each) for each in (large, small, run)]
        name = f"{ends[0]} to {ends[1]} over {ends[2]} {'in' if inch else 'mm'}"
        return _Asked(taper_by_diameters(large, small, run), name, large, small, run, "as stated")
    return Ask(Phrase("which-angle", {"angle": _figure(stated.angle or 0)}))


def _named(known: NamedTaper) -> _Asked:
    return _Asked(
        known.taper,
        known.name,
        known.large_diameter,
        known.small_diameter,
        known.length,
        known.source,
    )


def _figure(number: Fraction | int) -> str:
    return f"{float(number):.6g}"


def _dms(angle: float) -> str:
    """Degrees, minutes and seconds to the second, as a protractor shows them."""
    parts = degrees_minutes_seconds(angle, 1)
    return f"{parts.degrees}° {parts.minutes}′ {int(parts.seconds)}″"


def _values(taper: Taper) -> dict[str, Value]:
    return {
        "half_angle": Value(taper.half_angle, "degree"),
        "compound_angle": Value(taper.compound_angle, "degree"),
        "included_angle": Value(taper.included_angle, "degree"),
        "from_cross_slide": Value(taper.compound_from_cross_slide, "degree"),
        "taper_per_length": Value(taper.per_length, ""),
        "taper_per_foot": Value(taper.per_foot, "inch"),
        "taper_ratio": Value(taper.ratio, ""),
    }


def _answer(
    kind: str,
    sizes: Settled,
    asked: _Asked,
    extra: dict[str, Value],
    working: tuple[Phrase, ...],
    cautions: tuple[Phrase, ...] = (),
    texts: dict[str, str] | None = None,
) -> Answer:
    values = {**_values(asked.taper), **extra}
    half, included = _dms(asked.taper.half_angle), _dms(asked.taper.included_angle)
    return Answer(
        kind=kind,
        values=values,
        texts={"taper": asked.name, "half_dms": half, "included_dms": included, **(texts or {})},
        cautions=cautions,
        assumed=sizes.assumed,
        working=tuple(Phrase(each.key, {**values, **each.values}) for each in working),
        sources=tuple(dict.fromkeys((asked.source, _CONE))),
    )


@answers(TaperFor)
def taper_for(query: TaperFor, situation: Situation) -> Answer | Ask:
    """The compound angle and the taper in every statement of it."""
    sizes = settled(query)
    asked = _asked(query, sizes)
    if isinstance(asked, Ask):
        return asked
    ends = {"large_end": asked.large, "small_end": asked.small, "taper_length": asked.length}
    extra = {name: Value(size, "mm") for name, size in ends.items() if size is not None}
    return _answer("taper", sizes, asked, extra, (Phrase("taper-working"),))


@answers(SetOverFor)
def set_over_for(query: SetOverFor, situation: Situation) -> Answer | Ask:
    """The shift of the tailstock for the whole length between centres."""
    sizes = settled(query)
    asked = _asked(query, sizes)
    if isinstance(asked, Ask):
        return asked
    if query.overall is None:
        return Ask(Phrase("which-overall", {"taper": asked.name}))
    overall = sizes.sizes["overall"]
    room = situation.lathe.distance_between_centres
    if room is not None and overall > room:
        allowed = f"the {situation.lathe.name} takes {_figure(room)} mm between centres"
        raise OutOfRange("length between centres", f"{_figure(overall)} mm", allowed)
    shift = tailstock_set_over(asked.taper, overall)
    extra = {"set_over": Value(shift, "mm"), "overall": Value(overall, "mm")}
    cautions = (Phrase("set-over-clear"),)
    answer = _answer("set-over", sizes, asked, extra, (Phrase("set-over-working"),), cautions)
    if shift <= LARGEST_SET_OVER * overall:
        return answer
    return replace(answer, assumed=(*answer.assumed, Phrase("set-over-large")))


@answers(DiameterOnTaper)
def diameter_on_taper(query: DiameterOnTaper, situation: Situation) -> Answer | Ask:
    """The diameter at a distance from an end whose diameter is known."""
    sizes = settled(query)
    asked = _asked(query, sizes)
    if isinstance(asked, Ask):
        return asked
    known = asked.large if query.from_end == "large" else asked.small
    if known is None:
        return Ask(Phrase("which-diameters", {"taper": asked.name, "end": query.from_end}))
    distance = sizes.sizes["distance"]
    if asked.length is not None and distance > asked.length:
        allowed = f"{asked.name} is {_figure(asked.length)} mm long"
        raise OutOfRange("distance from the end", f"{_figure(distance)} mm", allowed)
    towards_large = query.from_end == "small"
    found = diameter_at(asked.taper, known, distance, towards_large)
    extra = {
        "diameter": Value(found, "mm"),
        "known_diameter": Value(known, "mm"),
        "distance": Value(distance, "mm"),
    }
    key = "diameter-up-working" if towards_large else "diameter-down-working"
    return _answer(
        "taper-diameter", sizes, asked, extra, (Phrase(key),), texts={"end": query.from_end}
    )


@answers(IndicatorFor)
def indicator_for(query: IndicatorFor, situation: Situation) -> Answer | Ask:
    """What an indicator square to the axis shows over a travel of the carriage."""
    sizes = settled(query)
    asked = _asked(query, sizes)
    if isinstance(asked, Ask):
        return asked
    travel = sizes.sizes["travel"]
    reading = indicator_reading(asked.taper, travel)
    extra = {"indicator_reading": Value(reading, "mm"), "travel": Value(travel, "mm")}
    return _answer("taper-indicator", sizes, asked, extra, (Phrase("indicator-working"),))


@answers(SineBarFor)
def sine_bar_for(query: SineBarFor, situation: Situation) -> Answer | Ask:
    """Gauge blocks under a sine bar: for a taper its included angle, for an angle that angle."""
    sizes = settled(query)
    bar = sizes.sizes["sine_bar"]
    if query.angle is not None:
        taper = taper_by_included_angle(query.angle)
        asked: _Asked | Ask = _Asked(taper, f"{_figure(query.angle)}°", None, None, None, _CONE)
    else:
        asked = _asked(query, sizes)
    if isinstance(asked, Ask):
        return asked
    angle = query.angle if query.angle is not None else asked.taper.included_angle
    extra = {
        "block_height": Value(sine_bar_height(angle, bar), "mm"),
        "bar": Value(bar, "mm"),
        "bar_angle": Value(angle, "degree"),
    }
    return _answer("sine-bar", sizes, asked, extra, (Phrase("sine-bar-working"),))


@answers(GapOnTaper)
def gap_on_taper(query: GapOnTaper, situation: Situation) -> Answer | Ask:
    """What comes off so that a gauge goes on farther by the gap."""
    sizes = settled(query)
    asked = _asked(query, sizes)
    if isinstance(asked, Ask):
        return asked
    gap = sizes.sizes["gap"]
    off = take_off_for_gap(asked.taper, gap)
    extra = {
        "remove_on_diameter": Value(off, "mm"),
        "remove_per_side": Value(off / 2, "mm"),
        "gap": Value(gap, "mm"),
    }
    return _answer("taper-gap", sizes, asked, extra, (Phrase("gap-working"),))
