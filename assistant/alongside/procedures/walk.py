"""The way through a procedure: pure, one frozen state and what to tell next.

A step is told only when the operator has confirmed all that it needs and that is asked for; this
holds however the step is reached. Telling a step that starts the spindle drops the confirmation
that it stands still.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias

from assistant.alongside.procedures.load import find, needs
from assistant.alongside.procedures.steps import STILL, Need, Step
from assistant.errors import NoSuchSize, nearest_names


@dataclass(frozen=True)
class Walk:
    """Where the operator stands in a procedure."""

    procedure: str
    step: int = 0
    """Number of the step told last; 0 is the opening."""
    confirmed: frozenset[Need] = frozenset()
    """What the operator has said to be true, and no step has made untrue since."""
    wanted: int | None = None
    """Number of the step that waits for a confirmation; None where none waits."""


@dataclass(frozen=True)
class Told:
    """This step is to be told now."""

    step: Step
    number: int
    left: int
    """Steps that come after it."""
    passed_over: tuple[int, ...] = ()
    """Numbers of the steps that a skip left out."""


@dataclass(frozen=True)
class Confirm:
    """Nothing has moved: this must be confirmed before the wanted step is told."""

    missing: tuple[Need, ...]
    wanted: int
    number: int
    """Number of the step where the operator still stands."""


@dataclass(frozen=True)
class Ended:
    """Nothing has moved: there is no step before the opening, or none after the last."""

    first: bool


@dataclass(frozen=True)
class Noted:
    """Confirmed, and no step waited for it."""

    needs: tuple[Need, ...]


Result: TypeAlias = Told | Confirm | Ended | Noted


@dataclass(frozen=True)
class Place:
    """Where the operator is, for 'where am I' and 'how many left'."""

    title: str
    number: int
    last: int
    left: int
    step: Step
    wanted: int | None


def begin(procedure: str, confirmed: frozenset[Need] = frozenset()) -> tuple[Walk, Result]:
    """The walk at the opening of `procedure`.

    procedure : as in `load.names()`
    confirmed : what the operator has said to be true before
    Returns   : the walk, and the opening to be told
    Raises    : NoSuchSize with the nearest name if there is no such procedure

    >>> begin("facing")[1].number
    0
    """
    find(procedure)
    return _to(Walk(procedure, confirmed=confirmed), 0)


def next_step(walk: Walk) -> tuple[Walk, Result]:
    """On to the next step, or what must be confirmed first.

    >>> next_step(begin("facing")[0])[0].procedure
    'facing'
    """
    if walk.step >= find(walk.procedure).last:
        return replace(walk, wanted=None), Ended(first=False)
    return _to(walk, walk.step + 1)


def back(walk: Walk) -> tuple[Walk, Result]:
    """Back to the step before, under the same conditions as forward."""
    if walk.step == 0:
        return replace(walk, wanted=None), Ended(first=True)
    return _to(walk, walk.step - 1)


def repeat(walk: Walk) -> tuple[Walk, Result]:
    """What was told or asked last, once more; what a step needs may have become untrue since."""
    return _to(walk, walk.step if walk.wanted is None else walk.wanted)


def skip_to(walk: Walk, target: int | str) -> tuple[Walk, Result]:
    """To the step with that number or landmark, under the same conditions as by 'next'.

    target : number of a step, or the name of one in this procedure
    Raises : NoSuchSize with the nearest if the procedure has no such step
    """
    procedure = find(walk.procedure)
    if isinstance(target, int):
        if not 0 <= target <= procedure.last:
            nearest = str(min(max(target, 0), procedure.last))
            allowed = f"{procedure.title} has steps 1 to {procedure.last}"
            raise NoSuchSize("step", str(target), allowed, nearest)
        return _to(walk, target)
    marks = procedure.landmarks
    if target not in marks:
        close = nearest_names(target, list(marks), 1)
        allowed = f"{procedure.title} has no step of that name"
        raise NoSuchSize("step", target, allowed, close[0] if close else None)
    return _to(walk, marks[target])


def confirm(walk: Walk, *said: Need) -> tuple[Walk, Result]:
    """The operator says that these are true; a step that waited for them is told.

    'stopped' also answers a step that stops the spindle: the walk goes on from there.

    said    : what was said; only what was said counts as confirmed
    Returns : the walk, and the step that waited, what it still lacks, or that it is noted
    """
    surer = replace(walk, confirmed=walk.confirmed | set(said))
    if walk.wanted is not None:
        return _to(surer, walk.wanted)
    procedure = find(walk.procedure)
    answered = procedure.steps[walk.step].stops_spindle and Need.SPINDLE_STOPPED in said
    if answered and walk.step < procedure.last:
        return _to(surer, walk.step + 1)
    return surer, Noted(said)


def spindle_started(walk: Walk) -> Walk:
    """The walk once the spindle turns, by whatever way that became known."""
    return replace(walk, confirmed=walk.confirmed - STILL)


def where(walk: Walk) -> Place:
    """Where the operator is."""
    procedure = find(walk.procedure)
    return Place(
        procedure.title,
        walk.step,
        procedure.last,
        procedure.last - walk.step,
        procedure.steps[walk.step],
        walk.wanted,
    )


def left(walk: Walk) -> int:
    """How many steps come after the present one."""
    return find(walk.procedure).last - walk.step


def as_plain(walk: Walk) -> dict[str, object]:
    """The walk as plain data that JSON can hold.

    >>> as_plain(Walk("facing", 2, frozenset({Need.SPINDLE_STOPPED})))["confirmed"]
    ['spindle-stopped']
    """
    return {
        "procedure": walk.procedure,
        "step": walk.step,
        "confirmed": sorted(need.value for need in walk.confirmed),
        "wanted": walk.wanted,
    }


def from_plain(plain: Mapping[str, object], same_sitting: bool = False) -> Walk:
    """The walk in `plain`, as `as_plain` gave it.

    plain        : its four fields
    same_sitting : False after a restart: nobody knows what was moved meanwhile, so nothing counts
                   as confirmed any more
    Returns      : Walk
    Raises       : NoSuchSize if the procedure or a step of it is no longer there
    """
    procedure = find(str(plain["procedure"]))
    step, wanted = plain["step"], plain.get("wanted")
    for number in (step, wanted):
        known = number is None or (type(number) is int and 0 <= number <= procedure.last)
        if not known or step is None:
            allowed = f"{procedure.title} has steps 1 to {procedure.last}"
            raise NoSuchSize("step", str(number), allowed)
    said = plain["confirmed"] if same_sitting else ()
    kept = frozenset(need for need in Need if need.value in set(said))  # type: ignore[call-overload]
    return Walk(procedure.name, step, kept, wanted)  # type: ignore[arg-type]


def _to(walk: Walk, number: int) -> tuple[Walk, Result]:
    procedure = find(walk.procedure)
    step = procedure.steps[number]
    words = needs()
    missing = tuple(
        need
        for need in Need
        if need in step.needs and words[need].asked and need not in walk.confirmed
    )
    if missing:
        return replace(walk, wanted=number), Confirm(missing, number, walk.step)
    there = Walk(procedure.name, number, walk.confirmed - step.made_untrue)
    passed = tuple(range(walk.step + 1, number))
    return there, Told(step, number, procedure.last - number, passed)
