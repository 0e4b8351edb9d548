"""The fields of a profile; README.md beside this file explains each with its units."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, PlainValidator, model_validator
from pydantic_core import PydanticCustomError

from assistant.core.levers import GearTrain
from profiles import exact
from profiles.exact import Measure, Printed
from profiles.placard import Unquoted, shown


def refused(problem: str) -> PydanticCustomError:
    """An error of validation whose message is `problem`, word for word."""
    return PydanticCustomError("profile", "{problem}", {"problem": problem})


def _from_text(parse: Callable[[str], Any], example: str) -> PlainValidator:
    def validate(value: object) -> Any:
        if isinstance(value, Unquoted | int) and not isinstance(value, bool):
            written = value.written if isinstance(value, Unquoted) else str(value)
            raise refused(
                f"{shown(written)} is a bare number; write it in quotes, such as {example}"
            )
        if not isinstance(value, str):
            raise refused(f"is not a text such as {example}")
        try:
            return parse(value)
        except ValueError as fault:
            raise refused(str(fault)) from fault

    return PlainValidator(validate)


def _measured(measure: Measure) -> PlainValidator:
    return _from_text(lambda text: exact.printed(text, measure), measure.example)


Length = Annotated[Printed, _measured(exact.LENGTH)]
LeadFigure = Annotated[Printed, _measured(exact.LEAD)]
FeedFigure = Annotated[Printed, _measured(exact.FEED)]
SpeedFigure = Annotated[Printed, _measured(exact.SPEED)]
PowerFigure = Annotated[Printed, _measured(exact.POWER)]
Share = Annotated[Fraction, _from_text(exact.share, exact.SHARE_EXAMPLE)]
Ratio = Annotated[Fraction, _from_text(exact.ratio, '"1/2"')]
Turn = Annotated[Fraction, _from_text(exact.number, '"1/8"')]
Train = Annotated[GearTrain, _from_text(exact.train, '"40/60 x 30/72"')]
Word = Annotated[str, Field(min_length=1, max_length=200, pattern=r"^\S(.*\S)?$")]
Teeth = Annotated[int, Field(ge=8, le=1000)]
Places = dict[Word, Word]
"""Lever name -> position."""


class Strict(BaseModel):
    """Takes exactly the fields it knows, and only values of the right type."""

    model_config = ConfigDict(strict=True, frozen=True, extra="forbid", allow_inf_nan=False)


class LeverField(Strict):
    """One lever, knob or belt."""

    name: Word
    group: Literal["spindle", "feed", "direction"]
    positions: Annotated[tuple[Word, ...], Field(min_length=2, max_length=40)]
    when: Literal["stopped", "by-hand", "slow", "any"] = "stopped"
    spoken: Word | None = None
    spoken_positions: Places = {}


class Pulleys(Strict):
    """A belt drive by the two diameters that it runs on."""

    driver: Length
    driven: Length


class Drive(Strict):
    """Turns out for one turn in: the product of what is given."""

    gears: Train | None = None
    pulleys: Pulleys | None = None
    ratio: Ratio | None = None

    @property
    def given(self) -> bool:
        """True where at least one of the three is there."""
        return any(way is not None for way in (self.gears, self.pulleys, self.ratio))

    @property
    def turns(self) -> Fraction:
        """Turns out for one turn in, exact."""
        turns = self.ratio or Fraction(1)
        if self.gears is not None:
            turns *= self.gears.ratio
        if self.pulleys is not None:
            turns *= self.pulleys.driver.value / self.pulleys.driven.value
        return turns


class PositionDrive(Drive):
    """The drive in one position of a lever."""

    @model_validator(mode="after")
    def _something(self) -> PositionDrive:
        if not self.given:
            raise refused('has no drive; give gears, pulleys or ratio (straight through is "1")')
        return self


class Step(Drive):
    """One step of a drive: fixed, or chosen by a lever."""

    lever: Word | None = None
    positions: Annotated[dict[Word, PositionDrive], Field(max_length=40)] = {}

    @model_validator(mode="after")
    def _fixed_or_chosen(self) -> Step:
        chosen = self.lever is not None and bool(self.positions)
        if (self.lever is None) == bool(self.positions) or chosen == self.given:
            raise refused("must be either a lever with positions, or gears, pulleys or ratio")
        return self


Steps = Annotated[tuple[Step, ...], Field(max_length=12)]


class SpeedRow(Strict):
    """A row of the spindle speed table."""

    speed: SpeedFigure
    levers: Places = {}


class SpindleKinematics(Strict):
    """From the motor to the spindle."""

    motor: SpeedFigure
    steps: Annotated[Steps, Field(min_length=1)]
    impossible: tuple[Places, ...] = ()


class DirectionField(Strict):
    """The lever that starts, reverses and stops the spindle."""

    lever: Word
    forward: Word
    reverse: Word
    stopped: Word | None = None


class SpindleField(Strict):
    """Spindle speeds."""

    table: tuple[SpeedRow, ...] | None = None
    kinematics: SpindleKinematics | None = None
    printed_speeds: tuple[SpeedFigure, ...] = ()
    direction: DirectionField | None = None

    @model_validator(mode="after")
    def _some(self) -> SpindleField:
        if not self.table and self.kinematics is None:
            raise refused("has no speeds; give a table or kinematics")
        return self


class LeadRow(Strict):
    """A row of a thread chart."""

    lead: LeadFigure
    levers: Places = {}
    train: Train | None = None


class FeedRow(Strict):
    """A row of a feed chart."""

    feed: FeedFigure
    levers: Places = {}
    train: Train | None = None


class FeedChart(Strict):
    """The gearbox's charts as printed."""

    pitches: tuple[LeadRow, ...] = ()
    feeds: tuple[FeedRow, ...] = ()
    cross_feeds: tuple[FeedRow, ...] = ()


