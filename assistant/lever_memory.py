"""How the memory of levers, change gears and the plan in hand changes from one question to the next.

Only what the operator says changes what is confirmed. A plan that is told makes its levers
doubtful until it is confirmed: they may have been moved, or not.
"""

from __future__ import annotations

from dataclasses import replace

from assistant.alongside.sequence import Going
from assistant.answer import Answer
from assistant.answering.levers import gears_needed, mount_text
from assistant.answering.set_up import KNOWN, PlanTold, SetUp
from assistant.answering.situation import Situation
from assistant.core.levers import GearTrain
from assistant.query import Query
from assistant.query_levers import GearsMounted, LeversAt, LeversDone, LeversForgotten, StepOfPlan


def set_up_after(query: Query, answer: Answer, situation: Situation) -> SetUp:
    """The set-up once `query` has been answered so; `situation` is the one it was answered in."""
    set_up = situation.set_up
    match query:
        case LeversAt():
            return _confirmed(set_up, dict(query.places))
        case LeversDone():
            return _done(set_up, query.gears_too)
        case LeversForgotten():
            return replace(set_up, confirmed={}, doubtful=frozenset(), plan=None, step=0)
        case GearsMounted():
            return _mounted(set_up, query.usual, situation)
        case StepOfPlan():
            # answers of this kind always tell their step
            return replace(set_up, step=int(answer.values["step"].number))  # type: ignore[arg-type]
    if answer.settings and KNOWN not in answer.settings:
        return _told(set_up, answer, situation)
    return set_up


def without_plan(set_up: SetUp) -> SetUp:
    """The plan is dropped; its levers stay doubtful."""
    return replace(set_up, plan=None, step=0)


def _confirmed(set_up: SetUp, places: dict[str, str]) -> SetUp:
    return replace(
        set_up,
        confirmed={**set_up.confirmed, **places},
        doubtful=set_up.doubtful - places.keys(),
    )


def _done(set_up: SetUp, gears_too: bool) -> SetUp:
    plan = set_up.plan
    assert plan is not None
    done = replace(_confirmed(set_up, dict(plan.target)), step=0)
    if not plan.change_gears:
        return replace(done, plan=None)
    if gears_too:
        return replace(done, plan=None, mounted=plan.train, gears_known=True)
    # The gears of this plan may still be confirmed.
    return replace(done, plan=replace(plan, moves=()))


def _mounted(set_up: SetUp, usual: bool, situation: Situation) -> SetUp:
    plan = set_up.plan
    if usual:
        train: GearTrain | None = None
    else:
        assert plan is not None
        train = plan.train
    on = replace(set_up, mounted=train, gears_known=True)
    if plan is None or not plan.change_gears:
        return on
    # Whether the rest of the plan still needs gears is asked anew with what is on now.
    needed = gears_needed(plan.settings, replace(situation, set_up=on))
    told = max(0, set_up.step - 1) if not needed.change else set_up.step
    left = replace(
        plan, change_gears=needed.change, mount=mount_text(needed, replace(situation, set_up=on))
    )
    return replace(on, plan=left if left.moves or left.change_gears else None, step=told)


def _told(set_up: SetUp, answer: Answer, situation: Situation) -> SetUp:
    needed = gears_needed(answer.settings.values(), situation)
    plan = PlanTold(
        settings=tuple(answer.settings.values()),
        moves=answer.moves,
        change_gears=needed.change,
        train=needed.train,
        mount=answer.texts.get("mount", ""),
    )
    moved = {move.lever for move in answer.moves if move.lever in set_up.confirmed}
    return replace(
        set_up,
        plan=plan,
        step=0,
        doubtful=set_up.doubtful | moved,
        gears_known=set_up.gears_known and not needed.change,
    )


def stands_at(set_up: SetUp, going: Going) -> SetUp:
    """The set-up once a sequence has moved levers or mounted gears, as the operator said."""
    moved = _confirmed(set_up, dict(going.levers))
    return replace(moved, mounted=going.mounted, gears_known=True) if going.gears_on else moved
