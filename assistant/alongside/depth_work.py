"""Parting off and drilling to a depth: stops on the way to clear the chips, as marks of a dial or a quill."""

from __future__ import annotations

from collections.abc import Sequence as Several
from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.alongside.cut_begin import in_one_system, unit_system
from assistant.alongside.sequence import Going, only_while
from assistant.alongside.setting_up import (
    SettingUp,
    SetUpFirst,
    gears_step,
    lever_step,
    planned,
)
from assistant.alongside.thread_steps import dial_said
from assistant.alongside.working_speed import working_speed
from assistant.answer import Answer, Ask, Ladder, Phrase, Place, Refusal, Value
from assistant.answering.infeed import reading_text
from assistant.answering.situation import Situation
from assistant.core.depth_marks import drill_marks, parting_marks
from assistant.core.infeed import DialReading
from assistant.core.levers import Setting
from assistant.query import Query
from assistant.query_alongside import (
    GoToStep,
    SequenceWord,
    StartDrilling,
    StartParting,
)
from assistant.query_following import Why
from assistant.units import magnitude_in

BLADE = Fraction(3)
"""mm, width of parting tool that is taken, and said, where none is named."""


@dataclass(frozen=True)
class Stop:
    """A depth at which the tool is drawn back."""

    reading: str
    """On the dial; empty for a quill."""
    said: str
    depth: float
    """mm from the touch."""


@dataclass(frozen=True)
class DepthWork(SetUpFirst):
    """Parting or drilling at one of its steps."""

    work: str
    """'part' or 'drill'."""
    diameter: Fraction
    """mm."""
    depth: float
    """mm, the last stop."""
    stops: tuple[Stop, ...]
    cautions: tuple[Phrase, ...]
    up: SettingUp
    units: str
    """'mm' or 'inch', as the size was said."""
    tip: float = 0.0
    """mm, height of the drill's point; 0 in parting."""
    at: int = 0
    """Place in `stops`; their number once all are reached."""

    @property
    def title(self) -> str:
        """What is being done."""
        text = f"{float(self.diameter):.5g} mm"
        if self.units == "inch":
            text = f"{float(self.diameter / Fraction(127, 5)):.4g} in"
        return f"{self.work} {text}"

    @property
    def phase(self) -> str:
        """'setting', 'cutting' or 'done'."""
        if not self.up.made:
            return "setting"
        return "cutting" if self.at < len(self.stops) else "done"

    def told(self, situation: Situation) -> Answer:
        """The present step, or what must be so before it is given."""
        step = self.before_step(situation)
        if step is not None:
            return replace(step, place=self._place())
        if self.phase == "setting":
            step = self._setting(situation)
        elif self.phase == "cutting":
            step = self._stop()
        else:
            step = Answer(f"{self.work}-done", texts={"title": self.title})
        return replace(step, place=self._place())

    def _place(self) -> Place:
        set_up, of = len(self.up.settings), len(self.up.settings) + len(self.stops) + 1
        number = self.up.at + 1 if self.phase == "setting" else set_up + self.at + 1
        following = None
        if self.phase != "done":
            ahead = self.advanced()
            if ahead.phase == "setting":
                following = ahead.up.short()
            elif ahead.phase == "cutting":
                following = Phrase("short-stop", self._figures(ahead.stops[ahead.at]))
            else:
                following = Phrase("short-done")
        return Place(self.title, number, of, following)

    def _figures(self, stop: Stop) -> dict[str, Value | str]:
        depth: dict[str, Value | str] = {"stop": Value(stop.depth, "mm")}
        return {**depth, "reading": stop.reading} if stop.reading else depth

    def _values(self) -> dict[str, Value]:
        values = {
            "diameter": Value(self.diameter, "mm"),
            "depth": Value(self.depth, "mm"),
            "stops": Value(Fraction(len(self.stops)), ""),
        }
        if self.tip:
            values["tip"] = Value(self.tip, "mm")
        if self.up.spindle_speed is not None:
            values["spindle_speed"] = Value(self.up.spindle_speed, "rpm")
        return values

    def _setting(self, situation: Situation) -> Answer:
        name = self.up.name
        if self.up.move is not None:
            return lever_step(self.up, situation.lathe)
        if name == "gears":
            return gears_step(self.up)
        cautions = {"plan": self.cautions, "touch": (Phrase("key-out-guard"),)}.get(name, ())
        texts = {"title": self.title}
        return Answer(f"{self.work}-{name}", values=self._values(), texts=texts, cautions=cautions)

    def _stop(self) -> Answer:
        stop = self.stops[self.at]
        values = {
            **self._values(),
            "stop": Value(stop.depth, "mm"),
            "number": Value(Fraction(self.at + 1), ""),
        }
        texts = {"reading": stop.reading, "dial_to": stop.said, "title": self.title}
        last = self.at + 1 == len(self.stops)
        texts["last" if last else "then"] = "yes"
        readings = tuple(each.reading or f"{each.depth:.1f}" for each in self.stops)
        slide = "cross slide" if self.work == "part" else "tailstock"
        return Answer(
            f"{self.work}-stop",
            values=values,
            texts={name: text for name, text in texts.items() if text},
            cautions=(Phrase(f"{self.work}-last"),) if last else (),
            ladder=Ladder(readings, tuple(each.depth for each in self.stops), self.at, slide),
        )

    @property
    def in_work(self) -> bool:
        """True while the tool goes in."""
        return self.phase == "cutting"

    def with_up(self, up: SettingUp) -> DepthWork:
        """The same with the settings as in `up`."""
        return replace(self, up=up)

    def after(self, query: Query, situation: Situation) -> Going:
        """The next state, and what is told where it is not the present step."""
        of_setting = self.of_setting(query, situation)
        if of_setting is not None:
            return of_setting
        match query:
            case GoToStep():
                if query.landmark == "passes":
                    made = replace(self.up, at=len(self.up.settings), stopped=False)
                    return Going(replace(self, up=made))
                return Going(replace(self, up=self.up.gone_to(query.step, query.landmark)))
            case Why():
                return Going(self, Answer("reason-of-stop", texts={"about": self.work}))
            case SequenceWord():
                return self._word(query.word, situation)
        return Going(self, only_while("set the dial to zero at the touch; then say next"))

    def _word(self, word: str, situation: Situation) -> Going:
        of_any_step = self.of_any_step(word)
        if of_any_step is not None:
            return of_any_step
        match word:
            case "next":
                first = self.before_next(situation)
                if first is not None:
                    return first
                if self.phase == "done":
                    return Going(None, Answer("procedure-done", texts={"title": self.title}))
                return self.up.confirmed(Going(self.advanced()))
            case "skip" if self.phase != "done":
                return Going(self.advanced())
        return Going(self, only_while(f"'{word}' does not fit here: say next, or where am I"))

    def advanced(self) -> DepthWork:
        """The state one step further, whatever that step was."""
        if self.phase == "setting":
            return replace(self, up=self.up.advanced())
        return replace(self, at=min(self.at + 1, len(self.stops)))