class RackPinion(Strict):
    """The pinion that drives the carriage along the rack."""

    teeth: Teeth
    rack_pitch: Length


class FeedDrive(Strict):
    """From the gearbox to the carriage or cross slide."""

    levers: Places = {}
    steps: Steps = ()
    rack_pinion: RackPinion | None = None
    screw: LeadFigure | None = None
    travel: FeedFigure | None = None

    @model_validator(mode="after")
    def _one_end(self) -> FeedDrive:
        ends = [self.rack_pinion, self.screw, self.travel]
        if sum(end is not None for end in ends) != 1:
            raise refused("must end in exactly one of rack_pinion, screw and travel")
        return self

    @property
    def travel_per_turn(self) -> Fraction:
        """mm for one turn of the last shaft, exact."""
        if self.rack_pinion is not None:
            return self.rack_pinion.teeth * self.rack_pinion.rack_pitch.value
        end = self.screw or self.travel
        assert end is not None
        return end.value


class ThreadDrive(Strict):
    """From the gearbox to the leadscrew."""

    levers: Places = {}
    steps: Steps = ()


class OtherTrain(Strict):
    """An end train mounted in place of the usual one, and the leads it is mounted for."""

    train: Train
    leads: tuple[LeadFigure, ...] = ()


class FeedKinematics(Strict):
    """From the spindle through the end train and the gearbox."""

    end_train: Train
    steps: Annotated[Steps, Field(min_length=1)]
    threads: ThreadDrive = ThreadDrive()
    feeds: FeedDrive | None = None
    cross_feeds: FeedDrive | None = None
    other_trains: Annotated[tuple[OtherTrain, ...], Field(max_length=40)] = ()
    impossible: tuple[Places, ...] = ()


