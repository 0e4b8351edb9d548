"""When the half-nut may be closed again: the thread dial of this lathe and this thread."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from fractions import Fraction

from assistant.answer import Answer, Ask, Engage, Phrase, Refusal, Value
from assistant.answering.gearing import Geared, error_cautions, error_values, geared
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.thread_named import is_inch, per_inch, standard_thread
from assistant.answering.threading_levers import hand_cautions
from assistant.core.dial_types import ThreadDial
from assistant.core.thread_dial import (
    Closings,
    best_gear,
    mark_names,
    pitches_between_closings,
    safe_closings,
)
from assistant.core.threads.thread import Thread
from assistant.query import ReengageFor, ThreadNamed
from assistant.query_levers import ClosedOn
from profiles.lathe import Lathe

INCH_SCREW = 127
"""An inch is 127/5 mm, so the pitch of an inch leadscrew has this factor above the line."""


@dataclass(frozen=True)
class InHand:
    """A thread as it is being cut on this lathe."""

    named: ThreadNamed
    thread: Thread
    cut: Geared
    assumed: tuple[Phrase, ...]

    @property
    def figures(self) -> dict[str, Value]:
        """Figures of the thread for rows and JSON."""
        found = {"pitch": Value(self.thread.pitch, "mm"), "lead": Value(self.thread.lead, "mm")}
        if is_inch(self.thread, self.named):
            found["threads_per_inch"] = Value(per_inch(self.thread), "1/inch")
        return {**found, **error_values(self.cut)}


def in_hand(named: ThreadNamed | None, situation: Situation) -> InHand | None:
    """The thread named, else the one in hand; None where there is neither. Raises OutOfRange."""
    chosen = named or situation.thread
    if chosen is None:
        return None
    thread, assumed = standard_thread(chosen)
    if named is None:
        assumed.append(Phrase("taken-thread-in-hand", {"designation": thread.designation}))
    return InHand(
        chosen, thread, geared(thread.lead, situation, thread.designation), tuple(assumed)
    )


def closings_for(
    lead: Fraction, lathe: Lathe, left_hand: bool = False, first_mark: str | None = None
) -> Closings | None:
    """The closings for a lead as geared, mm per turn; None where the lathe has no thread dial.

    The pick-off gear is the one that serves with most marks, whatever the first mark was: it is
    in mesh by then.
    """
    dial = lathe.thread_dial
    if dial is None:
        return None
    best = best_gear(lead, lathe.leadscrew, dial, left_hand=left_hand)
    if first_mark is None:
        return best
    [gear] = [each for each in dial.gears if each.name == best.pick_off_gear]
    return safe_closings(lead, lathe.leadscrew, gear, dial, first_mark, left_hand)


def as_engage(closings: Closings | None, lead: Fraction, lathe: Lathe) -> Engage:
    """The rule as an answer carries it; without a dial it is 'anywhere' or 'keep closed'."""
    if closings is None:
        return Engage(keep_closed=pitches_between_closings(lead, lathe.leadscrew) != 1)
    return Engage(**{each.name: getattr(closings, each.name) for each in fields(Engage)})


def engage_for(lead: Fraction, lathe: Lathe, left_hand: bool = False) -> Engage:
    """The re-engage rule for a lead as geared, mm per turn, on this lathe."""
    return as_engage(closings_for(lead, lathe, left_hand), lead, lathe)


def rule_key(engage: Engage) -> str:
    """Which sentence of the catalogue tells this rule."""
    if engage.keep_closed:
        return "keep-closed"
    if not engage.marks or engage.every == 1:
        return "close-anywhere"
    safe = [label for label, _, serves in engage.all_marks if serves]
    labels = [label for label, _, _ in engage.all_marks]
    if len(safe) == len(labels):
        return "any-mark"
    if len(safe) == 1:
        return "one-mark"
    if sorted(safe) == sorted(label for label in labels if label):
        return "numbered-marks"
    if any(labels) and safe == [label for label in labels if not label]:
        return "plain-marks"
    return "these-marks"


@answers(ReengageFor)
def reengage(query: ReengageFor, situation: Situation) -> Answer | Ask:
    """The marks at which the half-nut may be closed, for the thread named or the one in hand."""
    thread = in_hand(query.thread, situation)
    if thread is None:
        return Ask(Phrase("which-thread"))
    # A first closing was told for the thread in hand only.
    first = situation.first_mark if query.thread in (None, situation.thread) else None
    return closing_answer(thread, situation, first)


@answers(ClosedOn)
def closed_on(query: ClosedOn, situation: Situation) -> Answer | Ask | Refusal:
    """The marks that serve after a first closing on the mark told."""
    dial = situation.lathe.thread_dial
    if dial is None:
        return Refusal(
            reason=f"the {situation.lathe.name} has no thread dial: keep the half-nut closed and reverse",
            say_next="Ask: when do I close the half nut",
            spoken="this lathe has no thread dial",
        )
    thread = in_hand(None, situation)
    if thread is None:
        return Ask(Phrase("which-thread"))
    return closing_answer(thread, situation, mark_said(query.first_mark, dial))


def mark_said(said: str, dial: ThreadDial) -> str:
    """The dial's own name for a mark as said: on a dial without numbers 'two' is 'line 2'."""
    names = mark_names(dial.marks)
    return f"line {said}" if said not in names and f"line {said}" in names else said


