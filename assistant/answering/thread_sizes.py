"""What a thread is turned, ground and gauged to: limits, gauges, blank, relief, tool."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

from assistant.answer import Answer, Ask, Phrase, Value
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.thread_limits import (
    ONE_ZONE,
    Asked,
    asked_thread,
    both_units,
    class_assumed,
    limits_of,
    member_limits,
    named_limits,
    usual_class,
)
from assistant.answering.thread_named import basic_sizes_of
from assistant.core.threads.forms import form, thread_depth, tool_nose
from assistant.core.threads.geometry_of_thread import blank, helix_angle, relief, tool_clearance
from assistant.core.threads.practice import habit
from assistant.core.threads.thread import Thread, ThreadLimits
from assistant.core.wires import gauge_limits
from assistant.errors import OutOfRange
from assistant.query_threading import (
    GaugeLimitsFor,
    ThreadBlankFor,
    ThreadLimitsFor,
    ThreadReliefFor,
    ThreadToolFor,
)


def limit_values(limits: ThreadLimits) -> dict[str, Value]:
    """Limits under the names of the answer's JSON: major_min, pitch_max, nut_minor_min, …"""
    prefix = "nut_" if limits.internal else ""
    found = {}
    for diameter in ("major", "pitch", "minor"):
        ends = getattr(limits, diameter)
        for end, size in (("min", ends.minimum), ("max", ends.maximum)):
            if size is not None:
                found[f"{prefix}{diameter}_{end}"] = Value(size, "mm")
    return found


def class_values(thread: Thread, tolerance_class: str | None) -> dict[str, Value]:
    """Limits in the class named, else in the usual classes as far as the tables hold them."""
    found: dict[str, Value] = {}
    if tolerance_class is not None:
        for each in named_limits(thread, tolerance_class):
            found |= limit_values(each)
        return found
    for internal in (False, True):
        usual = usual_class(thread, internal)
        if usual is not None:
            with suppress(OutOfRange):
                found |= limit_values(limits_of(thread, usual, internal))
    return found


@answers(ThreadLimitsFor)
def thread_limits(query: ThreadLimitsFor, situation: Situation) -> Answer | Ask:
    """Limits of the member whose class was named; of screw and nut in the usual classes where none was."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    if asked.tolerance_class is not None:
        found = named_limits(asked.thread, asked.tolerance_class)
    else:
        found = [member_limits(asked, internal) for internal in (False, True)]
    values: dict[str, Value] = {}
    texts = {
        "designation": asked.thread.designation,
        "classes": " and ".join(
            dict.fromkeys(
                each.tolerance_class for each in found if each.tolerance_class != ONE_ZONE
            )
        ),
    }
    for each in found:
        values |= limit_values(each)
        texts["nut_class" if each.internal else "screw_class"] = each.tolerance_class
    if len(found) == 1:
        texts["alone"] = "nut" if found[0].internal else "screw"
    texts |= both_units(asked.thread, situation.units, texts.get("alone", ""))
    return Answer(
        kind="thread-limits",
        values=values,
        texts=texts,
        assumed=(*asked.assumed, *class_assumed(asked, *found)),
        working=_limits_working(asked.thread, values),
        sources=tuple(dict.fromkeys(each.source for each in found)),
    )


def _limits_working(thread: Thread, values: dict[str, Value]) -> tuple[Phrase, ...]:
    sizes = basic_sizes_of(thread)
    if sizes is None:
        return ()
    basic = {"pitch_diameter": Value(sizes.pitch_diameter, "mm")}
    return tuple(
        Phrase(key, {**basic, **values})
        for key, needed in (("limits-screw", "pitch_max"), ("limits-nut", "nut_pitch_min"))
        if needed in values
    )


@answers(GaugeLimitsFor)
def gauges(query: GaugeLimitsFor, situation: Situation) -> Answer | Ask:
    """Go and no-go pitch diameters: plugs for a nut (the usual question), rings where a screw's class was named."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    found = (
        member_limits(asked, internal=True)
        if asked.tolerance_class is None
        else named_limits(asked.thread, asked.tolerance_class)[-1]
    )
    gauge = gauge_limits(found)
    return Answer(
        kind="thread-gauge",
        values={
            "go": Value(gauge.go, "mm"),
            "no_go": Value(gauge.no_go, "mm"),
            **limit_values(found),
        },
        texts={
            "designation": asked.thread.designation,
            "tolerance_class": found.tolerance_class,
            "gauge": "plug" if found.internal else "ring",
            **both_units(asked.thread, situation.units),
        },
        assumed=(
            *asked.assumed,
            *class_assumed(asked, found),
            Phrase("gauge-without-own-tolerance"),
        ),
        working=(
            Phrase(
                "gauge-working", {"go": Value(gauge.go, "mm"), "no_go": Value(gauge.no_go, "mm")}
            ),
        ),
        sources=(found.source,),
    )


