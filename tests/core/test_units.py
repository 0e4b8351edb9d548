"""The registry of units: exact, whether its definitions are read anew, from the cache, or without one."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from assistant import units


def folder(root: Path) -> Path:
    return root / "units"


def broken(root: Path) -> None:
    """What a start that was cut off leaves: files with nothing in them."""
    units._registry(folder(root))
    for file in folder(root).iterdir():
        file.write_bytes(b"")


def a_file_in_the_way(root: Path) -> None:
    folder(root).write_text("not a folder", encoding="utf-8")


def full(root: Path) -> None:
    units._registry(folder(root))


@pytest.mark.parametrize("left", [lambda root: None, full, broken, a_file_in_the_way])
def test_units_are_exact_whatever_lies_in_the_cache(
    left: Callable[[Path], None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    left(tmp_path)
    monkeypatch.setattr(units, "user_cache_path", lambda name: tmp_path)
    registry = units.registry.__wrapped__()
    found = registry.Quantity(Fraction(1, 13), "inch").to("mm").magnitude
    assert found == Fraction(127, 65)
    assert type(found) is Fraction
    assert registry.Quantity(Fraction(1), "tenth").to("mm").magnitude == Fraction(127, 50000)
