"""Which function answers which kind of Query, and the one place where errors become refusals."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import TypeVar

from assistant.answer import Answer, Ask, Refusal
from assistant.answering.levers import with_plan
from assistant.answering.situation import Situation
from assistant.errors import OutOfRange
from assistant.query import Query

Outcome = Answer | Ask | Refusal
Function = Callable[..., Outcome]
_FUNCTIONS: dict[type[Query], Function] = {}
_Any = TypeVar("_Any", bound=Function)


def answers(kind: type[Query]) -> Callable[[_Any], _Any]:
    """Registers a function (query, situation) -> outcome for one kind of Query."""

    def register(function: _Any) -> _Any:
        _FUNCTIONS[kind] = function
        return function

    return register


def answered_kinds() -> frozenset[type[Query]]:
    """Every Query class that has a function here."""
    _load()
    return frozenset(_FUNCTIONS)


@cache
def _load() -> None:
    """Imports every file of this folder, so that each registers its functions."""
    import assistant.answering as folder

    for module in iter_modules(folder.__path__):
        import_module(f"assistant.answering.{module.name}")


def answer_to(query: Query, situation: Situation) -> Outcome:
    """The outcome for `query`; a value outside a formula, table or lathe is a Refusal that names the limit.

    Whatever the answer, gears to mount and the cautions of its moves are told with it.
    """
    _load()
    try:
        outcome = _FUNCTIONS[type(query)](query, situation)
    except OutOfRange as limit:
        return refused(limit)
    return with_plan(outcome, situation) if isinstance(outcome, Answer) else outcome


def refused(limit: OutOfRange) -> Refusal:
    """A limit that was passed, as an outcome."""
    return Refusal(
        reason=str(limit),
        say_next="Ask again with another value",
        spoken=f"{limit.quantity} is out of range".replace("-", " "),
    )
