"""The plan last told, one move at a time."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.answer import Answer, Phrase, Refusal, Value
from assistant.answering.levers import lever_words
from assistant.answering.registry import answers
from assistant.answering.set_up import PlanTold
from assistant.answering.situation import Situation
from assistant.core.levers import Move, WhenToShift
from assistant.query_levers import StepOfPlan

CAUTIONS = {
    WhenToShift.STOPPED: "spindle-at-rest",
    WhenToShift.BY_HAND: "never-force",
    WhenToShift.SLOW: "slow-shift",
}
"""What concerns a move of this class, said before it."""


@dataclass(frozen=True)
class Step:
    """One thing to do: gears to mount, or one lever to move."""

    move: Move | None
    """None for the change gears, which come before every lever."""


def steps_of(plan: PlanTold) -> tuple[Step, ...]:
    """The change gears where they change, then the moves in their order."""
    moves = tuple(Step(move) for move in plan.moves)
    return (Step(None), *moves) if plan.change_gears else moves


@answers(StepOfPlan)
def step_of_plan(query: StepOfPlan, situation: Situation) -> Answer | Refusal:
    """The step asked for of the plan last told."""
    plan, told = situation.set_up.plan, situation.set_up.step
    if plan is None:
        return Refusal(
            reason="no plan of moves has been told yet",
            say_next="Ask for a speed, feed or thread",
            spoken="there is no plan yet",
        )
    steps = steps_of(plan)
    number = {"next": told + 1, "back": max(1, told - 1), "again": max(1, told), "first": 1}[
        query.which
    ]
    if number > len(steps):
        return _end(len(steps))
    return _step(steps[number - 1], number, len(steps), plan, situation)


def _end(steps: int) -> Answer:
    values = {"step": Value(Fraction(steps + 1), ""), "steps": Value(Fraction(steps), "")}
    return Answer(kind="steps-end" if steps else "steps-none", values=values)


def _step(step: Step, number: int, steps: int, plan: PlanTold, situation: Situation) -> Answer:
    values = {"step": Value(Fraction(number), ""), "steps": Value(Fraction(steps), "")}
    if step.move is None:
        return Answer(
            kind="step",
            values=values,
            texts={"mount": plan.mount},
            gears=((plan.train.drivers, plan.train.driven),) if plan.train else (),
            cautions=(Phrase("gears-guard"),),
        )
    move = step.move
    texts = {"lever": move.lever, "to": move.to, "start": move.start or "", "when": move.when.value}
    key = CAUTIONS.get(move.when)
    return Answer(
        kind="step",
        values=values,
        texts={name: text for name, text in texts.items() if text},
        moves=(move,),
        lever_words=lever_words(situation.lathe),
        cautions=(Phrase(key),) if key else (),
    )
