"""The commands about jobs; no logic here."""

from __future__ import annotations

import csv
import json
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer()


class Format(StrEnum):
    """How jobs are listed."""

    text = "text"
    csv = "csv"
    json = "json"


@app.command()
def jobs(
    form: Annotated[Format, typer.Option("--format", help="For other programs.")] = Format.text,
    memory: Annotated[
        Path | None, typer.Option("--memory", help="File that memory and jobs are kept in.")
    ] = None,
) -> None:
    """The jobs that are kept: number, material, settings, sizes, notes, parts."""
    from assistant.alongside.job import Job
    from assistant.alongside.plain import plain_job
    from assistant.alongside.store import Store, usual_file

    file = memory or usual_file()
    found = [plain_job(job) for job in Store(file).jobs()] if file.exists() else []
    if form is Format.json:
        sys.stdout.write(json.dumps(found, ensure_ascii=False, indent=1) + "\n")
        return
    flat = [
        {
            name: "; ".join(value) if isinstance(value, list) else value
            for name, value in job.items()
        }
        for job in found
    ]
    if form is Format.csv:
        table = csv.DictWriter(sys.stdout, list(plain_job(Job())))
        table.writeheader()
        table.writerows(flat)
        return
    if not flat:
        typer.echo("no job is kept yet: say 'job' and its number in the live session")
    for job in flat:
        parts = [f"{name}: {value}" for name, value in job.items() if value and name != "number"]
        typer.echo(f"{job['number']}  {', '.join(parts)}".rstrip())
