"""What is set before the first cut: gears, levers one by one, slides and tool, and what each must wait for."""

from __future__ import annotations

from collections.abc import Mapping
from collections.abc import Sequence as Several
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Self

from assistant.alongside.sequence import Going, Sequence
from assistant.answer import Answer, Phrase, Value
from assistant.answering.levers import gears_needed, lever_words, mount_text, plan_for
from assistant.answering.situation import Situation
from assistant.answering.steps import CAUTIONS
from assistant.core.levers import GearTrain, Move, Setting, WhenToShift
from assistant.errors import NoSuchSize
from assistant.query import Query
from assistant.query_alongside import AtReading, DialZero, GoToStep, NowTrue, SequenceWord
from assistant.query_following import Why
from assistant.query_levers import GearsMounted, LeversDone
from profiles.lathe import Lathe

STANDING = frozenset({WhenToShift.STOPPED, WhenToShift.BY_HAND})
STOPPED_FOR = frozenset({"gears", "taper", "compound", "tool", "blade", "drill"})
"""Settings that are made with the spindle stopped; of the levers each tells itself."""
TURNING_FOR = frozenset({"touch"})
PARTS = {
    "levers": ("gears", "lever"),
    "compound": ("compound",),
    "tool": ("tool", "blade", "drill"),
    "touching off": ("touch",),
}
"""Parts that may be gone to by name, and their settings."""
SAID_TO_WORK = (SequenceWord, NowTrue, GoToStep, AtReading, DialZero, Why, LeversDone)
ORDER = (WhenToShift.STOPPED, WhenToShift.BY_HAND, WhenToShift.SLOW, WhenToShift.ANY)


@dataclass(frozen=True)
class SettingUp:
    """The settings of a sequence, and how far they are made."""

    settings: tuple[str, ...]
    """'gears', 'lever 0' …, then names of the sequence's own: 'speed', 'compound', 'touch' …"""
    moves: tuple[Move, ...] = ()
    target: Mapping[str, str] = field(default_factory=dict)
    """Lever -> position while the work is cut."""
    mount: str = ""
    train: GearTrain | None = None
    spindle_speed: Fraction | None = None
    """Turns per minute; None where it was not planned."""
    at: int = 0
    """Place in `settings`; their number once all are made."""
    stopped: bool = False
    """True where the operator said that the spindle stands still, and nothing has started it since."""
    warned: bool = False
    """True where levers that went astray were told: 'next' then says that they are back."""

    @property
    def made(self) -> bool:
        """True once every setting is made."""
        return self.at >= len(self.settings)

    @property
    def name(self) -> str:
        """The setting to be made now; empty once all are."""
        return "" if self.made else self.settings[self.at]

    @property
    def move(self) -> Move | None:
        """The lever to be moved now."""
        name, _, place = self.name.partition(" ")
        return self.moves[int(place)] if name == "lever" else None

    @property
    def waits_for_stop(self) -> bool:
        """True where the present setting may only be told with the spindle stopped, and that was not said."""
        if self.stopped:
            return False
        move = self.move
        return self.name in STOPPED_FOR or (move is not None and move.when in STANDING)

    def advanced(self) -> SettingUp:
        """The next setting, whatever the present one is."""
        slow = self.move is not None and self.move.when is WhenToShift.SLOW
        ahead = replace(self, at=self.at + 1)
        turns = ahead.made or ahead.name in TURNING_FOR or slow
        return replace(ahead, stopped=self.stopped and not turns)

    def confirmed(self, ahead: Going) -> Going:
        """`ahead` with the lever or the gears of the present setting, which the operator says are set."""
        if self.move is not None:
            return replace(ahead, levers={self.move.lever: self.move.to})
        if self.name == "gears":
            return replace(ahead, mounted=self.train, gears_on=True)
        return ahead

    def past_levers(self) -> SettingUp:
        """All levers and gears made."""
        last = [place for place, name in enumerate(self.settings) if name[:5] in ("lever", "gears")]
        if not last or self.at > last[-1]:
            return self
        return replace(self, at=last[-1]).advanced()

    def gone_to(self, step: int | None, landmark: str | None) -> SettingUp:
        """Another setting, by number from 1 or by name. Raises NoSuchSize."""
        if step is not None:
            if not 1 <= step <= len(self.settings):
                count = len(self.settings)
                raise NoSuchSize(
                    "step", str(step), f"of the settings there are {count}; say 'go to the passes'"
                )
            return replace(self, at=step - 1)
        for place, setting in enumerate(self.settings):
            if setting.partition(" ")[0] in PARTS.get(landmark or "", ()):
                return replace(self, at=place)
        raise NoSuchSize("step", landmark or "", "is no part of this work")

    def astray(self, situation: Situation) -> dict[str, str]:
        """Levers that a question since may have moved from where the work needs them."""
        if not self.made:
            return {}
        set_up = situation.set_up
        return {
            lever: place
            for lever, place in self.target.items()
            if lever in set_up.doubtful or set_up.confirmed.get(lever, place) != place
        }

    def back_in_place(self, away: Mapping[str, str], lathe: Lathe) -> SettingUp | None:
        """The state once 'next' was said with levers `away`; None where they were told and are back now."""
        if self.warned and (self.stopped or not _standing(away, lathe)):
            return None
        return replace(self, warned=True)

    def levers_back(self) -> SettingUp:
        """All levers as the work needs them again."""
        return replace(self, warned=False, stopped=False)

    def away_step(self, away: Mapping[str, str], title: str, lathe: Lathe) -> Answer:
        """Levers to be put back; first the standstill that some of them need."""
        if not self.stopped and _standing(away, lathe):
            return stop_first()
        return levers_again(away, title, lathe)

    def short(self) -> Phrase:
        """The present setting in a few words."""
        if self.move is not None:
            return Phrase("said-text", {"text": f"{self.move.lever} {self.move.to}"})
        return Phrase(f"short-{self.name}")


