"""The commands that read, write and print a lathe's profile; no logic here."""

from __future__ import annotations

import io
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

app = typer.Typer()
_out = Console(highlight=False, soft_wrap=True)
_err = Console(stderr=True, highlight=False, soft_wrap=True)

Paper = StrEnum("Paper", ["a4", "letter", "a3", "tabloid"])
Part = StrEnum("Part", ["speeds", "threads", "feeds"])


@app.command("check-profile")
def check_profile(file: Annotated[Path, typer.Argument(help="A profile in YAML.")]) -> None:
    """Every inconsistency with its line; exit status 1 if there is any."""
    from profiles.check import check

    findings = check(file)
    _list(findings, _out)
    if not findings:
        _out.print(f"{file}: no fault found", markup=False)
    raise typer.Exit(1 if findings else 0)


@app.command("new-profile")
def new_profile(
    lathe: Annotated[
        str | None, typer.Argument(help="Name of the lathe, or a .yaml file to write.")
    ] = None,
) -> None:
    """Ask for the figures of a lathe's placard and write its profile; goes on where it was stopped."""
    from assistant.app import profile_folder
    from profiles.interview import ask_name, interview, target_of

    if isinstance(sys.stdin, io.TextIOWrapper):
        # What is no UTF-8 is refused as an answer, not as a fault of ours.
        sys.stdin.reconfigure(errors="replace")
    name = lathe or ask_name(input, _told)
    if name is None:
        raise typer.Exit(1)
    target = target_of(name, profile_folder())
    findings = interview(target, input, _told)
    if findings is not None:
        _told(f"{target} is written. Compare it with the lathe before you rely on it.")
        _list(findings)
    raise typer.Exit(1 if findings is None or findings else 0)


@app.command("import-chart")
def import_chart_command(
    file: Annotated[
        Path, typer.Argument(help="A placard as CSV: kind, value, a column for each lever, train.")
    ],
    name: Annotated[
        str | None, typer.Option("--name", help="For a whole profile: the lathe's name.")
    ] = None,
    units: Annotated[str | None, typer.Option("--units", help="inch or metric.")] = None,
    leadscrew: Annotated[
        str | None, typer.Option("--leadscrew", help='Such as "8 per inch".')
    ] = None,
    cross_slide: Annotated[
        str | None, typer.Option("--cross-slide", help='Such as "0.05 mm x 160 diameter".')
    ] = None,
    compound: Annotated[
        str | None, typer.Option("--compound", help='Such as "0.02 mm x 150 radius".')
    ] = None,
    description: Annotated[
        str, typer.Option("--description", help="One line about the lathe.")
    ] = "",
    out: Annotated[
        Path | None, typer.Option("--out", help="YAML file to write; else it is shown.")
    ] = None,
    keep_going: Annotated[
        bool, typer.Option("--keep-going", help="Leave wrong rows out and write the rest.")
    ] = False,
) -> None:
    """Read a placard typed into a spreadsheet; without --name gives the parts of a profile that it has."""
    from profiles.import_chart import about, import_chart
    from profiles.writing import refuse_existing, store

    try:
        given = about(name, units, leadscrew, cross_slide, compound, description)
    except ValueError as fault:
        raise typer.BadParameter(str(fault)) from None
    if out is not None:
        refuse_existing(out)
    text, findings = import_chart(file, given)
    _list(findings)
    if not any(finding.stops for finding in findings) or keep_going:
        if out is None:
            sys.stdout.write(text)
        else:
            store(out, text)
            _told(f"{out} is written. Compare it with the lathe before you rely on it.")
    raise typer.Exit(1 if findings else 0)


def _picture(out: Path | None) -> Path | None:
    if out is not None and out.suffix.lower() not in (".pdf", ".png"):
        raise typer.BadParameter("must end in .pdf or .png")
    return out


@app.command()
def chart(
    lathe: Annotated[str, typer.Argument(help="Profile by name, or a YAML file.")],
    out: Annotated[
        Path | None,
        typer.Option("--out", help="A .pdf or .png to write; else text.", callback=_picture),
    ] = None,
    paper: Annotated[
        Paper | None,
        typer.Option("--paper", help="Usually the smaller of A4 and A3 that can be read at 1 m."),
    ] = None,
    part: Annotated[
        list[Part] | None, typer.Option("--part", help="Only this; may be given twice.")
    ] = None,
) -> None:
    """The lathe's speeds, threads with the marks to re-engage on, and feeds: one page for the wall, or text."""
    from assistant.app import Assistant
    from assistant.charts.contents import charts
    from assistant.charts.plain import plain_text

    found = charts(Assistant.find_lathe(lathe), [each.value for each in part or Part])
    if out is None:
        sys.stdout.write(plain_text(found[0]))
        return
    from assistant.charts.printing import print_chart, size_words

    laid_out = print_chart(found, out, paper.value if paper else None)
    _out.print(f"{out}: {size_words(laid_out)}", markup=False)


def _told(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _list(findings, console: Console = _err) -> None:  # type: ignore[no-untyped-def]
    for finding in findings:
        place = finding.file if finding.line is None else f"{finding.file}, line {finding.line}"
        console.print(f"{place}: {finding.problem}", markup=False)
