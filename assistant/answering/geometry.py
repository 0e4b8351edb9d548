"""Holes on a circle, flats, balls, knurls, centre holes and keyseats."""

from __future__ import annotations

from fractions import Fraction

from assistant.answer import Answer, Phrase, Value
from assistant.answering.bare_numbers import Settled, settled
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.core.balls import ball_diameter_at, ball_length
from assistant.core.bolt_circle import chord_between, hole_places
from assistant.core.bounds import check
from assistant.core.centre_drills import CentreDepth, CentreDrill, centre_depth, centre_drill_for
from assistant.core.keyseats import keyseat_for
from assistant.core.knurls import Knurl, knurl_by_pitch, knurl_fit, knurl_named
from assistant.core.polygons import across_corners, across_flats, full_flat_depth, side_length
from assistant.query_geometry import (
    BallOf,
    BoltCircleOf,
    CentreDrillFor,
    FlatsOf,
    KeyseatFor,
    KnurlOn,
)
from assistant.units import magnitude_in

_ROWS = 4
"""Holes that are shown in the rows; the working lists them all."""

_SHAPES = {4: "square", 6: "hexagon", 8: "octagon"}

_STATIONS = 5
"""Places on a ball that are shown, from its end to its middle."""


def _checked(sizes: Settled, field: str) -> Fraction:
    """The size of a field, mm. Raises OutOfRange for one that is no length of a lathe's work."""
    size = sizes.sizes[field]
    check("length", size)
    return size


@answers(BoltCircleOf)
def bolt_circle_of(query: BoltCircleOf, situation: Situation) -> Answer:
    """Places of the holes from the centre of the circle, and the chord to check by."""
    sizes = settled(query)
    circle = _checked(sizes, "circle_diameter")
    places = hole_places(circle, query.holes, query.start_angle)
    values = {
        "chord": Value(chord_between(circle, query.holes), "mm"),
        "circle": Value(circle, "mm"),
        "holes": Value(Fraction(query.holes), ""),
        "apart": Value(Fraction(360, query.holes), "degree"),
        "x": Value(tuple(hole.x for hole in places), "mm"),
        "y": Value(tuple(hole.y for hole in places), "mm"),
    }
    for hole in places[:_ROWS]:
        values[f"x{hole.number}"] = Value(hole.x, "mm")
        values[f"y{hole.number}"] = Value(hole.y, "mm")
    every = tuple(
        Phrase(
            "hole-working",
            {
                "number": Value(Fraction(hole.number), ""),
                "angle": Value(hole.angle, "degree"),
                "x": Value(hole.x, "mm"),
                "y": Value(hole.y, "mm"),
            },
        )
        for hole in places
    )
    return Answer(
        kind="bolt-circle",
        values=values,
        assumed=sizes.assumed,
        working=(Phrase("chord-working", values), *every),
        sources=("trigonometry of the circle",),
    )


@answers(FlatsOf)
def flats_of(query: FlatsOf, situation: Situation) -> Answer:
    """Stock for a polygon, or the largest polygon in stock at hand."""
    sizes = settled(query)
    from_stock = query.round_stock is not None
    if from_stock:
        stock: Fraction | float = _checked(sizes, "round_stock")
        flats: Fraction | float = across_flats(stock, query.sides)
    else:
        flats = _checked(sizes, "flats")
        stock = across_corners(flats, query.sides)
    values = {
        "across_flats": Value(flats, "mm"),
        "across_corners": Value(stock, "mm"),
        "flat_depth": Value(full_flat_depth(stock, query.sides), "mm"),
        "side": Value(side_length(stock, query.sides), "mm"),
        "sides": Value(Fraction(query.sides), ""),
        "turn": Value(Fraction(360, query.sides), "degree"),
    }
    return Answer(
        kind="flats-from-stock" if from_stock else "flats",
        values=values,
        texts={"shape": _SHAPES[query.sides]},
        assumed=sizes.assumed,
        working=(Phrase("flats-from-stock-working" if from_stock else "flats-working", values),),
        sources=("trigonometry of the regular polygon",),
    )


