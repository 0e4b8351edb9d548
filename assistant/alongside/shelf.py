"""Where memory and jobs are kept between questions and over a restart; here, in the process alone."""

from __future__ import annotations

from typing import Protocol

from assistant.alongside.job import Job


class JobShelf(Protocol):
    """Where jobs are put away and found again."""

    def job(self, number: str) -> Job | None:
        """The job of this number; None where there is none."""

    def put(self, job: Job) -> None:
        """Keeps `job` under its number. Raises StoreError where it cannot be kept."""

    def jobs(self) -> list[Job]:
        """Every job, by number."""


class JobsInMemory:
    """Jobs that last as long as the process."""

    def __init__(self) -> None:
        self._jobs: dict[str, Job] = {}

    def job(self, number: str) -> Job | None:
        """The job of this number; None where there is none."""
        return self._jobs.get(number)

    def put(self, job: Job) -> None:
        """Keeps `job` under its number."""
        self._jobs[job.number] = job

    def jobs(self) -> list[Job]:
        """Every job, by number."""
        return [self._jobs[number] for number in sorted(self._jobs)]
