"""Force, torque and power of a cut, and how deep the motor lets it be."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.answer import Answer, Ask, Phrase, Value
from assistant.answering.bare_numbers import settled
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.work import (
    material_assumed,
    material_cautions,
    taken_tool,
    tool_name,
)
from assistant.core.bounds import check, with_unit
from assistant.core.forces import (
    Cut,
    CuttingConstants,
    chip_thickness,
    cut_force,
    cutting_constants,
    cutting_power,
    largest_depth_of_cut,
    motor_power,
    removal_rate,
    torque,
)
from assistant.core.materials import material
from assistant.core.speeds import (
    choose_setting,
    spindle_speed,
    starting_surface_speed,
    surface_speed,
)
from assistant.errors import OutOfRange
from assistant.query_cutting import LargestDepthFor, PowerFor
from assistant.units import magnitude_in

SQUARE = Fraction(90)
"""Degrees, approach angle of a square-shoulder tool, taken where none was named."""


@dataclass(frozen=True)
class _Speed:
    """The speed that a cut is counted with."""

    surface: float
    """m/min."""
    phrases: tuple[Phrase, ...]
    values: dict[str, Value]
    source: str


def _speed(
    query: PowerFor | LargestDepthFor, diameter: Fraction | None, situation: Situation
) -> _Speed:
    """The speed as given, or that of the lathe's setting for the material, tool and diameter."""
    if query.surface_speed is not None:
        given = magnitude_in(query.surface_speed, "meter/minute")
        return _Speed(float(given), (), {"surface_speed": Value(given, "m/min")}, "speed as asked")
    assert diameter is not None
    phrases: list[Phrase] = []
    if query.spindle_speed is not None:
        turns, source = Fraction(query.spindle_speed), "speed as asked"
    else:
        tool, phrases = taken_tool(query.tool, situation)
        start = starting_surface_speed(query.material, tool)
        ideal = spindle_speed(start.start, diameter)
        lathe = situation.lathe
        turns = choose_setting(
            [each.gives for each in lathe.speeds], ideal, lathe.speed_excess
        ).speed
        source = start.source
        named: dict[str, Value | str] = {"spindle_speed": Value(turns, "rpm")}
        named["tool"] = tool_name(tool)
        phrases.append(Phrase("assumed-speed", named))
    surface = surface_speed(turns, diameter)
    values = {"surface_speed": Value(surface, "m/min"), "spindle_speed": Value(turns, "rpm")}
    return _Speed(surface, tuple(phrases), values, source)


def _shaped(query: PowerFor | LargestDepthFor, depth: Fraction, feed: Fraction) -> Cut:
    """The cut with the tool's angles as named, else a square shoulder without rake."""
    approach = SQUARE if query.approach_angle is None else query.approach_angle
    return Cut(depth, feed, approach, query.rake_angle or Fraction(0))


def _tool_angles(query: PowerFor | LargestDepthFor, cut: Cut) -> dict[str, Value]:
    """The angles that were named, and the chip that they make."""
    if query.approach_angle is None and query.rake_angle is None:
        return {}
    return {
        "approach_angle": Value(Fraction(cut.approach_angle), "degree"),
        "rake_angle": Value(Fraction(cut.rake_angle), "degree"),
        "chip_thickness": Value(chip_thickness(cut.feed, cut.approach_angle), "mm"),
    }


def _tool_assumed(query: PowerFor | LargestDepthFor, beyond_measured: bool) -> list[Phrase]:
    """What was taken for the tool where nothing was said of it."""
    named = {
        (False, False): "assumed-sharp",
        (True, False): "assumed-sharp-no-rake",
        (False, True): "assumed-sharp-square",
        (True, True): "assumed-sharp-only",
    }[query.approach_angle is not None, query.rake_angle is not None]
    return [Phrase(named), *([Phrase("chip-not-measured")] if beyond_measured else [])]


def _check_depth(depth: Fraction, diameter: Fraction | None) -> None:
    """Refuse a cut that goes past the middle of the work."""
    if diameter is not None and depth > diameter / 2:
        raise OutOfRange(
            "depth of cut",
            with_unit(depth, "mm"),
            f"is more than half of the diameter {with_unit(diameter, 'mm')}",
            with_unit(diameter / 2, "mm"),
        )


def _beyond_the_work(deepest: Value, diameter: Fraction | None) -> dict[str, str]:
    """Marks a depth that the motor would carry and the work has not, or no tool of the lathe stands."""
    assert not isinstance(deepest.number, tuple)
    try:
        check("depth of cut", deepest.number)
        _check_depth(Fraction(deepest.number), diameter)
    except OutOfRange:
        return {"no_limit": "yes"}
    return {"motor_limits": "yes"}


def _deepest(
    situation: Situation, speed: _Speed, cut: Cut, constants: CuttingConstants
) -> Value | None:
    lathe = situation.lathe
    if lathe.motor_power is None:
        return None
    depth = largest_depth_of_cut(
        lathe.motor_power, lathe.drive_efficiency, speed.surface, cut, constants
    )
    return Value(depth, "mm")