class SetUpFirst:
    """What sequences that begin with settings have in common: frozen dataclasses with `up` and `phase`."""

    up: SettingUp

    @property
    def in_work(self) -> bool:
        """True while something is cut, for which the levers must stand right."""
        raise NotImplementedError

    def with_up(self, up: SettingUp) -> Self:
        """The same with the settings as in `up`; once all are made the work goes on to the cutting."""
        raise NotImplementedError

    def takes(self, query: Query) -> bool:
        """True where `query` is said to this work."""
        if isinstance(query, GearsMounted):
            return not self.up.made
        return isinstance(query, SAID_TO_WORK)

    def of_setting(self, query: Query, situation: Situation) -> Going | None:
        """What comes of a standstill or of levers that are told; None for any other query."""
        match query:
            case NowTrue():
                stopped = self.up.stopped or query.need in ("spindle-stopped", "isolated")
                return Going(self.with_up(replace(self.up, stopped=stopped)))  # type: ignore[arg-type]
            case LeversDone() | GearsMounted() if self.up.made:
                back = self.with_up(self.up.levers_back())
                return Going(back, levers=self.up.astray(situation))  # type: ignore[arg-type]
            case LeversDone() | GearsMounted():
                return Going(
                    self.with_up(self.up.past_levers()),  # type: ignore[arg-type]
                    levers=dict(self.up.target),
                    mounted=self.up.train,
                    gears_on="gears" in self.up.settings,
                )
        return None

    def of_any_step(self, word: str) -> Going | None:
        """What comes of a word that means the same at every step; None for any other."""
        if word in ("again", "where", "left"):
            return Going(self)  # type: ignore[arg-type]
        if word == "end":
            title = self.title  # type: ignore[attr-defined]
            return Going(None, Answer("sequence-ended", texts={"title": title}))
        return None

    def before_next(self, situation: Situation) -> Going | None:
        """What 'next' means where levers went astray or a standstill is awaited; None where it goes on."""
        away = self.up.astray(situation)
        if away and self.in_work:
            up = self.up.back_in_place(away, situation.lathe)
            if up is not None:
                return Going(self.with_up(up))  # type: ignore[arg-type]
            # 'next' says that they are back.
            return Going(self.with_up(self.up.levers_back()), levers=away)  # type: ignore[arg-type]
        if not self.up.made and self.up.waits_for_stop:
            return Going(self)  # type: ignore[arg-type]
        return None

    def before_step(self, situation: Situation) -> Answer | None:
        """What must be so before the present step is told; None where it may be."""
        away = self.up.astray(situation)
        if away and self.in_work:
            return self.up.away_step(away, self.title, situation.lathe)  # type: ignore[attr-defined]
        if not self.up.made and self.up.waits_for_stop:
            return stop_first()
        return None

    def standing(self) -> Self:
        """The same place; whether the spindle stands still is asked anew."""
        return self.with_up(replace(self.up, stopped=False))

    def again(self, present: Sequence) -> Self:
        """This earlier state, gone back to from `present`."""
        assert isinstance(present, SetUpFirst)
        return self.with_up(replace(self.up, stopped=present.up.stopped))


