"""Whole conversations as data: what is said, one line after another, and what must come back to each.

tests/conversations/*.yaml holds lists of conversations:
  about:   what it shows                lathe: profile (the usual one if left out)   units: mm or inch
  aloud:   true where it is also spoken through the recogniser (tests/hearing/test_spoken_conversations.py)
  turns:   a list of
    say:      the words                  status: 'answered' if left out
    others:   further readings of the same sound; close: true where the first fits nearly as well
    headline, spoken, rows, cautions, assumed, following: texts that must be contained; `not` before a
              name for a text that must not be: not_spoken
    values:   figure -> [expected, tolerance]
    engage:   as in the answer's JSON
    state:    what is listened for afterwards: idle, sequence or asked
  source:  where an expected figure comes from
"""

from pathlib import Path
from typing import Any

import pytest
import yaml

from assistant.app import Assistant, Reply

FOLDER = Path(__file__).parent / "conversations"
TEXTS = ("headline", "spoken", "rows", "cautions", "assumed", "working")


def conversations() -> list[Any]:
    found = []
    for file in sorted(FOLDER.glob("*.yaml")):
        for entry in yaml.safe_load(file.read_text(encoding="utf-8")):
            found.append(pytest.param(entry, id=f"{file.stem}-{entry['about']}"))
    return found


def check_turn(turn: dict[str, Any], reply: Reply, state: str) -> None:
    """Every part of `turn` that is named there holds for `reply`."""
    got = reply.as_json()
    where = (
        f"{turn['say']!r}: {got.get('headline')} {got.get('question', '')} | {got.get('spoken')}"
    )
    assert got["status"] == turn.get("status", "answered"), where
    for part in TEXTS:
        for name, wanted in ((part, True), (f"not_{part}", False)):
            for text in [turn[name]] if isinstance(turn.get(name), str) else turn.get(name, []):
                assert (text in str(got.get(part, ""))) is wanted, (name, text, where, got)
    for name, wanted in (("following", True), ("not_following", False)):
        if name in turn:
            assert reply.shown.place is not None, where
            assert (turn[name] in reply.shown.place.following) is wanted, where
    for name, (expected, tolerance) in turn.get("values", {}).items():
        assert got["values"][name]["value"] == pytest.approx(expected, abs=tolerance), (name, where)
    for name, expected in turn.get("engage", {}).items():
        assert got["engage"][name] == expected, (name, where)
    if "state" in turn:
        assert state == turn["state"], where


def test_there_are_as_many_as_were_promised() -> None:
    found = [each.values[0] for each in conversations()]
    assert len(found) >= 60
    assert sum(1 for each in found if each.get("aloud")) >= 15


@pytest.mark.parametrize("conversation", conversations())
def test_conversation(conversation: dict[str, Any]) -> None:
    assistant = Assistant(conversation.get("lathe"), conversation.get("units"))
    for turn in conversation["turns"]:
        reply = assistant.reply(turn["say"], turn.get("others", ()), close=turn.get("close", False))
        check_turn(turn, reply, assistant.listening_state)
