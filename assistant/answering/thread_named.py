"""A thread as it was named -> the standard thread it is, with what was assumed on the way."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from assistant.answer import Phrase
from assistant.core.threads import (
    acme,
    ba,
    inch_sizes,
    metric,
    pipe_taper,
    trapezoidal,
    unified,
    whitworth,
)
from assistant.core.threads.forms import check_pitch
from assistant.core.threads.thread import BasicSizes, Thread
from assistant.errors import OutOfRange
from assistant.query import ThreadNamed
from assistant.units import MM_PER_INCH, Quantity, magnitude_in

Named = tuple[Thread, list[Phrase]]


def standard_thread(named: ThreadNamed) -> Named:
    """The thread and the assumptions. Raises NoSuchSize or OutOfRange as the standards' files do."""
    if named.series in _FAMILIES:
        thread, assumed = _FAMILIES[named.series](named)
    elif named.gauge is not None or named.size is not None:
        thread, assumed = _unified(named)
    else:
        thread, assumed = _pitch_only(named), [Phrase("assumed-form")]
    if thread.special:
        assumed.append(Phrase("special-pitch", {"designation": thread.designation}))
    return thread, assumed


def _turns(named: ThreadNamed) -> dict[str, Any]:
    """Starts and hand; where lead and pitch are named, as in M20xPh4P2 or Tr40x14P7, they tell the starts."""
    starts = named.starts
    if named.lead is not None and named.pitch is not None:
        starts = trapezoidal.starts_of(
            magnitude_in(named.lead, "mm"), magnitude_in(named.pitch, "mm")
        )
    return {"starts": starts, "left_hand": named.left_hand}


def _in_mm(length: Quantity | None) -> Fraction | None:
    return None if length is None else magnitude_in(length, "mm")


def _metric(named: ThreadNamed) -> Named:
    thread = metric.standard(magnitude_in(named.size, "mm"), _in_mm(named.pitch), **_turns(named))
    return thread, [] if named.pitch else [
        Phrase("assumed-coarse", {"designation": thread.designation})
    ]


def _trapezoidal(named: ThreadNamed) -> Named:
    pitch = _in_mm(named.pitch)
    thread = trapezoidal.standard(magnitude_in(named.size, "mm"), pitch, **_turns(named))
    return thread, [] if pitch else [
        Phrase("assumed-preferred", {"designation": thread.designation})
    ]


def _unified(named: ThreadNamed) -> Named:
    size = (
        f"#{named.gauge}"
        if named.gauge is not None
        else inch_sizes.written(magnitude_in(named.size, "mm"))
    )
    return unified.standard(size, named.threads_per_inch, _series(named), **_turns(named)), []


def _inch_text(named: ThreadNamed) -> str:
    """The size of a series that goes by inches, as text. Raises OutOfRange where a number size was named."""
    if named.size is None:
        raise OutOfRange(
            "thread size",
            f"number {named.gauge}",
            f"{_written_series(named)} goes by inches, not by numbers",
        )
    return inch_sizes.written(magnitude_in(named.size, "mm"))


def _written_series(named: ThreadNamed) -> str:
    return (named.series or "").replace("_", " ").upper()


def _whitworth(named: ThreadNamed) -> Named:
    size = _inch_text(named)
    return whitworth.standard(size, named.series, named.threads_per_inch, **_turns(named)), []


def _pipe_taper(named: ThreadNamed) -> Named:
    size = _inch_text(named)
    if named.starts != 1:
        raise OutOfRange("starts", str(named.starts), "taper pipe threads have one start", "1")
    series = named.series or ""
    return pipe_taper.standard(size, series, named.threads_per_inch, left_hand=named.left_hand), []


def _acme(named: ThreadNamed) -> Named:
    rate, stub = named.threads_per_inch, named.series == "stub_acme"
    thread = acme.standard(_inch_text(named), rate, stub=stub, **_turns(named))
    return thread, [] if rate else [
        Phrase("assumed-preferred", {"designation": thread.designation})
    ]


def _ba(named: ThreadNamed) -> Named:
    if named.gauge is None or named.threads_per_inch is not None:
        raise OutOfRange("thread", "BA", "is named by its number alone, 0 to 16", "2 BA")
    return ba.standard(named.gauge, **_turns(named)), []


_FAMILIES: dict[str | None, Callable[[ThreadNamed], Named]] = {
    "m": _metric,
    "tr": _trapezoidal,
    **dict.fromkeys(("bsw", "bsf", "g"), _whitworth),
    **dict.fromkeys(("r", "rc", "npt"), _pipe_taper),
    **dict.fromkeys(("acme", "stub_acme"), _acme),
    "ba": _ba,
}
"""Series as the grammar writes it -> how its thread is found; every other named size is Unified."""


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
    return Thread(
        name, "pitch", "iso-60", pitch, None, starts=named.starts, left_hand=named.left_hand
    )


def per_inch(thread: Thread) -> Fraction:
    """Threads per inch, exact."""
    return MM_PER_INCH / thread.pitch


def is_inch(thread: Thread, named: ThreadNamed) -> bool:
    """True where the trade names this thread by its threads per inch."""
    return named.threads_per_inch is not None or thread.series not in {"M", "Tr", "BA", "pitch"}


def basic_sizes_of(thread: Thread) -> BasicSizes | None:
    """Basic sizes as the family's standard prints them; None where only the pitch was named."""
    if thread.major_diameter is None:
        return None
    return _BASIC_SIZES.get(thread.series, unified.basic_sizes)(thread)


_BASIC_SIZES: dict[str, Callable[[Thread], BasicSizes]] = {
    "M": metric.basic_sizes,
    "Tr": trapezoidal.basic_sizes,
    "BA": ba.basic_sizes,
    **dict.fromkeys(("BSW", "BSF", "G"), whitworth.basic_sizes),
    **dict.fromkeys(("R", "Rc", "NPT"), pipe_taper.basic_sizes),
    **dict.fromkeys(("Acme", "Stub Acme"), acme.basic_sizes),
}
