"""The order in which levers are moved from where they stand to a setting.

Nothing that must be moved with the spindle stopped may come after a move that is made while it
turns: so first all that needs the spindle stopped, then what is brought into mesh by hand, then
what is moved at slow speed, then the rest. Within each of these the direction and the feed come
before the speed, so that the spindle is the last to be readied.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from assistant.core.levers import GearTrain, Lever, Move, Setting, WhenToShift
from assistant.errors import NoSuchSize, OutOfRange, nearest_names

CLASS_ORDER = (WhenToShift.STOPPED, WhenToShift.BY_HAND, WhenToShift.SLOW, WhenToShift.ANY)
GROUP_ORDER = ("direction", "feed", "spindle")
STANDING_STILL = frozenset({WhenToShift.STOPPED, WhenToShift.BY_HAND})


@dataclass(frozen=True)
class Plan:
    """Lever moves in the order in which they are to be made."""

    settings: tuple[Setting, ...]
    """The setting chosen out of each group of alternatives, in the order they were given."""
    moves: tuple[Move, ...]
    """Empty where every lever stands right."""
    needs_stop: bool
    """True where the spindle must stand still before the first move, or to change gears."""
    change_gears: bool
    """True where other change gears must be mounted before any lever is moved."""
    train: GearTrain | None
    """The change gears to mount; None where none change, or where those that go back are the usual
    ones and `usual` was not given."""


def shift_plan(
    levers: Sequence[Lever],
    present: Mapping[str, str],
    *wanted: Sequence[Setting],
    mounted: GearTrain | None = None,
    usual: GearTrain | None = None,
) -> Plan:
    """The plan with fewest moves to one setting of each group in `wanted`, in safe order.

    Change gears that need not be changed come before fewest moves; then fewest moves with the
    spindle stopped; then the setting that was given first. A lever whose place is not known counts
    as one to move.

    levers  : all levers of the lathe; their order decides between moves of one class and group
    present : lever name -> position now; leave out a lever whose position is not known
    wanted  : one or more groups of settings that serve equally (all settings of a speed; all
              settings of a feed or pitch); one of each group is taken
    mounted : change gears on the lathe now; None where the usual ones are on
    usual   : the usual change gears, on which a setting without a train counts; None where the
              lathe has none or they are not known
    Returns : Plan
    Raises  : NoSuchSize for a lever or position that the lathe does not have; OutOfRange if
              nothing is wanted, a group is empty, or the groups ask one lever to stand in two places
    Valid   : as the lathe's own manual allows; the rule for each lever comes from its profile
    Source  : the order is ours; when a lever may be moved is stated by the machine's manual

    >>> from fractions import Fraction
    >>> back_gear = Lever("B", "spindle", ("in", "out"))
    >>> shift_plan([back_gear], {"B": "in"}, [Setting(Fraction(60), {"B": "out"})]).moves[0].to
    'out'
    """
    by_name = {lever.name: lever for lever in levers}
    _check(by_name, present, wanted)
    plans = [
        _plan_for(levers, present, chosen, _trains(chosen, by_name, usual), mounted or usual)
        for chosen in product(*wanted)
        if _agree(chosen, _trains(chosen, by_name, usual))
    ]
    if not plans:
        raise OutOfRange(
            "settings",
            "wanted together",
            "ask one lever, or the change gears, to be in two states at once",
        )
    # min keeps the first of equals, so the order in which settings were given decides last.
    return min(plans, key=_cost)


def _cost(plan: Plan) -> tuple[bool, int, int]:
    standing = sum(move.when in STANDING_STILL for move in plan.moves)
    return plan.change_gears, len(plan.moves), standing


def _plan_for(
    levers: Sequence[Lever],
    present: Mapping[str, str],
    chosen: tuple[Setting, ...],
    trains: Sequence[GearTrain | None],
    mounted: GearTrain | None,
) -> Plan:
    target = {name: place for setting in chosen for name, place in setting.levers.items()}
    moves = tuple(
        Move(lever.name, target[lever.name], lever.when, present.get(lever.name))
        for lever in sorted(levers, key=_rank)
        if lever.name in target and present.get(lever.name) != target[lever.name]
    )
    change = any(not _same_gears(train, mounted) for train in trains)
    return Plan(
        settings=chosen,
        moves=moves,
        needs_stop=change or any(move.when in STANDING_STILL for move in moves),
        change_gears=change,
        train=trains[0] if change else None,
    )


def _agree(chosen: Iterable[Setting], trains: Sequence[GearTrain | None]) -> bool:
    """Whether the settings of a choice can be had together."""
    target: dict[str, str] = {}
    for setting in chosen:
        for name, place in setting.levers.items():
            if target.setdefault(name, place) != place:
                return False
    return all(_same_gears(train, trains[0]) for train in trains)


def _trains(
    chosen: Iterable[Setting], levers: Mapping[str, Lever], usual: GearTrain | None
) -> list[GearTrain | None]:
    """The change gears that the settings count on; None for usual ones that are not known.

    A setting that names no train counts on the usual ones only if the motion for it passes
    through them: if it uses a lever of the feed, or no lever at all. A speed does not.
    """
    return [
        setting.train or usual
        for setting in chosen
        if setting.train is not None
        or not setting.levers
        or any(levers[name].group == "feed" for name in setting.levers)
    ]


def _same_gears(one: GearTrain | None, other: GearTrain | None) -> bool:
    # Trains of one ratio serve alike, so gears that already give it stay on.
    if one is None or other is None:
        return one is other
    return one.ratio == other.ratio


def _rank(lever: Lever) -> tuple[int, int]:
    # A group that is not named here goes with the feed: after direction, before the speed.
    group = lever.group if lever.group in GROUP_ORDER else "feed"
    return CLASS_ORDER.index(lever.when), GROUP_ORDER.index(group)


def _check(
    levers: Mapping[str, Lever], present: Mapping[str, str], wanted: Sequence[Sequence[Setting]]
) -> None:
    if not wanted or not all(wanted):
        raise OutOfRange("setting", "none", "at least one setting must be wanted in each group")
    stands = [("lever position now", present)]
    stands += [("lever position", setting.levers) for group in wanted for setting in group]
    for what, places in stands:
        for name, place in places.items():
            if name not in levers:
                raise _no_such("lever", name, tuple(levers))
            if place not in levers[name].positions:
                raise _no_such(f"{what} of {name}", place, levers[name].positions)


def _no_such(what: str, given: str, known: Sequence[str]) -> NoSuchSize:
    close = nearest_names(given, known, 1)
    return NoSuchSize(what, given, f"there are {', '.join(known)}", close[0] if close else None)