@answers(BallOf)
def ball_of(query: BallOf, situation: Situation) -> Answer:
    """Diameters along a ball, its length to a neck, or its diameter at one place."""
    sizes = settled(query)
    ball = _checked(sizes, "ball")
    values = {"ball": Value(ball, "mm")}
    if query.place is not None:
        place = _checked(sizes, "place")
        values["place"] = Value(place, "mm")
        values["diameter"] = Value(ball_diameter_at(ball, place), "mm")
        kind = "ball-at"
    elif query.neck is not None:
        neck = _checked(sizes, "neck")
        values["neck"] = Value(neck, "mm")
        values["ball_length"] = Value(ball_length(ball, neck), "mm")
        kind = "ball-neck"
    else:
        kind = "ball"
        values["radius"] = Value(ball / 2, "mm")
        for number in range(1, _STATIONS + 1):
            at = ball * number / (2 * _STATIONS)
            values[f"at{number}"] = Value(at, "mm")
            values[f"diameter{number}"] = Value(ball_diameter_at(ball, at), "mm")
    return Answer(
        kind=kind,
        values=values,
        assumed=sizes.assumed,
        working=(Phrase(f"{kind}-working", values),),
        sources=("geometry of the circle",),
    )


@answers(KnurlOn)
def knurl_on(query: KnurlOn, situation: Situation) -> Answer:
    """Work diameters below and above on which the teeth close."""
    knurl = _knurl(query)
    sizes = settled(query)
    diameter = _checked(sizes, "diameter")
    found = knurl_fit(knurl, diameter)
    values = {
        "above": Value(found.above.diameter, "mm"),
        "above_teeth": Value(Fraction(found.above.teeth), ""),
        "asked": Value(diameter, "mm"),
        "per_tooth": Value(knurl.diameter_per_tooth, "mm"),
    }
    if found.below is not None:
        values["below"] = Value(found.below.diameter, "mm")
        values["below_teeth"] = Value(Fraction(found.below.teeth), "")
    return Answer(
        kind="knurl",
        values=values,
        texts={"knurl": knurl.name.replace(" DP", " diametral pitch")},
        assumed=sizes.assumed,
        working=(Phrase("knurl-working", values),),
        sources=(knurl.source,),
    )


def _knurl(query: KnurlOn) -> Knurl:
    if query.knurl_pitch is not None:
        return knurl_by_pitch(magnitude_in(query.knurl_pitch, "mm"))
    return knurl_named(query.knurl_name or "")


@answers(CentreDrillFor)
def centre_drill(query: CentreDrillFor, situation: Situation) -> Answer:
    """The centre drill of the series that goes with the units of the question."""
    sizes = settled(query)
    work = _checked(sizes, "diameter")
    drill = centre_drill_for(work, "ASME" if sizes.in_inches(query.diameter) else "ISO")
    depth = centre_depth(drill)
    texts = {"drill": f"No. {drill.size}" if drill.series == "ASME" else f"{drill.size} mm"}
    if depth.least != depth.most:
        texts["pilots_differ"] = "yes"
    return Answer(
        kind="centre-drill",
        values=_centre_values(drill, depth, work),
        texts=texts,
        assumed=sizes.assumed,
        working=(Phrase("centre-working", _centre_values(drill, depth, work)),),
        sources=(drill.source, "centre holes by work diameter: common practice, from memory"),
    )


def _centre_values(drill: CentreDrill, depth: CentreDepth, work: Fraction) -> dict[str, Value]:
    return {
        "pilot": Value(drill.pilot, "mm"),
        "body": Value(drill.body, "mm"),
        "countersink": Value(depth.countersink, "mm"),
        "cone": Value(depth.cone, "mm"),
        "depth_least": Value(depth.least, "mm"),
        "depth_most": Value(depth.most, "mm"),
        "work_diameter": Value(work, "mm"),
    }


@answers(KeyseatFor)
def keyseat(query: KeyseatFor, situation: Situation) -> Answer:
    """Width and depth of the keyseat by the standard that goes with the units of the question."""
    sizes = settled(query)
    shaft = _checked(sizes, "diameter")
    standard = "ANSI" if sizes.in_inches(query.diameter) else "ISO"
    found = keyseat_for(shaft, standard)
    values = {
        "key_width": Value(found.key.width, "mm"),
        "key_height": Value(found.key.height, "mm"),
        "keyseat_depth": Value(found.depth_from_top, "mm"),
        "depth_at_side": Value(found.depth_at_side, "mm"),
        "bottom_to_far_side": Value(found.bottom_to_far_side, "mm"),
        "hub_over_key": Value(found.hub_over_key, "mm"),
        "shaft": Value(shaft, "mm"),
    }
    if found.key.shaft_plus is not None:
        values["depth_plus"] = Value(found.key.shaft_plus, "mm")
    return Answer(
        kind="keyseat",
        values=values,
        texts={"standard": standard},
        assumed=sizes.assumed,
        working=(Phrase("keyseat-working", values),),
        sources=(found.key.source,),
    )
