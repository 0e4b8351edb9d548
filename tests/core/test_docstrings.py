"""Every public function of the core says what it takes, gives, refuses and rests on."""

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest

import assistant.core

PARTS = ("Returns", "Raises", "Source", ">>>")


def public_functions() -> Iterator[tuple[str, Callable[..., Any]]]:
    for module in pkgutil.walk_packages(assistant.core.__path__, "assistant.core."):
        loaded = importlib.import_module(module.name)
        for name, thing in vars(loaded).items():
            if (
                not name.startswith("_")
                and callable(thing)
                and not inspect.isclass(thing)
                and getattr(thing, "__module__", None) == module.name
            ):
                yield f"{module.name}.{name}", thing


@pytest.mark.parametrize("case", [pytest.param(f, id=n) for n, f in public_functions()])
def test_docstring_has_every_part(case: Callable[..., Any]) -> None:
    text = inspect.getdoc(case) or ""
    missing = [part for part in PARTS if part not in text]
    assert missing == []
