"""What a wall chart is made of: sentences and tables, all of it text."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Group:
    """Rows that belong together."""

    label: str
    """What all of them need, such as the change gears; empty for nothing."""
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Table:
    """One table of the chart."""

    title: str
    notes: tuple[str, ...]
    """What holds for every row."""
    repeated: tuple[str, ...]
    """The same, but said again wherever the table goes on in another column."""
    heading: tuple[str, ...]
    """One for each cell of a row."""
    figures: int
    """So many of the first cells of a row are figures."""
    levers: int
    """So many of the last cells of a row are positions of levers."""
    groups: tuple[Group, ...]

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """All rows, in order."""
        return tuple(row for group in self.groups for row in group.rows)


@dataclass(frozen=True)
class Chart:
    """All that stands on the wall chart of one lathe."""

    title: str
    subtitle: str
    cautions: tuple[str, ...]
    """Sentences to read before anything is set."""
    preface: tuple[str, ...]
    """When each lever may be moved, and how the tables are read."""
    tables: tuple[Table, ...]
    foot: str
    """What stands below them."""