def _units(query: StartParting | StartDrilling, situation: Situation) -> str:
    """The system in which the diameter was said."""
    return situation.units if "diameter" in query.bare else unit_system(query.diameter)


def _speed(
    key: str, diameter: Fraction, operation: str, situation: Situation
) -> tuple[Fraction | None, Several[Setting], tuple[Phrase, ...]]:
    """Spindle speed with its settings and cautions; nothing of it where none is given."""
    found = working_speed(key, diameter, operation, situation)
    if isinstance(found, Refusal):
        return None, (), ()
    return found.turns, found.settings, found.cautions


def parting_begun(query: StartParting, situation: Situation) -> DepthWork | Ask:
    """Parting off at its first step. Raises OutOfRange."""
    key = query.material or situation.material
    if key is None:
        return Ask(Phrase("which-material-to-cut"))
    diameter = magnitude_in(query.diameter, "mm")
    found = parting_marks(diameter, BLADE, situation.lathe.cross_slide)
    speed, settings, cautions = _speed(key, diameter, "part", situation)
    stops = tuple(
        Stop(
            reading_text(DialReading(mark.place.turns, mark.place.division, 0.0)),
            dial_said(mark.place.turns, mark.place.division),
            float(depth),
        )
        for mark, depth in zip(found.marks, found.depths, strict=True)
    )
    own = [Phrase("part-too-deep")] if found.too_deep else []
    return DepthWork(
        work="part",
        diameter=diameter,
        depth=float(found.depth),
        stops=stops,
        cautions=(*own, *cautions),
        up=planned(
            [settings], ("plan", "levers", "blade", "touch", "zero"), situation, speed=speed
        ),
        units=_units(query, situation),
    )


def drilling_begun(query: StartDrilling, situation: Situation) -> DepthWork | Ask:
    """Drilling from the tailstock at its first step. Raises OutOfRange."""
    key = query.material or situation.material
    if key is None:
        return Ask(Phrase("which-material-to-cut"))
    sizes, _ = in_one_system(query, ("diameter", "hole_depth"), situation.units, alike=False)
    diameter, depth = sizes["diameter"], sizes["hole_depth"]
    lathe = situation.lathe
    found = drill_marks(diameter, depth, quill_travel=lathe.tailstock_travel)
    speed, settings, cautions = _speed(key, diameter, "drill", situation)
    own = [Phrase("quill-short")] if (found.quill_settings or 1) > 1 else []
    return DepthWork(
        work="drill",
        diameter=diameter,
        depth=found.travel,
        stops=tuple(Stop("", "", each) for each in found.pecks),
        cautions=(*own, *cautions),
        up=planned(
            [settings], ("plan", "levers", "drill", "touch", "zero"), situation, speed=speed
        ),
        units=_units(query, situation),
        tip=found.tip,
    )
