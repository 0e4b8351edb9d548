"""A lead as this lathe can cut it: from its chart, else with the best train of the gears that the shop owns."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from assistant.answer import Phrase, Value
from assistant.answering.levers import settings_for, train_text
from assistant.answering.situation import Situation
from assistant.core.change_gears import BanjoLimits, GearsFound, change_gears
from assistant.core.levers import GearTrain, Setting
from assistant.errors import OutOfRange
from profiles.lathe import Lathe

LARGEST_ERROR = Fraction(500)
"""ppm of the lead, 0.05 mm in 100 mm; a train that misses by more is not offered. Ours, no source."""
TIPS = 2
"""Teeth by which a gear must clear the shaft beside it: an addendum of a module on each side."""
FEWEST_GEARS = 3
"""A pair and an idler; with fewer there is no train to look for."""


@dataclass(frozen=True)
class Geared:
    """A lead as cut."""

    wanted: Fraction
    """mm per turn."""
    lead: Fraction
    """mm per turn, exact, as the gears give it."""
    settings: tuple[Setting, ...]
    """Settings that serve equally; each gives `lead`."""
    charted: bool
    """True where the lathe's chart has it."""
    idler: int | None = None
    """Teeth of an idler that joins a single pair, where the train was looked for."""

    @property
    def pitch_error(self) -> Fraction:
        """mm, lead cut less lead wanted."""
        return self.lead - self.wanted

    @property
    def error_ppm(self) -> Fraction:
        """The same in millionths of the lead wanted; positive where the thread comes out long."""
        return self.pitch_error / self.wanted * 1_000_000


def geared(wanted: Fraction, situation: Situation, thread: str) -> Geared:
    """The lead as this lathe cuts it, with every setting that serves as well.

    wanted : mm per turn
    thread : its designation, for the refusal
    Raises : OutOfRange where neither chart nor gears come within LARGEST_ERROR
    """
    chart = settings_for(situation.lathe.pitches, wanted)
    if chart:
        return Geared(wanted, wanted, (*chart, *_with_mounted(wanted, situation)), True)
    best = searched(wanted, situation.lathe, thread)[0]
    mounted = tuple(_with_mounted(best.lead, situation))
    return Geared(
        wanted, best.lead, (as_setting(best, situation.lathe), *mounted), False, best.idler
    )


def searched(wanted: Fraction, lathe: Lathe, thread: str, count: int = 1) -> tuple[GearsFound, ...]:
    """The best trains for a lead. Raises OutOfRange where none comes within LARGEST_ERROR."""
    positions = box_positions(lathe)
    if len(lathe.gears) < FEWEST_GEARS or not positions:
        near = f"its nearest {_nearest_in_chart(wanted, lathe)}"
        raise OutOfRange(
            "thread",
            thread,
            f"the {lathe.name}'s chart has none and its profile no change gears; {near}",
        )
    leads = [lead for _, lead in positions]
    found = change_gears(wanted, lathe.gears, leads, banjo_limits(lathe), count)
    within = tuple(each for each in found if abs(each.error_ppm) <= LARGEST_ERROR)
    if not within:
        raise OutOfRange(
            "thread",
            thread,
            f"no train of the {lathe.name}'s gears comes within {float(LARGEST_ERROR):g} ppm of its lead",
            f"{float(found[0].lead):.5g} mm, {float(found[0].error_ppm):+.0f} ppm",
        )
    return within


def box_positions(lathe: Lathe) -> tuple[tuple[Setting | None, Fraction], ...]:
    """Each position of the feed box with the mm that it cuts through gears of ratio 1; None without a box."""
    if not lathe.gearbox:
        return ((None, lathe.leadscrew.lead * lathe.first_ratio),)
    usual = lathe.usual_train
    if usual is None:
        return ()
    return tuple((each, each.gives / usual.ratio) for each in lathe.pitches if each.train is None)


def banjo_limits(lathe: Lathe) -> BanjoLimits:
    """What the profile says of the banjo; gears always clear the shaft beside them by their tips."""
    banjo = lathe.banjo
    if banjo is None or banjo.module is None:
        return BanjoLimits(clearance_teeth=TIPS)
    reach = (banjo.min_centres, banjo.max_centres)
    return BanjoLimits(TIPS, banjo.module, upper_distance=reach, lower_distance=reach)


def as_setting(found: GearsFound, lathe: Lathe) -> Setting:
    """A train that was found, with the levers of its box position."""
    box, _ = box_positions(lathe)[found.box]
    return Setting(found.lead, box.levers if box else {}, found.train)


def _with_mounted(lead: Fraction, situation: Situation) -> Iterator[Setting]:
    """Settings that give `lead` with the train that is on now, if that is not the usual one."""
    mounted = situation.set_up.mounted if situation.set_up.gears_known else None
    if mounted is None:
        return
    for box, box_lead in box_positions(situation.lathe):
        if mounted.ratio * box_lead == lead:
            yield Setting(lead, box.levers if box else {}, mounted)


def _nearest_in_chart(wanted: Fraction, lathe: Lathe) -> str:
    below = [each.gives for each in lathe.pitches if each.gives < wanted]
    above = [each.gives for each in lathe.pitches if each.gives > wanted]
    return " and ".join(f"{float(each):.4g} mm" for each in (below[-1:] + above[:1]))


def error_values(cut: Geared) -> dict[str, Value]:
    """How far the lead misses: empty where the chart has it."""
    if cut.charted:
        return {}
    return {
        "lead_cut": Value(cut.lead, "mm"),
        "pitch_error": Value(cut.pitch_error, "mm"),
        "pitch_error_ppm": Value(cut.error_ppm, "ppm"),
        "error_over_100_mm": Value(cut.error_ppm / 10, "um"),
    }


def error_text(cut: Geared) -> str:
    """'27 parts per million short'; empty for an exact lead."""
    if cut.pitch_error == 0:
        return ""
    side = "long" if cut.pitch_error > 0 else "short"
    return f"{max(1, round(abs(cut.error_ppm)))} parts per million {side}"


def error_cautions(cut: Geared) -> list[Phrase]:
    """An approximate pitch is a caution, with its error; an exact one is none."""
    if cut.pitch_error == 0:
        return []
    key = "approximate-long" if cut.pitch_error > 0 else "approximate-short"
    ppm = abs(cut.error_ppm)
    return [Phrase(key, {"ppm": Value(ppm, "ppm"), "over_100": Value(ppm / 10, "um")})]


def gears_working(cut: Geared, setting: Setting, lathe: Lathe) -> list[Phrase]:
    """What the train and the box make of a turn of the spindle; nothing where the chart says it."""
    train = setting.train
    if train is None or cut.charted:
        return []
    return [Phrase("gears-working", {**error_values(cut), **_sum(cut, train, lathe)})]


def _sum(cut: Geared, train: GearTrain, lathe: Lathe) -> dict[str, Value | str]:
    return {
        "train": train_text(train),
        "a": Value(Fraction(train.ratio.numerator), ""),
        "b": Value(Fraction(train.ratio.denominator), ""),
        "box_lead": Value(cut.lead / train.ratio, "mm"),
        "wanted": Value(cut.wanted, "mm"),
    }
