"""Holes for internal threads: tap drill, share of thread, bore."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from fractions import Fraction

from assistant.answer import Answer, Ask, Phrase, Value
from assistant.answering.drills import INCH_DRILLS, drill_text, kinds_of, named_drill
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.thread_limits import Asked, asked_thread, class_assumed, member_limits
from assistant.core import drills, tap_drills
from assistant.core.drills import Drill
from assistant.core.tap_drills import TapDrill
from assistant.core.threads.thread import Thread, ThreadLimits
from assistant.errors import OutOfRange
from assistant.query_drilling import BoreFor, TapDrillFor, ThreadShareOf


@answers(TapDrillFor)
def tap_drill(query: TapDrillFor, situation: Situation) -> Answer | Ask:
    """The drill before tapping, the share of thread that it gives, and one of another set."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    wanted = None if query.percentage is None else Fraction(query.percentage)
    room = _nut_minor(asked)
    found, moved = _chosen(asked, wanted, kinds_of(query.drills), room)
    values = {"tap_drill": Value(found.drill.diameter, "mm"), "hole": Value(found.hole, "mm")}
    texts = {
        "designation": asked.thread.designation,
        "drill": drill_text(found.drill),
        "hand": "left hand" if asked.thread.left_hand else "",
    }
    cautions: tuple[Phrase, ...] = ()
    if found.percentage is not None:
        cautions = (*_tight(asked.thread, found.drill), *_wide(found.drill, room))
        values["thread_percentage"] = Value(found.percentage, "%")
        texts |= _other_set(asked, wanted, found, room)
    return Answer(
        kind="tap",
        values=values,
        texts=texts,
        cautions=cautions,
        assumed=(*asked.assumed, *_share_assumed(asked, query, found, room if moved else None)),
        working=_drill_working(asked.thread, wanted, found),
        sources=tuple(dict.fromkeys((found.source, found.drill.source))),
    )


def _nut_minor(asked: Asked) -> ThreadLimits | None:
    """The nut's limits in the class named or the usual one; None where the tables do not hold them."""
    with suppress(OutOfRange):
        found = member_limits(asked, internal=True)
        if found.minor.minimum is not None and found.minor.maximum is not None:
            return found
    return None


def _inside(drill: Drill, room: ThreadLimits | None) -> bool:
    """True where the hole keeps the nut's limits, as far as they are known."""
    if room is None or room.minor.minimum is None or room.minor.maximum is None:
        return True
    return room.minor.minimum <= drill.diameter <= room.minor.maximum


def _chosen(
    asked: Asked,
    wanted: Fraction | None,
    kinds: Sequence[str] | None,
    room: ThreadLimits | None,
) -> tuple[TapDrill, bool]:
    """The drill for the share wanted; where none was named, one inside the nut's limits if there is one.

    True beside it where the limits made it another one.
    """
    thread = asked.thread
    found = tap_drills.tap_drill(thread, wanted, kinds)
    if wanted is not None or found.percentage is None or _inside(found.drill, room):
        return found, False
    assert room is not None
    assert room.minor.minimum is not None
    assert room.minor.maximum is not None
    ends = (room.minor.minimum, room.minor.maximum)
    for sets in (kinds, None if kinds else drills.KINDS):
        with suppress(OutOfRange):
            inside = tap_drills.tap_drill_within(
                thread, tap_drills.USUAL_PERCENTAGE, ends[0], ends[1], sets
            )
            return inside, True
    return found, False


def _tight(thread: Thread, drill: Drill) -> tuple[Phrase, ...]:
    """A caution where the hole is below the basic minor diameter of the nut."""
    return (Phrase("tap-tight"),) if drill.diameter < tap_drills.bore_diameter(thread) else ()


def _wide(drill: Drill, room: ThreadLimits | None) -> tuple[Phrase, ...]:
    """A caution where the hole is above the largest minor diameter of the nut."""
    largest = None if room is None else room.minor.maximum
    if room is None or largest is None or drill.diameter <= largest:
        return ()
    return (Phrase("tap-wide", {"largest": Value(largest, "mm")}),)


def _share_assumed(
    asked: Asked, query: TapDrillFor, found: TapDrill, room: ThreadLimits | None
) -> tuple[Phrase, ...]:
    """What was taken for the share; `room` where the nut's limits chose the drill."""
    if asked.thread.series == "NPT":
        return (Phrase("tap-pipe-chart"),)
    if query.percentage is not None:
        return ()
    if found.chart:
        return (Phrase("tap-metric-chart"),)
    if room is None:
        return (Phrase("tap-usual-share"),)
    return (Phrase("tap-inside-limits"), *class_assumed(asked, room))


