"""How far the thread dial turns, and how long that takes, from one mark that serves to the next."""

from __future__ import annotations

from fractions import Fraction

from assistant.answer import Answer, Ask, Phrase, Value
from assistant.answering.engage import as_engage, closing_answer, closings_for, in_hand, rule_key
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.core.thread_dial import Closings, waiting_time
from assistant.errors import OutOfRange
from assistant.query_levers import WaitAtDial

DEGREES_IN_A_TURN = 360
SECONDS_IN_A_MINUTE = 60


@answers(WaitAtDial)
def wait_at_dial(query: WaitAtDial, situation: Situation) -> Answer | Ask:
    """Dial angle and time between two marks that serve, at the speed named or the one last asked for."""
    thread = in_hand(query.thread, situation)
    if thread is None:
        return Ask(Phrase("which-thread"))
    lathe, lead = situation.lathe, thread.cut.lead
    first = situation.first_mark if query.thread is None else None
    closings = closings_for(lead, lathe, thread.thread.left_hand, first)
    engage = as_engage(closings, lead, lathe)
    if engage.keep_closed:
        return closing_answer(thread, situation, first)
    speed = (
        situation.spindle_speed if query.spindle_speed is None else Fraction(query.spindle_speed)
    )
    if speed is None:
        return Ask(Phrase("which-turns"))
    if speed > lathe.top_speed:
        top = f"the {lathe.name} turns at most at {float(lathe.top_speed):.0f}"
        raise OutOfRange("spindle speed", f"{float(speed):g} turns a minute", top)
    teeth = teeth_to_wait(closings)
    time = waiting_time(teeth, lead, lathe.leadscrew, speed)
    values = {
        **thread.figures,
        "waiting_time": Value(time * SECONDS_IN_A_MINUTE, "s"),
        "spindle_speed": Value(speed, "rpm"),
        "teeth": Value(Fraction(teeth), ""),
        "lead_cut": Value(lead, "mm"),
        "screw_pitch": Value(lathe.leadscrew.pitch, "mm"),
    }
    if closings is not None:
        turn = Fraction(teeth, closings.dial_teeth)
        values["dial_angle"] = Value(turn * DEGREES_IN_A_TURN, "degree")
        values["dial_teeth"] = Value(Fraction(closings.dial_teeth), "")
    rule = rule_key(engage)
    assumed = list(thread.assumed)
    if query.spindle_speed is None:
        assumed.append(Phrase("taken-speed-asked", {"spindle_speed": values["spindle_speed"]}))
    return Answer(
        kind="wait-anywhere" if rule == "close-anywhere" else "wait",
        values=values,
        texts={"designation": thread.thread.designation, "lathe": lathe.name},
        engage=engage,
        cautions=() if rule == "close-anywhere" else (Phrase("mark-not-clock"),),
        assumed=tuple(assumed),
        working=(Phrase("wait-working", values), *_dial_working(values)),
        sources=("half-nut open, the leadscrew runs past the carriage: arithmetic",),
    )


def teeth_to_wait(closings: Closings | None) -> int:
    """Teeth of the dial between two marks that serve, at most; 1 where it may be closed anywhere."""
    # An operator closes on marks only: a safe tooth between two marks is not seen.
    if closings is None or closings.anywhere or closings.longest_gap is None:
        return 1
    return closings.longest_gap


def _dial_working(values: dict[str, Value]) -> list[Phrase]:
    return [Phrase("wait-dial-working", values)] if "dial_angle" in values else []
