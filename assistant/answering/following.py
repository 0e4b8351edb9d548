"""The last question changed by what was said to its answer: other material, tool, size or the next value."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from typing import Any

from assistant.answer import Answer, Phrase, Refusal
from assistant.answering.thread_named import standard_thread
from assistant.core.drills import drills
from assistant.core.materials import material
from assistant.core.threads import metric, trapezoidal, unified
from assistant.core.threads.thread import Thread
from assistant.errors import OutOfRange
from assistant.query import FeedOf, Query, SpindleSpeedFor, ThreadNamed
from assistant.query_drilling import DrillSizeOf, NearestDrillFor
from assistant.query_following import FollowUp, StepAlong
from assistant.units import Quantity, quantity
from profiles.lathe import Lathe

SAID = ("material", "tool", "operation", "thread")
"""Fields of a FollowUp that a question has under the same name."""
UNIFIED = ("UNC", "UNF", "UNEF", "UN")


@dataclass(frozen=True)
class Changed:
    """The question as it is now asked."""

    query: Query
    note: Phrase
    """What changed and what was kept, for the screen."""


def changed(query: FollowUp, last: Query) -> Changed | Refusal:
    """`last` with the fields that `query` names; a refusal where the last question has no such field."""
    known = {each.name for each in fields(last)}
    found = {name: getattr(query, name) for name in SAID if getattr(query, name) is not None}
    if query.instead is not None:
        size = _size_field(last)
        if size is None:
            return _no_such("size")
        found[size] = _in_its_units(query, getattr(last, size), size in last.bare)
    strange = [name for name in found if name not in known]
    if strange:
        return _no_such(strange[0])
    bare = set(last.bare) - found.keys()
    if "instead" in query.bare:
        bare |= {name for name in found if name not in SAID and name in last.bare}
    loose = tuple(each for each in query.assumed if each == "loose-material")
    kept_assumed = tuple(
        each for each in last.assumed if each != "loose-material" or "material" not in found
    )
    new = replace(
        last, **found, bare=tuple(bare), assumed=tuple(dict.fromkeys((*kept_assumed, *loose)))
    )
    return Changed(new, _note(last, found))


def _in_its_units(query: FollowUp, former: Quantity, was_bare: bool) -> Quantity:
    """A size said without a unit is in the unit of the one that it replaces."""
    assert query.instead is not None
    if "instead" not in query.bare or was_bare:
        return query.instead
    return quantity(Fraction(query.instead.magnitude), str(former.units))


def _size_field(last: Query) -> str | None:
    """The first length of a question: fields stand in the order in which their questions turn on them."""
    for each in fields(last):
        value = getattr(last, each.name)
        if hasattr(value, "magnitude") and value.check("[length]"):
            return each.name
    return None


def _no_such(name: str) -> Refusal:
    what = {"operation": "kind of work"}.get(name, name)
    return Refusal(
        reason=f"the last question has no {what} to change",
        say_next="Ask the whole question",
        spoken=f"the last question has no {what}",
    )


def _note(last: Query, found: dict[str, Any]) -> Phrase:
    kept = [
        text
        for each in fields(last)
        if each.name not in (*found, "assumed", "bare")
        and (text := _in_words(each.name, getattr(last, each.name)))
    ]
    now = [_in_words(name, value) for name, value in found.items()]
    figures = {"changed": ", ".join(each for each in now if each), "kept": ", ".join(kept)}
    return Phrase("followed-kept" if kept else "followed", figures)


def _in_words(name: str, value: Any) -> str:
    if hasattr(value, "magnitude"):
        return f"{float(value.magnitude):g} {value.units:~}".replace("/ turn", "per turn")
    if name == "material" and isinstance(value, str):
        return material(value).name
    if isinstance(value, ThreadNamed):
        return standard_thread(value)[0].designation
    return value.replace("-", " ") if isinstance(value, str) else ""


def stepped(query: StepAlong, last: Query, answer: Answer, lathe: Lathe) -> Changed | Refusal:
    """The last question for the next feed, speed or size. `answer` is what it got."""
    if query.way in ("faster", "slower"):
        return _next_speed(query.way, last)
    if query.way in ("finer", "coarser"):
        return _next_feed(query.way, answer, lathe)
    up = query.way == "up"
    named = getattr(last, "thread", None)
    if isinstance(named, ThreadNamed):
        found = _next_thread(named, up)
        note = Phrase("followed", {"changed": standard_thread(found)[0].designation})
        return Changed(replace(last, thread=found), note)  # type: ignore[call-arg]
    if isinstance(last, DrillSizeOf | NearestDrillFor) and "drill_diameter" in answer.values:
        return _next_drill(answer, up)
    return Refusal(
        reason="the last question has no list of sizes to go along",
        say_next="Say: what about, and the size",
        spoken="there is no next size to that",
    )


def _next_speed(way: str, last: Query) -> Changed | Refusal:
    if not isinstance(last, SpindleSpeedFor):
        return Refusal(
            reason="the last question was not about a spindle speed",
            say_next="Ask for a speed first",
            spoken="the last question was not about a speed",
        )
    steps = last.steps + (1 if way == "faster" else -1)
    return Changed(replace(last, steps=steps), Phrase("followed-speed", {"way": way}))


def _next_feed(way: str, answer: Answer, lathe: Lathe) -> Changed | Refusal:
    feed = answer.values.get("feed")
    if feed is None or isinstance(feed.number, tuple):
        return Refusal(
            reason="the last answer gave no feed to start from",
            say_next="Ask for a feed first",
            spoken="the last answer gave no feed",
        )
    present = Fraction(feed.number)
    feeds = [each.gives for each in lathe.feeds]
    beyond = [each for each in feeds if (each < present if way == "finer" else each > present)]
    if not beyond:
        end = f"the {lathe.name}'s feeds end at {float(present):.3g} mm per turn"
        raise OutOfRange("feed", way, end)
    taken = beyond[-1] if way == "finer" else beyond[0]
    return Changed(
        FeedOf(feed=quantity(taken, "mm")), Phrase("followed", {"changed": f"{way} feed"})
    )


def _next_thread(named: ThreadNamed, up: bool) -> ThreadNamed:
    """The next size of the series in its standard's list, with its usual pitch."""
    thread = standard_thread(named)[0]
    if thread.major_diameter is None:
        raise OutOfRange("thread", thread.designation, "has a pitch but no size to go on from")
    if thread.series == "M":
        rows = [each for each in metric.sizes() if each.coarse and each.choice == 1]
        nominal = _beyond([each.nominal for each in rows], thread, up)
        return replace(named, size=quantity(nominal, "mm"), pitch=None, lead=None)
    if thread.series == "Tr":
        nominal = _beyond([each.nominal for each in trapezoidal.sizes()], thread, up)
        return replace(named, size=quantity(nominal, "mm"), pitch=None, lead=None)
    if thread.series in UNIFIED:
        unified_rows = [each for each in unified.sizes() if each.series == thread.series]
        diameter = _beyond([each.diameter for each in unified_rows], thread, up)
        row = next(each for each in unified_rows if each.diameter == diameter)
        return ThreadNamed(
            series=named.series,
            size=None
            if row.size.startswith("#")
            else quantity(diameter / Fraction(127, 5), "inch"),
            gauge=int(row.size[1:]) if row.size.startswith("#") else None,
            threads_per_inch=row.threads_per_inch,
            starts=named.starts,
            left_hand=named.left_hand,
            tolerance_class=named.tolerance_class,
        )
    raise OutOfRange("thread", thread.designation, "has no list here to go along; say the size")


def _beyond(sizes: Sequence[Fraction], thread: Thread, up: bool) -> Fraction:
    assert thread.major_diameter is not None
    rising = sorted(set(sizes))
    beyond = [
        each
        for each in rising
        if (each > thread.major_diameter if up else each < thread.major_diameter)
    ]
    if not beyond:
        raise OutOfRange("thread", thread.designation, "is the last of its series")
    return beyond[0] if up else beyond[-1]


def _next_drill(answer: Answer, up: bool) -> Changed:
    now = answer.values["drill_diameter"].number
    assert not isinstance(now, tuple)
    kind = answer.texts.get("drill_kind", "metric")
    sizes = [each.diameter for each in drills([kind])]
    beyond = [each for each in sizes if (each > now if up else each < now)]
    if not beyond:
        raise OutOfRange("drill", f"{float(now):g} mm", f"is the last of the {kind} drills")
    taken = beyond[0] if up else beyond[-1]
    query = NearestDrillFor(hole=quantity(taken, "mm"), drills=kind)
    return Changed(query, Phrase("followed", {"changed": f"next {kind} drill"}))
