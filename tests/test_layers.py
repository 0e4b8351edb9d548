"""Who may import whom: read from the imports themselves."""

import ast
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ROOMS = ("assistant", "grammar", "display", "profiles")

QUERIES = tuple(f"assistant.{file.stem}" for file in sorted((ROOT / "assistant").glob("query*.py")))

ALLOWED: dict[str, tuple[str, ...]] = {
    "assistant/core": ("assistant.core", "assistant.tables", "assistant.units", "assistant.errors"),
    "assistant/tables": ("assistant.tables", "assistant.units", "assistant.errors"),
    "profiles": (
        "profiles",
        "assistant.core",
        "assistant.tables",
        "assistant.units",
        "assistant.errors",
    ),
    "grammar": ("grammar", *QUERIES, "assistant.units", "assistant.errors", "assistant.tables"),
    "display": (
        "display",
        "assistant.answer",
        "assistant.figures",
        "assistant.core.levers",
        "assistant.core.dial_types",
        "assistant.errors",
    ),
    "assistant/hearing": ("assistant.hearing", "assistant.errors"),
    "assistant/speaking": ("assistant.speaking", "assistant.errors"),
    "assistant/alongside/procedures": (
        "assistant.alongside.procedures",
        "assistant.errors",
        "assistant.core",
    ),
    "assistant/alongside": (
        "assistant.alongside",
        "assistant.answering",
        "assistant.core",
        *QUERIES,
        "assistant.answer",
        "assistant.units",
        "assistant.errors",
        "profiles",
    ),
    "assistant/answering": (
        "assistant.answering",
        "assistant.core",
        "assistant.tables",
        *QUERIES,
        "assistant.answer",
        "assistant.units",
        "assistant.errors",
        "profiles",
    ),
}
AT_HOME = {
    "kivy": "display",
    "rich": "display",
    "pocketsphinx": "assistant/hearing",
    "vosk": "assistant/hearing",
    "pyttsx3": "assistant/speaking",
    "espeakng_loader": "assistant/speaking",
    "lark": "grammar",
    "pydantic": "profiles",
    "cattrs": "assistant/alongside",
    "sqlite3": "assistant/alongside",
    "reportlab": "assistant/charts",
    "PIL": "assistant/charts",
    "typer": "assistant/cli",
    "gpiozero": "assistant/talk_line.py",
}
ELSEWHERE_TOO = {
    ("rich", "assistant/cli.py"),
    ("rich", "assistant/cli_lathes.py"),
    ("rich", "assistant/cli_hearing.py"),
    ("pydantic", "assistant/alongside/procedures/steps.py"),
    ("pydantic", "assistant/alongside/procedures/load.py"),
}


@cache
def imports(file: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            found |= {f"{node.module}.{name.name}" for name in node.names}
    return found


def files_of(room: str) -> list[Path]:
    return sorted((ROOT / room).rglob("*.py"))


def within(name: str, allowed: tuple[str, ...]) -> bool:
    return any(name == each or name.startswith(f"{each}.") for each in allowed)


@pytest.mark.parametrize("room", sorted(ALLOWED))
def test_a_room_imports_only_what_it_may_know(room: str) -> None:
    files = files_of(room)
    assert files
    for file in files:
        ours = {name for name in imports(file) if name.split(".")[0] in ROOMS}
        strangers = {name for name in ours if not within(name, ALLOWED[room])}
        assert strangers == set(), f"{file.relative_to(ROOT)} imports {sorted(strangers)}"


@pytest.mark.parametrize("library", sorted(AT_HOME))
def test_a_library_is_imported_only_in_its_own_room(library: str) -> None:
    seen = False
    for room in ROOMS:
        for file in files_of(room):
            if any(name.split(".")[0] == library for name in imports(file)):
                place = file.relative_to(ROOT).as_posix()
                at_home = place.startswith(AT_HOME[library]) or (library, place) in ELSEWHERE_TOO
                assert at_home, f"{place} imports {library}"
                seen = True
    assert seen, f"nothing imports {library}: take it off this list"


def test_only_the_commands_import_the_wiring() -> None:
    wiring = {
        "assistant/cli_hearing.py",
        "assistant/cli_lathes.py",
        "assistant/cli.py",
        "assistant/demo.py",
        "assistant/learning.py",
        "assistant/live.py",
        "assistant/live_loop.py",
        "assistant/recognition.py",
        "assistant/sound_check.py",
    }
    for room in ROOMS:
        for file in files_of(room):
            place = file.relative_to(ROOT).as_posix()
            if any(within(name, ("assistant.app",)) for name in imports(file)):
                assert place in wiring, f"{place} imports the wiring"


def test_no_file_is_longer_than_a_reader_can_hold() -> None:
    long = [
        f"{file.relative_to(ROOT)}: {count} lines"
        for room in (*ROOMS, "tests")
        for file in files_of(room)
        if (count := len(file.read_text(encoding="utf-8").splitlines())) > 400
    ]
    assert long == []
