"""A placard typed into a spreadsheet and saved as CSV; README.md beside this file explains the columns."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from assistant.errors import ProfileError, nearest_names
from profiles import exact, typed
from profiles.placard import LARGEST_FILE, shown

KINDS: Final[Mapping[str, tuple[str, exact.Measure]]] = {
    "speed": ("speed", exact.SPEED),
    "thread": ("lead", exact.LEAD),
    "feed": ("feed", exact.FEED),
    "cross feed": ("feed", exact.FEED),
}
"""Kind of row -> field of the profile's row, and what its value measures."""
COLUMNS: Final = ("kind", "value", "train")
DELIMITERS: Final = ",;\t"
MOST_ROWS: Final = 5000
LONGEST: Final = 200


@dataclass(frozen=True)
class Wrong:
    """One line of the sheet that will not do."""

    line: int
    problem: str


@dataclass(frozen=True)
class ChartRow:
    """One row of the placard."""

    line: int
    kind: str
    figure: str
    """As a profile writes it."""
    levers: Mapping[str, str]
    train: str | None

    @property
    def group(self) -> str:
        """The group of its levers."""
        return "spindle" if self.kind == "speed" else "feed"


@dataclass(frozen=True)
class Sheet:
    """A whole sheet: its sound rows, and what is wrong with the others."""

    file: str
    rows: tuple[ChartRow, ...]
    wrong: tuple[Wrong, ...]


def read_sheet(path: Path) -> Sheet:
    """The rows of the CSV file `path`; each wrong one is named by its line.

    Raises ProfileError for what is no CSV text, too large, or has no heading with its columns.
    """
    lines = _text(path).replace("\r\n", "\n").replace("\r", "\n").split("\n")
    first = next((n for n, line in enumerate(lines) if line.strip() and line[0] != "#"), None)
    if first is None:
        raise ProfileError(str(path), None, f"is empty; expected a heading such as {_EXAMPLE}")
    delimiter, heading = _heading(str(path), lines[first], first + 1)
    rows: list[ChartRow] = []
    wrong: list[Wrong] = []
    for line, cells in _records(str(path), lines, first + 1, delimiter):
        if len(rows) + len(wrong) == MOST_ROWS:
            raise ProfileError(str(path), line, f"is row {MOST_ROWS + 1}; a placard has fewer")
        try:
            rows.append(_row(line, cells, heading))
        except ValueError as fault:
            wrong.append(Wrong(line, str(fault)))
    sound, contradicted = _consistent(rows, first + 1)
    wrong = sorted([*wrong, *contradicted], key=lambda each: each.line)
    if not sound and not wrong:
        raise ProfileError(str(path), first + 1, "is a heading without any row below it")
    return Sheet(str(path), tuple(sound), tuple(wrong))


_EXAMPLE: Final = "kind,value,range,collar,train"


def _text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise ProfileError(str(path), None, f"cannot be read: {reason}") from fault
    if len(raw) > LARGEST_FILE:
        raise ProfileError(str(path), None, "is over 1 MB; a placard is some kilobytes of CSV")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = raw[: fault.start].count(b"\n") + 1
        problem = "is not UTF-8 text; save the sheet as CSV in UTF-8"
        raise ProfileError(str(path), line, problem) from fault


def _records(
    file: str, lines: Sequence[str], start: int, delimiter: str
) -> Iterator[tuple[int, list[str]]]:
    """Line number and cells of each row from line `start` + 1 on that is not empty."""
    # csv wants the ends of the lines for cells that go over several of them.
    ended = (line + "\n" for line in lines[start:])
    reader = csv.reader(ended, delimiter=delimiter, strict=True)
    while True:
        line = start + reader.line_num + 1
        try:
            cells = next(reader, None)
        except csv.Error as fault:
            problem = f"is no row of CSV here: {fault}; check its quotes"
            raise ProfileError(file, line, problem) from fault
        if cells is None:
            return
        trimmed = [cell.strip() for cell in cells]
        if any(trimmed) and not trimmed[0].startswith("#"):
            yield line, trimmed


def _heading(file: str, text: str, line: int) -> tuple[str, list[str]]:
    """The delimiter of the sheet and its columns: those of COLUMNS in small letters, and levers."""
    found: list[str] = []
    for delimiter in DELIMITERS:
        try:
            cells = next(csv.reader([text], delimiter=delimiter, strict=True))
        except csv.Error as fault:
            raise ProfileError(file, line, f"is no heading of CSV: {fault}") from fault
        names = [cell.strip() for cell in cells]
        names = [name.lower() if name.lower() in COLUMNS else name for name in names]
        if {"kind", "value"} <= set(names):
            _check_heading(file, names, line)
            return delimiter, names
        found = names if len(names) > len(found) else found
    missing = next(name for name in COLUMNS if name not in found)
    raise ProfileError(
        file, line, f'has no column "{missing}"; expected a heading such as {_EXAMPLE}'
    )


