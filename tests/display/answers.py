"""Every answer that can be had: an example of every kind of question, on each lathe, in both units."""

from __future__ import annotations

from collections import defaultdict
from functools import cache

from assistant.answer import Answer, Shown
from assistant.app import Assistant
from display.content import Content, of_fault, of_outcome

LATHES = ("heron", "badger", "juniper")
NOT_ASKED = ("use the",)
"""Beginnings of examples that would change the lathe for those after them."""
REFUSED = (
    "speed for the",
    "metric thirteen",
    "metric twelve by eight",
    "morse taper nine",
    "fit six hundred h seven g six",
    "drill number ninety nine",
    "blah blah",
)
WALKS = (
    ("start thread half inch thirteen", "spindle stopped", *("next step", "levers done") * 8),
    ("start thread metric twelve", "spindle stopped", *("next step", "levers done") * 8),
    ("lead me through facing", "spindle stopped", *("next step", "spindle stopped") * 6),
    ("half inch thirteen", "next step", "next step", "next step", "go back"),
)
"""Sequences, each begun anew."""


@cache
def outcomes() -> tuple[tuple[str, str, Shown, Answer | None], ...]:
    """(lathe and units, words, what is shown, the answer) of all that is asked."""
    found = []
    for lathe in LATHES:
        for units in ("mm", "inch"):
            assistant = Assistant(lathe, units)
            examples = [e for e in assistant.grammar.examples() if not e.startswith(NOT_ASKED)]
            for words in [*examples, *REFUSED]:
                found.append((f"{lathe} {units}", words, *_reply(assistant, words)))
                assistant.conversation.memory.units = units
            for walk in WALKS:
                walker = Assistant(lathe, units)
                found += [(f"{lathe} {units}", words, *_reply(walker, words)) for words in walk]
    return tuple(found)


def _reply(assistant: Assistant, words: str) -> tuple[Shown, Answer | None]:
    reply = assistant.reply(words)
    return reply.shown, reply.answer


@cache
def contents() -> dict[str, tuple[Content, ...]]:
    """Kind of answer, or status where there is none -> its longest content on each lathe."""
    found: dict[str, dict[str, list[Content]]] = defaultdict(lambda: defaultdict(list))
    for place, _, shown, answer in outcomes():
        kind = answer.kind if answer is not None else shown.status
        found[kind][place.split()[0]].append(of_outcome(shown, answer))
    refused = [shown.headline for _, _, shown, answer in outcomes() if answer is None]
    fault = of_fault(max(refused, key=len), "Mend the profile, or use another lathe")
    longest_of = {
        kind: tuple(max(each, key=length) for each in by_lathe.values())
        for kind, by_lathe in sorted(found.items())
    }
    return {**longest_of, "fault": (fault,)}


def length(content: Content) -> int:
    """Letters of all that is to be shown."""
    rows = sum(len(row.label) + len(row.text) for row in content.rows)
    levers = sum(len(step.lever) + len(step.to) for step in content.levers)
    return rows + levers + len(content.headline) + len("".join(content.cautions))


@cache
def longest() -> dict[str, Content]:
    """Kind -> the content with the most letters."""
    return {kind: max(each, key=length) for kind, each in contents().items()}
