"""Spindle speed for a material, a diameter and a tool, of those that the lathe has."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import pi

from assistant.answer import Answer, Phrase, Value
from assistant.answering.levers import lever_words, settings_for
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.work import (
    HOLES,
    material_assumed,
    material_cautions,
    taken_tool,
    tool_name,
)
from assistant.core.feeds import hole_feed
from assistant.core.materials import material
from assistant.core.shift_plan import shift_plan
from assistant.core.speeds import (
    SpeedChoice,
    choose_setting,
    operation_for,
    spindle_speed,
    starting_surface_speed,
    surface_speed,
)
from assistant.errors import OutOfRange
from assistant.query import SpindleSpeedFor
from assistant.units import magnitude_in
from profiles.lathe import Lathe


@answers(SpindleSpeedFor)
def speed(query: SpindleSpeedFor, situation: Situation) -> Answer:
    """The lathe's speed nearest to the ideal n = 1000 v / (pi d), its levers, and what it gives."""
    lathe = situation.lathe
    work = material(query.material)
    diameter = magnitude_in(query.diameter, "mm")
    tool, tool_assumed = taken_tool(query.tool, situation)
    operation = query.operation or "turn"
    start = starting_surface_speed(work.key, tool, operation)
    ideal = spindle_speed(start.start, diameter)
    _check_swing(diameter, lathe, operation)
    speeds = sorted({each.gives for each in lathe.speeds})
    choice = _stepped(choose_setting(speeds, ideal, lathe.speed_excess), query.steps, speeds, lathe)
    plan = shift_plan(lathe.levers, situation.levers, settings_for(lathe.speeds, choice.speed))
    values = {
        "spindle_speed": Value(choice.speed, "rpm"),
        "ideal_spindle_speed": Value(ideal, "rpm"),
        "surface_speed": Value(surface_speed(choice.speed, diameter), "m/min"),
        "surface_speed_low": Value(start.low, "m/min"),
        "surface_speed_high": Value(start.high, "m/min"),
        "surface_speed_start": Value(start.start, "m/min"),
        "diameter": Value(diameter, "mm"),
        "pi": Value(pi, ""),
    }
    does = operation_for(operation, tool)
    texts = {"material": work.name, "tool": tool_name(tool), "lathe": lathe.name}
    texts["task"] = work.name
    if query.operation is not None:
        texts["operation"] = does.name
        texts["task"] = f"{does.name} {work.name}"
    sources = [start.source, "n = 1000 v / (pi d): definition of surface speed"]
    if operation in HOLES:
        by_hand = hole_feed(work.key, diameter, operation)
        values["feed_by_hand"] = Value(by_hand.start, "mm/turn")
        sources.append(by_hand.source)
    else:
        texts["ideal"] = "yes"
    if does.factor != 1:
        sources.append(f"{does.name}, {does.factor} of the turning speed: {does.source}")
    return Answer(
        kind="speed",
        values=values,
        texts=texts,
        settings={"spindle": plan.settings[0]},
        moves=plan.moves,
        lever_words=lever_words(lathe),
        cautions=(
            *speed_cautions(choice, lathe, values),
            *([Phrase("faster-than-usual", values)] if _too_fast(query, values) else []),
            *material_cautions(work),
        ),
        assumed=(
            *(Phrase(f"taken-{each}") for each in query.assumed if each != "loose-material"),
            *material_assumed(query, work),
            *tool_assumed,
        ),
        working=(Phrase("speed-working", values),),
        sources=tuple(sources),
    )


def _stepped(
    choice: SpeedChoice, steps: int, speeds: Sequence[Fraction], lathe: Lathe
) -> SpeedChoice:
    """So many of the lathe's speeds above the choice, or below it. Raises OutOfRange past the first or last."""
    if not steps:
        return choice
    place = speeds.index(choice.speed) + steps
    if not 0 <= place < len(speeds):
        end = speeds[-1] if steps > 0 else speeds[0]
        raise OutOfRange(
            "spindle speed",
            "the next one",
            f"the {lathe.name} has none beyond {float(end):g} turns a minute",
        )
    return SpeedChoice(speeds[place])


def _too_fast(query: SpindleSpeedFor, values: dict[str, Value]) -> bool:
    """True where the operator went up past the usual surface speeds of the material."""
    speed, high = values["surface_speed"].number, values["surface_speed_high"].number
    return query.steps > 0 and float(speed) > float(high)  # type: ignore[arg-type]


def _check_swing(diameter: Fraction, lathe: Lathe, operation: str) -> None:
    if operation != "drill" and lathe.swing_over_bed and diameter > lathe.swing_over_bed:
        raise OutOfRange(
            "work diameter",
            f"{float(diameter):g} mm",
            f"the {lathe.name} swings {float(lathe.swing_over_bed):g} mm over the bed",
        )


def speed_cautions(choice: SpeedChoice, lathe: Lathe, values: dict[str, Value]) -> list[Phrase]:
    """What must be said before the spindle is set to the speed chosen."""
    found = []
    if choice.lowest_is_too_fast:
        found.append(
            Phrase("lowest-too-fast", {"ideal_spindle_speed": values["ideal_spindle_speed"]})
        )
    slow = sorted(
        (each for each in lathe.chucks if each.top_speed < choice.speed), key=lambda c: c.top_speed
    )
    if slow:
        found.append(
            Phrase("chuck-limit", {"chuck": slow[0].name, "top": Value(slow[0].top_speed, "rpm")})
        )
    return found
