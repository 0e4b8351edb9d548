"""Every data table: readable, sourced, without repeats, and used."""

import csv
from pathlib import Path

import pytest

from assistant.tables import document, rows

TABLES = Path(__file__).parent.parent / "assistant" / "tables"
CSV = sorted(file.name for file in TABLES.glob("*.csv"))
ROOT = TABLES.parent.parent


@pytest.mark.parametrize("name", CSV)
def test_every_row_has_a_source(name: str) -> None:
    assert all(row["source"].strip() for row in rows(name))


@pytest.mark.parametrize("name", CSV)
def test_no_row_stands_twice(name: str) -> None:
    seen = [tuple(row.items()) for row in rows(name)]
    assert len(seen) == len(set(seen))


@pytest.mark.parametrize("name", CSV)
def test_the_heading_explains_the_columns(name: str) -> None:
    text = (TABLES / name).read_text(encoding="utf-8")
    comment = " ".join(line for line in text.splitlines() if line.startswith("#"))
    heading = next(
        csv.reader([next(line for line in text.splitlines() if line and line[0] != "#")])
    )
    unexplained = [column for column in heading if column not in comment and column != "source"]
    assert unexplained == []


@pytest.mark.parametrize("name", sorted(file.name for file in TABLES.glob("*.yaml")))
def test_yaml_tables_load_and_name_sources(name: str) -> None:
    assert document(name)
    assert "source" in (TABLES / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("name", [*CSV, *sorted(file.name for file in TABLES.glob("*.yaml"))])
def test_no_table_lies_idle(name: str) -> None:
    code = [*ROOT.glob("assistant/**/*.py"), *ROOT.glob("grammar/*.py")]
    assert any(name in file.read_text(encoding="utf-8") for file in code)
