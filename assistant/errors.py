"""What can go wrong, as types.

    AssistantError
    ├── ProfileError   a lathe profile that cannot be used
    ├── TableError     a data table of ours that is broken
    ├── StoreError     the file that memory and jobs are kept in
    ├── DeviceError    microphone, loudspeaker, screen or speech model missing or failing
    └── OutOfRange     a number or a name outside what a formula, table or lathe covers
        └── NoSuchSize  a designation that the standard does not list

Each carries its parts as fields and builds its one sentence from them.
"""

from __future__ import annotations

from collections.abc import Sequence


class AssistantError(Exception):
    """Root of every error that Swarfside raises on purpose."""


class ProfileError(AssistantError):
    """A lathe profile that cannot be used: where it is wrong and what would be right."""

    def __init__(self, file: str, line: int | None, problem: str) -> None:
        self.file = file
        self.line = line
        self.problem = problem
        place = file if line is None else f"{file}, line {line}"
        super().__init__(f"{place}: {problem}")


class TableError(AssistantError):
    """A data table of the product that is broken."""

    def __init__(self, table: str, problem: str) -> None:
        self.table = table
        self.problem = problem
        super().__init__(f"table {table}: {problem}")


class StoreError(AssistantError):
    """The file of memory and jobs cannot be read or written; the work goes on without it."""

    def __init__(self, file: str, problem: str) -> None:
        self.file = file
        self.problem = problem
        super().__init__(f"{file}: {problem}")


class DeviceError(AssistantError):
    """A device or model that is missing or does not work, and what to do about it."""

    def __init__(self, device: str, problem: str, remedy: str) -> None:
        self.device = device
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem}: {remedy}")


class OutOfRange(AssistantError):
    """A value outside what a formula, a table or a lathe covers.

    quantity : what was given, in the trade's words ('work diameter')
    given    : the value as text, with its unit
    allowed  : the limit that was passed, as a clause ('must be more than 0 mm',
               'ISO 286-1 ends at 500 mm')
    nearest  : the nearest thing that does exist, or None
    """

    def __init__(self, quantity: str, given: str, allowed: str, nearest: str | None = None) -> None:
        self.quantity = quantity
        self.given = given
        self.allowed = allowed
        self.nearest = nearest
        hint = "" if nearest is None else f"; nearest is {nearest}"
        super().__init__(f"{quantity} {given}: {allowed}{hint}")


class NoSuchSize(OutOfRange):
    """A designation, class or zone that the standard does not list."""


def nearest_names(wanted: str, names: Sequence[str], count: int = 3) -> tuple[str, ...]:
    """The `count` entries of `names` that are spelled most like `wanted`.

    >>> nearest_names("stainles", ["brass", "stainless"], 1)
    ('stainless',)
    """
    from difflib import get_close_matches

    return tuple(get_close_matches(wanted, names, n=count, cutoff=0.4))
