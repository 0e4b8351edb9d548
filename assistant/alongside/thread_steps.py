"""What is told at each step of a thread."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from assistant.alongside.sequence import Going
from assistant.alongside.setting_up import gears_step, lever_step
from assistant.answer import Answer, Ask, Engage, Ladder, Phrase, Place, Refusal, Value
from assistant.answering import answer_to
from assistant.answering.engage import closings_for, engage_for, in_hand, rule_key
from assistant.answering.infeed import compound_of, reading_text, swung_text
from assistant.answering.situation import Situation
from assistant.answering.starts import start_closings_of
from assistant.core.dial_walk import WalkStep, thread_walk
from assistant.core.infeed import DialReading
from assistant.core.thread_cycle import Infeed, Reach
from assistant.core.thread_finish import left_from_measurement
from assistant.core.threads.forms import form
from assistant.core.to_size import SizeState
from assistant.query_threading import MeasuredOverWires, ThreadToolFor, WiresFor
from assistant.units import magnitude_in

if TYPE_CHECKING:
    from assistant.alongside.thread_cycle import ThreadCycle


def told(cycle: ThreadCycle, situation: Situation) -> Answer:
    """The present step, or what must be so before it is given."""
    step = cycle.before_step(situation) or _step(cycle, situation)
    return replace(step, place=_place(cycle, situation))


def _place(cycle: ThreadCycle, situation: Situation) -> Place:
    number, of = cycle.steps
    return Place(cycle.title, number, of, _following(cycle, situation))


def _following(cycle: ThreadCycle, situation: Situation) -> Phrase | None:
    """The step after the present one, in a few words."""
    if cycle.phase == "done":
        return None
    ahead = cycle.advanced()
    if ahead.phase == "cutting":
        key = "short-spring" if ahead.passes.springing else "short-pass"
        return Phrase(key, {"reading": _reading(ahead, situation)})
    if ahead.phase == "setting":
        return ahead.up.short()
    return Phrase(f"short-{ahead.phase}")


def _step(cycle: ThreadCycle, situation: Situation) -> Answer:
    match cycle.phase:
        case "setting":
            return _setting(cycle, situation)
        case "cutting":
            return _pass(cycle, situation)
        case "starting":
            return _next_start(cycle, situation)
        case "measuring":
            return _measuring(cycle, situation)
    return Answer("cycle-done", texts={"title": cycle.title})


def _setting(cycle: ThreadCycle, situation: Situation) -> Answer:
    name = cycle.up.name
    if cycle.up.move is not None:
        return lever_step(cycle.up, situation.lathe)
    if name == "gears":
        return gears_step(cycle.up)
    if name == "plan":
        return _plan(cycle, situation)
    if name == "compound":
        return _compound(cycle)
    if name == "tool":
        return _tool(cycle, situation)
    slide, _ = cycle.slide(situation.lathe)
    inside = {"inside": "yes"} if cycle.job.internal else {}
    texts = {"slide": slide, "title": cycle.title, "zero": str(cycle.zero), **inside}
    if name == "touch":
        return Answer("cycle-touch", texts=texts, cautions=(Phrase("key-out-guard"),))
    if name == "zero" and slide == "compound":
        return Answer("cycle-zero-both", texts=texts)
    cautions = (Phrase("taper-thread"),) if name == "taper" else ()
    return Answer(f"cycle-{name}", texts=texts, cautions=cautions)


def _plan(cycle: ThreadCycle, situation: Situation) -> Answer:
    """The whole of it at a glance."""
    engage, job = engage_of(cycle, situation), cycle.job
    values = {
        "passes": Value(Fraction(cycle.passes.total + cycle.passes.spring_passes), ""),
        "thread_depth": Value(cycle.passes.whole_depth, "mm"),
    }
    if cycle.up.spindle_speed is not None:
        values["spindle_speed"] = Value(cycle.up.spindle_speed, "rpm")
    flank = "down the flank, by the compound"
    texts = {
        "title": cycle.title,
        "infeed": "straight in, by the cross slide" if job.infeed is Infeed.STRAIGHT else flank,
        "rule": rule_key(engage),
        "starts": f"{job.starts}, one after another" if job.starts > 1 else "",
        "inside": "yes" if job.internal else "",
        "changed": "yes" if job.infeed_changed else "",
    }
    cautions = [Phrase("taper-thread")] if job.tapered else []
    if job.left_hand:
        cautions.append(Phrase("left-hand-start"))
    return Answer(
        "cycle-plan",
        values=values,
        texts={name: text for name, text in texts.items() if text},
        engage=engage,
        cautions=tuple(cautions),
        ladder=ladder_of(cycle, situation),
    )


def _compound(cycle: ThreadCycle) -> Answer:
    if cycle.job.reach is Reach.COMPOUND:
        return Answer("cycle-compound-along", cautions=(Phrase("compound-stopped"),))
    setting = compound_of(cycle.thread, cycle.job.internal)
    values = {
        "compound_angle": Value(setting.angle, "degree"),
        "from_axis": Value(setting.from_axis, "degree"),
        "included_angle": Value(form(cycle.thread.form).included_angle, "degree"),
    }
    return Answer(
        "cycle-compound",
        values=values,
        texts={"swung": swung_text(setting)},
        cautions=(Phrase("compound-stopped"),),
    )


def _tool(cycle: ThreadCycle, situation: Situation) -> Answer:
    """The tool as the plain question tells it, as a step."""
    found = answer_to(ThreadToolFor(thread=cycle.named, internal=cycle.job.internal), situation)
    square = {"square": "axis"} if cycle.job.tapered else {}
    if not isinstance(found, Answer):
        angle = Value(form(cycle.thread.form).included_angle, "degree")
        return Answer("cycle-tool", values={"included_angle": angle}, texts=square)
    return replace(found, kind="cycle-tool", texts={**found.texts, **square}, assumed=())


def walk_of(cycle: ThreadCycle, situation: Situation) -> tuple[WalkStep, ...]:
    """Where the dial of the slide that is fed stops at every pass, taken or left."""
    depths = (*cycle.passes.taken, *cycle.passes.left)
    return thread_walk(depths, cycle.angle, cycle.slide(situation.lathe)[1], cycle.zero)


def _text(step: WalkStep) -> str:
    place = step.place
    return reading_text(DialReading(place.turns, place.division, float(place.short_by)))


def dial_said(turns: int, division: int) -> str:
    """Where a dial goes, for the ear: '14', 'once round and 14'.

    >>> dial_said(1, 14), dial_said(3, 0)
    ('once round and 14', '3 times round and 0')
    """
    if not turns:
        return str(division)
    round_words = {1: "once round", 2: "twice round"}.get(turns, f"{turns} times round")
    return f"{round_words} and {division}"


def _reading(cycle: ThreadCycle, situation: Situation) -> str:
    """What the dial reads at the pass to take now."""
    walk = walk_of(cycle, situation)
    return _text(walk[min(len(cycle.passes.taken), len(walk) - 1)])


def ladder_of(cycle: ThreadCycle, situation: Situation) -> Ladder:
    """All passes with the present one."""
    depths = (*cycle.passes.taken, *cycle.passes.left)
    readings = tuple(_text(each) for each in walk_of(cycle, situation))
    return Ladder(readings, depths, len(cycle.passes.taken), cycle.slide(situation.lathe)[0])


def engage_of(cycle: ThreadCycle, situation: Situation) -> Engage:
    """The rule of the thread dial for the present start."""
    hand = in_hand(cycle.named, situation)
    assert hand is not None
    lathe = situation.lathe
    engage = engage_for(hand.cut.lead, lathe, cycle.job.left_hand)
    if cycle.job.reach is not Reach.DIAL:
        return engage
    closings = closings_for(hand.cut.lead, lathe, cycle.job.left_hand)
    by_start = start_closings_of(hand, lathe, None, closings.pick_off_gear if closings else None)
    assert by_start is not None
    marks = by_start.starts[cycle.start - 1]
    faces = tuple((label, at, label in marks) for label, at, _ in engage.all_marks)
    return replace(engage, marks=marks, all_marks=faces)


def _pass(cycle: ThreadCycle, situation: Situation) -> Answer:
    passes, engage = cycle.passes, engage_of(cycle, situation)
    slide, _ = cycle.slide(situation.lathe)
    walk = walk_of(cycle, situation)
    here = walk[min(len(passes.taken), len(walk) - 1)]
    depth = passes.next_depth
    values = {
        "pass": Value(Fraction(passes.number), ""),
        "passes": Value(Fraction(passes.total + passes.spring_passes), ""),
        "pass_depth": Value(depth or passes.present, "mm"),
        "thread_depth": Value(passes.whole_depth, "mm"),
        "dial_division": Value(Fraction(here.place.division), ""),
        "dial_turns": Value(Fraction(here.place.turns), ""),
        "turn_on": Value(Fraction(0 if passes.springing else here.turning.divisions), ""),
        "left_after": Value(Fraction(len(passes.left) - (0 if passes.springing else 1)), ""),
    }
    texts = {
        "reading": _text(here),
        "dial_to": dial_said(here.place.turns, here.place.division),
        "slide": slide,
        "other": "yes" if cycle.job.infeed is Infeed.FLANK else "",
        "spring": "yes" if passes.springing else "",
        "rule": rule_key(engage) if cycle.job.reach is not Reach.DIAL else "these-marks",
        "first": "yes" if not passes.taken else "",
        "left_hand": "yes" if cycle.job.left_hand else "",
        "inside": "yes" if cycle.job.internal else "",
        "start_of": f"{cycle.start} of {cycle.job.starts}" if cycle.job.starts > 1 else "",
    }
    return Answer(
        "cycle-spring" if passes.springing else "cycle-pass",
        values=values,
        texts={name: text for name, text in texts.items() if text},
        engage=engage,
        cautions=_pass_cautions(cycle, engage),
        ladder=ladder_of(cycle, situation),
    )


def _pass_cautions(cycle: ThreadCycle, engage: Engage) -> tuple[Phrase, ...]:
    """What concerns every pass; what concerns the first of a start only there."""
    found = []
    if engage.keep_closed:
        found.append(Phrase("keep-closed-caution"))
    if not cycle.passes.taken:
        found.append(Phrase("key-out-guard"))
        if cycle.job.left_hand:
            found.append(Phrase("left-hand-start"))
        if cycle.job.internal:
            found.append(Phrase("internal-withdraw"))
        found.append(Phrase("scratch-first"))
    return tuple(found)


def _next_start(cycle: ThreadCycle, situation: Situation) -> Answer:
    """How the next start is reached."""
    ahead = replace(cycle, start=cycle.start + 1)
    thread = cycle.thread
    values = {"pitch": Value(thread.pitch, "mm"), "start": Value(Fraction(ahead.start), "")}
    texts = {"start_of": f"{ahead.start} of {cycle.job.starts}"}
    if cycle.job.reach is Reach.DIAL:
        return Answer(
            "cycle-start-dial", values=values, texts=texts, engage=engage_of(ahead, situation)
        )
    return Answer("cycle-start-slide", values=values, texts=texts)


def _measuring(cycle: ThreadCycle, situation: Situation) -> Answer:
    """Wires for a parallel screw, else the gauge."""
    caution = (Phrase("measure-stopped"),)
    if not cycle.job.internal and not cycle.job.tapered:
        found = answer_to(WiresFor(thread=cycle.named), situation)
        if isinstance(found, Answer) and "over_wires_min" in found.values:
            return replace(found, kind="cycle-measure-wires", cautions=caution)
    gauge = "plug" if cycle.job.internal else "ring"
    return Answer("cycle-measure-gauge", texts={"gauge": gauge}, cautions=caution)


def measured(cycle: ThreadCycle, query: MeasuredOverWires, situation: Situation) -> Going:
    """What a measurement over wires leaves to take; the passes are planned anew. Raises OutOfRange."""
    plain = answer_to(replace(query, thread=cycle.named), situation)
    limits = answer_to(WiresFor(thread=cycle.named, wire=query.wire), situation)
    if (
        not isinstance(plain, Answer)
        or not isinstance(limits, Answer)
        or "over_wires_min" not in limits.values
    ):
        return Going(cycle, plain)
    low, high = (limits.values[f"over_wires_{end}"].number for end in ("min", "max"))
    assert not isinstance(low, tuple)
    assert not isinstance(high, tuple)
    over = magnitude_in(query.over, "mm")
    finish = left_from_measurement(cycle.passes, over, low, high)
    values = {
        "over_wires": Value(over, "mm"),
        "over_wires_min": Value(low, "mm"),
        "over_wires_max": Value(high, "mm"),
        "left_on_diameter": Value(finish.on_diameter, "mm"),
    }
    if finish.verdict is SizeState.TAKE_OFF:
        ahead = replace(cycle, passes=finish.state, phase="cutting")
        step = told(ahead, situation)
        kind = "cycle-finish" if step.kind in ("cycle-pass", "cycle-spring") else step.kind
        return Going(ahead, replace(step, kind=kind, values={**step.values, **values}))
    ahead = replace(cycle, phase="done")
    if finish.verdict is SizeState.WITHIN_LIMITS:
        return Going(ahead, Answer("cycle-within", values=values, texts={"title": cycle.title}))
    values["past_by"] = Value(finish.past_by, "mm")
    return Going(ahead, Answer("cycle-past", values=values, cautions=(Phrase("undersize"),)))


def reason(cycle: ThreadCycle, situation: Situation) -> Answer | Ask | Refusal:
    """Why the present step is so."""
    name = "lever" if cycle.up.move is not None else cycle.up.name or cycle.phase
    if name == "cutting" and engage_of(cycle, situation).keep_closed:
        name = "keep-closed"
    return Answer("reason-of-step", texts={"about": name}, place=_place(cycle, situation))
