"""The infeed of a thread on this lathe: compound slide, passes, and what its dial reads."""

from __future__ import annotations

from fractions import Fraction
from math import radians, tan

from assistant.answer import Answer, Ask, Ladder, Phrase, Value
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.thread_limits import Asked, asked_thread
from assistant.answering.thread_named import basic_sizes_of
from assistant.answering.thread_sizes import class_values
from assistant.core.dial_types import SlideDial
from assistant.core.infeed import (
    CompoundSetting,
    DialReading,
    PassPlan,
    compound_setting,
    compound_travel,
    dial_readings,
    nose_width,
    passes,
    rest,
)
from assistant.core.threads.forms import form, thread_depth, tool_nose
from assistant.core.threads.geometry_of_thread import helix_angle
from assistant.core.threads.practice import habit
from assistant.core.threads.thread import Thread
from assistant.errors import OutOfRange
from assistant.query_threading import CompoundFor, PassesFor, PassesLeft
from assistant.units import magnitude_in
from profiles.lathe import Lathe

SHOWN_READINGS = 8
"""Readings on the screen; the rest is asked for with 'passes left'."""


def pass_plan(thread: Thread, internal: bool = False, first: float | None = None) -> PassPlan:
    """The passes of a thread with its form's own tool; `first` in mm on the radius, None for practice."""
    shape = form(thread.form)
    depth = thread_depth(thread.form, thread.pitch, internal)
    if first is not None and first > depth:
        raise OutOfRange(
            "first pass",
            f"{first:g} mm",
            f"the whole thread is {depth:.3f} mm deep on the radius",
        )
    nose = nose_width(tool_nose(thread.form, thread.pitch, internal), shape.half_angle)
    return passes(depth, shape.half_angle, nose=nose, first=first)


def compound_of(thread: Thread, internal: bool = False) -> CompoundSetting:
    """The compound slide set for this thread."""
    return compound_setting(
        form(thread.form).included_angle, left_hand=thread.left_hand, internal=internal
    )


def cutting_values(thread: Thread, tolerance_class: str | None) -> dict[str, Value]:
    """What a thread question also gives of the screw: helix, compound, passes, limits of size."""
    setting = compound_of(thread)
    depth = thread_depth(thread.form, thread.pitch)
    values = {
        "compound_angle": Value(setting.angle, "degree"),
        "compound_travel": Value(compound_travel(depth, setting.angle), "mm"),
        "pass_depths": Value(pass_plan(thread).depths, "mm"),
        "included_angle": Value(form(thread.form).included_angle, "degree"),
    }
    sizes = basic_sizes_of(thread)
    if sizes is not None:
        values["helix_angle"] = Value(helix_angle(thread.lead, sizes.pitch_diameter), "degree")
        values |= class_values(thread, tolerance_class)
    return values


def reading_text(reading: DialReading) -> str:
    """'15', '1 turn 15': from the zero at which the tool touched."""
    if reading.turns == 0:
        return str(reading.division)
    turns = "turn" if reading.turns == 1 else "turns"
    return f"{reading.turns} {turns} {reading.division}"


def _count(reading: DialReading, dial: SlideDial) -> int:
    return reading.turns * dial.divisions + reading.division


def _dial_texts(readings: tuple[DialReading, ...]) -> dict[str, str]:
    texts = [reading_text(each) for each in readings]
    tail = " …" if len(texts) > SHOWN_READINGS else ""
    return {
        "dial": ", ".join(texts[:SHOWN_READINGS]) + tail,
        "first_dial": texts[0],
        "last_dial": texts[-1],
    }


@answers(CompoundFor)
def compound(query: CompoundFor, situation: Situation) -> Answer | Ask:
    """Compound angle, which way, how far it travels and what that is on its dial."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    thread, dial = asked.thread, situation.lathe.compound
    setting = compound_of(thread, query.internal)
    depth = thread_depth(thread.form, thread.pitch, query.internal)
    readings = dial_readings([depth], setting.angle, dial)
    values = {
        "compound_angle": Value(setting.angle, "degree"),
        "from_axis": Value(setting.from_axis, "degree"),
        "compound_travel": Value(compound_travel(depth, setting.angle), "mm"),
        "thread_depth": Value(depth, "mm"),
        "included_angle": Value(form(thread.form).included_angle, "degree"),
        "release": Value(habit("flank_release").value, "degree"),
        "dial_divisions": Value(Fraction(_count(readings[0], dial)), ""),
    }
    return Answer(
        kind="thread-compound",
        values=values,
        texts={
            "designation": thread.designation,
            "swung": swung_text(setting),
            "last_dial": reading_text(readings[0]),
        },
        cautions=(Phrase("compound-stopped"),),
        assumed=asked.assumed,
        working=(Phrase("compound-working", values), Phrase("travel-working", values)),
        sources=(habit("flank_release").source, form(thread.form).source),
    )


def swung_text(setting: CompoundSetting) -> str:
    """Which way the handle end of the compound goes."""
    return f"handle end to the {'tailstock' if setting.swung == 'right' else 'headstock'}"


@answers(PassesFor)
def passes_of(query: PassesFor, situation: Situation) -> Answer | Ask:
    """The passes of a thread and the dial's reading at each."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    first = None if query.first_pass is None else float(magnitude_in(query.first_pass, "mm"))
    if first is not None and first <= 0:
        raise OutOfRange("first pass", f"{first:g} mm", "must be more than 0 mm")
    plan = pass_plan(asked.thread, query.internal, first)
    values, texts = _planned(asked, plan, situation.lathe, query.internal, query.straight_in)
    cautions = list(_cautions(asked.thread, query.internal))
    if first is not None and first > float(habit("first_pass").value):
        cautions.insert(
            0, Phrase("deep-first-pass", {"usual": Value(habit("first_pass").value, "mm")})
        )
    taken = tuple(Phrase(f"taken-{each}") for each in query.assumed)
    return Answer(
        kind="thread-passes",
        values=values,
        texts=texts,
        ladder=_ladder(asked, plan, situation.lathe, query.internal, query.straight_in),
        cautions=tuple(cautions),
        assumed=(*asked.assumed, *taken, Phrase("dial-rounded-down")),
        working=_working(plan),
        sources=(habit("first_pass").source, form(asked.thread.form).source),
    )


