"""A thread as it was named -> the standard thread it is, with what was assumed on the way."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from assistant.answer import Phrase
from assistant.core.threads import inch_sizes, metric, unified
from assistant.core.threads.forms import check_pitch
from assistant.core.threads.thread import Thread
from assistant.query import ThreadNamed
from assistant.units import MM_PER_INCH, magnitude_in


def standard_thread(named: ThreadNamed) -> tuple[Thread, list[Phrase]]:
    """The thread and the assumptions. Raises NoSuchSize or OutOfRange as the standards' files do."""
    turns: dict[str, Any] = {"starts": named.starts, "left_hand": named.left_hand}
    if named.series == "m" and named.size is not None:
        nominal = magnitude_in(named.size, "mm")
        pitch = None if named.pitch is None else magnitude_in(named.pitch, "mm")
        thread = metric.standard(nominal, pitch, **turns)
        assumed = [] if pitch else [Phrase("assumed-coarse", {"designation": thread.designation})]
    elif named.gauge is not None:
        thread = unified.standard(f"#{named.gauge}", named.threads_per_inch, _series(named), **turns)
        assumed = []
    elif named.size is not None:
        size = inch_sizes.written(magnitude_in(named.size, "mm"))
        thread = unified.standard(size, named.threads_per_inch, _series(named), **turns)
        assumed = []
    else:
        thread = _pitch_only(named)
        assumed = [Phrase("assumed-form")]
    if thread.special:
        assumed.append(Phrase("special-pitch", {"designation": thread.designation}))
    return thread, assumed


def _series(named: ThreadNamed) -> str | None:
    return None if named.series is None else named.series.upper()


def _pitch_only(named: ThreadNamed) -> Thread:
    if named.threads_per_inch is not None:
        rate = named.threads_per_inch
        pitch = inch_sizes.pitch_of(rate)
        name = f"{float(rate):g} per inch"
    else:
        pitch = magnitude_in(named.pitch, "mm")
        name = f"pitch {float(pitch):g} mm"
    check_pitch(pitch)
    return Thread(name, "pitch", "iso-60", pitch, None, starts=named.starts, left_hand=named.left_hand)


def per_inch(thread: Thread) -> Fraction:
    """Threads per inch, exact."""
    return MM_PER_INCH / thread.pitch


def is_inch(thread: Thread, named: ThreadNamed) -> bool:
    """True where the trade names this thread by its threads per inch."""
    return named.threads_per_inch is not None or thread.series not in {"M", "Tr", "BA", "pitch"}


def basic_sizes_of(thread: Thread) -> Any:
    """Basic sizes as the family's standard prints them; None where only the pitch was named."""
    if thread.major_diameter is None:
        return None
    return metric.basic_sizes(thread) if thread.series == "M" else unified.basic_sizes(thread)
