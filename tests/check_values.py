"""Outside check values: tests/values/*.csv, read the same way everywhere."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest

VALUES = Path(__file__).parent / "values"


def check_rows(name: str) -> list[Any]:
    """The rows of tests/values/`name` as pytest parameters, `case` as the id; each must name its source."""
    text = (VALUES / name).read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    found = list(csv.DictReader(lines, strict=True))
    unsourced = [row["case"] for row in found if not row.get("source")]
    if unsourced or not found:
        raise ValueError(f"tests/values/{name}: no source for {unsourced or 'any row'}")
    return [pytest.param(row, id=row["case"]) for row in found]
