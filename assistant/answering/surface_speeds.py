"""Spindle speed for a surface speed, and the other way round."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import pi

from assistant.answer import Answer, Phrase, Value
from assistant.answering.bare_numbers import settled
from assistant.answering.levers import lever_words, settings_for
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.speed import speed, speed_cautions
from assistant.core.shift_plan import shift_plan
from assistant.core.speeds import choose_setting, face_speeds, spindle_speed, surface_speed
from assistant.query import SpindleSpeedFor
from assistant.query_cutting import FaceSpeedFor, SpindleSpeedAt, SurfaceSpeedOf
from assistant.units import magnitude_in, quantity

SOURCE = "v = pi d n / 1000: definition of surface speed"


@answers(SpindleSpeedAt)
def spindle_speed_at(query: SpindleSpeedAt, situation: Situation) -> Answer:
    """The lathe's speed nearest to n = 1000 v / (pi d), and its levers."""
    lathe = situation.lathe
    sizes = settled(query)
    diameter = sizes.sizes["diameter"]
    wanted = magnitude_in(query.surface_speed, "meter/minute")
    ideal = spindle_speed(wanted, diameter)
    choice = choose_setting([each.gives for each in lathe.speeds], ideal, lathe.speed_excess)
    plan = shift_plan(lathe.levers, situation.levers, settings_for(lathe.speeds, choice.speed))
    values = {
        "spindle_speed": Value(choice.speed, "rpm"),
        "ideal_spindle_speed": Value(ideal, "rpm"),
        "surface_speed": Value(surface_speed(choice.speed, diameter), "m/min"),
        "surface_speed_start": Value(wanted, "m/min"),
        "diameter": Value(diameter, "mm"),
        "pi": Value(pi, ""),
    }
    return Answer(
        kind="speed-at",
        values=values,
        texts={"lathe": lathe.name},
        settings={"spindle": plan.settings[0]},
        moves=plan.moves,
        lever_words=lever_words(lathe),
        cautions=tuple(speed_cautions(choice, lathe, values)),
        assumed=sizes.assumed,
        working=(Phrase("speed-working", values),),
        sources=(SOURCE, f"speeds of the {lathe.name}'s profile"),
    )


@answers(FaceSpeedFor)
def face_speed_for(query: FaceSpeedFor, situation: Situation) -> Answer:
    """The speed for the outer end, what it comes to at the inner one, and what would be ideal there.

    Only the outer end's is to be set: at it the work, the chuck and the tool are fastest.
    """
    sizes = settled(query)
    outer, inner = sizes.sizes["diameter"], sizes.get("inner_diameter") or Fraction(0)
    asked = SpindleSpeedFor(
        material=query.material,
        diameter=quantity(outer, "mm"),
        tool=query.tool,
        operation=query.operation,
        assumed=tuple(each for each in query.assumed if not each.startswith("unit-")),
    )
    answer = speed(asked, situation)
    turns, start = (answer.values[name].number for name in ("spindle_speed", "surface_speed_start"))
    assert isinstance(turns, Fraction)
    assert isinstance(start, Fraction)
    ends = face_speeds(turns, outer, inner)
    values = {
        **answer.values,
        "inner_diameter": Value(inner, "mm"),
        "surface_speed_inner": Value(ends.inner, "m/min"),
    }
    texts = {**answer.texts, "to_centre": "" if inner else "yes"}
    working = [*answer.working, Phrase("face-working", values)]
    if inner:
        values["ideal_inner_speed"] = Value(spindle_speed(start, inner), "rpm")
        working.append(Phrase("face-inner-working", values))
    return replace(
        answer,
        kind="speed-face",
        values=values,
        texts=texts,
        assumed=(*sizes.assumed, *answer.assumed),
        working=tuple(working),
    )


@answers(SurfaceSpeedOf)
def surface_speed_of(query: SurfaceSpeedOf, situation: Situation) -> Answer:
    """v = pi d n / 1000, at one diameter or at both ends of a face."""
    sizes = settled(query)
    diameter, inner = sizes.sizes["diameter"], sizes.get("inner_diameter")
    values = {
        "surface_speed": Value(surface_speed(query.spindle_speed, diameter), "m/min"),
        "spindle_speed": Value(Fraction(query.spindle_speed), "rpm"),
        "diameter": Value(diameter, "mm"),
    }
    if inner is not None:
        ends = face_speeds(query.spindle_speed, diameter, inner)
        values["surface_speed_inner"] = Value(ends.inner, "m/min")
        values["inner_diameter"] = Value(inner, "mm")
    return Answer(
        kind="surface-speed",
        values=values,
        assumed=sizes.assumed,
        working=(Phrase("surface-speed-working", values),),
        sources=(SOURCE,),
    )
