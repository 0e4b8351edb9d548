"""Memory and jobs as plain JSON data and back: Fractions, lengths and queries keep their exact values."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from fractions import Fraction
from functools import cache
from typing import Any, TypeVar

from cattrs import BaseValidationError
from cattrs.errors import StructureHandlerNotFoundError
from cattrs.preconf.json import JsonConverter, make_converter

from assistant.alongside.job import Job
from assistant.alongside.sequence import Sequence
from assistant.alongside.start import SEQUENCES
from assistant.answer import Phrase, Value
from assistant.answering.set_up import SetUp
from assistant.errors import AssistantError
from assistant.query import KINDS, Query, ThreadNamed, rule_name
from assistant.units import quantity

_Any = TypeVar("_Any")
UNREADABLE = (
    BaseValidationError,
    StructureHandlerNotFoundError,
    AssistantError,
    KeyError,
    TypeError,
    ValueError,
)
"""What reading data of another version of this program, or broken data, may raise."""


@dataclass(frozen=True)
class Kept:
    """What of the memory survives a restart."""

    lathe: str
    units: str
    tool: str | None = None
    material: str | None = None
    thread: ThreadNamed | None = None
    set_up: SetUp = field(default_factory=SetUp)
    first_mark: str | None = None
    spindle_speed: Fraction | None = None
    last: Query | None = None
    """The last question that stood for itself."""
    last_heard: str = ""
    sequence: Sequence | None = None
    trail: tuple[Sequence, ...] = ()
    outer: tuple[Sequence, ...] = ()
    job: Job = field(default_factory=Job)


@cache
def _converter() -> JsonConverter:
    converter = make_converter(forbid_extra_keys=True)
    converter.register_unstructure_hook(Fraction, str)
    converter.register_structure_hook(Fraction, lambda text, _: Fraction(text))
    converter.register_unstructure_hook_func(
        lambda cls: isinstance(cls, type) and issubclass(cls, Query), _query_out
    )
    converter.register_structure_hook_func(
        lambda cls: cls is Query, lambda plain, _: _query_in(plain)
    )
    converter.register_unstructure_hook_func(
        lambda cls: cls is Sequence,
        lambda sequence: {
            "of": type(sequence).__name__,
            "state": converter.unstructure(sequence, type(sequence)),
        },
    )
    converter.register_structure_hook_func(
        lambda cls: cls is Sequence,
        lambda plain, _: converter.structure(plain["state"], SEQUENCES[plain["of"]]),
    )
    converter.register_unstructure_hook(Phrase, _phrase_out)
    converter.register_structure_hook(Phrase, lambda plain, _: _phrase_in(plain))
    converter.register_unstructure_hook(ThreadNamed, _fields_out)
    converter.register_structure_hook(
        ThreadNamed, lambda plain, _: ThreadNamed(**_fields_in(plain))
    )
    return converter


def _phrase_out(phrase: Phrase) -> dict[str, Any]:
    values = {
        name: [_out(value.number), value.unit] if isinstance(value, Value) else value
        for name, value in phrase.values.items()
    }
    return {"key": phrase.key, "values": values}


def _phrase_in(plain: Mapping[str, Any]) -> Phrase:
    values = {
        name: value if isinstance(value, str) else Value(_in(value[0]), value[1])
        for name, value in plain["values"].items()
    }
    return Phrase(plain["key"], values)


def _query_out(query: Query) -> dict[str, Any]:
    return {"of": rule_name(type(query)), "fields": _fields_out(query)}


def _query_in(plain: Mapping[str, Any]) -> Query:
    return KINDS[plain["of"]](**_fields_in(plain["fields"]))


def _fields_out(thing: Any) -> dict[str, Any]:
    return {each.name: _out(getattr(thing, each.name)) for each in fields(thing)}


def _fields_in(plain: Mapping[str, Any]) -> dict[str, Any]:
    return {name: _in(value) for name, value in plain.items()}


def _out(value: Any) -> Any:
    """A field of a query: its type is told with it, as a length and a number may stand in the same place."""
    if isinstance(value, Fraction):
        return {"fraction": str(value)}
    if hasattr(value, "magnitude"):
        return {"quantity": [str(value.magnitude), str(value.units)]}
    if isinstance(value, ThreadNamed):
        return {"thread": _fields_out(value)}
    if isinstance(value, tuple):
        return {"tuple": [_out(each) for each in value]}
    return value


def _in(value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    [(kind, plain)] = value.items()
    match kind:
        case "fraction":
            return Fraction(plain)
        case "quantity":
            return quantity(Fraction(plain[0]), plain[1])
        case "thread":
            return ThreadNamed(**_fields_in(plain))
        case "tuple":
            return tuple(_in(each) for each in plain)
    raise ValueError(f"no such kind of value: {kind}")


def as_text(thing: Kept | Job) -> str:
    """`thing` as JSON text, from which `kept_from` or `job_from` make the same again."""
    return _converter().dumps(thing)


def kept_from(text: str) -> Kept | None:
    """The memory in `text`; None where it was written by another version of this program, or is broken."""
    return _read(text, Kept)


def job_from(text: str) -> Job | None:
    """The job in `text`; None where it was written by another version of this program, or is broken."""
    return _read(text, Job)


def _read(text: str, kind: type[_Any]) -> _Any | None:
    try:
        plain = json.loads(text)
        if not isinstance(plain, dict) or plain.keys() != {each.name for each in fields(kind)}:  # type: ignore[arg-type]
            return None
        return _converter().structure(plain, kind)
    except UNREADABLE:
        return None


def plain_job(job: Job) -> dict[str, Any]:
    """A job as plain data for a list: what an operator wants to see of it, in words."""
    return {
        "number": job.number,
        "material": job.material or "",
        "settings": [f"{each.question}: {each.headline} ({each.lathe})" for each in job.settings],
        "sizes": [each.text for each in job.sizes],
        "notes": [each.text for each in job.notes],
        "parts": job.parts,
        "going_on": job.sequence.title if job.sequence else "",
    }
