"""The lathe of sorrel.yaml, to be spoiled in one place at a time."""

from __future__ import annotations

from pathlib import Path

SORREL = (Path(__file__).parent / "sorrel.yaml").read_text(encoding="utf-8")


def spoiled(old: str, new: str, text: str = SORREL) -> str:
    """`text` with `new` in place of `old`, which must stand in it exactly once."""
    if text.count(old) != 1:
        raise ValueError(f"{old!r} stands {text.count(old)} times")
    return text.replace(old, new)


def line_of(text: str, fragment: str) -> int:
    """The number of the one line of `text` that holds `fragment`, or with ^ begins with it."""
    start = fragment.removeprefix("^")
    lines = [
        number
        for number, line in enumerate(text.splitlines(), 1)
        if (line.startswith(start) if fragment.startswith("^") else fragment in line)
    ]
    if len(lines) != 1:
        raise ValueError(f"{fragment!r} stands in lines {lines}")
    return lines[0]
