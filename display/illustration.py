"""Which pictures an answer brings, from its figures alone."""

from __future__ import annotations

from typing import Final

from assistant.answer import Answer, Value
from assistant.figures import bare, shown
from display.cone import Cone
from display.dial import Dial
from display.gear_train import Train
from display.groove import Groove, nose_label
from display.ladder import Ladder
from display.picture import Picture
from display.swing import Swing
from display.tolerance import Bars, Part
from display.words import word

CONES: Final = ("taper", "taper-diameter")
"""Kinds of answer in which the taper itself is what was asked for."""


def pictures_of(answer: Answer, units: str, headed: bool = True) -> tuple[Picture, ...]:
    """The pictures of `answer` for an operator in `units`, the most useful one first.

    headed : False where the page itself says which pass it is

    >>> pictures_of(Answer("convert"), "mm")
    ()
    """
    train = _train(answer)
    if train is not None:
        return (train,)
    moving = [each for each in (_ladder(answer, headed), _dial(answer)) if each is not None]
    if moving:
        return tuple(moving)
    for make in (_swing, _groove, _cone, _bars):
        found = make(answer, units)
        if found is not None:
            return (found,)
    return ()


def _ladder(answer: Answer, headed: bool) -> Picture | None:
    ladder = answer.ladder
    if ladder is None or not ladder.readings or len(ladder.depths) != len(ladder.readings):
        return None
    return Ladder(ladder.readings, ladder.depths, ladder.present, headed)


def _dial(answer: Answer) -> Picture | None:
    engage = answer.engage
    if engage is None or engage.keep_closed:
        return None
    return Dial(engage.all_marks) if any(safe for _, _, safe in engage.all_marks) else None


def _train(answer: Answer) -> Picture | None:
    if not answer.gears:
        return None
    drivers, driven = answer.gears[0]
    idler = answer.texts.get("idler", "")
    return Train(drivers, driven, int(idler) if idler.isdigit() else None)


def _number(answer: Answer, name: str) -> float | None:
    value = answer.values.get(name)
    return None if value is None or isinstance(value.number, tuple) else float(value.number)


def _swing(answer: Answer, units: str) -> Picture | None:
    swung, angle = answer.texts.get("swung"), _number(answer, "compound_angle")
    if not swung or angle is None or "pass_depths" in answer.values:
        return None
    return Swing(angle, _text(answer, "compound_angle", "angle", units), "tailstock" in swung)


def _groove(answer: Answer, units: str) -> Picture | None:
    angle, depth = _number(answer, "included_angle"), _number(answer, "thread_depth")
    if angle is None or depth is None:
        return None
    nose, kind = _number(answer, "nose") or 0.0, answer.texts.get("nose_kind", "")
    size = f"{kind} {_text(answer, 'nose', 'fine', units)}".strip() if nose else ""
    labels = (
        _text(answer, "included_angle", "angle", units),
        _text(answer, "thread_depth", "length", units),
        nose_label(size) if size else "",
    )
    return Groove(angle, depth, nose, kind == "radius", labels)


def _cone(answer: Answer, units: str) -> Picture | None:
    angle = _number(answer, "half_angle")
    if answer.kind not in CONES or angle is None:
        return None
    large, small, length = (
        _text(answer, name, "fine", units) for name in ("large_end", "small_end", "taper_length")
    )
    return Cone(angle, _text(answer, "half_angle", "angle", units), large, small, length)


def _bars(answer: Answer, units: str) -> Picture | None:
    parts = tuple(
        Part(
            word("pictures", name),
            upper,
            lower,
            _deviation(answer, f"{name}_upper_deviation", units),
            _deviation(answer, f"{name}_lower_deviation", units),
            name == "hole",
        )
        for name in ("hole", "shaft")
        if (upper := _number(answer, f"{name}_upper_deviation")) is not None
        and (lower := _number(answer, f"{name}_lower_deviation")) is not None
    )
    return Bars(parts, shown(Value(0.0, "mm"), "exact_limit", units)) if parts else None


def _text(answer: Answer, name: str, form: str, units: str) -> str:
    value = answer.values.get(name)
    return "" if value is None else shown(value, form, units)


def _deviation(answer: Answer, name: str, units: str) -> str:
    """A deviation with its sign, without its unit, which stands at the zero line."""
    value = answer.values[name]
    form = "exact_limit" if "half_micron" in answer.texts else "limit"
    figure = bare(value, form, units)
    above = not isinstance(value.number, tuple) and value.number > 0
    return f"+{figure}" if above else figure.replace("-", "−")
