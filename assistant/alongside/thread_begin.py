"""The start of a thread on this lathe: what has to be set, in order, and the passes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from assistant.alongside.setting_up import planned
from assistant.alongside.thread_cycle import ThreadCycle
from assistant.alongside.working_speed import working_speed
from assistant.answer import Ask, Phrase, Refusal
from assistant.answering.engage import closings_for, engage_for, in_hand
from assistant.answering.infeed import pass_plan
from assistant.answering.situation import Situation
from assistant.answering.starts import start_closings_of
from assistant.answering.threading_levers import hand_setting
from assistant.core import pass_plan as passes_in_hand
from assistant.core.levers import Setting
from assistant.core.thread_cycle import Flag, Infeed, Step, ThreadJob, thread_cycle, thread_job
from assistant.core.threads.thread import Thread
from assistant.query_alongside import StartThread

NAMES = {
    Step.SPEED: "speed",
    Step.TAPER: "taper",
    Step.COMPOUND: "compound",
    Step.TOOL: "tool",
    Step.TOUCH: "touch",
    Step.ZERO: "zero",
}


def thread_begun(query: StartThread, situation: Situation) -> ThreadCycle | Ask:
    """The thread at its first step; a question back where none was named. Raises OutOfRange."""
    hand = in_hand(query.thread, situation)
    if hand is None:
        return Ask(Phrase("which-thread"))
    lathe, thread = situation.lathe, hand.thread
    engage = engage_for(hand.cut.lead, lathe, thread.left_hand)
    closings = closings_for(hand.cut.lead, lathe, thread.left_hand)
    gear = closings.pick_off_gear if closings else None
    job = thread_job(
        internal=query.internal,
        left_hand=thread.left_hand,
        starts=thread.starts,
        tapered=bool(thread.taper),
        infeed=Infeed.STRAIGHT if query.straight_in else Infeed.FLANK,
        keep_closed=engage.keep_closed,
        closings=start_closings_of(hand, lathe, None, gear) if thread.starts > 1 else None,
    )
    speed, speed_settings = _speed(thread, situation)
    groups: list[Sequence[Setting]] = [hand.cut.settings, *hand_setting(lathe, thread.left_hand)]
    passes = passes_in_hand.begin(pass_plan(thread, query.internal))
    return ThreadCycle(
        named=hand.named,
        job=job,
        fresh=passes,
        passes=passes,
        up=planned(
            [*groups, speed_settings],
            _settings(job, ask_speed=speed is None),
            situation,
            hand.cut.idler,
            speed,
        ),
    )


def _speed(thread: Thread, situation: Situation) -> tuple[Fraction | None, Sequence[Setting]]:
    """The threading speed for the material in hand, and its settings; None where no material was named."""
    if situation.material is None or thread.major_diameter is None:
        return None, ()
    found = working_speed(situation.material, thread.major_diameter, "thread", situation)
    if isinstance(found, Refusal):
        return None, ()
    return found.turns, found.settings


def _settings(job: ThreadJob, *, ask_speed: bool) -> list[str]:
    """The names of what is set before the first pass, as `SettingUp.settings` has them."""
    names = ["plan"]
    for step in thread_cycle(job, passes=1, spring_passes=0):
        if step.kind is Step.SPEED:
            names += ["speed"] if ask_speed else []
        elif step.kind is Step.LEVERS:
            names.append("levers")
        elif step.kind is Step.COMPOUND:
            # Straight in, the compound serves only where it moves the starts on.
            if Flag.STRAIGHT_IN not in step.flags or Flag.ALONG_AXIS in step.flags:
                names.append("compound")
        elif step.kind in NAMES:
            names.append(NAMES[step.kind])
    return names
