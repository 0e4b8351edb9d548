"""The words of the screen come from one file; none is written twice, none is left over."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest
import yaml

from assistant.core.levers import WhenToShift
from display.content import KICKERS
from display.view import EAR_STATES
from display.words import section, word

ROOM = Path(__file__).parent.parent.parent / "display"
CATALOGUE = yaml.safe_load(files("display").joinpath("words.yaml").read_text(encoding="utf-8"))
SOURCES = {
    path: path.read_text(encoding="utf-8")
    for path in [*sorted(ROOM.glob("*.py")), ROOM.parent / "assistant" / "views.py"]
    if not path.name.startswith("contact")
}


def test_every_state_has_its_word() -> None:
    assert set(section("ear")) == set(EAR_STATES)
    assert set(section("when")) == set(section("short_when")) == {w.value for w in WhenToShift}
    assert set(KICKERS) == {"ask", "refused", "not-understood", "fault", "alarm"}


@pytest.mark.parametrize("name", [name for name in CATALOGUE if name not in ("kickers", "ear")])
def test_every_word_is_used(name: str) -> None:
    whole = "\n".join(SOURCES.values())
    if f'section("{name}")' in whole or name in ("when", "short_when"):
        return
    for key in CATALOGUE[name]:
        assert f'"{key}"' in whole or '"{key}' in whole, f"{name}.{key}"


def test_words_are_apart_where_they_tell_states_apart() -> None:
    for name in ("kickers", "ear", "when", "short_when"):
        words = list(section(name).values())
        assert len(set(words)) == len(words)


def test_a_figure_that_is_missing_is_an_error() -> None:
    with pytest.raises(KeyError):
        word("foot", "page", number=1)
