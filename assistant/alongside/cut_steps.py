"""What is told at each step of turning, boring or facing to a size."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from assistant.alongside.setting_up import gears_step, lever_step
from assistant.alongside.thread_steps import dial_said
from assistant.answer import Answer, Ladder, Phrase, Place, Value
from assistant.answering.infeed import reading_text
from assistant.answering.situation import Situation
from assistant.core.cuts_in_hand import (
    CutsInHand,
    Measured,
    NextCut,
    cut_taken,
    dial_too_coarse,
    learnt_error,
    next_cut,
)
from assistant.core.cuts_in_hand import Reading as Verdict
from assistant.core.dial_walk import DialPlace
from assistant.core.infeed import DialReading
from assistant.core.materials import material
from assistant.core.to_size import SizeState
from assistant.core.turning_plan import CutKind, Work, divisions_to_aim

if TYPE_CHECKING:
    from assistant.alongside.cuts import CutsToSize


def told(cuts: CutsToSize, situation: Situation) -> Answer:
    """The present step, or what must be so before it is given."""
    step = cuts.before_step(situation) or _step(cuts, situation)
    return replace(step, place=_place(cuts))


def _place(cuts: CutsToSize) -> Place:
    number, of = cuts.steps
    return Place(cuts.title, number, of, _following(cuts))


def _following(cuts: CutsToSize) -> Phrase | None:
    if cuts.phase in ("done", "measuring"):
        return None
    ahead = cuts.advanced()
    if ahead.phase == "setting":
        return ahead.up.short()
    cut = next_cut(ahead.hand)
    if ahead.phase == "cutting" and cut is not None:
        return Phrase("short-cut", {"reading": _text(cut.place)})
    return Phrase("short-measuring" if ahead.phase == "measuring" else "short-done")


def _step(cuts: CutsToSize, situation: Situation) -> Answer:
    match cuts.phase:
        case "setting":
            return _setting(cuts, situation)
        case "measuring":
            return _measure(cuts)
        case "cutting":
            cut = next_cut(cuts.hand)
            if cut is not None:
                return _cut(cuts, cut)
            if cuts.hand.must_measure:
                return _measure(cuts)
            if dial_too_coarse(cuts.hand):
                return _too_coarse(cuts)
    return _end(cuts)


def _setting(cuts: CutsToSize, situation: Situation) -> Answer:
    name = cuts.up.name
    if cuts.up.move is not None:
        return lever_step(cuts.up, situation.lathe)
    if name == "gears":
        return gears_step(cuts.up)
    if name == "compound":
        return Answer("cut-compound", cautions=(Phrase("compound-stopped"),))
    if name == "speed":
        texts = {"material": material(cuts.material).name}
        return Answer("cut-speed", texts=texts)
    texts = {"slide": cuts.slide, "title": cuts.title}
    if cuts.hand.work is Work.BORE:
        texts["inside"] = "yes"
    if cuts.hand.work is Work.FACE:
        texts["face"] = "yes"
    values = {"start_size": Value(cuts.hand.size, "mm"), **_plan_values(cuts)}
    if name == "plan":
        return Answer("cut-plan", values=values, texts=texts, cautions=cuts.cautions)
    if name == "touch":
        return Answer("cut-touch", values=values, texts=texts, cautions=(Phrase("key-out-guard"),))
    return Answer("cut-zero", values=values, texts={**texts, "zero": str(cuts.hand.zero)})


def _plan_values(cuts: CutsToSize) -> dict[str, Value]:
    values = {
        "cuts": Value(Fraction(cuts.hand.total), ""),
        "deepest": Value(cuts.hand.most, "mm"),
        "aim": Value(cuts.hand.target.aim, "mm"),
        "size_min": Value(cuts.hand.target.minimum, "mm"),
        "size_max": Value(cuts.hand.target.maximum, "mm"),
    }
    if cuts.feed is not None:
        values["feed"] = Value(cuts.feed, "mm/turn")
    if cuts.up.spindle_speed is not None:
        values["spindle_speed"] = Value(cuts.up.spindle_speed, "rpm")
    return values


def _text(place: DialPlace) -> str:
    return reading_text(DialReading(place.turns, place.division, float(place.short_by)))


def _cut(cuts: CutsToSize, cut: NextCut) -> Answer:
    values = {
        **_plan_values(cuts),
        "cut": Value(Fraction(cut.number), ""),
        "dial_division": Value(Fraction(cut.place.division), ""),
        "dial_turns": Value(Fraction(cut.place.turns), ""),
        "turn_on": Value(Fraction(abs(cut.turning.divisions)), ""),
        "depth_of_cut": Value(cut.depth, "mm"),
        "size_after": Value(cut.size, "mm"),
    }
    if cut.correction:
        values["correction"] = Value(abs(cut.correction), "mm")
    texts = {
        "reading": _text(cut.place),
        "dial_to": dial_said(cut.place.turns, cut.place.division),
        "slide": cuts.slide,
        "kind_of": "finishing" if cut.kind is CutKind.FINISH else "roughing",
        "measure": "yes" if cut.measure else "",
        "title": cuts.title,
        "more_or_less": "less" if cut.correction > 0 else "more",
    }
    return Answer(
        "cut",
        values=values,
        texts={name: text for name, text in texts.items() if text},
        cautions=_cut_cautions(cuts, cut),
        ladder=_ladder(cuts),
    )


def _cut_cautions(cuts: CutsToSize, cut: NextCut) -> tuple[Phrase, ...]:
    found: list[Phrase] = []
    if cut.number == 1:
        if cut.last:
            found.append(Phrase("single-cut"))
        if cuts.hand.work is Work.BORE:
            found.append(Phrase("bar-overhang"))
    return tuple(found)


def _ladder(cuts: CutsToSize) -> Ladder:
    """The cuts to come as far as the dial alone can tell."""
    readings, depths = [], []
    hand: CutsInHand = cuts.hand
    start = hand.size
    while (cut := next_cut(hand)) is not None:
        readings.append(_text(cut.place))
        depths.append(abs(float(start - cut.size)) / hand.work.sides)
        hand = cut_taken(hand)
    return Ladder(tuple(readings), tuple(depths), 0, cuts.slide)


def _measure(cuts: CutsToSize) -> Answer:
    hand = cuts.hand
    values = {**_plan_values(cuts), "expected": Value(hand.size, "mm")}
    texts = {"title": cuts.title}
    if hand.must_measure:
        texts["must"] = "yes"
    return Answer("cut-measure", values=values, texts=texts, cautions=(Phrase("stop-to-measure"),))


def doubt(found: Measured, size: Fraction) -> Answer:
    """A measurement that the dial contradicts: asked about, not believed."""
    values = {
        "measured": Value(size, "mm"),
        "expected": Value(found.expected, "mm"),
        "off_by": Value(abs(size - found.expected), "mm"),
    }
    kind = "cut-doubt-grew" if found.reading is Verdict.ASK_GREW else "cut-doubt"
    return Answer(kind, values=values)


def after_measuring(cuts: CutsToSize, found: Measured, situation: Situation) -> Answer:
    """What follows from a measurement: the next cut with what was learnt, or the end."""
    hand = cuts.hand
    if hand.standing.state is not SizeState.TAKE_OFF:
        return replace(_end(cuts), place=_place(cuts))
    if dial_too_coarse(hand):
        return replace(_too_coarse(cuts), place=_place(cuts))
    step = told(cuts, situation)
    values = dict(step.values)
    values["left_on_size"] = Value(hand.standing.on_diameter, "mm")
    error = learnt_error(hand)
    texts = dict(step.texts)
    if error:
        values["learnt"] = Value(abs(error), "mm")
        texts["comes_out"] = "more" if error > 0 else "less"
    kind = "cut-corrected" if step.kind == "cut" else step.kind
    return replace(step, kind=kind, values=values, texts=texts)


def _too_coarse(cuts: CutsToSize) -> Answer:
    hand = cuts.hand
    part = divisions_to_aim(hand.size, hand.target.aim, hand.work, hand.dial)
    values = {
        **_plan_values(cuts),
        "left_on_size": Value(hand.standing.on_diameter, "mm"),
        "part_of_division": Value(part, ""),
    }
    texts = {"slide": cuts.slide, "title": cuts.title}
    return Answer("cut-too-coarse", values=values, texts=texts)


def _end(cuts: CutsToSize) -> Answer:
    standing = cuts.hand.standing
    values = {**_plan_values(cuts), "measured": Value(cuts.hand.size, "mm")}
    texts = {"title": cuts.title}
    if standing.state is SizeState.WITHIN_LIMITS and cuts.hand.measured_size:
        return Answer("cut-within", values=values, texts=texts)
    if standing.state is SizeState.PAST_SIZE:
        values["past_by"] = Value(standing.past_by, "mm")
        texts["verdict"] = "Oversize" if cuts.hand.work is Work.BORE else "Undersize"
        return Answer("cut-past", values=values, texts=texts, cautions=(Phrase("undersize"),))
    return Answer("cycle-done", texts=texts)


def reason(cuts: CutsToSize, situation: Situation) -> Answer:
    """Why the present step is so."""
    values = _plan_values(cuts)
    name = "lever" if cuts.up.move is not None else cuts.up.name or cuts.phase
    if name == "cutting":
        name = f"held-{cuts.held_by}"
    return Answer("reason-of-cut", values=values, texts={"about": name}, place=_place(cuts))
