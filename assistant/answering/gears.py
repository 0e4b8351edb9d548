"""Change gears for a thread, and which gears are mounted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.answer import Answer, Ask, Phrase, Refusal, Value
from assistant.answering.engage import engage_for, rule_key
from assistant.answering.gearing import (
    Geared,
    as_setting,
    error_cautions,
    error_text,
    geared,
    gears_working,
    searched,
)
from assistant.answering.levers import gears_needed, lever_words, plan_for, train_text
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.thread_named import is_inch, per_inch, standard_thread
from assistant.answering.threading_levers import hand_cautions, hand_setting
from assistant.core.levers import GearTrain, Setting
from assistant.errors import OutOfRange
from assistant.query_levers import ChangeGearsFor, GearsMounted

BEST = 3
"""Trains told."""


@dataclass(frozen=True)
class Choice:
    """A train that serves, with the box position that goes with it."""

    cut: Geared
    train: GearTrain


@answers(ChangeGearsFor)
def change_gears_for(query: ChangeGearsFor, situation: Situation) -> Answer | Ask | Refusal:
    """The best three trains: those of the chart first, then those found among the shop's gears."""
    named = query.thread or situation.thread
    if named is None:
        return Ask(Phrase("which-thread"))
    thread, assumed = standard_thread(named)
    if query.thread is None:
        assumed.append(Phrase("taken-thread-in-hand", {"designation": thread.designation}))
    lathe = situation.lathe
    try:
        choices = trains_for(thread.lead, situation, thread.designation)
    except OutOfRange as limit:
        return Refusal(
            reason=str(limit),
            say_next="Ask for another pitch",
            spoken="the gears of this shop do not give that pitch",
        )
    best = choices[0]
    plan = plan_for(situation, best.cut.settings, *hand_setting(lathe, thread.left_hand))
    engage = engage_for(best.cut.lead, lathe, thread.left_hand)
    rate = {"threads_per_inch": Value(per_inch(thread), "1/inch")} if is_inch(thread, named) else {}
    texts = {
        "designation": thread.designation,
        "hand": "left hand" if thread.left_hand else "",
        "others": "; ".join(_other_text(each, plan.settings[0].levers) for each in choices[1:]),
        "engage": rule_key(engage),
        "lathe": lathe.name,
        **_train_texts(best, gears_needed(plan.settings, situation).change),
    }
    return Answer(
        kind="gears",
        values={"pitch": Value(thread.pitch, "mm"), **rate, **_error_values(thread.lead, best.cut)},
        texts={name: text for name, text in texts.items() if text},
        settings=dict(zip(("feed", "direction"), plan.settings, strict=False)),
        moves=plan.moves,
        lever_words=lever_words(lathe),
        engage=engage,
        gears=tuple((each.train.drivers, each.train.driven) for each in choices),
        cautions=(*error_cautions(best.cut), *hand_cautions(lathe, thread.left_hand)),
        assumed=tuple(assumed),
        working=tuple(gears_working(best.cut, plan.settings[0], lathe)),
        sources=("ratios of gears: arithmetic", f"gears of the {lathe.name}'s profile"),
    )


def _error_values(lead: Fraction, cut: Geared) -> dict[str, Value]:
    return {
        "lead": Value(lead, "mm"),
        "pitch_error": Value(cut.pitch_error, "mm"),
        "pitch_error_ppm": Value(cut.error_ppm, "ppm"),
        "error_over_100_mm": Value(cut.error_ppm / 10, "um"),
    }


def _train_texts(best: Choice, mounting: bool) -> dict[str, str]:
    cut = best.cut
    return {
        "train": _short(best.train),
        # Gears to mount are said with the plan; to say them twice would only take time.
        "mounting" if mounting else "said_train": train_text(best.train, cut.idler),
        "approximate": error_text(cut),
        "exact": "exact" if cut.pitch_error == 0 else "",
        "idler": "" if cut.idler is None else str(cut.idler),
    }


