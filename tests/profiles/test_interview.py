"""The interview in a terminal: resumed, taken back, refused, and never written over anything."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from assistant.errors import ProfileError
from profiles.authoring import profile_text
from profiles.interview import BACK, ask_name, draft_of, interview, target_of
from tests.profiles.plover import PLOVER, after


class Pipe:
    """Lines as if typed, and what was said."""

    def __init__(self, lines: list[str], end: type[BaseException] = EOFError) -> None:
        self.lines = list(lines)
        self.end = end
        self.said: list[str] = []

    def read(self) -> str:
        if not self.lines:
            raise self.end
        return self.lines.pop(0)

    def write(self, line: str) -> None:
        self.said.append(line)


def run(target: Path, pipe: Pipe) -> object:
    return interview(target, pipe.read, pipe.write)


@pytest.fixture
def uninterrupted(tmp_path: Path) -> str:
    target = tmp_path / "whole" / "plover.yaml"
    assert run(target, Pipe(PLOVER[1:])) == []
    return target.read_text(encoding="utf-8")


def test_an_interview_writes_its_profile_and_leaves_no_draft(
    tmp_path: Path, uninterrupted: str
) -> None:
    assert uninterrupted == profile_text(after(PLOVER))
    assert [file.name for file in (tmp_path / "whole").iterdir()] == ["plover.yaml"]


@pytest.mark.parametrize("end", [EOFError, KeyboardInterrupt])
def test_an_interview_that_is_stopped_anywhere_gives_the_same_profile(
    tmp_path: Path, uninterrupted: str, end: type[BaseException]
) -> None:
    rest = PLOVER[1:]
    for stop in range(0, len(rest), 9):
        target = tmp_path / f"{end.__name__}{stop}" / "plover.yaml"
        assert run(target, Pipe(rest[:stop], end)) is None
        assert not target.exists()
        assert run(target, Pipe(rest[stop:])) == []
        assert target.read_text(encoding="utf-8") == uninterrupted
        assert not draft_of(target).exists()


def test_a_wrong_answer_is_asked_again_and_the_last_can_be_taken_back(
    tmp_path: Path, uninterrupted: str
) -> None:
    lines = [BACK, "Wrong line", BACK, *PLOVER[1:2], "xyz", *PLOVER[2:]]
    target = tmp_path / "plover.yaml"
    pipe = Pipe(lines)
    assert run(target, pipe) == []
    assert target.read_text(encoding="utf-8") == uninterrupted
    assert 'No: "xyz" is not one of the answers; there are inch or metric.' in pipe.said


def test_what_an_answer_was_taken_for_is_said(tmp_path: Path) -> None:
    pipe = Pipe(["Bench lathe", "metric", "", "150"])
    assert run(tmp_path / "wren.yaml", pipe) is None
    assert "= 150 rpm" in pipe.said


def test_a_profile_with_contradictions_is_written_with_its_findings(tmp_path: Path) -> None:
    lines = list(PLOVER[1:])
    lines[lines.index("180")] = "90"
    target = tmp_path / "plover.yaml"
    findings = run(target, Pipe(lines))
    assert isinstance(findings, list)
    assert "swing over the slide" in findings[-1].problem
    assert target.exists()


def test_a_profile_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    target = tmp_path / "plover.yaml"
    target.write_text("name: x", encoding="utf-8")
    with pytest.raises(ProfileError, match="is there already; name another file"):
        run(target, Pipe(PLOVER[1:]))
    assert target.read_text(encoding="utf-8") == "name: x"


@pytest.mark.parametrize("junk", ["", "[", "[1]", '{"a": 1}', "null", "[" * 100_000])
def test_a_draft_that_is_none_is_refused(tmp_path: Path, junk: str) -> None:
    target = tmp_path / "plover.yaml"
    draft_of(target).write_text(junk, encoding="utf-8")
    with pytest.raises(ProfileError, match="holds no answers of an interview"):
        run(target, Pipe(PLOVER[1:]))


def test_a_binary_draft_is_refused(tmp_path: Path) -> None:
    target = tmp_path / "plover.yaml"
    draft_of(target).write_bytes(bytes(range(256)))
    with pytest.raises(ProfileError, match="holds no answers of an interview"):
        run(target, Pipe([]))


def test_a_draft_changed_by_hand_is_asked_again_where_it_is_wrong(tmp_path: Path) -> None:
    target = tmp_path / "plover.yaml"
    answers = {**after(PLOVER[:3]), "units": "furlongs"}
    draft_of(target).write_text(json.dumps(answers), encoding="utf-8")
    pipe = Pipe([])
    assert run(target, pipe) is None
    assert pipe.said[-2].startswith("Are its dials and plates in inch or metric?")


def test_a_folder_that_cannot_be_written_is_said_at_the_start(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    pipe = Pipe(PLOVER[1:])
    with pytest.raises(ProfileError, match="Not a directory"):
        run(tmp_path / "file" / "plover.yaml", pipe)
    assert pipe.said == []


@pytest.mark.parametrize(
    ("name", "sentence"),
    [("plover.yml", "must end in .yaml"), ("two words.yaml", "is no name for a lathe")],
)
def test_a_target_that_is_no_profile_is_refused(tmp_path: Path, name: str, sentence: str) -> None:
    with pytest.raises(ProfileError, match=sentence):
        run(tmp_path / name, Pipe(PLOVER[1:]))


def test_a_name_goes_into_the_shops_folder(tmp_path: Path) -> None:
    assert target_of("Plover", tmp_path) == tmp_path / "plover.yaml"
    assert target_of("there/plover.yaml", tmp_path) == Path("there/plover.yaml")
    with pytest.raises(ProfileError, match="is no name for a lathe"):
        target_of("../plover", tmp_path)


def test_the_name_is_asked_until_it_will_do() -> None:
    pipe = Pipe(["", "two words", "Plover"])
    assert ask_name(pipe.read, pipe.write) == "plover"
    assert sum(line.startswith("No: ") for line in pipe.said) == 2
    assert ask_name(Pipe([]).read, pipe.write) is None
