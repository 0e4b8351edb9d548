"""An interview from its first answer to its last."""

from __future__ import annotations

from profiles.authoring import answered

PLOVER = (
    """
plover|Small lathe in the net store|metric
knob|spindle|A, B|
slider|feed|left, right|slow
gate|feed|screw, along, across|
tumbler|direction|up, middle, down||leadscrew|up|down|middle
|150|400
4||yes|||gate=screw|1|2|127/50 x 20/80|20 per inch|left|10 per inch|right||
yes|gate=along|0,05|0.10|yes|gate=across|0.025|0.05
yes|20|1, -, 2, -
0.05|160|diameter|0.05|40|radius
three-jaw chuck|125|1200||0.75|400|180|105|MT2|20, 30, 40, 50, 60, 80, 127
""".strip()
    .replace("\n", "|")
    .split("|")
)
"""Answers as typed, in order; each line goes on with one part of the lathe."""


def after(typed: list[str]) -> dict[str, str]:
    answers: dict[str, str] = {}
    for text in typed:
        answers = answered(answers, text)
    return answers
