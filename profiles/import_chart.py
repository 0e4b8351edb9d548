"""A placard from a spreadsheet as the parts of a profile, or as a whole one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from profiles import exact, typed
from profiles.authoring import comments
from profiles.check import check
from profiles.faults import Finding
from profiles.placard import shown
from profiles.replies import Question, judged
from profiles.sheet import KINDS, ChartRow, Sheet, positions_of, read_sheet
from profiles.writing import profile_yaml


def parts(sheet: Sheet) -> dict[str, Any]:
    """The fields of a profile that the sheet gives: levers, spindle table and charts."""
    groups = {lever: row.group for row in sheet.rows for lever in row.levers}
    fields: dict[str, Any] = {
        "levers": [
            {"name": lever, "group": groups[lever], "positions": places, "when": "stopped"}
            for lever, places in positions_of(sheet.rows).items()
        ]
    }
    speeds = [row for row in sheet.rows if row.kind == "speed"]
    speeds.sort(key=lambda row: exact.printed(row.figure, exact.SPEED).value)
    if speeds:
        fields["spindle"] = {"table": [_fields(row) for row in speeds]}
    charts = {
        "pitches": [_fields(row) for row in sheet.rows if row.kind == "thread"],
        "feeds": [_fields(row) for row in sheet.rows if row.kind == "feed"],
        "cross_feeds": [_fields(row) for row in sheet.rows if row.kind == "cross feed"],
    }
    charts = {name: rows for name, rows in charts.items() if rows}
    if charts:
        fields["feed"] = _feed(charts)
    return {name: value for name, value in fields.items() if value}


def _fields(row: ChartRow) -> dict[str, Any]:
    fields: dict[str, Any] = {KINDS[row.kind][0]: row.figure}
    if row.levers:
        fields["levers"] = dict(row.levers)
    if row.train is not None:
        fields["train"] = row.train
    return fields


def _feed(charts: dict[str, list[dict[str, Any]]]) -> dict[str, Any]:
    """A gearbox's charts; or, where every row has its own train and no lever, a lathe without one."""
    rows = [row for each in charts.values() for row in each]
    if "cross_feeds" in charts or not all("train" in row and "levers" not in row for row in rows):
        return {"chart": charts}
    renamed = {"threads": charts.get("pitches", []), "feeds": charts.get("feeds", [])}
    return {"change_gears": {name: each for name, each in renamed.items() if each}}


def slide(text: str) -> dict[str, Any]:
    """The collar of a slide from one line. Raises ValueError with one sentence.

    >>> slide("0.05 mm x 160 diameter")
    {'division': '0.05 mm', 'divisions': 160, 'reads': 'diameter'}
    """
    match = re.fullmatch(r"\s*(\S.*?)\s*[x×]\s*([0-9]{1,5})\s+(diameter|radius)\s*", text)
    if match is None:
        raise ValueError(
            f'"{shown(text)}" is not a division, how many there are, and what it reads, '
            'such as "0.05 mm x 160 diameter"'
        )
    division = typed.figure(match[1], exact.LENGTH)
    return {"division": division, "divisions": int(match[2]), "reads": match[3]}


@dataclass(frozen=True)
class About:
    """What a placard does not say of its lathe."""

    name: str
    units: str
    leadscrew: str
    cross_slide: Mapping[str, Any]
    compound: Mapping[str, Any]
    description: str


def about(
    name: str | None,
    units: str | None,
    leadscrew: str | None,
    cross_slide: str | None,
    compound: str | None,
    description: str = "",
) -> About | None:
    """What was typed of the lathe, judged; None where nothing was. Raises ValueError with one sentence."""
    given = {
        "--name": name,
        "--units": units,
        "--leadscrew": leadscrew,
        "--cross-slide": cross_slide,
        "--compound": compound,
    }
    typed_in = {option: text for option, text in given.items() if text}
    if not typed_in:
        return None
    missing = [option for option in given if option not in typed_in]
    if missing:
        raise ValueError(f"a whole profile needs {' and '.join(missing)} too")
    system = judged(Question("", "", "choice", choices=("inch", "metric")), typed_in["--units"])
    unit = "per inch" if system == "inch" else "mm"
    return About(
        name=judged(Question("", "", "name", such="sorrel"), typed_in["--name"]),
        units=system,
        leadscrew=typed.figure(typed_in["--leadscrew"], exact.LEAD, unit),
        cross_slide=slide(typed_in["--cross-slide"]),
        compound=slide(typed_in["--compound"]),
        description=judged(Question("", "", "line", empty=""), description),
    )


def whole(sheet: Sheet, lathe: About) -> dict[str, Any]:
    """The fields of a whole profile."""
    given = parts(sheet)
    fields = {
        "name": lathe.name,
        "description": lathe.description or f"Lathe of the chart {shown(Path(sheet.file).name)}",
        "units": lathe.units,
        "levers": given.get("levers", []),
        "spindle": given.get("spindle", {}),
        "leadscrew": {"pitch": lathe.leadscrew},
        "feed": given.get("feed", {"change_gears": {}}),
        "cross_slide": lathe.cross_slide,
        "compound": lathe.compound,
    }
    return {field: value for field, value in fields.items() if value != []}


def import_chart(path: Path, lathe: About | None = None) -> tuple[str, list[Finding]]:
    """The YAML of the chart in `path`, and everything that is wrong with it, by file and line.

    lathe  : for a whole profile; None gives only the parts that the chart has
    Raises : ProfileError for a file that is no chart
    """
    sheet = read_sheet(path)
    findings = [Finding(sheet.file, each.line, each.problem) for each in sheet.wrong]
    known = comments(name=lathe.name if lathe else "", file=shown(path.name))
    above = {"": known["imported" if lathe else "parts"], "levers": known["levers_imported"]}
    text = profile_yaml(whole(sheet, lathe) if lathe else parts(sheet), {**known, **above})
    if lathe and not findings:
        findings = check(text)
    return text, findings
