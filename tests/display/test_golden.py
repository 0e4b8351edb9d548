"""The screens have not changed without anyone meaning it; a missing file fails."""

from __future__ import annotations

from pathlib import Path

import pytest

from display.contact_sheet import STANDS, Stand
from tests.display.golden import screens

GOLDEN = Path(__file__).parent.parent / "golden"


@pytest.mark.parametrize("stand", STANDS, ids=lambda stand: stand.name)
def test_the_screens_are_as_they_were(stand: Stand) -> None:
    assert screens(stand) == (GOLDEN / f"screen-{stand.name}.txt").read_text(encoding="utf-8")
