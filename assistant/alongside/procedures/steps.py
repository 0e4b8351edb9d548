"""A procedure, its steps, and what must be true before a step: the fields of the data files."""

from __future__ import annotations

import re
from enum import Enum
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError


class Need(Enum):
    """What must be true before a step is made."""

    SPINDLE_STOPPED = "spindle-stopped"
    ISOLATED = "isolated"
    """The supply off at the machine's own isolator, and kept off."""
    CHUCK_KEY_OUT = "chuck-key-out"
    GUARD_CLOSED = "guard-closed"
    HALF_NUT_OPEN = "half-nut-open"
    FEED_OUT = "feed-out"
    """The power feed out of gear."""
    TOOL_CLEAR = "tool-clear"
    """The tool clear of the work."""
    WORK_HELD = "work-held"
    """The work gripped as far and as firmly as it is to be turned."""


class LeverRole(Enum):
    """What is moved in a step; the profile of the lathe in use tells which lever that is."""

    SPEED = "speed"
    FEED = "feed"
    PITCH = "pitch"
    """The feed box, or the change gears, set for a lead."""
    HALF_NUT = "half-nut"
    FEED_DIRECTION = "feed-direction"
    SPINDLE = "spindle"
    """The lever or switch that starts, stops and reverses the spindle."""


SHIFTED_AT_REST = frozenset(
    {LeverRole.SPEED, LeverRole.FEED, LeverRole.PITCH, LeverRole.FEED_DIRECTION}
)
"""A trainee shifts these at a standstill, also on a lathe that allows some of them at slow speed."""
STILL = frozenset({Need.SPINDLE_STOPPED, Need.ISOLATED})
"""Untrue as soon as the spindle turns."""

ScreenLine = Annotated[str, Field(min_length=3, max_length=60, pattern=r"^\S.*[^\s.]$")]
"""One action in the imperative, without a full stop."""
Sentence = Annotated[str, Field(max_length=120, pattern=r"^[A-Z][^.!?0-9/]*\.$")]
"""One sentence with its full stop, for eye and ear: no figures or signs."""
ALOUD = r"^[A-Z][A-Za-z ,:'-]*[a-z]$"
Aloud = Annotated[str, Field(min_length=3, max_length=150, pattern=ALOUD)]
"""For the ear: words only, no figures or signs."""
Phrase = Annotated[str, Field(max_length=40, pattern=r"^[a-z]+( [a-z]+)*$")]
"""As the operator says it: lower-case words, single spaces."""
Item = Annotated[str, Field(max_length=30, pattern=r"^[a-z][a-z ,'-]*[a-z]$")]
Source = Annotated[str, Field(min_length=3, max_length=200)]


class Strict(BaseModel):
    """Takes exactly the fields it knows, and only values of the right type."""

    model_config = ConfigDict(strict=True, frozen=True, extra="forbid")


def refused(problem: str) -> PydanticCustomError:
    """An error of validation whose message is `problem`, word for word."""
    return PydanticCustomError("procedure", "{problem}", {"problem": problem})


class Step(Strict):
    """One action."""

    name: Phrase | None = None
    """Landmark for 'skip to NAME'; unique within its procedure."""
    do: ScreenLine
    say: Aloud | None = None
    """Where the ear needs other words than the screen."""
    why: Sentence
    """Told when the operator asks why."""
    caution: Sentence | None = None
    """Told before the action."""
    needs: tuple[Need, ...] = ()
    lever: LeverRole | None = None
    asks: Annotated[str, Field(pattern=r"^[a-z]+(_[a-z]+)+$")] | None = None
    """Name of the question whose answer belongs to this step: 'spindle_speed_for'."""
    starts_spindle: bool = False
    stops_spindle: bool = False
    undoes: tuple[Need, ...] = ()
    """What this step makes untrue: the chuck key goes in, the supply comes back on."""
    source: Source

    @property
    def spoken(self) -> str:
        """The action for the ear."""
        return self.say or self.do

    @property
    def made_untrue(self) -> frozenset[Need]:
        """What no longer holds once this step has been told."""
        return frozenset(self.undoes) | (STILL if self.starts_spindle else frozenset())

    @model_validator(mode="after")
    def _for_the_ear(self) -> Step:
        if self.say is None and not re.fullmatch(ALOUD, self.do):
            raise refused("has signs that can not be said; give say")
        return self

    @model_validator(mode="after")
    def _safe_by_itself(self) -> Step:
        if self.lever in SHIFTED_AT_REST and Need.SPINDLE_STOPPED not in self.needs:
            raise refused(f"moves the {self.lever.value} levers and so must need spindle-stopped")
        if self.starts_spindle and (self.stops_spindle or STILL & set(self.needs)):
            raise refused("starts the spindle and must not stop it or need it stopped")
        if self.starts_spindle and Need.CHUCK_KEY_OUT not in self.needs:
            raise refused("starts the spindle and so must need chuck-key-out")
        if Need.ISOLATED in self.needs and Need.SPINDLE_STOPPED not in self.needs:
            raise refused("needs isolated and so must need spindle-stopped too")
        if self.stops_spindle and self.needs:
            raise refused("stops the spindle, which must never wait for anything")
        if Need.SPINDLE_STOPPED in self.undoes:
            raise refused("makes spindle-stopped untrue; say starts_spindle: true")
        return self


