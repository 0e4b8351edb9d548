"""An outcome as the JSON object that other programs rely on; parts that are absent are left out."""

from __future__ import annotations

from dataclasses import asdict
from fractions import Fraction
from typing import Any

from assistant.answer import Answer, Shown, Value
from assistant.query import NotUnderstood, Query
from assistant.wording import Outcome


def value_json(value: Value) -> dict[str, Any]:
    """One figure: value, unit, and `exact` where it is rational.

    >>> value_json(Value(Fraction(127, 65), "mm"))
    {'value': 1.953846, 'unit': 'mm', 'exact': '127/65'}
    """
    if isinstance(value.number, tuple):
        return {"value": [round(float(each), 6) for each in value.number], "unit": value.unit}
    found: dict[str, Any] = {"value": round(float(value.number), 6), "unit": value.unit}
    if isinstance(value.number, Fraction):
        found["exact"] = str(value.number)
    return found


def outcome_json(outcome: Outcome, shown: Shown, query: Query | None) -> dict[str, Any]:
    """The whole object for one question."""
    status = "answered" if shown.status == "alarm" else shown.status
    found: dict[str, Any] = {"heard": shown.heard, "status": status}
    if query is not None:
        found["query"] = query.as_json()
    found["headline"] = shown.headline
    found["rows"] = [asdict(row) for row in shown.rows]
    if isinstance(outcome, Answer):
        found.update(_answer_json(outcome))
    elif isinstance(outcome, NotUnderstood) and outcome.expected:
        found["expected"] = list(outcome.expected)
    for name in ("cautions", "assumed", "working", "sources"):
        found[name] = list(getattr(shown, name))
    found["spoken"] = shown.spoken
    if status == "ask":
        found["question"] = shown.headline
    return {name: part for name, part in found.items() if part not in ([], {}, "", None)}


def _answer_json(answer: Answer) -> dict[str, Any]:
    found: dict[str, Any] = {
        "values": {name: value_json(value) for name, value in answer.values.items()},
        "setting": {group: dict(setting.levers) for group, setting in answer.settings.items()},
        "moves": [
            {"lever": move.lever, "to": move.to, "when": move.when.value} for move in answer.moves
        ],
        "gears": [{"drivers": list(a), "driven": list(b)} for a, b in answer.gears],
    }
    if answer.engage is not None:
        found["engage"] = {
            "keep_closed": answer.engage.keep_closed,
            "marks": list(answer.engage.marks),
            "every": answer.engage.every,
            "dial_teeth": answer.engage.dial_teeth,
            "pick_off_gear": answer.engage.pick_off_gear,
        }
    return found