@answers(ThreadBlankFor)
def thread_blank(query: ThreadBlankFor, situation: Situation) -> Answer | Ask:
    """The diameter to turn or bore to before threading."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    limits = member_limits(asked, query.internal)
    turned = blank(limits, asked.thread.pitch)
    values = {
        "blank": Value(turned.aim, "mm"),
        "blank_min": Value(turned.least, "mm"),
        "blank_max": Value(turned.most, "mm"),
        "share": Value(habit("blank_share").value * asked.thread.pitch, "mm"),
    }
    working = "blank-bore-working" if query.internal else "blank-working"
    return Answer(
        kind="thread-blank",
        values=values,
        texts={
            "designation": asked.thread.designation,
            "tolerance_class": limits.tolerance_class,
            "cut": "bore" if query.internal else "turn",
            **both_units(asked.thread, situation.units),
        },
        assumed=(*asked.assumed, *class_assumed(asked, limits)),
        working=(Phrase(working, values),),
        sources=(turned.source,),
    )


@answers(ThreadReliefFor)
def thread_relief(query: ThreadReliefFor, situation: Situation) -> Answer | Ask:
    """The groove that the thread runs out into: the table's, or so many pitches by practice."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    thread = asked.thread
    groove = relief(thread.form, thread.pitch, query.internal)
    values = {"relief_width": Value(groove.narrowest, "mm"), "pitch": Value(thread.pitch, "mm")}
    texts = {"designation": thread.designation, "member": "nut" if query.internal else "screw"}
    if groove.widest is not None:
        values["relief_widest"] = Value(groove.widest, "mm")
    if groove.radius is not None:
        values["relief_radius"] = Value(groove.radius, "mm")
    if groove.change is not None and thread.major_diameter is not None:
        values["relief_diameter"] = Value(thread.major_diameter + groove.change, "mm")
    else:
        values["relief_depth"] = Value(
            thread_depth(thread.form, thread.pitch, query.internal), "mm"
        )
    by_practice = groove.widest is None
    if by_practice:
        values["pitches"] = Value(habit("relief_pitches").value, "")
    return Answer(
        kind="thread-relief",
        values=values,
        texts=texts,
        assumed=(*asked.assumed, *((Phrase("relief-practice"),) if by_practice else ())),
        working=(Phrase("relief-working" if by_practice else "relief-table", values),),
        sources=(groove.source,),
    )


@answers(ThreadToolFor)
def thread_tool(query: ThreadToolFor, situation: Situation) -> Answer | Ask:
    """Included angle, nose and side clearance of the tool."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    thread = asked.thread
    shape = form(thread.form)
    nose = tool_nose(thread.form, thread.pitch, query.internal)
    values = {
        "included_angle": Value(shape.included_angle, "degree"),
        "nose": Value(nose.size, "mm"),
        "lead": Value(thread.lead, "mm"),
        "thread_depth": Value(thread_depth(thread.form, thread.pitch, query.internal), "mm"),
    }
    texts = {"designation": thread.designation, "nose_kind": nose.kind}
    side, cautions, working = _side_clearance(asked, texts)
    return Answer(
        kind="thread-tool",
        values={**values, **side},
        texts=texts,
        cautions=cautions,
        assumed=asked.assumed,
        working=working,
        sources=(shape.source, habit("side_clearance").source),
    )


def _side_clearance(
    asked: Asked, texts: dict[str, str]
) -> tuple[dict[str, Value], tuple[Phrase, ...], tuple[Phrase, ...]]:
    """Helix and grinding angles where the diameter is known; `texts` gets the leading side."""
    thread = asked.thread
    sizes = basic_sizes_of(thread)
    if sizes is None:
        return {}, (), ()
    ground = tool_clearance(
        thread.lead, sizes.minor_diameter, sizes.major_diameter, left_hand=thread.left_hand
    )
    texts["leading_side"] = ground.leading_side
    texts["trailing_side"] = "left" if ground.leading_side == "right" else "right"
    values = {
        "helix_angle": Value(helix_angle(thread.lead, sizes.pitch_diameter), "degree"),
        "leading_clearance": Value(ground.leading, "degree"),
        "trailing_clearance": Value(ground.trailing, "degree"),
        "pitch_diameter": Value(sizes.pitch_diameter, "mm"),
        "working_clearance": Value(Fraction(habit("side_clearance").value), "degree"),
    }
    cautions = (
        (Phrase("tool-would-rub"),) if ground.leading > habit("steep_clearance").value else ()
    )
    lead = {"lead": Value(thread.lead, "mm")}
    return values, cautions, (Phrase("helix-working", {**values, **lead}),)
