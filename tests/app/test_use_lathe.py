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
