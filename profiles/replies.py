"""Questions, and whether an answer will do: each is judged at once, with one sentence if it will not."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from assistant.errors import nearest_names
from profiles import exact, typed
from profiles.kinematics import Row
from profiles.placard import shown
from profiles.table_check import rounding

NO_MORE: Final = "done"
"""Answers a question of a table where none of the rest has a figure."""
PLAIN: Final = "-"
"""A plain line on a dial."""
NAME: Final = r"[A-Za-z][A-Za-z0-9_-]{0,60}"
LONGEST: Final = 200
MOST_PLACES: Final = 40
COUNTS: Final = range(1, 10_001)
TEETH: Final = range(8, 1001)
MOST_GEARS: Final = 200
YES: Final = "yes"


@dataclass(frozen=True)
class Question:
    """One question, and what an answer to it must be."""

    key: str
    """By which the answer is kept: 'lever.2.positions'."""
    ask: str
    kind: str
    such: str = ""
    """An example, empty where the choices say it."""
    choices: tuple[str, ...] = ()
    usual: str | None = None
    """What an empty answer stands for."""
    empty: str | None = None
    """What an empty answer says; None where it may not be empty and nothing is usual."""
    unit: str | None = None
    """Taken for a bare number."""
    taken: Collection[str] = ()
    """Names that are in use."""
    levers: Mapping[str, Sequence[str]] = field(default_factory=dict)
    """Lever -> positions, where places are asked for."""
    count: int = 0
    """How many labels there must be."""
    may_end: bool = False
    """True where `done` may be answered."""
    figure: Row | None = None
    """What the change gears asked for must give ..."""
    figure_kind: str = ""
    """... 'lead' or 'feed', ..."""
    each: Fraction = Fraction(1)
    """... where a train of 1 gives this, mm."""

    @property
    def prompt(self) -> str:
        """The question with what an empty answer means and an example, on one line."""
        hints = [f"such as {self.such}"] if self.such else []
        if self.usual is not None:
            hints.append(f"empty for {self.usual}")
        elif self.empty is not None:
            hints.append(f"empty: {self.empty}")
        if self.may_end:
            hints.append(f"{NO_MORE}: none of the rest")
        return f"{self.ask} ({'; '.join(hints)})" if hints else self.ask


def judged(question: Question, text: str) -> str:
    """The answer as it is kept: trimmed, with its unit. Raises ValueError with one sentence.

    >>> judged(Question("speed", "Speed?", "speed", unit="rpm"), " 210 ")
    '210 rpm'
    """
    text = text.strip()
    if not text.isprintable() or "\ufffd" in text:
        raise ValueError("that has a character that no screen can show; type plain text")
    if len(text) > LONGEST * MOST_PLACES:
        raise ValueError(f"that is over {LONGEST * MOST_PLACES} letters long; shorten it")
    if text == "":
        if question.usual is not None:
            return question.usual
        if question.empty is not None:
            return ""
        example = f" such as {question.such}" if question.such else f": {_or(question.choices)}"
        raise ValueError(f"this needs an answer{example}")
    if question.may_end and text.lower() == NO_MORE:
        return NO_MORE
    return _JUDGES[question.kind](question, text)


def listed(text: str) -> list[str]:
    """The items of an answer with commas between them.

    >>> listed("1, -, 2")
    ['1', '-', '2']
    """
    return [item.strip() for item in text.split(",")]


def placed(text: str) -> dict[str, str]:
    """Lever -> position of an answer that was judged: 'drive=thread, apron=off'.

    >>> placed("drive=thread, apron=off")
    {'drive': 'thread', 'apron': 'off'}
    """
    pairs = [item.partition("=") for item in listed(text) if item]
    return {lever: position for lever, _, position in pairs}


def _or(words: Sequence[str]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else "".join(words)


def _no_such(given: str, known: Sequence[str], what: str) -> ValueError:
    close = nearest_names(given, known, 1)
    hint = f"; the nearest is {close[0]}" if close else ""
    return ValueError(f'"{shown(given)}" is {what}; there are {_or(known)}{hint}')


def _line(question: Question, text: str) -> str:
    if len(text) > LONGEST:
        raise ValueError(f"that is {len(text)} letters long; shorten it to {LONGEST}")
    if text in question.taken:
        raise ValueError(f'"{shown(text)}" is in the list already; name each once')
    return text


def _name(question: Question, text: str) -> str:
    if not re.fullmatch(NAME, text):
        raise ValueError(
            f'"{shown(text)}" is not one word of plain letters and digits, such as {question.such}'
        )
    return text.lower()


def _plain_word(text: str, what: str) -> None:
    """Refuses what could not be told apart in a list of levers and positions."""
    if not text:
        raise ValueError(f"there is a comma with no {what} before or after it; leave it out")
    if "=" in text or "," in text:
        raise ValueError(f'"{shown(text)}" has a comma or an equals sign; a {what} has none')
    if len(text) > LONGEST:
        raise ValueError(f"a {what} is over {LONGEST} letters long; shorten it")


def _lever(question: Question, text: str) -> str:
    _plain_word(text, "lever")
    return _line(question, text)


def _choice(question: Question, text: str) -> str:
    if text in question.choices:
        return text
    for choice in question.choices:
        if text.lower() == choice.lower():
            return choice
    if set(question.choices) == {"yes", "no"} and text.lower() in ("y", "n"):
        return "yes" if text.lower() == "y" else "no"
    raise _no_such(text, question.choices, "not one of the answers")


def _several(text: str, what: str, least: int) -> list[str]:
    items = listed(text)
    for item in items:
        _plain_word(item, what)
    if len(items) < least:
        raise ValueError(f"there must be at least {least} {what}s, with commas between them")
    if len(items) > MOST_PLACES:
        raise ValueError(f"there are {len(items)} {what}s; at most {MOST_PLACES} can be kept")
    return items


def _once_each(items: Sequence[str], what: str) -> str:
    twice = [item for item in items if items.count(item) > 1]
    if twice:
        raise ValueError(f'{what} "{shown(twice[0])}" stands twice; name each once')
    return ", ".join(items)


def _positions(question: Question, text: str) -> str:
    return _once_each(_several(text, "position", 2), "position")


def _labels(question: Question, text: str) -> str:
    items = _several(text, "name", 1)
    if len(items) != question.count:
        raise ValueError(f"there are {len(items)} names for {question.count}; give one for each")
    return _once_each(items, "name")


def _marks(question: Question, text: str) -> str:
    items = _several(text, "mark", 1)
    _once_each([item for item in items if item != PLAIN], "mark")
    return ", ".join(items)


def _whole(text: str, allowed: range, what: str) -> int:
    if not re.fullmatch(r"[0-9]{1,9}", text):
        raise ValueError(f'"{shown(text)}" is not {what}, such as {allowed[0] + 11}')
    number = int(text)
    if number not in allowed:
        raise ValueError(f"{number} is outside {allowed[0]} to {allowed[-1]}")
    return number


def _count(question: Question, text: str) -> str:
    most = 20 if question.usual == "1" else COUNTS[-1]
    return str(_whole(text, range(1, most + 1), "a whole number"))


def _counts(question: Question, text: str) -> str:
    items = [item for item in re.split(r"[,\s]+", text) if item]
    if len(items) > MOST_GEARS:
        raise ValueError(f"there are {len(items)} gears; at most {MOST_GEARS} can be kept")
    if not items:
        raise ValueError(f"there is no number of teeth in that, such as {question.such}")
    return ", ".join(str(_whole(item, TEETH, "a number of teeth")) for item in items)


def _places(question: Question, text: str) -> str:
    found: dict[str, str] = {}
    for item in listed(text):
        lever, sign, position = (part.strip() for part in item.partition("="))
        if not sign:
            raise ValueError(f'"{shown(item)}" is not lever=position, such as {question.such}')
        if lever not in question.levers:
            raise _no_such(lever, list(question.levers), "no lever of the feed")
        if lever in found:
            raise ValueError(f'lever "{shown(lever)}" stands twice; name each once')
        found[lever] = _position(lever, position, question.levers[lever])
    return ", ".join(f"{lever}={position}" for lever, position in found.items())


def _position(lever: str, position: str, known: Sequence[str]) -> str:
    if position not in known:
        raise _no_such(position, known, f"no position of {lever}")
    return position


def _all_places(question: Question, text: str) -> str:
    if "=" in text:
        found = placed(_places(question, text))
        missing = [lever for lever in question.levers if lever not in found]
        if missing:
            raise ValueError(f'that does not say where lever "{shown(missing[0])}" stands')
        return ", ".join(f"{lever}={found[lever]}" for lever in question.levers)
    items = listed(text)
    if len(items) != len(question.levers):
        raise ValueError(
            f"there are {len(items)} positions for {len(question.levers)} levers "
            f"({', '.join(question.levers)}); give one for each"
        )
    pairs = zip(question.levers, items, strict=True)
    return ", ".join(
        f"{lever}={_position(lever, item, question.levers[lever])}" for lever, item in pairs
    )


def _train(question: Question, text: str) -> str:
    written = typed.train(text)
    row = question.figure
    if row is None:
        return written
    cut = exact.train(written).ratio * question.each
    if abs(cut - row.value) > rounding(row, question.figure_kind):
        raise ValueError(
            f"{written} cuts {float(cut):.6g} mm on this leadscrew, not {row.text}; "
            "correct the gears"
        )
    return written


def _measured(measure: exact.Measure) -> Callable[[Question, str], str]:
    def judge(question: Question, text: str) -> str:
        return typed.figure(text, measure, question.unit)

    return judge


def _ratio(question: Question, text: str) -> str:
    written = typed.with_point(text)
    exact.ratio(written)
    return written


_JUDGES: Final[Mapping[str, Callable[[Question, str], str]]] = {
    "name": _name,
    "line": _line,
    "lever": _lever,
    "choice": _choice,
    "positions": _positions,
    "labels": _labels,
    "marks": _marks,
    "count": _count,
    "counts": _counts,
    "places": _places,
    "all-places": _all_places,
    "train": _train,
    "ratio": _ratio,
    "length": _measured(exact.LENGTH),
    "lead": _measured(exact.LEAD),
    "feed": _measured(exact.FEED),
    "speed": _measured(exact.SPEED),
    "power": _measured(exact.POWER),
}
