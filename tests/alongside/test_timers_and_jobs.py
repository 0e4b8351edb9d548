"""Timers by a clock of our own, the list of jobs, and sessions from a file with memory."""

import csv
import io
import json
from pathlib import Path

from typer.testing import CliRunner, Result

from assistant.app import Assistant
from assistant.cli import app
from assistant.conversation import Conversation
from assistant.memory import at_start
from tests.whole_grammar import whole_grammar

GRAMMAR = whole_grammar()


class Clock:
    """Seconds that pass only when they are told to."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


def run(*arguments: str, text: str | None = None) -> Result:
    return CliRunner().invoke(app, list(arguments), input=text)


def test_a_timer_is_told_once_when_its_time_is_over() -> None:
    clock = Clock()
    conversation = Conversation(
        at_start(Assistant.find_lathe("heron")), Assistant.find_lathe, list, clock=clock
    )
    for words in ("tell me in two minutes", "tell me in thirty seconds"):
        query = GRAMMAR.read(words, "mm")
        conversation.turn(query, words)
    assert conversation.due() == []
    clock.now += 31
    [over] = conversation.due()
    assert over.outcome.values["timer"].number == 30  # type: ignore[union-attr]
    assert conversation.due() == []
    clock.now += 100
    [over] = conversation.due()
    assert over.outcome.values["timer_minutes"].number == 2  # type: ignore[union-attr]


def test_a_session_keeps_its_jobs_and_the_command_lists_them(tmp_path: Path) -> None:
    file = tmp_path / "work.sqlite3"
    said = "job seven\nspeed for brass one inch\nsave setting\nnote: good, at 900\ncount parts\npart done\n"
    assert run("ask", "--session", "--memory", str(file), text=said).exit_code == 0
    [job] = json.loads(run("jobs", "--memory", str(file), "--format", "json").stdout)
    assert job["number"] == "7"
    assert job["material"] == "brass"
    assert job["notes"] == ["good, at 900"]
    assert job["parts"] == 1
    assert job["settings"][0].startswith("speed for brass one inch: ")
    [row] = csv.DictReader(
        io.StringIO(run("jobs", "--memory", str(file), "--format", "csv").stdout)
    )
    assert row["notes"] == "good, at 900"
    assert "7  material: brass" in run("jobs", "--memory", str(file)).stdout


def test_no_jobs_yet_is_one_sentence(tmp_path: Path) -> None:
    got = run("jobs", "--memory", str(tmp_path / "none.sqlite3"))
    assert got.exit_code == 0
    assert got.stdout == "no job is kept yet: say 'job' and its number in the live session\n"


def test_a_file_that_is_no_memory_ends_with_one_sentence(tmp_path: Path) -> None:
    file = tmp_path / "work.sqlite3"
    file.write_text("no database at all " * 50, encoding="utf-8")
    got = run("jobs", "--memory", str(file))
    assert got.exit_code == 1
    assert "not a database" in str(got.exception)
