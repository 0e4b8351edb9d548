"""Find a procedure and read it strictly; each is read once."""

from __future__ import annotations

import json
from collections.abc import Hashable, Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import yaml
from pydantic import ValidationError

from assistant.alongside.procedures.steps import Ground, Need, NeedWords, Procedure, Step
from assistant.errors import NoSuchSize, TableError, nearest_names

_FOLDER = "assistant.alongside.procedures"
_GROUND = "ground"
_SUFFIX = ".yaml"

if TYPE_CHECKING:
    from yaml import SafeLoader as _Base
else:
    # The compiled form reads the same in a tenth of the time.
    _Base = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _Loader(_Base):
    """Plain YAML in which no key stands twice: the second would silently hide the first."""

    def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[Hashable, Any]:
        seen = set()
        for key, _ in node.value:
            if key.value in seen:
                raise yaml.constructor.ConstructorError(
                    None, None, f'"{key.value}" stands twice', key.start_mark
                )
            seen.add(key.value)
        return super().construct_mapping(node, deep)


@cache
def names() -> tuple[str, ...]:
    """The names of all procedures, sorted.

    >>> "facing" in names()
    True
    """
    found = (entry.name for entry in files(_FOLDER).iterdir())
    stems = {name.removesuffix(_SUFFIX) for name in found if name.endswith(_SUFFIX)}
    return tuple(sorted(stems - {_GROUND}))


@cache
def find(name: str) -> Procedure:
    """The procedure called `name`.

    name    : as in `names()`
    Returns : Procedure, the opening first
    Raises  : NoSuchSize with the nearest name if there is none; TableError if its file is broken

    >>> find("facing").steps[0].do
    'Lay out what this work needs'
    """
    if name not in names():
        close = nearest_names(name, names(), 1)
        raise NoSuchSize(
            "procedure", name, "is none that is known here", close[0] if close else None
        )
    return read(_text(name), name)


def read(text: str, name: str) -> Procedure:
    """The procedure in `text`, whose file is called `name`.

    Raises : TableError that names the file, the step and what is wrong with it
    """
    data = _plain(text, name)
    if not isinstance(data, dict) or not isinstance(data.get("steps"), list):
        raise TableError(name, "is no procedure; it must have name, title, spoken, have and steps")
    if data.get("name") != name:
        raise TableError(name, f'its name is "{data.get("name")}"; it must be that of its file')
    whole = {**data, "steps": [_opening(data), *data["steps"]]}
    try:
        return Procedure.model_validate_json(json.dumps(whole))
    except ValidationError as fault:
        raise TableError(name, _first(fault)) from fault


def spoken_names() -> tuple[tuple[str, str], ...]:
    """Name and phrase of every way to ask for a procedure.

    >>> ("facing", "facing") in spoken_names()
    True
    """
    return tuple((name, phrase) for name in names() for phrase in find(name).spoken)


def landmarks() -> tuple[str, ...]:
    """Every name that a step of some procedure has, sorted; for 'skip to NAME'."""
    return tuple(sorted({mark for name in names() for mark in find(name).landmarks}))


def needs() -> Mapping[Need, NeedWords]:
    """The words of everything that may have to be true before a step.

    >>> needs()[Need.SPINDLE_STOPPED].words[0]
    'spindle stopped'
    """
    return MappingProxyType(_ground().needs)


@cache
def _ground() -> Ground:
    try:
        return Ground.model_validate_json(json.dumps(_plain(_text(_GROUND), _GROUND)))
    except ValidationError as fault:
        raise TableError(_GROUND, _first(fault)) from fault


def _opening(data: Mapping[str, Any]) -> dict[str, Any]:
    """Step 0 as plain data: the shared opening, and what this procedure lays out."""
    opening: Step = _ground().opening
    plain: dict[str, Any] = opening.model_dump(mode="json")
    have = data.get("have")
    if isinstance(have, list) and have and all(isinstance(item, str) for item in have):
        *first, last = have
        listed = f"{', '.join(first)} and {last}" if first else last
        plain["say"] = f"Lay out {listed}"
    return plain


def _text(name: str) -> str:
    return files(_FOLDER).joinpath(name + _SUFFIX).read_text(encoding="utf-8")


def _plain(text: str, name: str) -> Any:
    try:
        data = yaml.load(text, _Loader)
        json.dumps(data, allow_nan=False)
    except yaml.YAMLError as fault:
        raise TableError(name, f"is no YAML text that can be read: {_one_line(fault)}") from fault
    except (TypeError, ValueError) as fault:
        raise TableError(name, f"has a value that is no text: {_one_line(fault)}") from fault
    return data


def _first(fault: ValidationError) -> str:
    """The first thing wrong, with its place in the trade's words: 'step 3, do: …'."""
    first = fault.errors(include_url=False)[0]
    place = list(first["loc"])
    where = []
    if place[:1] == ["steps"] and len(place) > 1:
        where.append(f"step {place[1]}")
        place = place[2:]
    where += [str(part) for part in place]
    more = fault.error_count() - 1
    rest = f" (and {more} more)" if more else ""
    return f"{', '.join(where) or 'the whole'}: {first['msg']}{rest}"


def _one_line(fault: Exception) -> str:
    return " ".join(str(fault).split())
