"""Limits of size of any family of threads, and the thread that a question is about."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from assistant.answer import Ask, Phrase
from assistant.answering.situation import Situation
from assistant.answering.thread_named import standard_thread
from assistant.core.threads import (
    acme,
    ba,
    metric_tolerances,
    pipe_taper,
    trapezoidal,
    unified_tolerances,
    whitworth,
    whitworth_tolerances,
)
from assistant.core.threads.thread import Thread, ThreadLimits
from assistant.errors import NoSuchSize, OutOfRange, TableError
from assistant.query import ThreadNamed
from assistant.tables import document

USUAL_CLASSES = "thread_classes.yaml"

_LIMITS: dict[str, Callable[[Thread, str], ThreadLimits]] = {
    "M": metric_tolerances.limits,
    "Tr": trapezoidal.limits,
    **dict.fromkeys(("UNC", "UNF", "UNEF", "UN", "UNS"), unified_tolerances.limits),
    "G": whitworth.limits,
    **dict.fromkeys(("R", "Rc", "NPT"), pipe_taper.limits),
    "BA": ba.limits,
}
_SHARED_BY_SCREW_AND_NUT: dict[str, Callable[[Thread, str, bool], ThreadLimits]] = {
    **dict.fromkeys(("Acme", "Stub Acme"), acme.limits),
    **dict.fromkeys(("BSW", "BSF"), whitworth_tolerances.limits),
}
"""Series whose classes have the same name for screw and nut."""
_AS_WRITTEN = {"M", "Tr"}
"""Series whose classes tell screw from nut by the case of the letter."""
_IN_SMALL_LETTERS = {"BSW", "BSF", "BA"}
"""Series whose classes are words: close, medium, normal."""


_IN_MILLIMETRES = {"M", "Tr", "BA"}
"""Series whose standards print their limits in mm; the others print inches."""


ONE_ZONE = "nut"
"""What a nut is called whose standard gives it one zone: no class to name or to assume."""


@dataclass(frozen=True)
class Asked:
    """The thread that a question is about."""

    thread: Thread
    tolerance_class: str | None
    """As its standard writes it; None where none was named."""
    assumed: tuple[Phrase, ...]
    named: ThreadNamed


def asked_thread(named: ThreadNamed | None, situation: Situation) -> Asked | Ask:
    """The thread named, or the one in hand; a question back where there is neither."""
    taken = named or situation.thread
    if taken is None:
        return Ask(Phrase("which-thread"))
    thread, assumed = standard_thread(taken)
    if named is None:
        assumed.append(Phrase("taken-thread-in-hand", {"designation": thread.designation}))
    return Asked(thread, class_named(thread, taken), tuple(assumed), taken)


def class_named(thread: Thread, named: ThreadNamed) -> str | None:
    """The tolerance class that was named, as the thread's standard writes it."""
    text = named.tolerance_class
    if text is None or thread.series in _AS_WRITTEN:
        return text
    return text.lower() if thread.series in _IN_SMALL_LETTERS else text.upper()


def limits_of(thread: Thread, tolerance: str, internal: bool = False) -> ThreadLimits:
    """Limits of size of one member. Raises OutOfRange or NoSuchSize where the tables do not hold them."""
    if thread.major_diameter is None:
        raise OutOfRange("thread", thread.designation, "has a pitch but no diameter; name the size")
    if thread.series in _SHARED_BY_SCREW_AND_NUT:
        return _SHARED_BY_SCREW_AND_NUT[thread.series](thread, tolerance, internal)
    return _LIMITS[thread.series](thread, tolerance)


def both_units(thread: Thread, units: str, alone: str = "") -> dict[str, str]:
    """Texts that make limits stand in the drawing's unit and in the operator's, where they differ.

    alone: 'screw' or 'nut' where the limits are of that member only.
    """
    printed = "mm" if thread.series in _IN_MILLIMETRES else "inch"
    if printed == units:
        return {}
    return {"printed_in": printed, **({f"{alone}_printed_in": printed} if alone else {})}


def named_limits(thread: Thread, tolerance: str) -> list[ThreadLimits]:
    """Limits in the class named: of the member that has it, or of screw and nut where both do."""
    if thread.series not in _SHARED_BY_SCREW_AND_NUT:
        return [limits_of(thread, tolerance)]
    found: list[ThreadLimits] = []
    refused: NoSuchSize | None = None
    for internal in (False, True):
        try:
            found.append(limits_of(thread, tolerance, internal))
        except NoSuchSize as fault:
            refused = refused or fault
    if not found and refused is not None:
        raise refused
    return found


def usual_class(thread: Thread, internal: bool) -> str | None:
    """The class that is meant where none is named; None for a series without one."""
    entry = document(USUAL_CLASSES).get(thread.series)
    if entry is None:
        return None
    try:
        return str(entry["nut" if internal else "screw"])
    except (KeyError, TypeError) as fault:
        raise TableError(USUAL_CLASSES, f"{thread.series}: {fault}") from fault


def member_limits(asked: Asked, internal: bool) -> ThreadLimits:
    """Limits of the screw or the nut, in the class named if it is that member's, else the usual one."""
    usual = usual_class(asked.thread, internal)
    if asked.tolerance_class is not None:
        found = limits_of(asked.thread, asked.tolerance_class, internal)
        if found.internal == internal or usual is None:
            return found
    # A class that the family does not have brings out the family's own sentence about its limits.
    return limits_of(asked.thread, usual or "", internal)


def class_assumed(asked: Asked, *found: ThreadLimits) -> tuple[Phrase, ...]:
    """What was assumed about the class, if anything, and where the figures were not read in print."""
    taken = [
        each.tolerance_class
        for each in found
        if each.tolerance_class not in (asked.tolerance_class, ONE_ZONE)
    ]
    names = " and ".join(dict.fromkeys(taken))
    assumed = [Phrase("assumed-class", {"tolerance_class": names})] if names else []
    if any("from memory" in each.source for each in found):
        assumed.append(Phrase("limits-from-memory"))
    return tuple(assumed)
