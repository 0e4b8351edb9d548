"""Memory and jobs over a restart: exactly the same again, after a kill, and with a file that is broken."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.alongside.job import Job
from assistant.alongside.plain import as_text, job_from, kept_from
from assistant.alongside.store import Store
from assistant.app import Assistant
from assistant.errors import StoreError
from assistant.query import Query
from assistant.remembering import kept_of, memory_of

ROOT = Path(__file__).parent.parent.parent
KILLS = 6
SAID = (
    "speed for stainless one and three quarter inch carbide",
    "half inch thirteen",
    "levers done",
    "job four one two",
    "save setting",
    "note chatter at nine hundred",
    "count parts",
    "part done",
    "tell me in two minutes",
    "start thread half inch thirteen",
    "next",
    "go to the passes",
    "next pass",
    "lighter passes",
    "lead me through facing",
    "next",
    "levers are at range high",
    "closed on number two",
    "start turning fifty two point four to fifty h seven, eighty long, mild steel",
    "levers done",
    "next",
    "next",
    "next",
    "i measure fifty point four eight",
    "start parting forty millimetres in brass",
    "start drilling ten millimetres to forty deep brass",
    "use the badger",
    "start thread metric twenty lead five pitch two point five",
    "end the sequence",
    "and in brass",
    "taper one in ten",
    "six tenths in millimetres",
)


@given(st.lists(st.sampled_from(SAID), max_size=8))
@settings(max_examples=40, deadline=None)
def test_what_is_kept_comes_back_exactly(said: list[str]) -> None:
    assistant = Assistant("heron")
    for words in said:
        assistant.reply(words)
    kept = kept_of(assistant.conversation.memory)
    assert kept_from(as_text(kept)) == kept
    again = memory_of(kept, Assistant.find_lathe)
    assert again is not None
    assert kept_of(again).job == kept.job
    assert again.thread == assistant.conversation.memory.thread


def test_every_example_sentence_of_the_grammar_can_be_kept() -> None:
    assistant = Assistant("heron")
    for sentence in assistant.grammar.examples():
        query = assistant.grammar.read(sentence, "inch")
        assert isinstance(query, Query), sentence
        assistant.reply(sentence)
        kept = kept_of(assistant.conversation.memory)
        assert kept_from(as_text(kept)) == kept, sentence


def test_a_session_goes_on_where_another_ended(tmp_path: Path) -> None:
    file = tmp_path / "work.sqlite3"
    first = Assistant("heron", store=Store(file))
    for words in ("start thread half inch thirteen", "go to the passes", "next pass", "next pass"):
        last = first.reply(words)
    second = Assistant(store=Store(file))
    going_on = second.resumed()
    assert going_on is not None
    assert (
        "1/2-13 UNC" in going_on.shown.spoken or "one half inch thirteen" in going_on.shown.spoken
    )
    assert second.reply("where am i").shown.headline == last.shown.headline == "23"
    assert second.reply("back").shown.headline == "18"


def test_nobody_knows_what_turned_meanwhile(tmp_path: Path) -> None:
    file = tmp_path / "work.sqlite3"
    first = Assistant("heron", store=Store(file))
    for words in (
        "lead me through changing the spindle speed",
        "go to step six",
        "spindle stopped",
    ):
        told = first.reply(words)
    assert told.shown.headline == "Move the speed levers"
    second = Assistant(store=Store(file))
    assert second.reply("where am i").shown.headline == "Spindle stopped?"


def test_a_lathe_that_was_asked_for_goes_before_the_one_remembered(tmp_path: Path) -> None:
    file = tmp_path / "work.sqlite3"
    Assistant("heron", store=Store(file)).reply("half inch thirteen")
    other = Assistant("badger", store=Store(file))
    assert other.conversation.memory.lathe.name == "badger"
    assert other.conversation.memory.thread is None


def test_jobs_are_found_again(tmp_path: Path) -> None:
    file = tmp_path / "work.sqlite3"
    first = Assistant("heron", store=Store(file))
    for words in ("job seven", "speed for brass one inch", "save setting", "note good finish"):
        first.reply(words)
    first.reply("job eight")
    store = Store(file)
    assert [job.number for job in store.jobs()] == ["7", "8"]
    job = store.job("7")
    assert job is not None
    assert job.material == "brass"
    assert [note.text for note in job.notes] == ["good finish"]
    assert job.settings[0].headline.endswith("rpm")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{}",
        "[]",
        "null",
        '{"lathe": 3}',
        '{"lathe": "heron", "units": "mm", "sequence": {"of": "X"}}',
    ],
)
def test_what_another_version_wrote_is_no_fault(text: str) -> None:
    assert kept_from(text) is None
    assert job_from(text) is None


def test_a_file_that_is_no_memory_is_told_in_one_sentence(tmp_path: Path) -> None:
    file = tmp_path / "work.sqlite3"
    file.write_text("this is no database " * 100, encoding="utf-8")
    with pytest.raises(StoreError, match="not a database"):
        Store(file)


def test_a_disk_that_fails_does_not_end_the_work(tmp_path: Path) -> None:
    store = Store(tmp_path / "work.sqlite3")
    assistant = Assistant("heron", store=store)
    store.close()
    reply = assistant.reply("half inch thirteen")
    assert reply.answered
    assert any("not kept" in caution for caution in reply.shown.cautions)
    assert not any(
        "not kept" in each for each in assistant.reply("half inch thirteen").shown.cautions
    )


CHILD = """
import sys
from pathlib import Path
from assistant.alongside.job import Job
from assistant.alongside.store import Store
store = Store(Path(sys.argv[1]))
job = store.job("1") or Job("1", counting=True)
while True:
    from dataclasses import replace
    job = replace(job, parts=job.parts + 1)
    store.put(job)
    print(job.parts, flush=True)
"""


def test_nothing_told_as_kept_is_lost_by_a_kill(tmp_path: Path) -> None:
    """The process is killed at random moments; what it had told as kept is there, and nothing is broken."""
    file = tmp_path / "work.sqlite3"
    chance = random.Random(5)
    before = 0
    for _ in range(KILLS):
        child = subprocess.Popen(
            [sys.executable, "-c", CHILD, str(file)], cwd=ROOT, stdout=subprocess.PIPE, text=True
        )
        assert child.stdout is not None
        child.stdout.readline()
        time.sleep(chance.uniform(0.0, 0.15))
        os.kill(child.pid, signal.SIGKILL)
        told = [line for line in child.stdout.read().splitlines() if line]
        child.wait()
        child.stdout.close()
        job = Store(file).job("1")
        assert job is not None
        assert job.parts > before
        # Only the last line may be cut short by the kill.
        assert job.parts >= int(told[-2] if len(told) > 1 else before)
        before = job.parts
    with sqlite3.connect(file) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    connection.close()


@given(
    seconds=st.integers(1, 10_000),
    later=st.integers(0, 20_000),
    notes=st.lists(st.text(max_size=30), max_size=4),
)
@settings(max_examples=60, deadline=None)
def test_a_job_as_text_is_the_same_job(seconds: int, later: int, notes: list[str]) -> None:
    job = Job("7").timed(Fraction(seconds), 100.0)
    for note in notes:
        job = job.noted(note, 1.5)
    assert job_from(as_text(job)) == job
    left, over = job.due(100.0 + later)
    assert (len(over) == 1) == (later >= seconds) == (len(left.timers) == 0)
