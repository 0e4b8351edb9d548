"""The memory as it is kept over a restart, and back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from assistant.alongside.plain import Kept
from assistant.answer import Answer
from assistant.answering import answer_to
from assistant.answering.levers import places_text
from assistant.errors import AssistantError
from assistant.memory import Memory, Told, at_start
from profiles.lathe import Lathe


def kept_of(memory: Memory) -> Kept:
    """What of `memory` survives a restart; a plan that was only told does not."""
    last = memory.last_question
    return Kept(
        lathe=memory.lathe_named,
        units=memory.units,
        tool=memory.tool,
        material=memory.material,
        thread=memory.thread,
        set_up=replace(memory.set_up, plan=None, step=0),
        first_mark=memory.first_mark,
        spindle_speed=memory.spindle_speed,
        last=last.query if last else None,
        last_heard=last.heard if last else "",
        sequence=memory.sequence,
        trail=tuple(memory.trail),
        outer=tuple(memory.outer),
        job=memory.job,
    )


def memory_of(kept: Kept, find_lathe: Callable[[str], Lathe]) -> Memory | None:
    """The memory that `kept` was made of; None where its lathe is not there any more.

    Nobody knows what happened meanwhile: whether the spindle stands still is asked anew.
    """
    try:
        lathe = find_lathe(kept.lathe)
    except AssistantError:
        return None
    memory = at_start(lathe, kept.lathe)
    memory.units, memory.tool, memory.material = kept.units, kept.tool, kept.material
    memory.thread, memory.first_mark = kept.thread, kept.first_mark
    memory.spindle_speed, memory.job = kept.spindle_speed, kept.job
    known = {lever.name for lever in lathe.levers}
    if known >= kept.set_up.confirmed.keys():
        memory.set_up = kept.set_up
    memory.sequence = kept.sequence.standing() if kept.sequence else None
    memory.trail = [each.standing() for each in kept.trail]
    memory.outer = list(kept.outer)
    if kept.last is not None:
        outcome = answer_to(kept.last, memory.situation())
        memory.told = [Told(kept.last, kept.last_heard, outcome)]
    return memory


def resumed(memory: Memory) -> Answer | None:
    """What is told at the start of a session that goes on where another ended; None where nothing does."""
    situation = memory.situation()
    texts = {
        "going_on": memory.sequence.title if memory.sequence else "",
        "levers": places_text(situation.levers, memory.lathe),
        "job": memory.job.number,
        "job_said": " ".join(memory.job.number),
        "lathe": memory.lathe.name,
    }
    if not any(texts[name] for name in ("going_on", "levers", "job")):
        return None
    return Answer("resumed", texts={name: text for name, text in texts.items() if text})
