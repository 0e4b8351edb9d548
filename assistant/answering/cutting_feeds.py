"""Feeds by material and operation, the finish that a feed leaves, the feed for a finish, roughness grades."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.answer import Answer, Ask, Phrase, Value
from assistant.answering.bare_numbers import settled
from assistant.answering.levers import lever_words, settings_for
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.work import HOLES, material_assumed, material_cautions
from assistant.core.feeds import FeedRange, choose_feed, hole_feed, starting_feed
from assistant.core.finish import (
    feed_for_ra,
    feed_for_rz,
    grade_of_ra,
    ra_of_grade,
    roughness_ra,
    roughness_rt,
)
from assistant.core.levers import Move, Setting
from assistant.core.materials import Material, material
from assistant.core.shift_plan import shift_plan
from assistant.core.speeds import operation_for
from assistant.errors import OutOfRange
from assistant.query_cutting import (
    FeedFor,
    FeedForFinish,
    FinishOf,
    GradeOfRoughness,
    RoughnessOfGrade,
)
from profiles.lathe import Lathe

ACROSS = frozenset({"face", "part", "form"})
"""Operations that the cross feed does."""

COARSEST_GRADE = Fraction(50)
"""um, Ra of N12; above it no grade is named."""


@dataclass(frozen=True)
class _OnLathe:
    """One of the lathe's feeds with its levers."""

    feed: Fraction
    too_coarse: bool
    setting: Setting
    moves: tuple[Move, ...]


def _on_lathe(
    feeds: Sequence[Setting], wanted: Fraction | float, situation: Situation, *, finishing: bool
) -> _OnLathe | None:
    """The lathe's feed for the one wanted; None where it has no power feed that way."""
    if not feeds:
        return None
    choice = choose_feed([each.gives for each in feeds], wanted, finishing)
    plan = shift_plan(situation.lathe.levers, situation.levers, settings_for(feeds, choice.feed))
    return _OnLathe(choice.feed, choice.lowest_is_too_coarse, plan.settings[0], plan.moves)


@answers(FeedFor)
def feed_for(query: FeedFor, situation: Situation) -> Answer | Ask:
    """A feed to start from, as the nearest that the lathe has; a hole's feed as a figure for the hand."""
    work = material(query.material)
    operation = query.operation or "turn"
    sizes = settled(query)
    if operation in HOLES:
        diameter = sizes.get("diameter")
        if diameter is None:
            return Ask(Phrase("which-hole-size"))
        return _hole(query, work, operation, diameter, sizes.assumed)
    nose = sizes.get("nose")
    start = starting_feed(work.key, operation, nose)
    lathe = situation.lathe
    feeds = lathe.cross_feeds if operation in ACROSS else lathe.feeds
    finishing = operation == "finish" or start.held_by_nose
    taken = _on_lathe(feeds, start.start, situation, finishing=finishing)
    feed = start.start if taken is None else taken.feed
    values = _range_values(start, feed)
    if nose is not None and feed <= nose:
        values["roughness_ra"] = Value(roughness_ra(feed, nose), "um")
    assumed = [*(sizes.assumed if nose is not None else ()), *material_assumed(query, work)]
    cautions = material_cautions(work)
    if taken is not None and taken.too_coarse:
        cautions.insert(0, Phrase("feed-too-coarse", values))
    return Answer(
        kind="feed-for" if taken else "feed-by-hand",
        values=values,
        texts=_texts(work, operation, lathe),
        settings={"feed": taken.setting} if taken else {},
        moves=taken.moves if taken else (),
        lever_words=lever_words(lathe),
        cautions=tuple(cautions),
        assumed=tuple(assumed),
        working=(Phrase("feed-for-working", values),),
        sources=(start.source, f"feeds of the {lathe.name}'s profile"),
    )


def _texts(work: Material, operation: str, lathe: Lathe) -> dict[str, str]:
    tool = "hss"
    name = operation_for(operation, tool).name
    return {"material": work.name, "operation": name, "lathe": lathe.name}


def _range_values(start: FeedRange, feed: Fraction) -> dict[str, Value]:
    return {
        "feed": Value(feed, "mm/turn"),
        "ideal_feed": Value(start.start, "mm/turn"),
        "feed_low": Value(start.low, "mm/turn"),
        "feed_high": Value(start.high, "mm/turn"),
    }


def _hole(
    query: FeedFor, work: Material, operation: str, diameter: Fraction, assumed: Sequence[Phrase]
) -> Answer:
    start = hole_feed(work.key, diameter, operation)
    values = {**_range_values(start, start.start), "diameter": Value(diameter, "mm")}
    name = operation_for(operation, "hss").name
    return Answer(
        kind="feed-hole",
        values=values,
        texts={"material": work.name, "operation": name},
        cautions=tuple(material_cautions(work)),
        assumed=(*assumed, *material_assumed(query, work)),
        working=(Phrase("feed-hole-working", {**values, "operation": name}),),
        sources=(start.source,),
    )


