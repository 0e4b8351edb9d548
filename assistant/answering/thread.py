"""A thread: pitch, depth, levers or the plain statement that the box has no such pitch, re-engage rule."""

from __future__ import annotations

from fractions import Fraction

from assistant.answer import Answer, Phrase, Value
from assistant.answering.engage import dial_working, engage_for, geared_lead, rule_key
from assistant.answering.levers import lever_words
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.thread_named import basic_sizes_of, is_inch, per_inch, standard_thread
from assistant.core.levers import Setting
from assistant.core.shift_plan import shift_plan
from assistant.core.threads.forms import form, thread_depth
from assistant.core.threads.thread import Thread
from assistant.query import ThreadFor
from profiles.lathe import Lathe


@answers(ThreadFor)
def thread(query: ThreadFor, situation: Situation) -> Answer:
    """Everything that the operator sets to cut this thread on this lathe."""
    lathe = situation.lathe
    wanted, assumed = standard_thread(query.thread)
    lead, settings = geared_lead(wanted.lead, lathe)
    engage = engage_for(lead, lathe, wanted.left_hand)
    plan = shift_plan(lathe.levers, situation.levers, settings) if settings else None
    values = thread_values(wanted)
    if is_inch(wanted, query.thread):
        values["threads_per_inch"] = Value(per_inch(wanted), "1/inch")
    ratio = lead / lathe.leadscrew.pitch
    figures = {
        "lead": Value(lead, "mm"),
        "screw_pitch": Value(lathe.leadscrew.pitch, "mm"),
        "a": Value(Fraction(ratio.numerator), ""),
        "b": Value(Fraction(ratio.denominator), ""),
    }
    texts = {"designation": wanted.designation, "lathe": lathe.name, "engage": rule_key(engage)}
    if plan is None:
        texts["no_pitch"] = _nearest_pitches(lead, lathe)
    return Answer(
        kind="thread",
        values=values,
        texts={**texts, "hand": "left hand" if wanted.left_hand else ""},
        settings={"feed": plan.settings[0]} if plan else {},
        moves=plan.moves if plan else (),
        lever_words=lever_words(lathe),
        engage=engage,
        cautions=tuple(_cautions(wanted, plan.settings[0] if plan else None, engage.keep_closed)),
        assumed=tuple(assumed),
        working=(Phrase("depth-working", values), *dial_working(engage, figures)),
        sources=(form(wanted.form).source, f"pitches of the {lathe.name}'s profile"),
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


def _cautions(wanted: Thread, setting: Setting | None, keep_closed: bool) -> list[Phrase]:
    found = []
    if setting is None:
        found.append(Phrase("no-such-pitch"))
    elif setting.train is not None:
        found.append(Phrase("gears-guard"))
    if wanted.left_hand:
        found.append(Phrase("left-hand-start"))
    if keep_closed and setting is not None:
        found.append(Phrase("keep-closed-caution"))
    return found
