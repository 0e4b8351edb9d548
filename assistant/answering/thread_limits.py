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
)
from assistant.core.threads.thread import Thread, ThreadLimits
from assistant.errors import OutOfRange, TableError
from assistant.query import ThreadNamed
from assistant.tables import document

USUAL_CLASSES = "thread_classes.yaml"

_LIMITS: dict[str, Callable[[Thread, str], ThreadLimits]] = {
    "M": metric_tolerances.limits,
    "Tr": trapezoidal.limits,
    **dict.fromkeys(("UNC", "UNF", "UNEF", "UN", "UNS"), unified_tolerances.limits),
    **dict.fromkeys(("BSW", "BSF", "G"), whitworth.limits),
    **dict.fromkeys(("R", "Rc", "NPT"), pipe_taper.limits),
    "BA": ba.limits,
}
_SHARED_BY_SCREW_AND_NUT = {"Acme": acme.limits, "Stub Acme": acme.limits}
_AS_WRITTEN = {"M", "Tr"}
"""Series whose classes tell screw from nut by the case of the letter."""


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
    return text.upper() if text is not None and thread.series not in _AS_WRITTEN else text


def limits_of(thread: Thread, tolerance: str, internal: bool = False) -> ThreadLimits:
    """Limits of size of one member. Raises OutOfRange or NoSuchSize where the tables do not hold them."""
    if thread.major_diameter is None:
        raise OutOfRange("thread", thread.designation, "has a pitch but no diameter; name the size")
    if thread.series in _SHARED_BY_SCREW_AND_NUT:
        return _SHARED_BY_SCREW_AND_NUT[thread.series](thread, tolerance, internal)
    return _LIMITS[thread.series](thread, tolerance)


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
    """What was assumed about the class, if anything."""
    taken = [
        each.tolerance_class for each in found if each.tolerance_class != asked.tolerance_class
    ]
    names = " and ".join(dict.fromkeys(taken))
    return (Phrase("assumed-class", {"tolerance_class": names}),) if names else ()
