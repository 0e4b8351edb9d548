"""What every answer about settings needs of the lathe's levers and change gears."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.answer import Answer, Phrase
from assistant.answering.set_up import KNOWN
from assistant.answering.situation import Situation
from assistant.core.levers import GearTrain, Setting, WhenToShift
from assistant.core.shift_plan import Plan, shift_plan
from profiles.lathe import Lathe


def settings_for(settings: Iterable[Setting], wanted: Fraction) -> tuple[Setting, ...]:
    """The settings that give exactly `wanted` (turns/min or mm per turn)."""
    return tuple(each for each in settings if each.gives == wanted)


def lever_words(lathe: Lathe) -> dict[tuple[str, str], str]:
    """(lever, position) -> how it is said, where the profile gives a spoken form."""
    words: dict[tuple[str, str], str] = {}
    for lever in lathe.levers:
        if lever.spoken:
            words[lever.name, ""] = lever.spoken
        for position, spoken in lever.spoken_positions.items():
            words[lever.name, position] = spoken
    return words


def plan_for(situation: Situation, *wanted: Sequence[Setting]) -> Plan:
    """The plan from where levers and change gears are known to be; see `shift_plan`."""
    lathe, set_up = situation.lathe, situation.set_up
    mounted = set_up.mounted if set_up.gears_known else None
    return shift_plan(
        lathe.levers, situation.levers, *wanted, mounted=mounted, usual=lathe.usual_train
    )


@dataclass(frozen=True)
class GearsNeeded:
    """The change gears that settings count on."""

    change: bool
    """True where others are on, or where it is not known which are on."""
    train: GearTrain | None
    """None where no gears matter, or where the usual ones are not known."""


def gears_needed(settings: Iterable[Setting], situation: Situation) -> GearsNeeded:
    """Which gears the settings count on: their own train, or the usual one if they use the feed."""
    lathe, set_up = situation.lathe, situation.set_up
    groups = {lever.name: lever.group for lever in lathe.levers}
    counting = [
        each
        for each in settings
        if each.train is not None
        or not each.levers
        or any(groups.get(name) == "feed" for name in each.levers)
    ]
    if not counting:
        return GearsNeeded(False, None)
    train = counting[0].train or lathe.usual_train
    known = set_up.gears_known and _same(train, set_up.mounted or lathe.usual_train)
    return GearsNeeded(not known, train)


def _same(one: GearTrain | None, other: GearTrain | None) -> bool:
    # Trains of one ratio serve alike.
    return one is other if one is None or other is None else one.ratio == other.ratio


def train_text(train: GearTrain, idler: int | None = None) -> str:
    """A train in words, first driver first.

    >>> train_text(GearTrain((70, 120), (127, 60)))
    '70 drives 127, then 120 drives 60'
    """
    pairs = zip(train.drivers, train.driven, strict=True)
    text = ", then ".join(f"{driver} drives {driven}" for driver, driven in pairs)
    return f"{text}, over idler {idler}" if idler is not None else text


def mount_text(needed: GearsNeeded, situation: Situation, idler: int | None = None) -> str:
    """What to do about the change gears before any lever is moved; empty where they stay."""
    if not needed.change:
        return ""
    lathe = situation.lathe
    if needed.train is None:
        return "mount the usual change gears"
    if not _same(needed.train, lathe.usual_train):
        return f"mount {train_text(needed.train, idler)}"
    usual = train_text(needed.train)
    if situation.set_up.gears_known:
        return f"mount the usual ones again: {usual}"
    return f"make sure the usual ones are on: {usual}"


def with_plan(answer: Answer, situation: Situation) -> Answer:
    """`answer` with what its settings and moves demand: gears to mount first, and the cautions."""
    if not answer.settings or KNOWN in answer.settings:
        return answer
    needed = gears_needed(answer.settings.values(), situation)
    idler = answer.texts.get("idler")
    mount = mount_text(needed, situation, int(idler) if idler else None)
    first = [Phrase("gears-guard")] if mount else []
    said = {each.key for each in answer.cautions} | {each.key for each in first}
    shifting = {move.when for move in answer.moves}
    last = [Phrase(key) for when, key in _SHIFTING if when in shifting and key not in said]
    own = [each for each in answer.cautions if each.key != "gears-guard"]
    gears = answer.gears
    if (
        not gears
        and needed.train is not None
        and (mount or needed.train != situation.lathe.usual_train)
    ):
        gears = ((needed.train.drivers, needed.train.driven),)
    texts = {**answer.texts, "mount": mount} if mount else answer.texts
    return replace(answer, texts=texts, gears=gears, cautions=(*first, *own, *last))


_SHIFTING = ((WhenToShift.SLOW, "slow-shift"),)
"""'Never force' goes with the single step: on every answer it would be read past."""


def places_text(places: Mapping[str, str], lathe: Lathe, group: str | None = None) -> str:
    """'range low, collar red' in the order of the profile; of one group, or of all."""
    return ", ".join(
        f"{lever.name} {places[lever.name]}"
        for lever in lathe.levers
        if lever.name in places and group in (None, lever.group)
    )
