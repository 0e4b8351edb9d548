"""Feeds to start from, what the nose radius allows, and which of the lathe's feeds to take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.bounds import Number, check, with_unit
from assistant.core.materials import material
from assistant.errors import NoSuchSize, OutOfRange
from assistant.tables import parsed
from assistant.units import inches

SHARE_OF_NOSE = Fraction(1, 2)
"""Largest feed as a share of the nose radius; tool makers allow from a half to four fifths."""

TOUGH_GROUPS = frozenset({"M", "S", "H"})
"""ISO 513 groups in which a drill starts at the low end of its feeds: they harden under the edge or are hard."""


@dataclass(frozen=True)
class FeedRange:
    """A feed to start from and its usual range; mm per turn, exact."""

    low: Fraction
    start: Fraction
    high: Fraction
    source: str
    held_by_nose: bool = False
    """True where the nose radius, not the work, sets `start`."""


@dataclass(frozen=True)
class FeedChoice:
    """One of the lathe's feeds."""

    feed: Fraction
    """mm per turn, one of those offered."""
    lowest_is_too_coarse: bool = False
    """True where even the finest feed is above the one wanted and may not be."""


@dataclass(frozen=True)
class _Band:
    up_to: Fraction
    low: Fraction
    high: Fraction
    source: str


@cache
def _feed_rows() -> dict[tuple[str, str], FeedRange]:
    def parse(row: dict[str, str]) -> tuple[tuple[str, str], FeedRange]:
        low, start, high = (Fraction(row[name]) for name in ("low", "start", "high"))
        return (row["work"], row["operation"]), FeedRange(low, start, high, row["source"])

    return dict(parsed("feeds.csv", parse))


@cache
def _hole_rows() -> tuple[tuple[str, _Band], ...]:
    def parse(row: dict[str, str]) -> tuple[str, _Band]:
        up_to, low, high = (inches(Fraction(row[name])) for name in ("up_to", "low", "high"))
        return row["operation"], _Band(up_to, low, high, row["source"])

    return tuple(parsed("hole_feeds.csv", parse))


def largest_feed_for_nose(nose_radius: Fraction) -> Fraction:
    """Coarsest feed that a nose stands: half its radius.

    nose_radius : mm
    Returns     : mm per turn, exact
    Raises      : OutOfRange if it is zero, negative or absurd
    Valid       : turning, facing and boring with a rounded nose
    Source      : common practice; tool makers print from a half to four fifths of the radius

    >>> largest_feed_for_nose(Fraction(4, 5))
    Fraction(2, 5)
    """
    check("nose radius", nose_radius)
    return nose_radius * SHARE_OF_NOSE


def starting_feed(
    material_key: str, operation: str = "turn", nose_radius: Fraction | None = None
) -> FeedRange:
    """Feed to start from: the table's, held to half the nose radius where that is less.

    material_key : key in tables/materials.csv
    operation    : 'turn', 'finish', 'rough', 'face', 'bore', 'part', 'form' or 'knurl'
    nose_radius  : mm; None where it is not known
    Returns      : FeedRange in mm per turn, exact as printed; a starting value, not a promise
    Raises       : NoSuchSize for an unknown material, OutOfRange for a bad nose or an operation without a row
    Valid        : a manual lathe, a rigid set-up, a sharp tool
    Source       : tables/feeds.csv, row by row

    >>> starting_feed("mild_steel", "rough").start
    Fraction(1, 4)
    """
    work = material(material_key)
    table = _feed_rows()
    row = table.get((work.key, operation)) or table.get((work.iso_group, operation))
    if row is None:
        known = [name for group, name in table if group in (work.key, work.iso_group)]
        names = ", ".join(dict.fromkeys(known))
        raise OutOfRange("feed", f"for {operation} in {work.name}", f"there are feeds for {names}")
    if nose_radius is None or operation in ("part", "knurl", "form"):
        return row
    most = largest_feed_for_nose(nose_radius)
    low, start, high = (min(feed, most) for feed in (row.low, row.start, row.high))
    return FeedRange(low, start, high, row.source, held_by_nose=start < row.start)


def hole_feed(material_key: str, diameter: Fraction, operation: str = "drill") -> FeedRange:
    """Feed of a drill or reamer in the tailstock, by its diameter.

    material_key : key in tables/materials.csv
    diameter     : mm, of the drill or reamer
    operation    : 'drill' or 'ream'
    Returns      : FeedRange in mm per turn, exact; starts at the low end in tough work, else in the middle
    Raises       : NoSuchSize for an unknown material or operation, OutOfRange past the end of the table
    Valid        : holes up to about three diameters deep; clear the chips oftener in deeper ones
    Source       : tables/hole_feeds.csv, row by row

    >>> float(hole_feed("mild_steel", Fraction(10)).start)
    0.1397
    """
    work = material(material_key)
    check("bore diameter", diameter)
    bands = [band for name, band in _hole_rows() if name == operation]
    if not bands:
        names = ", ".join(dict.fromkeys(name for name, _ in _hole_rows()))
        raise NoSuchSize("hole", operation, f"is none of {names}", names)
    for band in bands:
        if diameter <= band.up_to:
            middle = (band.low + band.high) / 2
            start = band.low if work.iso_group in TOUGH_GROUPS else middle
            return FeedRange(band.low, start, band.high, band.source)
    last = with_unit(bands[-1].up_to, "mm")
    raise OutOfRange(
        "drill diameter" if operation == "drill" else "reamer diameter",
        with_unit(diameter, "mm"),
        f"the table of feeds ends at {last}",
        last,
    )


def choose_feed(feeds: Sequence[Fraction], ideal: Number, finishing: bool = False) -> FeedChoice:
    """The lathe's feed nearest to `ideal`; for finishing the nearest that is not above it.

    feeds     : mm per turn that the lathe has, in any order
    ideal     : mm per turn wanted
    finishing : True where a coarser feed would spoil the finish
    Returns   : FeedChoice, exact; of two equally near the finer; the finest, flagged, if all are too coarse
    Raises    : OutOfRange if there are no feeds or a number is bad
    Valid     : any lathe with fixed feeds
    Source    : common practice

    >>> choose_feed((Fraction(1, 10), Fraction(3, 20)), 0.149, finishing=True).feed
    Fraction(1, 10)
    """
    check("feed", ideal)
    if not feeds:
        raise OutOfRange("feed", with_unit(ideal, "mm/turn"), "the lathe has no feeds")
    for feed in feeds:
        check("feed", feed)
    wanted = Fraction(ideal)
    free = [feed for feed in feeds if not finishing or feed <= wanted]
    if not free:
        return FeedChoice(min(feeds), lowest_is_too_coarse=True)
    return FeedChoice(min(free, key=lambda feed: (abs(feed - wanted), feed)))
