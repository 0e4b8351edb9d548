"""Questions as data: what is asked, what it must be read as, what must come back.

tests/sentences/*.yaml holds lists of entries:
  say:     the question, typed          lathe: profile (the usual one if left out)   units: mm or inch
  after:   earlier questions of the same conversation, in order
  kind:    kind of the Query            query: fields of the Query that must be so
  status:  'answered' if left out       values: figure -> [expected, tolerance]
  engage, setting, moves, headline, cautions, spoken: as in the answer's JSON; texts: must be contained
  source:  where an expected figure comes from
"""

from pathlib import Path
from typing import Any

import pytest
import yaml

from assistant.answer import Shown
from assistant.app import Assistant

FOLDER = Path(__file__).parent / "sentences"


def entries() -> list[Any]:
    found = []
    for file in sorted(FOLDER.glob("*.yaml")):
        for number, entry in enumerate(yaml.safe_load(file.read_text(encoding="utf-8"))):
            label = f"{file.stem}-{number}-{entry['say']}"
            found.append(pytest.param(entry, id=label))
    return found


def nothing_false(got: Any, wanted: Any, where: str) -> None:
    """Every part of `wanted` is in `got`."""
    if isinstance(wanted, dict):
        for name, part in wanted.items():
            assert name in got, f"{where}: no {name} in {got}"
            nothing_false(got[name], part, f"{where}.{name}")
    else:
        assert got == wanted, where


def short_enough(shown: Shown) -> None:
    """The number first, and no more than a glance takes in."""
    assert shown.spoken
    if shown.status == "answered":
        assert 0 < len(shown.headline) <= 24
        assert len(shown.rows) <= 6


@pytest.mark.parametrize("entry", entries())
def test_sentence(entry: dict[str, Any]) -> None:
    assistant = Assistant(entry.get("lathe"), entry.get("units"))
    for earlier in entry.get("after", []):
        assistant.reply(earlier)
    reply = assistant.reply(entry["say"])
    short_enough(reply.shown)
    got = reply.as_json()
    assert got["status"] == entry.get("status", "answered"), got
    if "kind" in entry:
        assert got["query"]["kind"] == entry["kind"]
    nothing_false(got.get("query", {}), entry.get("query", {}), "query")
    for part in ("engage", "setting", "moves", "gears", "headline"):
        if part in entry:
            nothing_false(got.get(part), entry[part], part)
    for name, (expected, tolerance) in entry.get("values", {}).items():
        value = got["values"][name]["value"]
        assert value == pytest.approx(expected, abs=tolerance), (name, value)
    for part in ("cautions", "spoken", "assumed", "working", "rows"):
        for text in [entry[part]] if isinstance(entry.get(part), str) else entry.get(part, []):
            assert text in str(got.get(part, "")), (part, got.get(part))
