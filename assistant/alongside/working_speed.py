"""The spindle speed that a sequence sets before it cuts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.answer import Answer, Phrase, Refusal
from assistant.answering import answer_to
from assistant.answering.levers import settings_for
from assistant.answering.situation import Situation
from assistant.core.levers import Setting
from assistant.query import SpindleSpeedFor
from assistant.units import quantity


@dataclass(frozen=True)
class WorkingSpeed:
    """One of the lathe's speeds, the settings that give it, and what must be said of it."""

    turns: Fraction
    settings: Sequence[Setting]
    cautions: tuple[Phrase, ...]


def working_speed(
    material: str, diameter: Fraction, operation: str, situation: Situation
) -> WorkingSpeed | Refusal:
    """The speed as the plain question gives it; its refusal where there is none."""
    answer = answer_to(
        SpindleSpeedFor(material=material, diameter=quantity(diameter, "mm"), operation=operation),
        situation,
    )
    if isinstance(answer, Refusal):
        return answer
    assert isinstance(answer, Answer)
    turns = answer.values["spindle_speed"].number
    assert isinstance(turns, Fraction)
    cautions = tuple(each for each in answer.cautions if each.key != "gears-guard")
    return WorkingSpeed(turns, settings_for(situation.lathe.speeds, turns), cautions)
