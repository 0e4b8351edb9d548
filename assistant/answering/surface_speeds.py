"""Spindle speed for a surface speed, and the other way round."""

from __future__ import annotations

from fractions import Fraction
from math import pi

from assistant.answer import Answer, Phrase, Value
from assistant.answering.bare_numbers import settled
from assistant.answering.levers import lever_words, settings_for
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.speed import speed_cautions
from assistant.core.shift_plan import shift_plan
from assistant.core.speeds import choose_setting, face_speeds, spindle_speed, surface_speed
from assistant.query_cutting import SpindleSpeedAt, SurfaceSpeedOf
from assistant.units import magnitude_in

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
