"""When the half-nut may be closed again: the thread dial of this lathe and this thread."""

from __future__ import annotations

from dataclasses import fields
from fractions import Fraction

from assistant.answer import Answer, Ask, Engage, Phrase, Value
from assistant.answering.levers import settings_for
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.thread_named import is_inch, per_inch, standard_thread
from assistant.core.levers import Setting
from assistant.core.thread_dial import best_gear, pitches_between_closings
from assistant.query import ReengageFor
from profiles.lathe import Lathe


def geared_lead(lead: Fraction, lathe: Lathe) -> tuple[Fraction, tuple[Setting, ...]]:
    """The lead as this lathe cuts it (the same, where a setting gives it exactly) and its settings."""
    return lead, settings_for(lathe.pitches, lead)


def engage_for(lead: Fraction, lathe: Lathe, left_hand: bool = False) -> Engage:
    """The re-engage rule for a lead as geared, mm per turn, on this lathe."""
    if lathe.thread_dial is None:
        return Engage(keep_closed=pitches_between_closings(lead, lathe.leadscrew) != 1)
    closings = best_gear(lead, lathe.leadscrew, lathe.thread_dial, left_hand=left_hand)
    return Engage(**{each.name: getattr(closings, each.name) for each in fields(Engage)})


def rule_key(engage: Engage) -> str:
    """Which sentence of the catalogue tells this rule."""
    if engage.keep_closed:
        return "keep-closed"
    if not engage.marks:
        return "close-anywhere"
    if engage.every == 1:
        return "any-mark"
    if len(engage.marks) == len(engage.all_marks):
        return "any-mark"
    if set(engage.marks) == {label for label, _, _ in engage.all_marks if label}:
        return "numbered-marks"
    return "one-mark" if len(engage.marks) == 1 else "these-marks"


@answers(ReengageFor)
def reengage(query: ReengageFor, situation: Situation) -> Answer | Ask:
    """The marks at which the half-nut may be closed, for the thread named or the one in hand."""
    named = query.thread or situation.thread
    if named is None:
        return Ask(Phrase("which-thread"))
    thread, assumed = standard_thread(named)
    engage = engage_for(thread.lead, situation.lathe, thread.left_hand)
    if query.thread is None:
        assumed.append(Phrase("taken-thread-in-hand", {"designation": thread.designation}))
    screw = situation.lathe.leadscrew
    ratio = thread.lead / screw.pitch
    figures = {
        "lead": Value(thread.lead, "mm"),
        "screw_pitch": Value(screw.pitch, "mm"),
        "a": Value(Fraction(ratio.numerator), ""),
        "b": Value(Fraction(ratio.denominator), ""),
    }
    return Answer(
        kind=f"engage-{rule_key(engage)}",
        values={**figures, "threads_per_inch": Value(per_inch(thread), "1/inch")} if is_inch(thread, named) else figures,
        texts={"designation": thread.designation, "lathe": situation.lathe.name},
        engage=engage,
        cautions=(Phrase("same-mark-sure"),) if engage.marks else (Phrase("keep-closed-caution"),) if engage.keep_closed else (),
        assumed=tuple(assumed),
        working=tuple(dial_working(engage, figures)),
        sources=("lead over leadscrew pitch in lowest terms: arithmetic",),
    )


def dial_working(engage: Engage, figures: dict[str, Value]) -> list[Phrase]:
    """The dial rule with this thread's figures."""
    found = [Phrase("dial-ratio", figures)]
    if engage.dial_teeth is not None:
        key = "dial-none" if engage.keep_closed else "dial-serves"
        found.append(Phrase(key, {**figures, "teeth": Value(Fraction(engage.dial_teeth), "")}))
    return found