def _standing(levers: Mapping[str, str], lathe: Lathe) -> bool:
    """True where one of them may be moved at a standstill only."""
    return any(lever.when in STANDING for lever in lathe.levers if lever.name in levers)


def planned(
    groups: Several[Several[Setting]],
    own: Several[str],
    situation: Situation,
    idler: int | None = None,
    speed: Fraction | None = None,
) -> SettingUp:
    """The gears and levers that `groups` need from where they stand, then the settings in `own`.

    groups : alternatives for each of speed, feed and direction; empty ones are left out
    own    : names of the other settings, in order; 'levers' among them stands for gears and levers
    idler  : teeth of an idler of the train
    speed  : turns per minute that one of the groups gives
    """
    wanted = [group for group in groups if group]
    if not wanted:
        return SettingUp(settings=tuple(each for each in own if each != "levers"))
    plan = plan_for(situation, *wanted)
    needed = gears_needed(plan.settings, situation)
    levers = ["gears"] if needed.change else []
    levers += [f"lever {place}" for place in range(len(plan.moves))]
    names: list[str] = []
    for each in own:
        names += levers if each == "levers" else [each]
    return SettingUp(
        settings=tuple(names),
        moves=plan.moves,
        target={lever: place for each in plan.settings for lever, place in each.levers.items()},
        mount=mount_text(needed, situation, idler),
        train=needed.train,
        spindle_speed=speed,
    )


def stop_first() -> Answer:
    """Asks whether the spindle stands still."""
    return Answer(
        kind="confirm-first",
        texts={
            "shown": "Spindle stopped",
            "prompt": "Stop the spindle, and say spindle stopped when it stands still",
            "words": "spindle stopped",
        },
    )


def lever_step(up: SettingUp, lathe: Lathe) -> Answer:
    """The lever to be moved now."""
    move = up.move
    assert move is not None
    texts = {"lever": move.lever, "to": move.to, "start": move.start or "", "when": move.when.value}
    key = CAUTIONS.get(move.when)
    values = {}
    if up.spindle_speed is not None:
        values["spindle_speed"] = Value(up.spindle_speed, "rpm")
    return Answer(
        "cycle-lever",
        values=values,
        texts={name: text for name, text in texts.items() if text},
        moves=(move,),
        lever_words=lever_words(lathe),
        cautions=(Phrase(key),) if key else (),
    )


def gears_step(up: SettingUp) -> Answer:
    """The change gears to mount."""
    return Answer(
        "cycle-gears",
        texts={"mount": up.mount},
        gears=((up.train.drivers, up.train.driven),) if up.train else (),
        cautions=(Phrase("gears-guard"),),
    )


def levers_again(away: Mapping[str, str], title: str, lathe: Lathe) -> Answer:
    """Levers that something else may have moved, to be put back before the work goes on."""
    classes = {lever.name: lever.when for lever in lathe.levers}
    moves = tuple(
        Move(lever, place, classes[lever])
        for lever, place in sorted(away.items(), key=lambda pair: ORDER.index(classes[pair[0]]))
    )
    return Answer(
        "cycle-levers-again",
        texts={"title": title},
        moves=moves,
        lever_words=lever_words(lathe),
        cautions=(Phrase("levers-first"),),
    )