@answers(PowerFor)
def power_for(query: PowerFor, situation: Situation) -> Answer | Ask:
    """What a cut asks of work, spindle and motor: F = kc ap f, P = F v / 60000."""
    work = material(query.material)
    constants = cutting_constants(work.key)
    sizes = settled(query)
    depth, feed, diameter = sizes.sizes["depth"], sizes.sizes["feed"], sizes.get("diameter")
    _check_depth(depth, diameter)
    if query.wanted == "torque" and diameter is None:
        return Ask(Phrase("which-diameter"))
    speed = _speed(query, diameter, situation)
    shape = _shaped(query, depth, feed)
    cut = cut_force(shape, constants)
    needed = cutting_power(cut.force, speed.surface)
    lathe = situation.lathe
    values = {
        **speed.values,
        "cutting_force": Value(cut.force, "N"),
        "specific_force": Value(cut.specific_force, ""),
        "kc11": Value(constants.kc11, ""),
        "exponent": Value(constants.exponent, ""),
        "cutting_power": Value(needed, "kW"),
        "motor_power": Value(motor_power(needed, lathe.drive_efficiency), "kW"),
        "removal_rate": Value(removal_rate(depth, feed, speed.surface), "cm^3/min"),
        "depth": Value(depth, "mm"),
        "feed": Value(feed, "mm/turn"),
        "efficiency": Value(lathe.drive_efficiency, ""),
        **_tool_angles(query, shape),
    }
    if diameter is not None:
        values["diameter"] = Value(diameter, "mm")
        values["torque"] = Value(torque(cut.force, diameter), "N*m")
    texts = {"material": work.name, "lathe": lathe.name}
    deepest = _deepest(situation, speed, shape, constants)
    if deepest is not None and lathe.motor_power is not None:
        values["max_depth_of_cut"] = deepest
        values["motor_has"] = Value(lathe.motor_power, "kW")
        texts |= _beyond_the_work(deepest, diameter)
    return Answer(
        kind=query.wanted,
        values=values,
        texts=texts,
        cautions=(*_overload(values), *material_cautions(work)),
        assumed=(
            *sizes.assumed,
            *material_assumed(query, work),
            *speed.phrases,
            *_tool_assumed(query, cut.beyond_measured),
        ),
        working=(
            Phrase(
                "force-angles-working" if "chip_thickness" in values else "force-working", values
            ),
            Phrase("power-working", values),
        ),
        sources=(constants.source, speed.source),
    )


def _overload(values: dict[str, Value]) -> list[Phrase]:
    """The caution where the motor does not have what the cut needs."""
    if "motor_has" not in values:
        return []
    needed, has = values["motor_power"].number, values["motor_has"].number
    assert not isinstance(needed, tuple)
    assert not isinstance(has, tuple)
    return [Phrase("too-much-power", values)] if needed > has else []


@answers(LargestDepthFor)
def largest_depth_for(query: LargestDepthFor, situation: Situation) -> Answer:
    """The depth of cut that uses up the motor: ap = 60000 P efficiency / (kc f v)."""
    work = material(query.material)
    constants = cutting_constants(work.key)
    sizes = settled(query)
    feed = sizes.sizes["feed"]
    lathe = situation.lathe
    speed = _speed(query, sizes.get("diameter"), situation)
    shape = _shaped(query, Fraction(1), feed)
    deepest = _deepest(situation, speed, shape, constants)
    if deepest is None or lathe.motor_power is None:
        raise OutOfRange(
            "motor power", "of this lathe", f"is not in the profile of the {lathe.name}"
        )
    cut = cut_force(shape, constants)
    values = {
        **speed.values,
        "max_depth_of_cut": deepest,
        "specific_force": Value(cut.specific_force, ""),
        "kc11": Value(constants.kc11, ""),
        "exponent": Value(constants.exponent, ""),
        "feed": Value(feed, "mm/turn"),
        "motor_has": Value(lathe.motor_power, "kW"),
        "efficiency": Value(lathe.drive_efficiency, ""),
        **_tool_angles(query, shape),
    }
    return Answer(
        kind="depth-of-cut",
        values=values,
        texts={
            "material": work.name,
            "lathe": lathe.name,
            **_beyond_the_work(deepest, sizes.get("diameter")),
        },
        cautions=(Phrase("motor-is-one-limit"), *material_cautions(work)),
        assumed=(
            *sizes.assumed,
            *material_assumed(query, work),
            *speed.phrases,
            *_tool_assumed(query, cut.beyond_measured),
        ),
        working=(
            *((Phrase("specific-force-working", values),) if "chip_thickness" in values else ()),
            Phrase("depth-of-cut-working", values),
        ),
        sources=(constants.source, speed.source),
    )
