"""Gear trains against the gears that the shop owns, the banjo, and each other."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from assistant.core.levers import GearTrain
from assistant.units import MM_PER_INCH
from profiles.faults import Fault
from profiles.placard import Path
from profiles.schema import Profile


def gear_faults(profile: Profile) -> Iterator[Fault]:
    """Every train that cannot be mounted, and limits of the banjo that contradict each other."""
    yield from _banjo_faults(profile)
    for path, train in _trains(profile):
        yield from _ownership_faults(path, train, profile)
        yield from _fouling_faults(path, train)
        yield from _centre_faults(path, train, profile)


def _trains(profile: Profile) -> Iterator[tuple[Path, GearTrain]]:
    feed = profile.feed
    if feed.kinematics is not None:
        base: Path = ("feed", "kinematics")
        yield (*base, "end_train"), feed.kinematics.end_train
        for index, other in enumerate(feed.kinematics.other_trains):
            yield (*base, "other_trains", index, "train"), other.train
    for section, charts in (("chart", feed.chart), ("change_gears", feed.change_gears)):
        for field, rows in charts or ():
            for index, row in enumerate(rows if isinstance(rows, tuple) else ()):
                if row.train is not None:
                    yield ("feed", section, field, index, "train"), row.train


def _ownership_faults(path: Path, train: GearTrain, profile: Profile) -> Iterator[Fault]:
    if not profile.gears:
        return
    missing = Counter((*train.drivers, *train.driven)) - Counter(profile.gears)
    for teeth, count in sorted(missing.items()):
        owned = profile.gears.count(teeth)
        yield Fault(
            path,
            f"the train needs {owned + count} gears of {teeth} teeth and the shop owns {owned}; "
            "correct the train or the list of gears",
        )


def _fouling_faults(path: Path, train: GearTrain) -> Iterator[Fault]:
    """Compound gears that would run into the shaft of their neighbours.

    The shafts of a pair stand (driver + driven) / 2 modules apart; a gear beside one of them
    reaches (its teeth) / 2 modules, so it must have fewer teeth than the pair has together.
    """
    pairs = list(zip(train.drivers, train.driven, strict=True))
    for (driver, driven), (next_driver, next_driven) in pairwise(pairs):
        clashes = (
            (next_driver, driver + driven, driver),
            (driven, next_driver + next_driven, next_driven),
        )
        for big, room, shaft_gear in clashes:
            if big >= room:
                yield Fault(
                    path,
                    f"the gear of {big} teeth reaches the shaft of the gear of {shaft_gear}; "
                    "order the pairs otherwise",
                    stops=False,
                )


def _module(profile: Profile) -> Fraction | None:
    banjo = profile.banjo
    if banjo is None:
        return None
    if banjo.module is not None:
        return banjo.module.value
    return None if banjo.diametral_pitch is None else MM_PER_INCH / banjo.diametral_pitch


def _banjo_faults(profile: Profile) -> Iterator[Fault]:
    banjo = profile.banjo
    if banjo is None:
        return
    if banjo.module is not None and banjo.diametral_pitch is not None:
        yield Fault(
            ("banjo", "diametral_pitch"), "banjo has module and diametral_pitch; keep one of them"
        )
    least, most = banjo.min_centres, banjo.max_centres
    if least is not None and most is not None and least.value >= most.value:
        yield Fault(
            ("banjo", "max_centres"),
            f'max_centres "{most.text}" is not over min_centres "{least.text}"; exchange them',
        )


def _centre_faults(path: Path, train: GearTrain, profile: Profile) -> Iterator[Fault]:
    banjo, module = profile.banjo, _module(profile)
    # A single pair is joined by an idler, so its own centres are free.
    if banjo is None or module is None or len(train.drivers) == 1:
        return
    for driver, driven in zip(train.drivers, train.driven, strict=True):
        centres = module * (driver + driven) / 2
        too_near = banjo.min_centres is not None and centres < banjo.min_centres.value
        too_far = banjo.max_centres is not None and centres > banjo.max_centres.value
        if too_near or too_far:
            yield Fault(
                path,
                f"{driver}/{driven} stand {float(centres):.1f} mm apart, outside what the banjo "
                "takes; correct the train or the banjo's limits",
                stops=False,
            )
