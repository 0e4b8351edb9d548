"""Where the levers stand: told, confirmed, asked for, forgotten."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from assistant.answer import Answer, Refusal
from assistant.answering.levers import lever_words, places_text, train_text
from assistant.answering.registry import answers
from assistant.answering.set_up import KNOWN
from assistant.answering.situation import Situation
from assistant.core.levers import Lever, Setting
from assistant.errors import NoSuchSize, nearest_names
from assistant.query_levers import LeversAt, LeversDone, LeversForgotten, LeversStandWhere
from profiles.lathe import Lathe


def _known(confirmed: Mapping[str, str]) -> dict[str, Setting]:
    return {KNOWN: Setting(Fraction(0), dict(confirmed))} if confirmed else {}


@answers(LeversAt)
def levers_at(query: LeversAt, situation: Situation) -> Answer | Refusal:
    """Where the levers stand, as told; a lever or position that the lathe does not have is refused."""
    lathe = situation.lathe
    places: dict[str, str] = {}
    for name, position in query.places:
        lever = _lever(name, lathe)
        if position not in lever.positions:
            raise _no_such(f"position of {name}", position, f"{name} has", lever.positions)
        if places.setdefault(name, position) != position:
            return Refusal(
                reason=f"{name} at {places[name]} and at {position}: a lever stands in one place",
                say_next=f"Say where {name} is",
                spoken=f"you named {name} twice",
            )
    return Answer(
        kind="levers-set",
        texts={"set": places_text(places, lathe), "lathe": lathe.name},
        settings=_known({**situation.levers, **places}),
        lever_words=lever_words(lathe),
    )


def _lever(name: str, lathe: Lathe) -> Lever:
    for lever in lathe.levers:
        if lever.name == name:
            return lever
    if not lathe.levers:
        raise NoSuchSize("lever", name, f"the {lathe.name} has no levers")
    raise _no_such("lever", name, f"the {lathe.name} has", [lever.name for lever in lathe.levers])


def _no_such(what: str, given: str, has: str, known: Sequence[str]) -> NoSuchSize:
    close = nearest_names(given, known, 1)
    return NoSuchSize(what, given, f"{has} {', '.join(known)}", close[0] if close else None)


@answers(LeversDone)
def levers_done(query: LeversDone, situation: Situation) -> Answer | Refusal:
    """The levers of the plan last told, now confirmed; its gears only where they were confirmed too."""
    plan = situation.set_up.plan
    if plan is None:
        return Refusal(
            reason="no plan has been told that could be confirmed",
            say_next="Ask for a speed, feed or thread",
            spoken="there is no plan to confirm",
        )
    texts = {"set": places_text(plan.target, situation.lathe), "lathe": situation.lathe.name}
    if plan.change_gears:
        texts["gears_mounted" if query.gears_too else "gears_open"] = plan.mount
    return Answer(
        kind="levers-set",
        texts=texts,
        settings=_known({**situation.levers, **plan.target}),
        lever_words=lever_words(situation.lathe),
    )


@answers(LeversForgotten)
def levers_forgotten(query: LeversForgotten, situation: Situation) -> Answer:
    """No lever is known any more."""
    return Answer(kind="levers-forgotten", texts={"lathe": situation.lathe.name})


@answers(LeversStandWhere)
def levers_stand_where(query: LeversStandWhere, situation: Situation) -> Answer:
    """Each lever as last confirmed; what is not known, and what may have moved since, is said to be so."""
    lathe, set_up = situation.lathe, situation.set_up
    # The lever that starts and stops the spindle moves all the time: to remember it would mislead.
    working = lathe.spindle_direction.lever if lathe.spindle_direction else None
    never = [
        each.name
        for each in lathe.levers
        if each.name not in set_up.confirmed and each.name != working
    ]
    unsure = [
        each.name
        for each in lathe.levers
        if each.name in set_up.confirmed and each.name in set_up.doubtful
    ]
    texts = {
        group: places_text(situation.levers, lathe, group)
        for group in ("spindle", "feed", "direction")
    }
    texts["gears"] = _gears_text(situation)
    texts["never"] = ", ".join(never)
    texts["unsure"] = ", ".join(unsure)
    texts["state"] = (
        "All known"
        if not never and not unsure
        else "Not all known"
        if situation.levers
        else "Not known"
    )
    return Answer(
        kind="levers-stand",
        texts={name: text for name, text in texts.items() if text},
        settings=_known(situation.levers),
        lever_words=lever_words(lathe),
    )


def _gears_text(situation: Situation) -> str:
    lathe, set_up = situation.lathe, situation.set_up
    if (not lathe.gearbox and set_up.mounted is None) or not set_up.gears_known:
        return "not known"
    if set_up.mounted is not None:
        return train_text(set_up.mounted)
    return f"the usual ones{f', {train_text(lathe.usual_train)}' if lathe.usual_train else ''}"
