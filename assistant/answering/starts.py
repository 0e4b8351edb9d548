"""The other starts of a multiple-start thread: by marks of the dial, by the compound, or by indexing the work."""

from __future__ import annotations

from fractions import Fraction

from assistant.answer import Answer, Ask, Phrase, Refusal, Value
from assistant.answering.engage import (
    InHand,
    as_engage,
    closings_for,
    engage_cautions,
    in_hand,
    other_system,
)
from assistant.answering.gearing import error_cautions
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.core.thread_dial import StartClosings, start_closings
from assistant.errors import OutOfRange
from assistant.query_levers import StartOnDial
from profiles.lathe import Lathe

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


@answers(StartOnDial)
def start_on_dial(query: StartOnDial, situation: Situation) -> Answer | Ask | Refusal:
    """Marks for a start, or how far to move the compound or turn the work for it."""
    thread = in_hand(query.thread, situation)
    if thread is None:
        return Ask(Phrase("which-thread"))
    starts = thread.thread.starts
    if starts == 1:
        return Refusal(
            reason=f"{thread.thread.designation} has a single start",
            say_next="Say the thread with its starts",
            spoken="that thread has one start",
        )
    if not 1 <= query.start <= starts:
        raise OutOfRange(
            "start",
            str(query.start),
            f"{thread.thread.designation} has {starts} starts",
            str(starts),
        )
    lathe = situation.lathe
    first = situation.first_mark if query.thread is None else None
    closings = closings_for(thread.cut.lead, lathe, thread.thread.left_hand, first)
    engage = as_engage(closings, thread.cut.lead, lathe)
    by_dial = start_closings_of(thread, lathe, first, closings.pick_off_gear if closings else None)
    marks = by_dial.starts[query.start - 1] if by_dial else ()
    pitch = thread.cut.lead / starts
    values = {
        **thread.figures,
        "starts": Value(Fraction(starts), ""),
        "start_offset": Value(pitch * (query.start - 1), "mm"),
        "start_angle": Value(Fraction(360 * (query.start - 1), starts), "degree"),
    }
    texts = {
        "designation": thread.thread.designation,
        "start": ORDINALS[query.start - 1],
        "start_marks": ", ".join(marks),
        "first_marks": ", ".join(by_dial.starts[0]) if by_dial else "",
        "dial_gear": closings.pick_off_gear or "" if closings else "",
        "keep": "yes" if engage.keep_closed else "",
        "hand": "left hand" if thread.thread.left_hand else "",
    }
    return Answer(
        kind="start-by-dial" if marks else "start-first" if query.start == 1 else "start-by-slide",
        values=values,
        texts={name: text for name, text in texts.items() if text},
        engage=engage,
        cautions=(
            *error_cautions(thread.cut),
            *engage_cautions(engage, other_system(thread, lathe)),
        ),
        assumed=thread.assumed,
        working=(Phrase("start-working", values),),
        sources=(
            "a mark d teeth on puts the tool d leadscrew pitches behind its groove: arithmetic",
        ),
    )


def start_closings_of(
    thread: InHand, lathe: Lathe, first: str | None, gear_name: str | None
) -> StartClosings | None:
    """Which marks give which start, after a first closing on `first`; None without a thread dial."""
    dial = lathe.thread_dial
    if dial is None:
        return None
    [gear] = [each for each in dial.gears if each.name == gear_name]
    return start_closings(thread.cut.lead, thread.thread.starts, lathe.leadscrew, gear, dial, first)