def _other_set(
    asked: Asked, wanted: Fraction | None, found: TapDrill, room: ThreadLimits | None
) -> dict[str, str]:
    """A drill of the other system, where one comes near enough."""
    kinds = INCH_DRILLS if found.drill.kind == "metric" else ("metric",)
    with suppress(OutOfRange):
        other = _other(asked.thread, wanted, kinds, room)
        assert other.percentage is not None
        return {"other": f"{drill_text(other.drill)}, {other.percentage:.0f} %"}
    return {}


def _other(
    thread: Thread, wanted: Fraction | None, kinds: Sequence[str], room: ThreadLimits | None
) -> TapDrill:
    if wanted is None and room is not None and room.minor.minimum and room.minor.maximum:
        return tap_drills.tap_drill_within(
            thread,
            tap_drills.USUAL_PERCENTAGE,
            room.minor.minimum,
            room.minor.maximum,
            kinds,
        )
    return tap_drills.tap_drill(thread, wanted or tap_drills.USUAL_PERCENTAGE, kinds)


def _drill_working(thread: Thread, wanted: Fraction | None, found: TapDrill) -> tuple[Phrase, ...]:
    if found.percentage is None or thread.major_diameter is None:
        return ()
    figures = {
        "major_diameter": Value(thread.major_diameter, "mm"),
        "pitch": Value(thread.pitch, "mm"),
        "full_thread": Value(tap_drills.full_thread(thread), "mm"),
        "tap_drill": Value(found.drill.diameter, "mm"),
        "thread_percentage": Value(found.percentage, "%"),
    }
    steps = [Phrase("full-thread-working", figures)]
    if not found.chart:
        share = Value(Fraction(wanted or tap_drills.USUAL_PERCENTAGE), "%")
        steps.append(
            Phrase("tap-hole-working", {**figures, "share": share, "hole": Value(found.hole, "mm")})
        )
    return (*steps, Phrase("tap-share-working", figures))


@answers(ThreadShareOf)
def thread_share(query: ThreadShareOf, situation: Situation) -> Answer | Ask:
    """Per cent of full thread that a drill leaves."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    drill = named_drill(query)
    share = tap_drills.percentage_of(asked.thread, drill.diameter)
    if share > 100:
        raise OutOfRange(
            "drill",
            drill_text(drill),
            f"is below the root of {asked.thread.designation}: more than 100 % of thread",
            drill_text(tap_drills.tap_drill(asked.thread).drill),
        )
    found = TapDrill(drill, share, float(drill.diameter), True, tap_drills.FORMULA)
    return Answer(
        kind="tap-share",
        values={"tap_drill": Value(drill.diameter, "mm"), "thread_percentage": Value(share, "%")},
        texts={"designation": asked.thread.designation, "drill": drill_text(drill)},
        cautions=_tight(asked.thread, drill),
        assumed=asked.assumed,
        working=_drill_working(asked.thread, None, found),
        sources=(found.source, drill.source),
    )


@answers(BoreFor)
def bore(query: BoreFor, situation: Situation) -> Answer | Ask:
    """The bore before a single-point internal thread, with its upper limit where the tables hold one."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    if asked.thread.major_diameter is None:
        raise OutOfRange(
            "thread", asked.thread.designation, "has a pitch but no diameter; name the size"
        )
    basic = tap_drills.bore_diameter(asked.thread)
    values = {
        "basic": Value(basic, "mm"),
        "bore": Value(basic, "mm"),
        "major_diameter": Value(asked.thread.major_diameter, "mm"),
        "pitch": Value(asked.thread.pitch, "mm"),
    }
    texts = {"designation": asked.thread.designation}
    assumed = asked.assumed
    sources: tuple[str, ...] = ()
    with suppress(OutOfRange):
        limits = member_limits(asked, internal=True)
        for end, size in (("min", limits.minor.minimum), ("max", limits.minor.maximum)):
            if size is not None:
                values[f"nut_minor_{end}"] = Value(size, "mm")
        if limits.minor.minimum is not None:
            values["bore"] = values["nut_minor_min"]
        texts["nut_class"] = limits.tolerance_class
        assumed, sources = (*assumed, *class_assumed(asked, limits)), (limits.source,)
    return Answer(
        kind="bore",
        values=values,
        texts=texts,
        assumed=assumed,
        working=(Phrase("bore-working", values),),
        sources=("basic minor diameter of the nut in the thread's standard", *sources),
    )
