"""Figures as people type them: a bare number where the unit is known, a decimal comma."""

from __future__ import annotations

import re

from profiles import exact
from profiles.placard import shown

_COMMA = re.compile(r"([0-9]*),([0-9]+)")


def with_point(text: str) -> str:
    """`text` with a decimal point for a decimal comma.

    Raises ValueError where the comma could part thousands instead.

    >>> with_point("0,05 mm"), with_point("8 per inch")
    ('0.05 mm', '8 per inch')
    """
    found = _COMMA.findall(text)
    if not found:
        return text
    whole, decimals = found[0]
    if len(found) > 1:
        raise ValueError(f'"{shown(text)}" has more than one comma; write a decimal point, once')
    if len(decimals) == 3 and whole.strip("0"):
        raise ValueError(
            f'"{shown(text)}" could be {whole}.{decimals} or {whole}{decimals}; '
            "write it with a point, or without the comma"
        )
    return _COMMA.sub(r"\1.\2", text)


def with_unit(text: str, unit: str | None) -> str:
    """`text`, with `unit` after it where it is a bare number.

    >>> with_unit("11 1/2", "per inch"), with_unit("3 mm", "per inch")
    ('11 1/2 per inch', '3 mm')
    """
    if unit is not None and re.fullmatch(exact.NUMBER, text):
        return f"{text} {unit}"
    return text


def figure(text: str, measure: exact.Measure, unit: str | None = None) -> str:
    """The figure `text` as a profile writes it. Raises ValueError with one sentence.

    unit : taken for a bare number; None refuses one

    >>> figure("210", exact.SPEED, "rpm"), figure(" 0,1  mm ", exact.LENGTH)
    ('210 rpm', '0.1 mm')
    """
    written = with_unit(with_point(" ".join(text.split())), unit)
    exact.printed(written, measure)
    return written


def train(text: str) -> str:
    """Change gears as a profile writes them; ×, X and * are taken for x. Raises ValueError.

    >>> train("40/60 × 30/72")
    '40/60 x 30/72'
    """
    written = " x ".join(part.strip() for part in re.split("[x×X*]", text))
    exact.train(written)
    return written
