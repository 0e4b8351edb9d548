"""Findings, and pydantic's errors turned into them: one sentence each, with file and line."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from assistant.errors import nearest_names
from profiles.placard import Path, Placard, shown
from profiles.schema import Profile


@dataclass(frozen=True)
class Finding:
    """One thing that is wrong with a profile."""

    file: str
    line: int | None
    """None where the file as a whole is meant."""
    problem: str
    """One sentence: what is wrong and what would be right."""
    stops: bool = True
    """True where the lathe is not loaded while this stands; False for a thing to look at."""


@dataclass(frozen=True)
class Fault:
    """A finding before its place is known: the path into the profile instead."""

    path: Path
    problem: str
    stops: bool = True

    def placed(self, placard: Placard) -> Finding:
        """The Finding, with the file and line at which the path stands in `placard`."""
        place = placard.place(self.path)
        return Finding(place.file, place.line, self.problem, self.stops)


def nearest_hint(wanted: str, known: Sequence[str]) -> str:
    """The end of a sentence: the nearest of `known` to `wanted`, or all of them.

    >>> nearest_hint("rnage", ["range", "collar"])
    'the nearest is "range"'
    """
    close = nearest_names(wanted, known, 1)
    if close:
        return f'the nearest is "{close[0]}"'
    return f"there are {', '.join(known)}" if known else "there are none"


def spoken_path(path: Path) -> str:
    """`path` as a person would point at it: ('levers', 0, 'name') is 'levers[1].name'.

    List items count from 1, as a reader of the file counts them.
    """
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        else:
            text += f".{shown(part)}" if text else shown(part)
    return text


def findings_of(error: ValidationError, placard: Placard) -> list[Finding]:
    """One Finding for each thing that does not fit the fields of a profile."""
    errors = error.errors(include_url=False)
    broken = [path_of(details) for details in errors]
    return [
        _finding(details, placard)
        for details in errors
        # pydantic counts only the sound items, so a broken one also makes its list too short.
        if details["type"] != "too_short" or not _any_inside(path_of(details), broken)
    ]


def _any_inside(whole: Path, paths: Sequence[Path]) -> bool:
    return any(path[: len(whole)] == whole and path != whole for path in paths)


def path_of(details: ErrorDetails) -> Path:
    """The path into the profile that a pydantic error is about."""
    # pydantic marks an error about a key of a mapping by a last element '[key]'.
    return tuple(part for part in details["loc"] if part != "[key]")


def _finding(details: ErrorDetails, placard: Placard) -> Finding:
    path = path_of(details)
    place = placard.place(path)
    sentence = _SENTENCES.get(details["type"], _other)
    return Finding(place.file, place.line, sentence(details, path, placard))


def model_at(path: Path) -> type[BaseModel] | None:
    """The model whose fields stand in the mapping at `path`; None where it has no fixed fields."""
    model: type[BaseModel] | None = Profile
    for part in path:
        if isinstance(part, int) or model is None:
            continue
        field = model.model_fields.get(part)
        model = None if field is None else _model_in(field.annotation)
    return model


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """The model somewhere inside a type such as `tuple[LeverField, ...] | None`."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    inner = [_model_in(argument) for argument in getattr(annotation, "__args__", ())]
    return next((model for model in inner if model is not None), None)


def _as_written(path: Path, details: ErrorDetails, placard: Placard) -> str:
    value = details["input"]
    if path in placard.written:
        return shown(placard.written[path]) or "empty"
    if isinstance(value, Mapping):
        return "a mapping"
    return "a list" if isinstance(value, tuple) else "empty"


def _missing(details: ErrorDetails, path: Path, placard: Placard) -> str:
    where = spoken_path(path[:-1]) or "the profile"
    return f'{where} has no "{path[-1]}"; give one'


def _unknown(details: ErrorDetails, path: Path, placard: Placard) -> str:
    model = model_at(path[:-1])
    known = tuple(model.model_fields) if model else ()
    where = spoken_path(path[:-1]) or "the profile"
    return f'{where} has no field "{shown(str(path[-1]))}"; {nearest_hint(str(path[-1]), known)}'


def _not_text(details: ErrorDetails, path: Path, placard: Placard) -> str:
    written = _as_written(path, details, placard)
    if path in placard.written and written != "empty":
        return f'{spoken_path(path)} is {written} without quotes; write "{written}"'
    return f"{spoken_path(path)} is {written}; expected a text in quotes"


def _expects(what: str) -> Callable[[ErrorDetails, Path, Placard], str]:
    def sentence(details: ErrorDetails, path: Path, placard: Placard) -> str:
        written = _as_written(path, details, placard)
        return f"{spoken_path(path)} is {written}; expected {what}"

    return sentence


def _choice(details: ErrorDetails, path: Path, placard: Placard) -> str:
    written = _as_written(path, details, placard)
    return f"{spoken_path(path)} is {written}; expected {details['ctx']['expected']}"


def _counted(details: ErrorDetails, path: Path, placard: Placard) -> str:
    context = details["ctx"]
    most = context.get("max_length")
    limit = f"at most {most}" if most is not None else f"at least {context['min_length']}"
    return f"{spoken_path(path)} has {context['actual_length']} entries; expected {limit}"


def _bounded(details: ErrorDetails, path: Path, placard: Placard) -> str:
    context = details["ctx"]
    most = context.get("le")
    limit = f"at most {most}" if most is not None else f"at least {context['ge']}"
    return f"{spoken_path(path)} is {details['input']}; expected {limit}"


def _ours(details: ErrorDetails, path: Path, placard: Placard) -> str:
    return f"{spoken_path(path)}: {details['msg']}"


def _other(details: ErrorDetails, path: Path, placard: Placard) -> str:
    return f"{spoken_path(path) or 'the profile'}: {details['msg']}"


_word = _expects("a text of 1 to 200 characters without blanks around it")
_SENTENCES: Mapping[str, Callable[[ErrorDetails, Path, Placard], str]] = {
    "missing": _missing,
    "extra_forbidden": _unknown,
    "string_type": _not_text,
    "string_too_short": _word,
    "string_too_long": _word,
    "string_pattern_mismatch": _word,
    "int_type": _expects("a whole number without quotes"),
    "tuple_type": _expects("a list"),
    "dict_type": _expects('a mapping such as {range: "low"}'),
    "model_type": _expects("a mapping with fields"),
    "model_attributes_type": _expects("a mapping with fields"),
    "literal_error": _choice,
    "too_short": _counted,
    "too_long": _counted,
    "greater_than_equal": _bounded,
    "less_than_equal": _bounded,
    "profile": _ours,
}
