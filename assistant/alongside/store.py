"""Memory and jobs in one SQLite file in the user's data folder, written on every change."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from platformdirs import user_data_path

from assistant.alongside.job import Job
from assistant.alongside.plain import Kept, as_text, job_from, kept_from
from assistant.errors import StoreError

FILE = "work.sqlite3"
_TABLES = """
CREATE TABLE IF NOT EXISTS memory (one INTEGER PRIMARY KEY CHECK (one = 1), state TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS jobs (number TEXT PRIMARY KEY, state TEXT NOT NULL);
"""
BUSY = 2.0
"""Seconds to wait where another program of ours writes."""


def usual_file() -> Path:
    """Where the memory is kept if nobody says otherwise."""
    return user_data_path("swarfside") / FILE


class Store:
    """The memory of one shop and its jobs; every write is on the disk before it returns."""

    def __init__(self, file: Path) -> None:
        """Opens or makes `file`. Raises StoreError where that cannot be."""
        self.file = file
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
            # The answering thread is another one than that which opened the window.
            self._connection = sqlite3.connect(file, timeout=BUSY, check_same_thread=False)
            # A full sync for each write: after a power cut the last answered word is still there.
            self._connection.execute("PRAGMA journal_mode = WAL")
            self._connection.execute("PRAGMA synchronous = FULL")
            self._connection.executescript(_TABLES)
        except (OSError, sqlite3.Error) as fault:
            raise StoreError(str(file), str(fault)) from fault

    def keep(self, kept: Kept) -> None:
        """Writes the memory. Raises StoreError."""
        self._write("INSERT OR REPLACE INTO memory VALUES (1, ?)", as_text(kept))

    def recalled(self) -> Kept | None:
        """The memory as last written; None where there is none, or it cannot be read any more."""
        row = self._row("SELECT state FROM memory")
        return None if row is None else kept_from(row)

    def job(self, number: str) -> Job | None:
        """The job of this number; None where there is none that can be read."""
        row = self._row("SELECT state FROM jobs WHERE number = ?", number)
        return None if row is None else job_from(row)

    def put(self, job: Job) -> None:
        """Keeps `job` under its number. Raises StoreError."""
        self._write("INSERT OR REPLACE INTO jobs VALUES (?, ?)", job.number, as_text(job))

    def jobs(self) -> list[Job]:
        """Every job that can be read, by number."""
        with closing(self._read("SELECT state FROM jobs ORDER BY number")) as rows:
            found = [job_from(state) for (state,) in rows]
        return [job for job in found if job is not None]

    def close(self) -> None:
        """Gives the file back."""
        self._connection.close()

    def _write(self, sql: str, *values: str) -> None:
        try:
            with self._connection:
                self._connection.execute(sql, values)
        except sqlite3.Error as fault:
            raise StoreError(str(self.file), str(fault)) from fault

    def _read(self, sql: str, *values: str) -> sqlite3.Cursor:
        try:
            return self._connection.execute(sql, values)
        except sqlite3.Error as fault:
            raise StoreError(str(self.file), str(fault)) from fault

    def _row(self, sql: str, *values: str) -> str | None:
        with closing(self._read(sql, *values)) as rows:
            row = rows.fetchone()
        return None if row is None else str(row[0])
