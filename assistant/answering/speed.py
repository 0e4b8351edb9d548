"""Spindle speed for a material, a diameter and a tool, of those that the lathe has."""

from __future__ import annotations

from fractions import Fraction
from math import pi

from assistant.answer import Answer, Phrase, Value
from assistant.answering.levers import lever_words, settings_for
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.core.materials import material
from assistant.core.shift_plan import shift_plan
from assistant.core.speeds import (
    SpeedChoice,
    choose_setting,
    spindle_speed,
    starting_surface_speed,
    surface_speed,
)
from assistant.errors import OutOfRange
from assistant.query import SpindleSpeedFor
from assistant.units import magnitude_in
from profiles.lathe import Lathe

USUAL_TOOL = "hss"
"""Assumed where none was named: the slowest of the tools, so a wrong guess costs time, not an edge."""


@answers(SpindleSpeedFor)
def speed(query: SpindleSpeedFor, situation: Situation) -> Answer:
    """The lathe's speed nearest to the ideal n = 1000 v / (pi d), its levers, and what it gives."""
    lathe = situation.lathe
    work = material(query.material)
    diameter = magnitude_in(query.diameter, "mm")
    tool = query.tool or situation.tool or USUAL_TOOL
    operation = query.operation or "turn"
    start = starting_surface_speed(work.key, tool, operation)
    ideal = spindle_speed(start.start, diameter)
    _check_swing(diameter, lathe, operation)
    choice = choose_setting([each.gives for each in lathe.speeds], ideal, lathe.speed_excess)
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
    texts = {"material": work.name, "tool": f"{tool}", "operation": operation, "lathe": lathe.name}
    return Answer(
        kind="speed",
        values=values,
        texts={**texts, "tool": _tool_name(tool)},
        settings={"spindle": plan.settings[0]},
        moves=plan.moves,
        lever_words=lever_words(lathe),
        cautions=tuple(_cautions(choice, lathe, work.caution, values)),
        assumed=tuple(_assumed(query, situation, work.name, tool)),
        working=(Phrase("speed-working", {**values, "material": work.name, "tool": _tool_name(tool)}),),
        sources=(start.source, "n = 1000 v / (pi d): definition of surface speed"),
    )


def _tool_name(tool: str) -> str:
    return {"hss": "high speed steel"}.get(tool, tool.replace("-", " "))


def _check_swing(diameter: Fraction, lathe: Lathe, operation: str) -> None:
    if operation != "drill" and lathe.swing_over_bed and diameter > lathe.swing_over_bed:
        raise OutOfRange(
            "work diameter",
            f"{float(diameter):g} mm",
            f"the {lathe.name} swings {float(lathe.swing_over_bed):g} mm over the bed",
        )


def _cautions(
    choice: SpeedChoice, lathe: Lathe, material_caution: str | None, values: dict[str, Value]
) -> list[Phrase]:
    found = []
    if choice.lowest_is_too_fast:
        found.append(Phrase("lowest-too-fast", {"ideal_spindle_speed": values["ideal_spindle_speed"]}))
    slow = sorted((each for each in lathe.chucks if each.top_speed < choice.speed), key=lambda c: c.top_speed)
    if slow:
        found.append(Phrase("chuck-limit", {"chuck": slow[0].name, "top": Value(slow[0].top_speed, "rpm")}))
    if material_caution:
        found.append(Phrase(material_caution))
    return found


def _assumed(query: SpindleSpeedFor, situation: Situation, name: str, tool: str) -> list[Phrase]:
    found = [Phrase(f"taken-{each}") for each in query.assumed if each != "loose-material"]
    if "loose-material" in query.assumed:
        found.append(Phrase("assumed-material", {"material": name}))
    if query.tool is None:
        key = "assumed-tool-in-hand" if situation.tool else "taken-tool"
        found.append(Phrase(key, {"tool": _tool_name(tool)}))
    return found
