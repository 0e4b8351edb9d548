"""Answer -> the lines to show and the sentence to say, from the catalogue's entries.

A template holds {name} for a figure or a text of the answer, {name:form} for a figure in another
form of forms.yaml, {name.bare} for a figure without its unit. A row or a clause whose figure the
answer does not have is left out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from assistant.answer import (
    Answer,
    Ask,
    Line,
    Phrase,
    Place,
    Refusal,
    Shown,
    ShownPlace,
    Value,
)
from assistant.core.levers import Move, Setting, WhenToShift
from assistant.errors import TableError
from assistant.figures import bare, said, shown, with_inches
from assistant.query import NotUnderstood
from assistant.tables import plain_yaml
from grammar.written import Unreadable, words_of

Outcome = Answer | Ask | Refusal | NotUnderstood
_FIELD = re.compile(r"\{(\w+)(\.bare)?(?::([\w/]+))?\}")
_INCH_SIGN = re.compile(r"(\d) in\b")
MOST_SAID = 3
"""Lever moves that an ear keeps; more are told one at a time, on 'next step'."""
_SHORT_WHEN = {
    WhenToShift.STOPPED: "short-when-stopped",
    WhenToShift.BY_HAND: "short-when-by-hand",
    WhenToShift.SLOW: "short-when-slow",
    WhenToShift.ANY: "short-when-any",
}
_WHEN = {
    WhenToShift.STOPPED: "when-stopped",
    WhenToShift.BY_HAND: "when-by-hand",
    WhenToShift.SLOW: "when-slow",
    WhenToShift.ANY: "when-any",
}


@cache
def _catalogue() -> dict[str, dict[str, Any]]:
    """Every entry: 'kinds' and 'phrases' of all files of the catalogue; a key stands once."""
    found: dict[str, dict[str, Any]] = {"kinds": {}, "phrases": {}}
    folder = files("assistant.catalogue")
    for each in sorted(folder.iterdir(), key=lambda file: file.name):
        if not each.name.endswith(".yaml") or each.name == "forms.yaml":
            continue
        document = plain_yaml(each.read_text(encoding="utf-8"))
        for section, entries in document.items():
            twice = sorted(set(entries) & set(found[section]))
            if twice:
                raise TableError(each.name, f"repeats {twice}")
            found[section].update(entries)
    return found


def _entry(section: str, key: str) -> Any:
    try:
        return _catalogue()[section][key]
    except KeyError:
        raise TableError("catalogue", f"has no {section} entry '{key}'") from None


class _Missing(Exception):
    """A template needs a figure that this answer does not have."""


def _filled(
    template: str,
    names: Mapping[str, Value | str],
    units: str,
    figure: Callable[[Value, str, str], str],
) -> str:
    def put(match: re.Match[str]) -> str:
        name, alone, form = match.groups()
        value = names.get(name)
        if value is None or value == "":
            raise _Missing(name)
        if isinstance(value, str):
            return value
        if alone and figure is shown:
            return bare(value, form or "", units)
        return figure(value, form or "", units)

    return _FIELD.sub(put, template)


def phrase(each: Phrase, units: str) -> str:
    """A sentence of the catalogue as written. Raises TableError if the catalogue lacks it or a figure."""
    try:
        return _filled(_entry("phrases", each.key), each.values, units, shown)
    except _Missing as missing:
        raise TableError("catalogue", f"'{each.key}' needs the figure '{missing}'") from None


def spoken_phrase(each: Phrase, units: str) -> str:
    """A sentence of the catalogue as said."""
    names = {
        key: _for_ear(value) if isinstance(value, str) else value
        for key, value in each.values.items()
    }
    try:
        return _filled(_entry("phrases", each.key), names, units, said)
    except _Missing as missing:
        raise TableError("catalogue", f"'{each.key}' needs the figure '{missing}'") from None


def _for_ear(text: str) -> str:
    """A text with figures or designations in it, in words; as it is where they have none."""
    if not re.search(r"\d", text):
        return text
    try:
        # A comma is a pause: without it 'lines 2, 4' would be heard as twenty four.
        return ", ".join(words_of(part) for part in text.split(", "))
    except Unreadable:
        return text


def _say_lever(answer: Answer, lever: str, position: str) -> str:
    name = answer.lever_words.get((lever, ""), lever)
    return f"{name} to {answer.lever_words.get((lever, position), _for_ear(position))}"


def _moves_shown(moves: tuple[Move, ...]) -> str:
    """The moves in order, each group led by when it may be done."""
    groups: dict[WhenToShift, list[str]] = {}
    for move in moves:
        groups.setdefault(move.when, []).append(f"{move.lever} {move.to}")
    return "; ".join(
        f"{_entry('phrases', _SHORT_WHEN[when])} {', '.join(each)}" for when, each in groups.items()
    )


def _setting_shown(setting: Setting) -> str:
    return ", ".join(f"{lever} {position}" for lever, position in setting.levers.items())


def _train_shown(setting: Setting) -> str:
    if setting.train is None:
        return ""
    pairs = zip(setting.train.drivers, setting.train.driven, strict=True)
    return " · ".join(f"{driver} drives {driven}" for driver, driven in pairs)


def _moves_said(answer: Answer, moves: tuple[Move, ...], units: str) -> str:
    """The moves in order, each group led by when it may be done; many are only counted."""
    if len(moves) > MOST_SAID:
        still = moves[0].when in (WhenToShift.STOPPED, WhenToShift.BY_HAND)
        key = "moves-many-stopped" if still else "moves-many"
        if answer.texts.get("mount"):
            # With gears to mount the lathe is isolated already.
            key = "moves-many" if _gears_said(answer) else "moves-many-gears"
        return spoken_phrase(Phrase(key, {"count": Value(Fraction(len(moves)), "")}), units)
    parts: list[str] = []
    for move in moves:
        lead = spoken_phrase(Phrase(_WHEN[move.when]), units)
        said_move = _say_lever(answer, move.lever, move.to)
        if parts and parts[-1].startswith(lead):
            parts[-1] = f"{parts[-1]}, {said_move}"
        else:
            parts.append(f"{lead} {said_move}")
    return ". ".join(parts)


def _names(answer: Answer, units: str, *, ear: bool) -> dict[str, Value | str]:
    names: dict[str, Value | str] = dict(answer.values)
    for key, text in answer.texts.items():
        names[key] = _for_ear(text) if ear else text
    for group, setting in answer.settings.items():
        shown_setting = _setting_shown(setting)
        train = _train_shown(setting)
        names[f"{group}_levers"] = (
            ", ".join(_say_lever(answer, *pair) for pair in setting.levers.items())
            if ear
            else shown_setting
        )
        names[f"{group}_train"] = _for_ear(train) if ear else train
    if answer.moves:
        names["moves"] = (
            _moves_said(answer, answer.moves, units) if ear else _moves_shown(answer.moves)
        )
    if answer.engage and answer.engage.marks:
        marks = ", ".join(answer.engage.marks)
        names["marks"] = _for_ear(marks) if ear else marks
        if answer.engage.pick_off_gear:
            names["pick_off_gear"] = answer.engage.pick_off_gear
    return names


def worded(outcome: Outcome, heard: str, units: str, lathe: str = "") -> Shown:
    """`outcome` in words, rounded, for an operator in `units` ('mm' or 'inch').

    Raises TableError where the catalogue has no entry for it.
    """
    if isinstance(outcome, Answer):
        return _answer(outcome, heard, units, lathe)
    if isinstance(outcome, Ask):
        question = phrase(outcome.question, units)
        return Shown(
            "ask",
            heard,
            question,
            spoken=spoken_phrase(outcome.question, units),
            lathe=lathe,
            units=units,
        )
    if isinstance(outcome, Refusal):
        said_reason = f"{outcome.spoken or 'I can not answer that'}. {outcome.say_next}"
        rows = (Line("", outcome.say_next),) if outcome.say_next else ()
        reason = with_inches(outcome.reason) if units == "inch" else outcome.reason
        return Shown("refused", heard, reason, rows, spoken=said_reason, lathe=lathe, units=units)
    spoken = (
        f"I heard: {outcome.words}. {_problem_said(outcome.problem)}"
        if outcome.words
        else "I heard nothing"
    )
    return Shown("not-understood", heard, outcome.problem, spoken=spoken, lathe=lathe, units=units)


def _problem_said(problem: str) -> str:
    return problem.replace("'", "").partition(":")[0]


def with_working(shown: Shown) -> Shown:
    """The same answer with its working in the place of its rows."""
    return (
        replace(shown, rows=tuple(Line("", line) for line in shown.working))
        if shown.working
        else shown
    )


def with_rows_said(shown: Shown) -> Shown:
    """The same answer with its cautions, rows and assumptions in the place of its sentence."""
    rows = (f"{row.label}: {row.text}" if row.label else row.text for row in shown.rows)
    parts = [*shown.cautions, *rows, *shown.assumed]
    said_parts = (
        _for_ear(_INCH_SIGN.sub(r"\1 inches", each)).strip().rstrip(".") for each in parts
    )
    return replace(shown, spoken=". ".join(each for each in said_parts if each) or shown.spoken)


def _kept(each: Any, names: Mapping[str, Value | str], units: str, figure: Any) -> str | None:
    """A template, or a clause or row with `when`, filled; None where this answer lacks what it needs."""
    if isinstance(each, dict):
        name, _, text = each.get("when", "").partition("=")
        if name and (not names.get(name) or (text and names[name] != text)):
            return None
        each = each.get("text", each.get("say"))
    try:
        return _filled(each, names, units, figure)
    except _Missing:
        return None


def _answer(answer: Answer, heard: str, units: str, lathe: str) -> Shown:
    entry = _entry("kinds", answer.kind)
    for_eye = _names(answer, units, ear=False)
    headlines = [_kept(each, for_eye, units, shown) for each in _as_list(entry["headline"])]
    return Shown(
        status=entry.get("status", "answered"),
        heard=heard,
        headline=next((line for line in headlines if line is not None), ""),
        rows=(
            *(Line("Gears", text) for text in _gears_first(answer)),
            *_rows(entry.get("rows", ()), for_eye, units),
        ),
        cautions=tuple(phrase(each, units) for each in answer.cautions),
        assumed=tuple(phrase(each, units) for each in answer.assumed),
        working=tuple(phrase(each, units) for each in answer.working),
        sources=answer.sources,
        spoken=_spoken(answer, entry, units),
        lathe=lathe,
        units=units,
        place=_place_shown(answer, units),
    )


def _place_shown(answer: Answer, units: str) -> ShownPlace | None:
    place = answer.place
    if place is None:
        return None
    following = "" if place.following is None else phrase(place.following, units)
    key = "step-of" if place.number else "steps-ahead"
    return ShownPlace(place.sequence, phrase(_count_of(place, key), units), following)


def _count_of(place: Place, key: str) -> Phrase:
    figures = {"number": place.number, "of": place.of, "left": max(0, place.of - place.number)}
    return Phrase(key, {name: Value(Fraction(each), "") for name, each in figures.items()})


def _gears_said(answer: Answer) -> bool:
    """True where gears to mount are named aloud; with many levers besides, the steps name them."""
    return len(answer.moves) <= MOST_SAID or "mounting" in answer.texts


def _gears_first(answer: Answer) -> list[str]:
    """Change gears to mount come before every lever, whatever the answer is about."""
    return [answer.texts["mount"]] if answer.settings and answer.texts.get("mount") else []


def _rows(templates: Any, names: Mapping[str, Value | str], units: str) -> list[Line]:
    rows: dict[str, str] = {}
    for row in templates:
        text = _kept(row, names, units, shown)
        if text is not None:
            rows.setdefault(row["label"], text.strip())
    return [Line(label, text) for label, text in rows.items()]


def _spoken(answer: Answer, entry: Mapping[str, Any], units: str) -> str:
    """Headline, then the first caution (it goes before the step that it concerns), then what to move.

    Where the headline is itself a step, `caution: first` in the catalogue puts the caution before it.
    """
    names = _names(answer, units, ear=True)
    clauses = [_kept(each, names, units, said) for each in entry.get("spoken", ())]
    first = [spoken_phrase(each, units).rstrip(".") for each in answer.cautions[:1]]
    place = 0 if entry.get("caution") == "first" else 1
    clauses[place:place] = first + [
        _for_ear(text) for text in _gears_first(answer) if _gears_said(answer)
    ]
    clauses += [
        spoken_phrase(each, units) for each in answer.assumed if each.key.startswith("taken-")
    ]
    if answer.place is not None and answer.texts.get("counted"):
        clauses.insert(0, spoken_phrase(_count_of(answer.place, "step-of-left"), units))
    return ". ".join(clause for clause in clauses if clause)


def _as_list(entry: str | list[str]) -> list[str]:
    return [entry] if isinstance(entry, str) else entry
