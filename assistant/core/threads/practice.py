"""Shop practice of thread cutting, read from its table."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.errors import TableError
from assistant.tables import document

TABLE = "thread_practice.yaml"


@dataclass(frozen=True)
class Habit:
    """One figure of shop practice."""

    value: Fraction
    unit: str
    """'degree', 'mm', 'pitch', 'depth' or 'passes'."""
    source: str


@cache
def habit(key: str) -> Habit:
    """One figure of shop practice by its key in the table.

    key     : 'side_clearance', 'blank_share', 'first_pass', …
    Returns : Habit, exact
    Raises  : TableError if the table has no such key or the entry is badly written
    Valid   : starting values; a shop may differ
    Source  : tables/thread_practice.yaml: common practice

    >>> habit("flank_release").value
    Fraction(1, 2)
    """
    try:
        entry = document(TABLE)[key]
        return Habit(Fraction(entry["value"]), entry["unit"], entry["source"])
    except (KeyError, ValueError, TypeError) as fault:
        raise TableError(TABLE, f"{key}: {fault}") from fault
