"""The wall chart as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.charts.chart import Chart, Table


def plain_text(chart: Chart) -> str:
    """`chart` as lines of text, cautions first."""
    return "\n".join(line.rstrip() for line in _lines(chart)) + "\n"


def _lines(chart: Chart) -> Iterator[str]:
    yield f"{chart.title}: {chart.subtitle}"
    yield from (f"! {caution}" for caution in chart.cautions)
    yield from chart.preface
    for table in chart.tables:
        yield ""
        yield table.title
        yield from (f"  {note}" for note in (*table.notes, *table.repeated))
        yield from _rows(table)
    yield ""
    yield chart.foot


def _rows(table: Table) -> Iterator[str]:
    columns = zip(table.heading, *table.rows, strict=True)
    widths = [max(len(cell) for cell in column) for column in columns]

    def line(cells: tuple[str, ...]) -> str:
        placed = [
            cell.rjust(width) if index < table.figures else cell.ljust(width)
            for index, (cell, width) in enumerate(zip(cells, widths, strict=True))
        ]
        return f"  {'  '.join(placed)}"

    yield line(table.heading)
    for group in table.groups:
        if group.label:
            yield f"  {group.label}:"
        yield from (line(row) for row in group.rows)