@answers(PassesLeft)
def passes_left(query: PassesLeft, situation: Situation) -> Answer | Ask:
    """The passes that are left from a depth on the radius, as the plan would go on."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    whole = pass_plan(asked.thread, query.internal)
    present = float(magnitude_in(query.depth_now, "mm"))
    plan = rest(whole, present)
    values, texts = _planned(asked, plan, situation.lathe, query.internal, straight_in=False)
    values["depth_now"] = Value(present, "mm")
    values["left"] = Value(plan.depth - present, "mm")
    taken = tuple(Phrase(f"taken-{each}") for each in query.assumed)
    return Answer(
        kind="thread-passes-left",
        values=values,
        texts=texts,
        ladder=_ladder(asked, plan, situation.lathe, query.internal, straight_in=False),
        cautions=_cautions(asked.thread, query.internal),
        assumed=(*asked.assumed, *taken, Phrase("depth-on-radius"), Phrase("dial-rounded-down")),
        working=_working(plan),
        sources=(habit("first_pass").source, form(asked.thread.form).source),
    )


def _planned(
    asked: Asked, plan: PassPlan, lathe: Lathe, internal: bool, straight_in: bool
) -> tuple[dict[str, Value], dict[str, str]]:
    """Figures and texts that the passes and the passes left have in common."""
    setting = compound_of(asked.thread, internal)
    angle = Fraction(0) if straight_in else setting.angle
    dial = lathe.cross_slide if straight_in else lathe.compound
    readings = dial_readings(plan.depths, angle, dial)
    values = {
        "passes": Value(Fraction(len(plan.depths)), ""),
        "pass_depths": Value(plan.depths, "mm"),
        "thread_depth": Value(plan.depth, "mm"),
        "spring_passes": Value(Fraction(plan.spring_passes), ""),
        "dial_readings": Value(tuple(float(_count(each, dial)) for each in readings), ""),
    }
    texts = {
        "designation": asked.thread.designation,
        "slide": "cross slide" if straight_in else "compound",
        **_dial_texts(readings),
    }
    if straight_in:
        texts["straight"] = "straight in"
    else:
        values["compound_angle"] = Value(setting.angle, "degree")
        values["compound_travel"] = Value(compound_travel(plan.depth, setting.angle), "mm")
        texts["swung"] = swung_text(setting)
    return values, texts


def _ladder(
    asked: Asked, plan: PassPlan, lathe: Lathe, internal: bool, straight_in: bool
) -> Ladder:
    """The passes for a picture; the first is the one to take."""
    angle = Fraction(0) if straight_in else compound_of(asked.thread, internal).angle
    dial = lathe.cross_slide if straight_in else lathe.compound
    readings = dial_readings(plan.depths, angle, dial)
    texts = tuple(reading_text(each) for each in readings)
    return Ladder(texts, plan.depths, 0, "cross slide" if straight_in else "compound")


def _cautions(thread: Thread, internal: bool) -> tuple[Phrase, ...]:
    found = []
    if thread.taper:
        found.append(Phrase("taper-thread"))
    if thread.starts > 1:
        found.append(Phrase("each-start", {"starts": Value(Fraction(thread.starts), "")}))
    if thread.left_hand:
        found.append(Phrase("left-hand-start"))
    if internal:
        found.append(Phrase("internal-withdraw"))
    return tuple(found)


def _working(plan: PassPlan) -> tuple[Phrase, ...]:
    figures = {
        "nose_width": Value(plan.nose, "mm"),
        "tangent": Value(tan(radians(plan.half_angle)), ""),
        "passes": Value(Fraction(len(plan.depths)), ""),
        "most_first": Value(plan.most_first, "mm"),
        "least": Value(plan.least, "mm"),
        "thread_depth": Value(plan.depth, "mm"),
        "pass_depths": Value(plan.depths, "mm"),
    }
    return (Phrase("passes-working", figures), Phrase("pass-depths", figures))
