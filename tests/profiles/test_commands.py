"""The commands `new-profile` and `import-chart`: exit status, files and sentences."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from assistant.cli import app
from assistant.errors import AssistantError
from profiles.authoring import profile_text
from profiles.load import load
from tests.profiles.plover import PLOVER, after
from tests.profiles.test_import_chart import TERN

WHOLE = (
    "--name",
    "tern",
    "--units",
    "metric",
    "--leadscrew",
    "4 mm",
    "--cross-slide",
    "0.05 mm x 160 diameter",
    "--compound",
    "0.05 mm x 40 radius",
)


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SWARFSIDE_PROFILES", str(tmp_path / "shop"))
    return tmp_path / "shop"


def run(*arguments: str | Path, typed: str | bytes = "") -> Result:
    return CliRunner().invoke(app, [str(each) for each in arguments], input=typed)


def sentence(result: Result) -> str:
    """Our own error, which the entry point turns into one sentence."""
    assert isinstance(result.exception, AssistantError)
    return str(result.exception)


def test_an_interview_through_a_pipe_writes_the_profile_into_the_shops_folder(shop: Path) -> None:
    done = run("new-profile", typed="\n".join(PLOVER) + "\n")
    assert done.exit_code == 0
    assert (shop / "plover.yaml").read_text(encoding="utf-8") == profile_text(after(PLOVER))
    assert "Compare it with the lathe before you rely on it." in done.stdout


def test_an_interview_that_ends_early_goes_on_from_its_draft(shop: Path) -> None:
    first = run("new-profile", "plover", typed="\n".join(PLOVER[1:20]) + "\n")
    assert first.exit_code == 1
    assert "the same command goes on there" in first.stdout
    assert [file.name for file in shop.iterdir()] == ["plover.yaml.draft"]
    second = run("new-profile", "plover", typed="\n".join(PLOVER[20:]) + "\n")
    assert second.exit_code == 0
    assert [file.name for file in shop.iterdir()] == ["plover.yaml"]
    assert load(shop / "plover.yaml") == load(profile_text(after(PLOVER)))


def test_an_interview_with_a_contradiction_lists_it_and_ends_with_status_1(tmp_path: Path) -> None:
    lines = list(PLOVER[1:])
    lines[lines.index("180")] = "90"
    target = tmp_path / "plover.yaml"
    done = run("new-profile", target, typed="\n".join(lines) + "\n")
    assert done.exit_code == 1
    assert f"{target}, line " in done.stderr
    assert target.exists()


def test_an_interview_survives_what_is_no_text(tmp_path: Path) -> None:
    done = run("new-profile", tmp_path / "plover.yaml", typed=bytes(range(256)) * 20)
    assert done.exit_code == 1
    assert done.exception is None or isinstance(done.exception, SystemExit)
    assert "No: that has a character that no screen can show" in done.stdout


def test_no_input_at_all_is_the_end_of_an_interview(shop: Path) -> None:
    assert run("new-profile").exit_code == 1
    assert not shop.exists()


def test_a_profile_of_the_shop_is_not_written_over(shop: Path) -> None:
    shop.mkdir()
    (shop / "plover.yaml").write_text("mine", encoding="utf-8")
    assert "is there already" in sentence(run("new-profile", "plover"))
    assert (shop / "plover.yaml").read_text(encoding="utf-8") == "mine"


def test_a_sheet_is_shown_as_parts_or_written_as_a_profile(tmp_path: Path) -> None:
    file = tmp_path / "tern.csv"
    file.write_text(TERN, encoding="utf-8")
    shown = run("import-chart", file)
    assert shown.exit_code == 0
    assert shown.stdout.startswith("# Parts of a profile")
    out = tmp_path / "tern.yaml"
    written = run("import-chart", file, *WHOLE, "--out", out)
    assert written.exit_code == 0
    assert load(out).name == "tern"
    assert "is there already" in sentence(run("import-chart", file, *WHOLE, "--out", out))


def test_nothing_is_written_of_a_sheet_with_a_wrong_row_unless_told(tmp_path: Path) -> None:
    file, out = tmp_path / "tern.csv", tmp_path / "tern.yaml"
    file.write_text(TERN + "speed,fast,A,,,\n", encoding="utf-8")
    refused = run("import-chart", file, *WHOLE, "--out", out)
    assert refused.exit_code == 1
    assert f'{file}, line 11: "fast" is not a figure with its unit' in refused.stderr
    assert not out.exists()
    assert run("import-chart", file).stdout == ""
    told = run("import-chart", file, *WHOLE, "--out", out, "--keep-going")
    assert told.exit_code == 1
    assert [float(each.gives) for each in load(out).speeds] == [150, 400]


def test_a_profile_with_a_contradiction_is_not_written(tmp_path: Path) -> None:
    file, out = tmp_path / "tern.csv", tmp_path / "tern.yaml"
    file.write_text("kind,value,knob\nthread,1 mm,A\nthread,2 mm,B\n", encoding="utf-8")
    refused = run("import-chart", file, *WHOLE, "--out", out)
    assert refused.exit_code == 1
    assert "spindle: has no speeds; give a table or kinematics" in refused.stderr
    assert not out.exists()


@pytest.mark.parametrize(
    "arguments", [("--name", "tern"), ("--units", "inch"), (*WHOLE, "--units", "ells")]
)
def test_wrong_usage_ends_with_status_2(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    file = tmp_path / "tern.csv"
    file.write_text(TERN, encoding="utf-8")
    assert run("import-chart", file, *arguments).exit_code == 2


def test_a_sheet_that_cannot_be_read_or_written_is_one_sentence(tmp_path: Path) -> None:
    file = tmp_path / "tern.csv"
    assert "cannot be read" in sentence(run("import-chart", file))
    file.write_text(TERN, encoding="utf-8")
    assert "cannot be written" in sentence(run("import-chart", file, "--out", file / "x.yaml"))