@answers(FinishOf)
def finish_of(query: FinishOf, situation: Situation) -> Answer:
    """Theoretical finish of a feed: Ra = f^2 / (18 sqrt3 r), height f^2 / (8 r)."""
    sizes = settled(query)
    feed, nose = sizes.sizes["feed"], sizes.sizes["nose"]
    values = _finish_values(feed, nose)
    return Answer(
        kind="finish-of",
        values=values,
        texts=_grade_text(values["roughness_ra"]),
        assumed=(*sizes.assumed, Phrase("assumed-theoretical")),
        working=(Phrase("ra-working", values), Phrase("rz-working", values)),
        sources=("geometry of the nose; mean deviation of a parabola, ISO 4287 definition of Ra",),
    )


def _finish_values(feed: Fraction, nose: Fraction) -> dict[str, Value]:
    return {
        "feed": Value(feed, "mm/turn"),
        "nose": Value(nose, "mm"),
        "roughness_ra": Value(roughness_ra(feed, nose), "um"),
        "roughness_rz": Value(roughness_rt(feed, nose), "um"),
    }


def _grade_text(ra: Value) -> dict[str, str]:
    assert not isinstance(ra.number, tuple)
    return {"grade": grade_of_ra(ra.number)} if ra.number <= COARSEST_GRADE else {}


@answers(FeedForFinish)
def feed_for_finish(query: FeedForFinish, situation: Situation) -> Answer:
    """The lathe's coarsest feed that is not above the one for the finish wanted."""
    sizes = settled(query)
    nose, lathe = sizes.sizes["nose"], situation.lathe
    ra, rz = sizes.get("ra"), sizes.get("rz")
    if query.roughness_grade is not None:
        ra = ra_of_grade(query.roughness_grade)
    if ra is not None:
        ideal, wanted, symbol = feed_for_ra(ra, nose), ra, "Ra"
    else:
        assert rz is not None
        ideal, wanted, symbol = feed_for_rz(rz, nose), rz, "Rz"
    # The lathe's coarsest feed is enough where the finish would allow a coarser one.
    taken = _on_lathe(lathe.feeds, ideal, situation, finishing=True)
    if taken is None:
        raise OutOfRange(
            "feed", f"for {symbol} {float(wanted):g} um", f"the {lathe.name} has no power feed"
        )
    if taken.feed > nose:
        raise OutOfRange(
            "nose radius",
            f"{float(nose):g} mm",
            f"the {lathe.name}'s finest feed is {float(taken.feed):.3g} mm/turn, more than the nose",
        )
    values = {**_finish_values(taken.feed, nose), "ideal_feed": Value(ideal, "mm/turn")}
    values["roughness_wanted"] = Value(wanted, "um")
    return Answer(
        kind="feed-for-finish",
        values=values,
        texts={"symbol": symbol, "grade_wanted": query.roughness_grade or "", "lathe": lathe.name},
        settings={"feed": taken.setting},
        moves=taken.moves,
        lever_words=lever_words(lathe),
        cautions=(Phrase("finish-not-reached", values),) if taken.too_coarse else (),
        assumed=(*sizes.assumed, Phrase("assumed-theoretical")),
        working=(Phrase(f"feed-for-{symbol.lower()}-working", values),),
        sources=("geometry of the nose", f"feeds of the {lathe.name}'s profile"),
    )


@answers(RoughnessOfGrade)
def roughness_of_grade(query: RoughnessOfGrade, situation: Situation) -> Answer:
    """Ra of a roughness grade number."""
    ra = ra_of_grade(query.roughness_grade)
    return Answer(
        kind="roughness-of-grade",
        values={"roughness_ra": Value(ra, "um")},
        texts={"grade": query.roughness_grade},
        assumed=(Phrase("grades-withdrawn"),),
        sources=("ISO 1302:1992 annex, withdrawn, from memory",),
    )


@answers(GradeOfRoughness)
def grade_of_roughness(query: GradeOfRoughness, situation: Situation) -> Answer:
    """The roughness grade number that an Ra meets."""
    sizes = settled(query)
    ra = sizes.sizes["ra"]
    grade = grade_of_ra(ra)
    return Answer(
        kind="grade-of-roughness",
        values={"roughness_ra": Value(ra, "um"), "grade_limit": Value(ra_of_grade(grade), "um")},
        texts={"grade": grade},
        assumed=(*sizes.assumed, Phrase("grades-withdrawn")),
        sources=("ISO 1302:1992 annex, withdrawn, from memory",),
    )
