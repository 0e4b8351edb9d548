"""The start of turning, boring or facing to a size: speed and feed, the deepest cut, and the limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.alongside.cuts import CutsToSize
from assistant.alongside.setting_up import planned
from assistant.alongside.working_speed import working_speed
from assistant.answer import Answer, Ask, Phrase, Refusal, Value
from assistant.answering import answer_to
from assistant.answering.levers import settings_for
from assistant.answering.situation import Situation
from assistant.core import cuts_in_hand
from assistant.core.cut_depths import DeepestCut, deepest_cut, finishing, slenderness
from assistant.core.dial_types import SlideDial
from assistant.core.fits import limits
from assistant.core.forces import Cut, cut_force, cutting_constants, largest_depth_of_cut
from assistant.core.levers import Setting
from assistant.core.materials import material
from assistant.core.speeds import surface_speed
from assistant.core.to_size import Target, target_within
from assistant.core.turning_plan import Work, plain_limits
from assistant.errors import OutOfRange
from assistant.query import Query
from assistant.query_alongside import StartFacing
from assistant.query_cutting import FeedFor
from assistant.query_sizing import StartTurning, wanted_in_mm
from assistant.units import MM_PER_INCH, Quantity, magnitude_in, quantity

FAR = 4
"""Present and wanted size further apart than this many times are not in one system of units."""


@dataclass(frozen=True)
class Running:
    """Speed and feed of the work, and what they let the cut be."""

    speed: Fraction
    feed: Fraction | None
    groups: tuple[Sequence[Setting], ...]
    cautions: tuple[Phrase, ...]


def turning_begun(query: StartTurning, situation: Situation) -> CutsToSize | Ask | Refusal:
    """Turning or boring at its first step. Raises OutOfRange."""
    key = query.material or situation.material
    if key is None:
        return Ask(Phrase("which-material-to-cut"))
    sizes, units = in_one_system(
        query,
        ("start_diameter", "wanted", "cut_length"),
        situation.units,
        wanted_mm=wanted_in_mm(query),
        most=situation.lathe.swing_over_bed,
    )
    start, size = sizes["start_diameter"], sizes["wanted"]
    work = Work.BORE if query.internal or query.hole else Work.TURN
    dial = situation.lathe.cross_slide
    target, name = _target(query, size, work, dial, units)
    _check_way(start, target, work)
    running = _running(key, start, work, situation)
    if isinstance(running, Refusal):
        return running
    deepest = _deepest(key, work, max(start, size), running, situation)
    hand = cuts_in_hand.begin(start, target, work, dial, deepest.most, finishing(work.value))
    slender = _slender(key, sizes.get("cut_length"), min(start, size), work, running, deepest)
    return CutsToSize(
        hand=hand,
        name=name,
        deepest=deepest.most,
        held_by=deepest.held_by,
        material=key,
        feed=running.feed,
        cautions=(*slender, *running.cautions),
        units=units,
        up=planned(
            running.groups, ("plan", "levers", "touch", "zero"), situation, speed=running.speed
        ),
    )


def facing_begun(query: StartFacing, situation: Situation) -> CutsToSize | Ask | Refusal:
    """Facing to a length with the compound set along the axis. Raises OutOfRange."""
    key = situation.material
    if key is None:
        return Ask(Phrase("which-material-to-cut"))
    sizes, units = in_one_system(
        query,
        ("start_length", "wanted_length"),
        situation.units,
        most=situation.lathe.distance_between_centres,
    )
    start, size = sizes["start_length"], sizes["wanted_length"]
    dial = situation.lathe.compound
    target = plain_limits(size, Work.FACE, dial)
    _check_way(start, target, Work.FACE)
    deepest = deepest_cut(key, "face", swing=situation.lathe.swing_over_bed)
    hand = cuts_in_hand.begin(start, target, Work.FACE, dial, deepest.most, finishing("face"))
    return CutsToSize(
        hand=hand,
        name=_in_words(size, units),
        deepest=deepest.most,
        held_by=deepest.held_by,
        material=key,
        feed=None,
        cautions=(),
        units=units,
        up=planned((), ("plan", "speed", "compound", "touch", "zero"), situation),
    )


def in_one_system(
    query: Query,
    names: Sequence[str],
    units: str,
    *,
    wanted_mm: bool = False,
    alike: bool = True,
    most: Fraction | None = None,
) -> tuple[dict[str, Fraction], str]:
    """Sizes in mm and the system of the second; those said without a unit are in the system that brings the first two together.

    Where a size of the sentence was said with its unit, that unit goes first. `alike` is False where the
    first two need not be near each other; `most` is what the lathe takes, mm: what would be larger was
    said in the other system. Raises OutOfRange where neither system brings them together.
    """
    given: dict[str, Quantity] = {
        name: getattr(query, name) for name in names if getattr(query, name) is not None
    }
    fixed = {"wanted"} if wanted_mm else set()
    bare = [name for name in given if name in query.bare and name not in fixed]
    said_so = [unit_system(size) for name, size in given.items() if name not in bare]
    first = said_so[0] if said_so else units
    for system in (first, "inch" if first == "mm" else "mm"):
        sizes = {
            name: magnitude_in(
                quantity(Fraction(size.magnitude), system) if name in bare else size, "mm"
            )
            for name, size in given.items()
        }
        one, other = (sizes[name] for name in names[:2])
        near = one > 0 and other > 0 and one <= FAR * other and other <= FAR * one
        if (near or not alike) and (most is None or not bare or one <= most):
            return sizes, system if names[1] in bare else unit_system(given[names[1]])
        if not bare:
            break
    raise OutOfRange(
        "present size",
        f"{float(one):g} mm",
        f"is too far from the size wanted, {float(other):g} mm; say both with their unit",
    )


def unit_system(size: Quantity) -> str:
    """'mm' or 'inch', as a size was said."""
    return "mm" if str(size.units) in ("millimeter", "meter") else "inch"


def _in_words(size: Fraction, units: str) -> str:
    return f"{float(size):.6g} mm" if units == "mm" else f"{float(size / MM_PER_INCH):.5g} in"


def _target(
    query: StartTurning, size: Fraction, work: Work, dial: SlideDial, units: str
) -> tuple[Target, str]:
    zone = query.hole or query.shaft or query.zone
    if zone is None:
        return plain_limits(size, work, dial), _in_words(size, units)
    zone = zone.upper() if work is Work.BORE else zone.lower()
    return target_within(limits(size, zone)), f"{float(size):.6g} {zone}"


def _check_way(start: Fraction, target: Target, work: Work) -> None:
    """Refuses a size that no cut reaches: metal does not grow."""
    beyond = start > target.maximum if work is Work.BORE else start < target.minimum
    if beyond:
        way = "smaller" if work is Work.BORE else "larger"
        raise OutOfRange(
            "present size",
            f"{float(start):g} mm",
            f"is past the size wanted already; no cut makes it {way}",
        )


def _running(key: str, diameter: Fraction, work: Work, situation: Situation) -> Running | Refusal:
    operation = "bore" if work is Work.BORE else "turn"
    speed = working_speed(key, diameter, operation, situation)
    if isinstance(speed, Refusal):
        return speed
    feed = answer_to(FeedFor(material=key, operation=operation), situation)
    groups: list[Sequence[Setting]] = [speed.settings]
    per_turn = None
    if isinstance(feed, Answer) and "feed" in feed.settings:
        per_turn = feed.settings["feed"].gives
        groups.append(settings_for(situation.lathe.feeds, per_turn))
    return Running(speed.turns, per_turn, tuple(groups), speed.cautions)


def _deepest(
    key: str, work: Work, diameter: Fraction, running: Running, situation: Situation
) -> DeepestCut:
    lathe = situation.lathe
    power_depth = None
    if lathe.motor_power is not None and running.feed is not None:
        power_depth = largest_depth_of_cut(
            lathe.motor_power,
            lathe.drive_efficiency,
            surface_speed(running.speed, diameter),
            Cut(1, running.feed),
            cutting_constants(key),
        )
    return deepest_cut(key, work.value, swing=lathe.swing_over_bed, power_depth=power_depth)


def _slender(
    key: str,
    length: Fraction | None,
    diameter: Fraction,
    work: Work,
    running: Running,
    deepest: DeepestCut,
) -> list[Phrase]:
    """Cautions for work that stands out far or bends."""
    if length is None or work is not Work.TURN:
        return []
    force = None
    if running.feed is not None and material(key).modulus is not None:
        force = cut_force(Cut(deepest.most, running.feed), cutting_constants(key)).force
    slender = slenderness(length, diameter, "chuck", material_key=key, force=force)
    found = [Phrase(slender.support)] if slender.support is not None else []
    if slender.springs is not None and slender.deflection is not None:
        found.append(Phrase(slender.springs, {"size_error": Value(2 * slender.deflection, "mm")}))
    return found
