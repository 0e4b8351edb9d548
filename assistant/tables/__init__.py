"""Data tables (CSV, YAML) with a source in every row, and the one loader for them."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from functools import cache
from importlib.resources import files
from typing import Any, TypeVar

import yaml

from assistant.errors import TableError

Row = TypeVar("Row")
_SAFE_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def _text(name: str) -> str:
    resource = files("assistant.tables").joinpath(name)
    if not resource.is_file():
        raise TableError(name, "is missing from the installation")
    return resource.read_text(encoding="utf-8")


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of CSV table `name`, as text, keyed by the heading; lines that start with # are comment.

    Raises TableError if the table is missing, a row has the wrong number of cells,
    or a row has no source.

    >>> rows("materials.csv")[0]["source"] != ""
    True
    """
    lines = [line for line in _text(name).splitlines() if line and not line.startswith("#")]
    reader = csv.DictReader(lines, strict=True)
    found = []
    for number, row in enumerate(reader, start=1):
        if None in row or None in row.values():
            raise TableError(name, f"row {number} has the wrong number of cells")
        if not row.get("source"):
            raise TableError(name, f"row {number} has no source")
        found.append(dict(row))
    if not found:
        raise TableError(name, "has no rows")
    return tuple(found)


def parsed(name: str, parse: Callable[[dict[str, str]], Row]) -> Iterator[Row]:
    """Each row of table `name` through `parse`; a ValueError or KeyError becomes a TableError with the row number."""
    for number, row in enumerate(rows(name), start=1):
        try:
            yield parse(row)
        except (ValueError, KeyError) as fault:
            raise TableError(name, f"row {number}: {fault}") from fault


def plain_yaml(text: str) -> Any:
    """YAML text as plain values: the safe loader, in its compiled form where PyYAML has one.

    The compiled form reads the same and takes a tenth of the time, which counts at the start.

    >>> plain_yaml("pitch: '1.5'")
    {'pitch': '1.5'}
    """
    return yaml.load(text, Loader=_SAFE_LOADER)


@cache
def document(name: str) -> Any:
    """YAML table `name`, by safe load. Raises TableError if it is missing."""
    return plain_yaml(_text(name))
