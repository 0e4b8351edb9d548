"""A thread: pitch, depth, levers, change gears where the chart lacks it, re-engage rule."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from assistant.answer import Answer, Phrase, Value
from assistant.answering.engage import (
    InHand,
    dial_figures,
    dial_working,
    engage_cautions,
    engage_for,
    other_system,
    rule_key,
)
from assistant.answering.gearing import (
    Geared,
    error_cautions,
    error_text,
    error_values,
    geared,
    gears_working,
)
from assistant.answering.infeed import cutting_values
from assistant.answering.levers import lever_words, plan_for
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.thread_limits import class_named
from assistant.answering.thread_named import basic_sizes_of, is_inch, per_inch, standard_thread
from assistant.answering.threading_levers import hand_cautions, hand_setting
from assistant.core.threads.forms import form, thread_depth
from assistant.core.threads.thread import Thread
from assistant.errors import OutOfRange
from assistant.query import ThreadFor
from profiles.lathe import Lathe


@answers(ThreadFor)
def thread(query: ThreadFor, situation: Situation) -> Answer:
    """Everything that the operator sets to cut this thread on this lathe."""
    lathe = situation.lathe
    wanted, assumed = standard_thread(query.thread)
    cut = _as_cut(wanted, situation)
    values = thread_values(wanted) | cutting_values(wanted, class_named(wanted, query.thread))
    if is_inch(wanted, query.thread):
        values["threads_per_inch"] = Value(per_inch(wanted), "1/inch")
    texts = {"designation": wanted.designation, "hand": "left hand" if wanted.left_hand else ""}
    answer = Answer(
        kind="thread",
        values=values,
        texts={**texts, "lathe": lathe.name},
        lever_words=lever_words(lathe),
        assumed=tuple(assumed),
        working=(Phrase("depth-working", values),),
        sources=(form(wanted.form).source, f"pitches of the {lathe.name}'s profile"),
    )
    if cut is None:
        texts = {**answer.texts, "no_pitch": _nearest_pitches(wanted.lead, lathe)}
        return replace(
            answer, texts=texts, cautions=(*_taper_cautions(wanted), Phrase("no-such-pitch"))
        )
    return _with_levers(answer, InHand(query.thread, wanted, cut, ()), situation)


def _as_cut(wanted: Thread, situation: Situation) -> Geared | None:
    """The thread as this lathe cuts it; None where neither its chart nor its gears come near."""
    try:
        return geared(wanted.lead, situation, wanted.designation)
    except OutOfRange:
        return None


def _with_levers(answer: Answer, hand: InHand, situation: Situation) -> Answer:
    """`answer` with the plan of levers and gears, and the rule of the thread dial for the lead as cut."""
    lathe, cut, wanted = situation.lathe, hand.cut, hand.thread
    engage = engage_for(cut.lead, lathe, wanted.left_hand)
    plan = plan_for(situation, cut.settings, *hand_setting(lathe, wanted.left_hand))
    groups = ("feed", "direction")[: len(plan.settings)]
    idler = {} if cut.idler is None else {"idler": str(cut.idler)}
    cautions = (
        *_taper_cautions(wanted),
        *error_cautions(cut),
        *hand_cautions(lathe, wanted.left_hand),
        # That another line ruins the thread is said when the operator asks for the lines.
        *(
            each
            for each in engage_cautions(engage, other_system(hand, lathe))
            if each.key != "same-mark-sure"
        ),
    )
    working = (
        *gears_working(cut, plan.settings[0], lathe),
        *dial_working(engage, dial_figures(cut.lead, lathe)),
    )
    return replace(
        answer,
        values={**answer.values, **error_values(cut)},
        texts={
            **answer.texts,
            **idler,
            "engage": rule_key(engage),
            "approximate": error_text(cut),
        },
        settings=dict(zip(groups, plan.settings, strict=True)),
        moves=plan.moves,
        engage=engage,
        cautions=cautions,
        working=(*answer.working, *working),
    )


def thread_values(wanted: Thread) -> dict[str, Value]:
    """The figures of a thread that need no lathe."""
    values = {
        "pitch": Value(wanted.pitch, "mm"),
        "lead": Value(wanted.lead, "mm"),
        "starts": Value(Fraction(wanted.starts), ""),
        "thread_depth": Value(thread_depth(wanted.form, wanted.pitch), "mm"),
    }
    sizes = basic_sizes_of(wanted)
    if sizes is not None:
        values["major_diameter"] = Value(sizes.major_diameter, "mm")
        values["pitch_diameter"] = Value(sizes.pitch_diameter, "mm")
        values["minor_diameter"] = Value(sizes.minor_diameter, "mm")
    return values


def _nearest_pitches(lead: Fraction, lathe: Lathe) -> str:
    """The two leads of the chart on either side, as text."""
    below = [each.gives for each in lathe.pitches if each.gives < lead]
    above = [each.gives for each in lathe.pitches if each.gives > lead]
    near = [f"{float(each):.4g} mm" for each in (below[-1:] + above[:1])]
    return " and ".join(near)


def _taper_cautions(wanted: Thread) -> list[Phrase]:
    return [Phrase("tapered-thread")] if wanted.taper else []
