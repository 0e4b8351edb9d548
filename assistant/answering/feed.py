"""A feed: the nearest that the lathe has, and its levers."""

from __future__ import annotations

from fractions import Fraction

from assistant.answer import Answer, Phrase, Value
from assistant.answering.levers import lever_words, settings_for
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.core.shift_plan import shift_plan
from assistant.errors import OutOfRange
from assistant.query import FeedOf
from assistant.tables import rows
from assistant.units import MM_PER_INCH, magnitude_in
from profiles.lathe import Lathe


@answers(FeedOf)
def feed(query: FeedOf, situation: Situation) -> Answer:
    """The lathe's feed nearest to the one asked for, by figure or by grade."""
    lathe = situation.lathe
    assumed = [Phrase(f"taken-{each}") for each in query.assumed]
    if query.grade is not None:
        [row] = [each for each in rows("feed_grades.csv") if each["grade"] == query.grade]
        wanted = Fraction(row["feed"])
        source = row["source"]
        assumed.append(
            Phrase("taken-grade", {"grade": query.grade, "ideal_feed": Value(wanted, "mm/turn")})
        )
    else:
        wanted = magnitude_in(query.feed, "mm")
        source = "as asked"
        if query.assumed and not _on_lathe(wanted, lathe):
            other, key = (
                (wanted / MM_PER_INCH, "mm")
                if "unit-inch" in query.assumed
                else (wanted * MM_PER_INCH, "inch")
            )
            if _on_lathe(other, lathe):
                wanted, assumed = (
                    other,
                    [Phrase(f"taken-feed-{key}", {"ideal_feed": Value(other, "mm/turn")})],
                )
    _check(wanted, lathe)
    nearest = min(
        (each.gives for each in lathe.feeds), key=lambda gives: (abs(gives - wanted), gives)
    )
    plan = shift_plan(lathe.levers, situation.levers, settings_for(lathe.feeds, nearest))
    return Answer(
        kind="feed",
        values={"feed": Value(nearest, "mm/turn"), "ideal_feed": Value(wanted, "mm/turn")},
        texts={"lathe": lathe.name},
        settings={"feed": plan.settings[0]},
        moves=plan.moves,
        lever_words=lever_words(lathe),
        assumed=tuple(assumed),
        working=(
            Phrase(
                "feed-working",
                {"feed": Value(nearest, "mm/turn"), "ideal_feed": Value(wanted, "mm/turn")},
            ),
        ),
        sources=(source, f"feeds of the {lathe.name}'s profile"),
    )


def _range(lathe: Lathe) -> tuple[Fraction, Fraction]:
    return lathe.feeds[0].gives, lathe.feeds[-1].gives


def _on_lathe(wanted: Fraction, lathe: Lathe) -> bool:
    """Within a tenth beyond the lathe's finest and coarsest feed."""
    finest, coarsest = _range(lathe)
    return finest * Fraction(9, 10) <= wanted <= coarsest * Fraction(11, 10)


def _check(wanted: Fraction, lathe: Lathe) -> None:
    if not lathe.feeds:
        raise OutOfRange("feed", f"{float(wanted):g} mm", f"the {lathe.name} has no power feed")
    if not _on_lathe(wanted, lathe):
        finest, coarsest = _range(lathe)
        raise OutOfRange(
            "feed",
            f"{float(wanted):.4g} mm/turn",
            f"the {lathe.name} feeds from {float(finest):.3g} to {float(coarsest):.3g} mm/turn",
        )
