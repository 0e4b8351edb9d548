"""A lathe is built once, and again as soon as its file, or one that it may include, has changed."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from assistant.errors import ProfileError
from profiles import load as loading
from profiles.load import find, load
from tests.profiles.sorrel import SORREL


@pytest.fixture
def built(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the lathes that were built, one after another."""
    names: list[str] = []
    really = loading.lathe

    def counted(profile):  # type: ignore[no-untyped-def]
        names.append(profile.name)
        return really(profile)

    monkeypatch.setattr(loading, "lathe", counted)
    return names


def write(path: Path, text: str, *, seconds: int) -> Path:
    """Writes `path` as if `seconds` after some moment."""
    path.write_text(text, encoding="utf-8")
    os.utime(path, (1_700_000_000 + seconds, 1_700_000_000 + seconds))
    return path


def test_a_bundled_lathe_is_built_once(built: list[str]) -> None:
    first = find("juniper")
    before = len(built)
    assert find("juniper") is first
    assert find(" JUNIPER ") is first
    assert len(built) == before


def test_a_file_is_built_once_while_it_stays_as_it_is(tmp_path: Path, built: list[str]) -> None:
    path = write(tmp_path / "sorrel.yaml", SORREL, seconds=0)
    first = find("sorrel", tmp_path)
    assert find("sorrel", tmp_path) is first
    assert load(path) is first
    assert load(str(path)) is first
    assert built == ["sorrel"]


def test_a_changed_file_is_read_afresh(tmp_path: Path) -> None:
    path = write(tmp_path / "sorrel.yaml", SORREL, seconds=0)
    assert find("sorrel", tmp_path).description == "Small lathe in the paint shed"
    write(path, SORREL.replace("paint shed", "sail loft"), seconds=1)
    assert find("sorrel", tmp_path).description == "Small lathe in the sail loft"


def test_a_file_changed_within_the_same_second_is_read_afresh(tmp_path: Path) -> None:
    path = write(tmp_path / "sorrel.yaml", SORREL, seconds=0)
    assert load(path).description == "Small lathe in the paint shed"
    # Same length and same time of change; the file system still knows that it was written.
    write(path, SORREL.replace("paint shed", "brush shed"), seconds=0)
    assert load(path).description == "Small lathe in the brush shed"


def test_a_changed_base_is_read_afresh(tmp_path: Path) -> None:
    base = write(tmp_path / "sorrel.yaml", SORREL, seconds=0)
    path = write(tmp_path / "tern.yaml", "include: sorrel\nname: tern\n", seconds=0)
    assert load(path).description == "Small lathe in the paint shed"
    write(base, SORREL.replace("paint shed", "sail loft"), seconds=1)
    assert load(path).description == "Small lathe in the sail loft"


def test_a_base_that_appears_beside_the_file_takes_the_place_of_the_bundled_one(
    tmp_path: Path,
) -> None:
    path = write(tmp_path / "tern.yaml", "include: heron\nname: tern\n", seconds=0)
    assert load(path).inch
    write(tmp_path / "heron.yaml", SORREL.replace("name: sorrel", "name: heron"), seconds=0)
    assert not load(path).inch


def test_a_file_that_is_broken_after_it_was_read_is_refused_and_mended_is_read(
    tmp_path: Path,
) -> None:
    path = write(tmp_path / "sorrel.yaml", SORREL, seconds=0)
    first = load(path)
    write(path, "name: sorrel\n", seconds=1)
    with pytest.raises(ProfileError):
        load(path)
    path.unlink()
    with pytest.raises(ProfileError, match="cannot be read"):
        load(path)
    write(path, SORREL, seconds=0)
    assert load(path) == first


def test_a_folder_with_a_link_to_nowhere_is_still_read(tmp_path: Path) -> None:
    path = write(tmp_path / "sorrel.yaml", SORREL, seconds=0)
    (tmp_path / "gone.yaml").symlink_to(tmp_path / "nowhere.yaml")
    assert load(path).name == "sorrel"
    assert load(path) == load(path)


def test_a_text_is_never_kept(built: list[str]) -> None:
    load(SORREL)
    load(SORREL)
    assert built == ["sorrel", "sorrel"]
