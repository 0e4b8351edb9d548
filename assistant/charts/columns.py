"""From rows with named cells to a table: a column that says the same in every row is said once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from assistant.charts.chart import Group, Table

NOTHING = "–"
"""Stands in a cell that this row has no need of."""


@dataclass(frozen=True)
class Entry:
    """A row before its columns are known."""

    figures: tuple[str, ...]
    levers: Mapping[str, str]
    """Lever -> position."""
    others: Mapping[str, str] = field(default_factory=dict)
    """Heading -> text, for the columns before the levers."""
    group: str = ""


@dataclass(frozen=True)
class Draft:
    """A table before its columns are known."""

    title: str
    figure_heading: tuple[str, ...]
    entries: Sequence[Entry]
    notes: tuple[str, ...] = ()


def table(draft: Draft) -> Table:
    """The table of `draft`, with what is alike in every row taken out and said above it."""
    entries = draft.entries
    others, same_others = _columns([entry.others for entry in entries])
    levers, same_levers = _columns([entry.levers for entry in entries])
    shared = {
        name: _shared_end([entry.levers.get(name, NOTHING) for entry in entries]) for name in levers
    }
    groups: dict[str, list[tuple[str, ...]]] = {}
    for entry in entries:
        cells = [entry.others.get(name, NOTHING) for name in others]
        cells += [entry.levers.get(name, NOTHING).removesuffix(shared[name]) for name in levers]
        groups.setdefault(entry.group, []).append((*entry.figures, *cells))
    return Table(
        title=draft.title,
        notes=(*draft.notes, *([f"{sentence_start(places(same_levers))}."] if same_levers else [])),
        repeated=tuple(_sentences(same_others)),
        heading=(*draft.figure_heading, *others, *(name + shared[name] for name in levers)),
        figures=len(draft.figure_heading),
        levers=len(levers),
        groups=tuple(Group(label, tuple(rows)) for label, rows in groups.items()),
    )


def _columns(cells: Sequence[Mapping[str, str]]) -> tuple[list[str], dict[str, str]]:
    """The names that need a column, and those that say the same everywhere."""
    columns, same = [], {}
    for name in dict.fromkeys(name for each in cells for name in each):
        texts = {each.get(name, NOTHING) for each in cells}
        if len(texts) == 1 and len(cells) > 1:
            same[name] = texts.pop()
        else:
            columns.append(name)
    return columns, same


def _shared_end(positions: Sequence[str]) -> str:
    """The words with which all `positions` end, with the blank before them; '' for none.

    >>> _shared_end(["2 o'clock", "10 o'clock"])
    " o'clock"
    """
    ends = {position.partition(" ")[1] + position.partition(" ")[2] for position in positions}
    return ends.pop() if len(ends) == 1 else ""


def _sentences(others: Mapping[str, str]) -> Iterator[str]:
    for name, text in others.items():
        if text != NOTHING:
            yield f"{sentence_start(name)}: {text}."


def places(levers: Mapping[str, str]) -> str:
    """Levers and where they stand, as one clause.

    >>> places({"drive": "thread", "apron": "off"})
    'drive thread, apron off'
    """
    return ", ".join(f"{lever} {place}" for lever, place in levers.items())


def sentence_start(text: str) -> str:
    """`text` with a capital; `capitalize` would make the rest small.

    >>> sentence_start("cone A")
    'Cone A'
    """
    return text[:1].upper() + text[1:]