def closing_answer(thread: InHand, situation: Situation, first_mark: str | None) -> Answer:
    """The rule for a thread, perhaps after a first closing. Raises NoSuchSize for a mark that is not there."""
    lathe, lead = situation.lathe, thread.cut.lead
    left = thread.thread.left_hand
    closings = closings_for(lead, lathe, left, first_mark)
    engage = as_engage(closings, lead, lathe)
    rule = rule_key(engage)
    texts = {
        "designation": thread.thread.designation,
        "lathe": lathe.name,
        "dial": "yes" if lathe.thread_dial else "no",
        "hand": "left hand" if left else "",
        "first": first_mark or "",
        "whole_turn": "yes"
        if engage.every is not None and engage.every == engage.dial_teeth
        else "",
        "tumbler": lathe.reversing.left_hand if left and lathe.reversing else "",
    }
    ratio_figures = dial_figures(lead, lathe)
    return Answer(
        kind=f"engage-{rule}",
        values={**thread.figures, **ratio_figures},
        texts={name: text for name, text in texts.items() if text},
        engage=engage,
        cautions=tuple(_cautions(thread, engage, lathe)),
        assumed=thread.assumed,
        working=(*dial_working(engage, ratio_figures), *_trade_note(thread, engage, lathe)),
        sources=("lead over leadscrew pitch in lowest terms: arithmetic",),
    )


def _cautions(thread: InHand, engage: Engage, lathe: Lathe) -> Iterable[Phrase]:
    yield from hand_cautions(lathe, thread.thread.left_hand)
    yield from error_cautions(thread.cut)
    yield from engage_cautions(engage, other_system(thread, lathe))
    if engage.keep_closed:
        yield Phrase("chuck-may-unscrew")


def engage_cautions(engage: Engage, other: bool = False) -> Iterable[Phrase]:
    """What may not be done with the half-nut; `other`: metric thread on an inch screw or the reverse."""
    if engage.keep_closed:
        yield Phrase("keep-closed-caution")
    elif rule_key(engage) in ("close-anywhere", "any-mark"):
        return
    elif other:
        yield Phrase("whole-turn-only", {"marks": ", ".join(engage.marks)})
    else:
        yield Phrase("same-mark-sure")


def other_system(thread: InHand, lathe: Lathe) -> bool:
    """True for a metric thread on an inch leadscrew or an inch thread on a metric one."""
    inch_screw = lathe.leadscrew.pitch.numerator % INCH_SCREW == 0
    return is_inch(thread.thread, thread.named) != inch_screw


def _trade_note(thread: InHand, engage: Engage, lathe: Lathe) -> list[Phrase]:
    """Where the exact sum allows what the trade's rule of thumb forbids, both are told."""
    if engage.keep_closed or not other_system(thread, lathe):
        return []
    return [Phrase("dial-other-system", {"marks": ", ".join(engage.marks)})]


def dial_figures(lead: Fraction, lathe: Lathe) -> dict[str, Value]:
    """Lead over leadscrew pitch, in lowest terms a/b."""
    ratio = lead / lathe.leadscrew.pitch
    return {
        "lead_cut": Value(lead, "mm"),
        "screw_pitch": Value(lathe.leadscrew.pitch, "mm"),
        "a": Value(Fraction(ratio.numerator), ""),
        "b": Value(Fraction(ratio.denominator), ""),
    }


def dial_working(engage: Engage, figures: dict[str, Value]) -> list[Phrase]:
    """The dial rule with this thread's figures."""
    found = [Phrase("dial-ratio", figures)]
    if engage.dial_teeth is not None:
        key = "dial-none" if engage.keep_closed else "dial-serves"
        found.append(Phrase(key, {**figures, "teeth": Value(Fraction(engage.dial_teeth), "")}))
    return found
