"""The word lists that tables and profiles give to the grammar."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from assistant.tables import rows
from grammar.aliases import as_alias
from grammar.source import NamedWords
from grammar.spelling import whole_words
from grammar.written import Unreadable, words_of

LeverSaid = tuple[str, str, str, str]
"""Lever, position, how the lever is said, how the position is said."""

JOINS = ("at", "is at", "is")
NO_LEVER = f"place__{as_alias('no lever')}__{as_alias('at all')}"
"""What is read where a lathe has no such phrase; the answer refuses it."""
NOBODY = "nobody you know"
MOST_MARKS = 16
"""Numbers that may be said for a mark; which of them the dial has, the answer tells."""

_KINDS_OF_UNITS = frozenset(
    ("speed", "feed", "pressure", "torque", "mass", "force", "power", "volume", "temperature")
)
"""Kinds of units that are asked for by their words in the table; lengths have rules of their own."""


def named_words(
    lathes: Sequence[tuple[str, str]] = (("heron", "heron"),),
    levers: Sequence[LeverSaid] = (),
    marks: Sequence[str] = (),
    procedures: Sequence[tuple[str, str]] = (("facing", "facing"),),
    landmarks: Sequence[str] = ("levers",),
    operators: Sequence[str] = (),
) -> list[NamedWords]:
    """Phrases for materials, from their table, for lathes and procedures, and for the levers and marks of the lathe in use.

    A material's loose phrases ('steel') read as an assumption that the answer must show.

    lathes : (name, phrase)
    levers : every position of every lever
    marks  : labels of the thread dial
    procedures : (name, phrase)
    landmarks  : names of steps that may be gone to
    operators  : names of those whose voices were learned

    >>> NamedWords("lathe", "lathe__heron", "heron") in named_words([("heron", "heron")])
    True
    """
    called: dict[str, str] = {}
    for name, phrase in lathes:
        # Two lathes of one name cannot be told apart by voice: the first found keeps it.
        called.setdefault(phrase.lower().removeprefix("the "), name)
    found = [NamedWords("lathe", f"lathe__{name}", phrase) for phrase, name in called.items()]
    for row in rows("materials.csv"):
        loose = row["loose"].split("|")
        for phrase in row["spoken"].split("|"):
            field = "loose_material" if phrase in loose else "material"
            found.append(NamedWords("material", f"{field}__{row['key']}", phrase))
    found += [
        NamedWords("procedure", f"procedure__{as_alias(name)}", said) for name, said in procedures
    ]
    found += [NamedWords("landmark", f"landmark__{as_alias(each)}", each) for each in landmarks]
    # A rule must have a phrase, also where no voice was learned.
    for name, said in [(each, each) for each in operators] or [("", NOBODY)]:
        found.append(NamedWords("operator", f"operator__{as_alias(name)}", said))
    return found + list(_unit_words()) + _lever_words(levers) + list(_mark_words(marks))


def _unit_words() -> Iterator[NamedWords]:
    """Phrases for the units that are not lengths, from their table."""
    for row in rows("unit_factors.csv"):
        for phrase in row["spoken"].split("|") if row["kind"] in _KINDS_OF_UNITS else ():
            yield NamedWords("unit_word", f"unit__{row['key']}", phrase)


def _lever_words(levers: Sequence[LeverSaid]) -> list[NamedWords]:
    """'range low' within a list, 'range at low', 'range is at low', 'range is low' anywhere.

    Names that are said otherwise than written are understood as written where they are typed.
    """
    short: dict[str, str] = {}
    stands: dict[str, str] = {}
    typed: dict[str, str] = {}
    for lever, position, lever_said, position_said in levers:
        alias = f"place__{as_alias(lever)}__{as_alias(position)}"
        said, place = in_words(lever_said), in_words(position_said)
        if said and place:
            # Two levers said alike cannot be told apart: the first keeps the phrase.
            short.setdefault(f"{said} {place}", alias)
            for join in JOINS:
                stands.setdefault(f"{said} {join} {place}", alias)
        for name, at in product((said, in_words(lever)), (place, in_words(position))):
            for join in JOINS if name and at else ():
                typed.setdefault(f"{name} {join} {at}", alias)
    typed = {phrase: alias for phrase, alias in typed.items() if phrase not in stands}
    found = []
    for rule, phrases, nothing in (
        ("lever_place", short, "no lever"),
        ("lever_at", stands, "no lever at all"),
        ("written_lever_at", typed, "no such lever at all"),
    ):
        # A rule must have a phrase, also for a lathe that leaves it empty.
        phrases = phrases or {nothing: NO_LEVER}
        found += [NamedWords(rule, alias, phrase) for phrase, alias in phrases.items()]
    return found


def _mark_words(marks: Sequence[str]) -> Iterator[NamedWords]:
    """The numbers that a dial may carry, and what else stands on this one."""
    phrases = {whole_words(number): str(number) for number in range(1, MOST_MARKS + 1)}
    for label in marks:
        said = in_words(label)
        if said:
            phrases.setdefault(said, label)
    for said, label in phrases.items():
        yield NamedWords("mark_label", f"mark__{as_alias(label)}", said)


def in_words(name: str) -> str:
    """A name of a profile as words of the grammar; empty where it has none.

    >>> in_words("2 o'clock"), in_words("A"), in_words("#")
    ("two o'clock", 'a', '')
    """
    try:
        return words_of(name)
    except Unreadable:
        return ""