def trains_for(lead: Fraction, situation: Situation, thread: str) -> tuple[Choice, ...]:
    """Up to BEST trains for a lead, best first. Raises OutOfRange where none comes near enough."""
    lathe, usual = situation.lathe, situation.lathe.usual_train
    charted: list[Choice] = []
    try:
        first = geared(lead, situation, thread)
        charted = _charted(first, situation) if first.charted else []
        trains = searched(lead, lathe, thread, 2 * BEST)
    except OutOfRange:
        # Where the chart has it, its train is told and no other is needed.
        if not charted:
            raise
        trains = ()
    idlers = {each.train: each.idler for each in trains}
    found = {
        each.train: replace(each, cut=replace(each.cut, idler=idlers.get(each.train)))
        for each in charted
    }
    if not first.charted and len(first.settings) > 1:
        # The train that is on now gives the same lead: no gears need be changed.
        on = first.settings[1]
        assert on.train is not None
        found[on.train] = Choice(replace(first, settings=first.settings[1:], idler=None), on.train)
    for each in trains:
        # Other gears of the usual ratio would be changed for nothing.
        if usual is None or each.train.ratio != usual.ratio:
            cut = Geared(lead, each.lead, (as_setting(each, lathe),), False, each.idler)
            found.setdefault(each.train, Choice(cut, each.train))
    return tuple(found.values())[:BEST]


def _charted(cut: Geared, situation: Situation) -> list[Choice]:
    """One choice for each train of the chart, the one that is on now first."""
    usual = situation.lathe.usual_train
    by_train: dict[Fraction, list[Setting]] = {}
    for setting in cut.settings:
        train = setting.train or usual
        if train is not None:
            by_train.setdefault(train.ratio, []).append(setting)
    choices = []
    for settings in by_train.values():
        train = settings[0].train or usual
        assert train is not None
        same = Geared(cut.wanted, cut.lead, tuple(settings), True)
        choices.append(Choice(same, train))
    mounted = situation.set_up.mounted if situation.set_up.gears_known else None
    hung = mounted or usual
    on = hung.ratio if hung else None
    return sorted(choices, key=lambda each: each.train.ratio != on)


def _short(train: GearTrain) -> str:
    """'70/127 × 120/60': drivers over driven."""
    return " × ".join(f"{a}/{b}" for a, b in zip(train.drivers, train.driven, strict=True))


def _other_text(choice: Choice, here: Mapping[str, str]) -> str:
    """Another train, its error, and the levers that it needs otherwise than the best one."""
    cut = choice.cut
    error = "exact" if cut.pitch_error == 0 else f"{float(cut.error_ppm):+.0f} ppm"
    levers = cut.settings[0].levers.items()
    otherwise = [f"{lever} {place}" for lever, place in levers if here.get(lever) != place]
    return ", ".join([_short(choice.train), *otherwise, error])


@answers(GearsMounted)
def gears_mounted(query: GearsMounted, situation: Situation) -> Answer | Refusal:
    """The gears of the plan last told, or the usual ones, now confirmed to be on."""
    lathe, plan = situation.lathe, situation.set_up.plan
    if query.usual:
        if not lathe.gearbox:
            return Refusal(
                reason=f"the {lathe.name} has no usual change gears: every thread has its own",
                say_next="Ask: change gears for your thread",
                spoken="this lathe has no usual gears",
            )
        train = lathe.usual_train
    elif plan is None or not plan.change_gears:
        return Refusal(
            reason="no change gears have been told that could be confirmed",
            say_next="Ask: change gears for your thread",
            spoken="no gears to confirm",
        )
    else:
        train = plan.train
    mounted = "the usual ones" if train is None else train_text(train)
    return Answer(
        kind="gears-mounted",
        texts={"mounted": mounted, "lathe": lathe.name},
        gears=((train.drivers, train.driven),) if train else (),
        cautions=(Phrase("guard-shut"),),
    )
