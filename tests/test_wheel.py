"""The wheel, installed away from the checkout: every data file is in it and it answers."""

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
DATA = {".yaml", ".csv", ".lark", ".kv", ".wav", ".dict", ".ttf", ".txt", ".md"}
ROOMS = ("assistant", "grammar", "display", "profiles")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    source = tmp_path_factory.mktemp("source")
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    for name in listed.stdout.splitlines():
        file = ROOT / name
        if file.is_file():
            (source / name).parent.mkdir(parents=True, exist_ok=True)
            (source / name).write_bytes(file.read_bytes())
    command = [sys.executable, "-m", "build", "--wheel", "--outdir", str(out), str(source)]
    subprocess.run(command, check=True, capture_output=True)
    [made] = out.glob("*.whl")
    return made


def test_every_file_of_the_rooms_is_in_the_wheel(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    missing = [
        place
        for room in ROOMS
        for file in (ROOT / room).rglob("*")
        if file.suffix in DATA | {".py"}
        and "__pycache__" not in file.parts
        and (place := file.relative_to(ROOT).as_posix()) not in inside
    ]
    assert missing == []


def test_no_test_is_in_the_wheel(wheel: Path) -> None:
    assert not [name for name in zipfile.ZipFile(wheel).namelist() if name.startswith("tests/")]


def test_the_installed_wheel_answers_from_an_empty_folder(wheel: Path, tmp_path: Path) -> None:
    target, empty = tmp_path / "installed", tmp_path / "empty"
    empty.mkdir()
    subprocess.run(
        [
            sys.executable,
            "-m",
            "pip",
            "install",
            "--no-deps",
            "--quiet",
            "--target",
            str(target),
            str(wheel),
        ],
        check=True,
        capture_output=True,
    )
    program = (
        "import sys; import assistant.cli as cli; print(cli.__file__, file=sys.stderr);"
        "sys.argv = ['swarfside', 'ask', 'thirteen threads per inch', '--json']; cli.main()"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=empty,
        env={**os.environ, "PYTHONPATH": str(target)},
        capture_output=True,
        text=True,
    )
    assert str(target) in done.stderr
    assert done.returncode == 0
    assert json.loads(done.stdout)["engage"]["marks"] == ["1", "2", "3", "4"]


def test_no_dependency_brings_a_name_of_ours() -> None:
    from importlib.metadata import packages_distributions

    for room in ROOMS:
        owners = set(packages_distributions().get(room, []))
        assert owners <= {"swarfside-lathe-assistant"}, (room, owners)
