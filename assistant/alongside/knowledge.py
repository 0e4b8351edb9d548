"""What is remembered now, told in one answer."""

from __future__ import annotations

from assistant.alongside.job import Job
from assistant.alongside.sequence import Sequence
from assistant.answer import Answer
from assistant.answering.levers import places_text
from assistant.answering.situation import Situation
from assistant.answering.thread_named import standard_thread
from assistant.answering.work import tool_name
from assistant.core.materials import material
from assistant.errors import OutOfRange


def known(situation: Situation, job: Job, sequence: Sequence | None) -> Answer:
    """Lathe, units, tool, material, thread in hand, levers, job and what goes on."""
    texts = {
        "lathe": situation.lathe.name,
        "units": {"mm": "millimetres", "inch": "inches"}[situation.units],
        "tool": tool_name(situation.tool) if situation.tool else "",
        "material": material(situation.material).name if situation.material else "",
        "thread": _thread(situation),
        "levers": places_text(situation.levers, situation.lathe),
        "job": job.number,
        "job_said": " ".join(job.number),
        "going_on": sequence.title if sequence else "",
    }
    return Answer("known", texts={name: text for name, text in texts.items() if text})


def _thread(situation: Situation) -> str:
    if situation.thread is None:
        return ""
    try:
        return standard_thread(situation.thread)[0].designation
    except OutOfRange:
        return ""