class ChangeGears(Strict):
    """A lathe without a gearbox: every lead has its own train."""

    first: Ratio = Fraction(1)
    threads: tuple[LeadRow, ...] = ()
    feeds: tuple[FeedRow, ...] = ()

    @model_validator(mode="after")
    def _trains(self) -> ChangeGears:
        rows: tuple[LeadRow | FeedRow, ...] = (*self.threads, *self.feeds)
        for row in rows:
            if row.train is None:
                figure = row.lead if isinstance(row, LeadRow) else row.feed
                raise refused(f'has no train for "{figure.text}"; give one such as "40/60 x 30/72"')
        return self


class ReversingField(Strict):
    """The lever that reverses the leadscrew."""

    lever: Word
    right_hand: Word
    left_hand: Word
    neutral: Word | None = None


class FeedField(Strict):
    """Feeds and pitches."""

    chart: FeedChart | None = None
    kinematics: FeedKinematics | None = None
    change_gears: ChangeGears | None = None
    reversing: ReversingField | None = None

    @model_validator(mode="after")
    def _some(self) -> FeedField:
        gearbox = self.chart is not None or self.kinematics is not None
        if gearbox == (self.change_gears is not None):
            raise refused(
                "must have chart or kinematics (a gearbox), or change_gears (no gearbox), not both"
            )
        return self


class LeadscrewField(Strict):
    """The leadscrew."""

    pitch: LeadFigure
    starts: Annotated[int, Field(ge=1, le=20)] = 1


class DialGearField(Strict):
    """A pick-off gear of the thread dial."""

    teeth: Teeth
    name: Word | None = None


class ThreadDialField(Strict):
    """The thread dial."""

    gears: Annotated[tuple[DialGearField, ...], Field(min_length=1, max_length=20)]
    marks: Annotated[tuple[str, ...], Field(min_length=1, max_length=100)]
    positions: tuple[Turn, ...] | None = None

    @property
    def places(self) -> tuple[Fraction, ...]:
        """Position of each mark in turns from the first; even where none are given."""
        if self.positions is not None:
            return self.positions
        return tuple(Fraction(index, len(self.marks)) for index in range(len(self.marks)))


class SlideField(Strict):
    """The collar of a slide."""

    division: Length
    divisions: Annotated[int, Field(ge=1, le=10_000)]
    reads: Literal["diameter", "radius"]


class ChuckField(Strict):
    """A chuck or faceplate."""

    name: Word
    diameter: Length
    top_speed: SpeedFigure


class MotorField(Strict):
    """The motor."""

    power: PowerFigure
    drive_efficiency: Share = Fraction(3, 4)


class TailstockField(Strict):
    """The tailstock."""

    taper: Word | None = None
    travel: Length | None = None


class BanjoField(Strict):
    """What the banjo and the gears' pitch allow."""

    min_centres: Length | None = None
    max_centres: Length | None = None
    module: Length | None = None
    diametral_pitch: Annotated[int, Field(ge=1, le=200)] | None = None


class Profile(Strict):
    """One lathe as written."""

    name: Word
    spoken: tuple[Word, ...] = ()
    description: Word
    units: Literal["inch", "metric"]
    speed_excess: Share = Fraction(0)
    levers: Annotated[tuple[LeverField, ...], Field(max_length=40)] = ()
    spindle: SpindleField
    feed: FeedField
    leadscrew: LeadscrewField
    thread_dial: ThreadDialField | None = None
    cross_slide: SlideField
    compound: SlideField
    chucks: tuple[ChuckField, ...] = ()
    motor: MotorField | None = None
    distance_between_centres: Length | None = None
    swing_over_bed: Length | None = None
    swing_over_slide: Length | None = None
    tailstock: TailstockField = TailstockField()
    gears: Annotated[tuple[Teeth, ...], Field(max_length=200)] = ()
    banjo: BanjoField | None = None
    remarks: Places = {}

    def lever(self, name: str) -> LeverField | None:
        """The lever called `name`, or None."""
        return next((lever for lever in self.levers if lever.name == name), None)
