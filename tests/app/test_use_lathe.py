"""'use NAME' with a profile of the shop's own that has gone bad meanwhile."""

import shutil
from pathlib import Path

import pytest

from assistant.app import Assistant

BUNDLED = Path(__file__).parent.parent.parent / "profiles"


def test_a_profile_that_went_bad_is_told_and_the_running_lathe_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "otter.yaml"
    text = (BUNDLED / "badger.yaml").read_text(encoding="utf-8")
    own.write_text(
        text.replace("name: badger", "name: otter").replace('spoken: ["badger"', 'spoken: ["otter"')
    )
    monkeypatch.setenv("SWARFSIDE_PROFILES", str(tmp_path))
    assistant = Assistant("heron")
    assert assistant.reply("use otter").shown.status == "answered"
    assistant.reply("use heron")
    shutil.copy(__file__, own)
    reply = assistant.reply("use otter")
    assert reply.shown.status == "refused"
    assert "otter.yaml" in reply.shown.headline
    assert assistant.conversation.memory.lathe.name == "heron"
    assert assistant.reply("thirteen threads per inch").answered


def test_who_speaks_is_told_by_a_name_that_was_learned(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert Assistant("heron").reply("this is nobody you know").shown.headline == "No voice yet"
    folder = tmp_path / "swarfside" / "operators"
    folder.mkdir(parents=True)
    for name in ("robin", "xqzt"):
        (folder / f"{name}.json").write_text('{"name": "robin", "warp": 1.0}', encoding="utf-8")
    assistant = Assistant("heron")
    assert assistant.reply("this is robin").turn.operator == "robin"
    assert assistant.acceptor.accepts(["this", "is", "robin"])
    # A name that the ear has no sounds for would make it refuse the whole grammar.
    assert not assistant.acceptor.accepts(["this", "is", "xqzt"])