def _check_heading(file: str, names: Sequence[str], line: int) -> None:
    for name in filter(None, names):
        if names.count(name) > 1:
            raise ProfileError(file, line, f'has two columns "{shown(name)}"; rename one')
        if not name.isprintable() or len(name) > LONGEST:
            raise ProfileError(
                file, line, f'has a column "{shown(name)}" that is no name of a lever'
            )


def _row(line: int, cells: Sequence[str], heading: Sequence[str]) -> ChartRow:
    """One row. Raises ValueError with one sentence."""
    if len(cells) > len(heading) and any(cells[len(heading) :]):
        raise ValueError(
            f"has {len(cells)} cells and the heading {len(heading)}; "
            "put a figure with a comma in quotes, or write a point"
        )
    filled = {name: cell for name, cell in zip(heading, cells, strict=False) if cell}
    odd = [cell for cell in filled.values() if not cell.isprintable() or len(cell) > LONGEST]
    if odd:
        raise ValueError(f'has a cell "{shown(odd[0])}" that is no plain short text')
    if "" in filled:
        raise ValueError(f'has "{shown(filled[""])}" in a column without a name; name the lever')
    kind = " ".join(filled.get("kind", "").lower().replace("-", " ").replace("_", " ").split())
    if kind not in KINDS:
        close = nearest_names(kind, list(KINDS), 1)
        hint = f"; the nearest is {close[0]}" if close else ""
        given = filled.get("kind", "")
        raise ValueError(f'kind is "{shown(given)}"; expected {", ".join(KINDS)}{hint}')
    if "value" not in filled:
        raise ValueError(f"has no value; expected a figure such as {KINDS[kind][1].example}")
    train = filled.get("train")
    if train is not None and kind == "speed":
        raise ValueError("is a speed with a train; change gears are for threads and feeds")
    return ChartRow(
        line=line,
        kind=kind,
        figure=typed.figure(filled["value"], KINDS[kind][1]),
        levers={name: cell for name, cell in filled.items() if name not in COLUMNS},
        train=None if train is None else typed.train(train),
    )


def _consistent(rows: Sequence[ChartRow], heading_line: int) -> tuple[list[ChartRow], list[Wrong]]:
    """The rows that agree with the others, and what is wrong with those that do not."""
    users = _users(rows)
    wrong = [
        Wrong(row.line, problem)
        for row in rows
        if (problem := _wrong_group(row, users)) is not None
    ]
    strays = {each.line for each in wrong}
    rows = [row for row in rows if row.line not in strays]
    needed = {
        kind: dict.fromkeys(lever for row in rows if row.kind == kind for lever in row.levers)
        for kind in KINDS
    }
    settings: dict[object, ChartRow] = {}
    sound: list[ChartRow] = []
    for row in rows:
        setting = (row.kind, frozenset(row.levers.items()), row.train)
        problem = _missing_lever(row, needed[row.kind]) or _same_setting(row, settings.get(setting))
        if problem:
            wrong.append(Wrong(row.line, problem))
            continue
        settings[setting] = row
        sound.append(row)
    wrong += [
        Wrong(
            heading_line,
            f'lever "{shown(lever)}" stands at "{shown(places[0])}" in every row, and a lever has '
            "two positions at least; leave its column out or add a row",
        )
        for lever, places in positions_of(sound).items()
        if len(places) == 1
    ]
    return sound, wrong


def _users(rows: Sequence[ChartRow]) -> dict[str, ChartRow]:
    """Lever -> the first row of those that use it as most rows do: for the speed, or the feed."""
    found: dict[str, list[ChartRow]] = {}
    for row in rows:
        for lever in row.levers:
            found.setdefault(lever, []).append(row)
    users = {}
    for lever, using in found.items():
        usual, _ = Counter(row.group for row in using).most_common(1)[0]
        users[lever] = next(row for row in using if row.group == usual)
    return users


def _wrong_group(row: ChartRow, users: Mapping[str, ChartRow]) -> str | None:
    for lever in row.levers:
        other = users[lever]
        if other.group != row.group:
            return (
                f'lever "{shown(lever)}" is used for a {row.kind} here and for a {other.kind} in '
                f"line {other.line}; a lever sets the speed or the feed, not both"
            )
    return None


def _missing_lever(row: ChartRow, needed: Iterable[str]) -> str | None:
    missing = [lever for lever in needed if lever not in row.levers]
    if not missing:
        return None
    return f'"{row.figure}" does not say where lever "{shown(missing[0])}" stands; fill its cell'


def _same_setting(row: ChartRow, first: ChartRow | None) -> str | None:
    if first is None:
        return None
    return (
        f'"{row.figure}" has the same levers and gears as "{first.figure}" in line {first.line}; '
        "keep one of them"
    )


def positions_of(rows: Sequence[ChartRow]) -> dict[str, list[str]]:
    """Lever -> its positions, in the order in which they are met."""
    found: dict[str, dict[str, None]] = {}
    for row in rows:
        for lever, position in row.levers.items():
            found.setdefault(lever, {})[position] = None
    return {lever: list(places) for lever, places in found.items()}