class Procedure(Strict):
    """One piece of work, step by step."""

    name: Annotated[str, Field(max_length=24, pattern=r"^[a-z]+(-[a-z]+)*$")]
    """As typed, and the name of its file."""
    title: Annotated[str, Field(min_length=3, max_length=32)]
    spoken: Annotated[tuple[Phrase, ...], Field(min_length=1, max_length=3)]
    have: Annotated[tuple[Item, ...], Field(min_length=1, max_length=6)]
    """What to lay out before the first step."""
    steps: Annotated[tuple[Step, ...], Field(min_length=9, max_length=21)]
    """The opening, then 8 to 20 steps of work: a step's number is its place here."""

    @property
    def last(self) -> int:
        """Number of the last step."""
        return len(self.steps) - 1

    @property
    def landmarks(self) -> dict[str, int]:
        """Name -> number of the steps that have a name."""
        return {step.name: number for number, step in enumerate(self.steps) if step.name}

    @model_validator(mode="after")
    def _safe_in_order(self) -> Procedure:
        turning = False
        for number, step in enumerate(self.steps):
            if turning and Need.SPINDLE_STOPPED in step.needs:
                raise refused(f"step {number} needs the spindle stopped and nothing has stopped it")
            if turning and step.starts_spindle:
                raise refused(f"step {number} starts a spindle that turns already")
            # A skip may lead past the start, which would have asked for the key.
            if turning and not step.stops_spindle and Need.CHUCK_KEY_OUT not in step.needs:
                raise refused(f"step {number} has the spindle turning and must need chuck-key-out")
            turning = (turning or step.starts_spindle) and not step.stops_spindle
        if turning:
            raise refused("ends with the spindle turning")
        names = [step.name for step in self.steps if step.name is not None]
        twice = {name for name in names if names.count(name) > 1}
        if twice:
            raise refused(f"has two steps called {min(twice)}")
        return self


class NeedWords(Strict):
    """How one need is shown, told, asked for and confirmed."""

    shown: Annotated[str, Field(max_length=30)]
    told: Annotated[str, Field(max_length=60, pattern=r"^[a-z][a-z ,-]*[a-z]$")]
    """After the action: 'with the spindle stopped'."""
    prompt: Aloud | None = None
    """What is asked before the step is given; None where it is only told."""
    words: tuple[Phrase, ...] = ()
    """What the operator says to confirm it."""

    @property
    def asked(self) -> bool:
        """True where the step is not given until the operator has confirmed it."""
        return self.prompt is not None

    @model_validator(mode="after")
    def _words_for_what_is_asked(self) -> NeedWords:
        if self.asked != bool(self.words):
            raise refused("must have prompt and words together, or neither")
        return self


class Ground(Strict):
    """What all procedures share: the opening step, and the words of the needs."""

    opening: Step
    needs: dict[Need, NeedWords]

    @model_validator(mode="after")
    def _all(self) -> Ground:
        missing = sorted(need.value for need in Need if need not in self.needs)
        if missing:
            raise refused(f"lacks words for {', '.join(missing)}")
        if not all(self.needs[need].asked for need in (*STILL, Need.CHUCK_KEY_OUT)):
            raise refused("must ask for spindle-stopped, isolated and chuck-key-out")
        return self
