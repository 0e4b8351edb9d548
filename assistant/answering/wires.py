"""Measuring a screw over three wires: which wires, what to read, what a reading means."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

from assistant.answer import Answer, Ask, Phrase, Value
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.thread_limits import (
    Asked,
    asked_thread,
    both_units,
    class_assumed,
    limits_of,
    usual_class,
)
from assistant.answering.thread_named import basic_sizes_of
from assistant.core.threads.forms import form
from assistant.core.threads.thread import Thread, ThreadLimits
from assistant.core.wires import (
    OverWires,
    best_wire,
    check_usable,
    over_wires,
    pitch_diameter_from,
    wire_range,
)
from assistant.errors import OutOfRange
from assistant.query_threading import MeasuredOverWires, WiresFor
from assistant.units import Quantity, magnitude_in, quantity

FORMULA = "three-wire formula, ASME B1.2 (from memory); factors by geometry of the flanks"


def _check_parallel(thread: Thread) -> None:
    if thread.taper:
        raise OutOfRange(
            "thread", thread.designation, "is tapered: wires do not measure it, use its gauge"
        )


class _Lengths:
    """The lengths of a question in mm, those without a unit in the units that fit the thread.

    Raises OutOfRange as `serves` does, in the operator's units, where neither fit.
    """

    def __init__(self, query: WiresFor | MeasuredOverWires) -> None:
        self._bare = query.bare
        self._taken = [Phrase(f"taken-{each}") for each in query.assumed]

    def settled(self, field: str, named: Quantity, serves: Callable[[float], object]) -> float:
        """`named` in mm, in the first units in which `serves` does not refuse it."""
        own = float(magnitude_in(named, "mm"))
        if field not in self._bare:
            serves(own)
            return own
        system = "mm" if str(named.units) == "millimeter" else "inch"
        other = "inch" if system == "mm" else "mm"
        with suppress(OutOfRange):
            serves(own)
            return own
        with suppress(OutOfRange):
            found = float(magnitude_in(quantity(named.magnitude, other), "mm"))
            serves(found)
            self._taken = [Phrase(f"taken-fits-{other}")]
            return found
        serves(own)
        return own

    @property
    def assumed(self) -> tuple[Phrase, ...]:
        """What was assumed about the units."""
        return tuple(self._taken)


def _wire(thread: Thread, named: Quantity | None, lengths: _Lengths) -> float:
    """The wire named, if it serves, else the best one; mm."""
    if named is None:
        return best_wire(thread.form, thread.pitch)
    return lengths.settled(
        "wire", named, lambda wire: check_usable(thread.form, thread.pitch, wire)
    )


def _screw_limits(asked: Asked) -> ThreadLimits | None:
    """Limits in the class named (refused if it is a nut's), else in the usual class if the tables hold it."""
    if asked.tolerance_class is not None:
        limits = limits_of(asked.thread, asked.tolerance_class)
        if limits.internal:
            raise OutOfRange(
                "thread", f"class {limits.tolerance_class}", "wires measure a screw, not a nut"
            )
        return limits
    usual = usual_class(asked.thread, internal=False)
    if usual is not None:
        with suppress(OutOfRange):
            return limits_of(asked.thread, usual)
    return None


def _over(thread: Thread, pitch_diameter: float, wire: float) -> OverWires:
    return over_wires(thread.form, thread.pitch, pitch_diameter, wire, thread.lead)


def _wire_values(thread: Thread, wire: float) -> dict[str, Value]:
    fits = wire_range(thread.form, thread.pitch)
    values = {
        "wire": Value(wire, "mm"),
        "wire_min": Value(fits.smallest, "mm"),
        "wire_max": Value(fits.largest, "mm"),
        "pitch": Value(thread.pitch, "mm"),
        "half_angle": Value(form(thread.form).half_angle, "degree"),
    }
    with suppress(OutOfRange):
        values["best_wire"] = Value(best_wire(thread.form, thread.pitch), "mm")
    return values


@answers(WiresFor)
def wires(query: WiresFor, situation: Situation) -> Answer | Ask:
    """Wires, the measurement at the basic pitch diameter, and its limits in the class."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    thread = asked.thread
    _check_parallel(thread)
    lengths = _Lengths(query)
    wire = _wire(thread, query.wire, lengths)
    values = _wire_values(thread, wire)
    texts = {"designation": thread.designation}
    assumed = [*asked.assumed, *lengths.assumed]
    working = [Phrase("best-wire-working", values)] if "best_wire" in values else []
    sizes = basic_sizes_of(thread)
    if sizes is not None:
        basic = _over(thread, sizes.pitch_diameter, wire)
        values["over_wires"] = Value(basic.as_tabled, "mm")
        values["pitch_diameter"] = Value(sizes.pitch_diameter, "mm")
        values["lead_angle_term"] = Value(basic.lead_angle_term, "mm")
        key = "over-wires-working" if basic.lead_angle_matters else "over-wires-plain"
        working.append(Phrase(key, values))
        assumed += _add_limits(asked, wire, basic, values, texts, situation.units)
        if "over_wires_min" not in values:
            texts["basic_only"] = "basic size"
    return Answer(
        kind="wires",
        values=values,
        texts=texts,
        cautions=(Phrase("measure-stopped"),),
        assumed=tuple(assumed),
        working=tuple(working),
        sources=(FORMULA, form(thread.form).source),
    )


def _add_limits(
    asked: Asked,
    wire: float,
    basic: OverWires,
    values: dict[str, Value],
    texts: dict[str, str],
    units: str,
) -> list[Phrase]:
    """Puts the limits over wires in, and says which class was taken."""
    limits = _screw_limits(asked)
    if limits is None or limits.pitch.minimum is None or limits.pitch.maximum is None:
        return []
    for end, size in (("min", limits.pitch.minimum), ("max", limits.pitch.maximum)):
        found = _over(asked.thread, size, wire)
        counted = found.lead_angle_term if basic.lead_angle_matters else 0.0
        values[f"over_wires_{end}"] = Value(found.size - found.lead_angle_term + counted, "mm")
    texts["tolerance_class"] = limits.tolerance_class
    texts |= both_units(asked.thread, units)
    return list(class_assumed(asked, limits))


@answers(MeasuredOverWires)
def measured(query: MeasuredOverWires, situation: Situation) -> Answer | Ask:
    """The pitch diameter behind a reading, and where it lies to the limits."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    thread = asked.thread
    _check_parallel(thread)
    lengths = _Lengths(query)
    wire = _wire(thread, query.wire, lengths)
    reading = lengths.settled("over", query.over, lambda over: _measured(thread, over, wire))
    diameter, back = _measured(thread, reading, wire)
    values = {
        **_wire_values(thread, wire),
        "pitch_diameter": Value(diameter, "mm"),
        "over_wires": Value(reading, "mm"),
        "lead_angle_term": Value(back.lead_angle_term, "mm"),
    }
    texts = {"designation": thread.designation}
    cautions, assumed = _judged(asked, diameter, values, texts)
    taken = list(lengths.assumed)
    if query.wire is None:
        taken.append(Phrase("taken-best-wire", {"wire": Value(wire, "mm")}))
    key = "measured-working" if back.lead_angle_matters else "measured-plain"
    return Answer(
        kind="measured-wires",
        values=values,
        texts=texts,
        cautions=cautions,
        assumed=(*asked.assumed, *taken, *assumed),
        working=(Phrase(key, values),),
        sources=(FORMULA, form(thread.form).source),
    )


def _measured(thread: Thread, reading: float, wire: float) -> tuple[float, OverWires]:
    """Pitch diameter behind a reading. Raises OutOfRange where it is none of this thread."""
    diameter = pitch_diameter_from(thread.form, thread.pitch, reading, wire, thread.lead)
    back = _over(thread, diameter, wire)
    if not back.lead_angle_matters:
        diameter += back.lead_angle_term
    _check_plausible(thread, diameter, reading)
    return diameter, back


def _check_plausible(thread: Thread, diameter: float, reading: float) -> None:
    """A reading more than a pitch off the basic size is a slip of the tongue or the wrong thread."""
    sizes = basic_sizes_of(thread)
    if sizes is not None and abs(diameter - sizes.pitch_diameter) > float(thread.pitch):
        raise OutOfRange(
            "measurement over wires",
            f"{reading:g} mm",
            f"would be a pitch diameter of {diameter:.3f} mm, and {thread.designation} has "
            f"{sizes.pitch_diameter:.3f} mm",
        )


def _judged(
    asked: Asked, diameter: float, values: dict[str, Value], texts: dict[str, str]
) -> tuple[tuple[Phrase, ...], list[Phrase]]:
    """Where the pitch diameter lies to its limits: puts it into values and texts; cautions, assumptions."""
    if asked.thread.major_diameter is None:
        return (), []
    limits = _screw_limits(asked)
    if limits is None or limits.pitch.minimum is None or limits.pitch.maximum is None:
        return (), []
    low, high = limits.pitch.minimum, limits.pitch.maximum
    values["pitch_min"], values["pitch_max"] = Value(low, "mm"), Value(high, "mm")
    texts["tolerance_class"] = limits.tolerance_class
    cautions: tuple[Phrase, ...] = ()
    if diameter > high:
        texts["verdict"] = "large"
        values["excess"] = Value(diameter - high, "mm")
        values["remove_per_side"] = Value((diameter - high) / 2, "mm")
        values["remove_per_side_max"] = Value((diameter - low) / 2, "mm")
    elif diameter < low:
        texts["verdict"] = "small"
        values["excess"] = Value(low - diameter, "mm")
        cautions = (Phrase("undersize"),)
    else:
        texts["verdict"] = "within"
    return cautions, list(class_assumed(asked, limits))
