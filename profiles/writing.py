"""A profile's fields as commented YAML that reads back as the same."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final, TypeAlias

from assistant.errors import ProfileError

Fields: TypeAlias = Mapping[str, Any]
"""str, int, lists and mappings, as the schema wants them."""

WIDTH: Final = 100
_PLAIN_KEY: Final = re.compile(r"[a-z][a-z_]{2,40}")
_NO_KEYS: Final = frozenset({"yes", "off", "true", "false", "null"})
"""Short words that YAML would not take for text."""


def profile_yaml(fields: Fields, comments: Mapping[str, str]) -> str:
    """`fields` as YAML, one part of the lathe after another.

    comments : field at the top -> what is said above it; '' -> what is said above all

    >>> print(profile_yaml({"name": "sorrel", "gears": [20, 30]}, {"gears": "Owned."}), end="")
    name: "sorrel"
    <BLANKLINE>
    # Owned.
    gears: [20, 30]
    """
    parts = [_comment(comments[""])] if "" in comments else []
    for name, value in fields.items():
        written = list(_field(name, value, 0))
        if name in comments:
            written.insert(0, _comment(comments[name]))
        alone = len(written) == 1 and parts and "\n" not in parts[-1]
        # Short fields without a comment stand together.
        if alone and not parts[-1].startswith("#"):
            parts[-1] += "\n" + written[0]
        else:
            parts.append("\n".join(written))
    return "\n\n".join(parts) + "\n"


def _comment(text: str) -> str:
    return "\n".join(f"# {line}".rstrip() for line in text.strip().splitlines())


def _field(name: str, value: Any, depth: int) -> Iterator[str]:
    indent = "  " * depth
    short = f"{indent}{_key(name)}: {_flow(value)}"
    if not _is_deep(value) or (len(short) <= WIDTH and _rows(value) <= 1):
        yield short
        return
    yield f"{indent}{_key(name)}:"
    if isinstance(value, Mapping):
        for inner, item in value.items():
            yield from _field(inner, item, depth + 1)
    else:
        for item in value:
            yield f"{indent}  - {_flow(item)}"


def _is_deep(value: Any) -> bool:
    """Whether a line for each part of `value` reads better than one for all."""
    if isinstance(value, Mapping):
        return any(isinstance(item, Mapping | list | tuple) for item in value.values())
    return _rows(value) > 0


def _rows(value: Any) -> int:
    """Mappings in lists within `value`: the rows of its tables."""
    if isinstance(value, Mapping):
        return sum(_rows(item) for item in value.values())
    if isinstance(value, list | tuple):
        return sum(isinstance(item, Mapping) for item in value)
    return 0


def _key(name: str) -> str:
    return name if _PLAIN_KEY.fullmatch(name) and name not in _NO_KEYS else quoted(name)


def quoted(text: str) -> str:
    """`text` in quotes as YAML reads it.

    >>> quoted('2 "o clock"')
    '"2 \\\\"o clock\\\\""'
    """
    return json.dumps(text, ensure_ascii=False)


def _flow(value: Any) -> str:
    if isinstance(value, Mapping):
        pairs = ", ".join(f"{_key(name)}: {_flow(item)}" for name, item in value.items())
        return f"{{{pairs}}}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(_flow(item) for item in value)}]"
    return quoted(value) if isinstance(value, str) else str(value)


def refuse_existing(path: Path) -> None:
    """ProfileError if there is a file `path` already: nothing of the shop's is written over."""
    if path.exists():
        problem = "is there already; name another file or move it away"
        raise ProfileError(str(path), None, problem)


def store(path: Path, text: str) -> None:
    """Writes the file whole or not at all, so that a stop in between loses nothing.

    Raises ProfileError where it cannot be written.
    """
    half = path.with_name(path.name + ".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        half.write_text(text, encoding="utf-8")
        os.replace(half, path)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        problem = f"cannot be written: {reason}; name a file in a folder of yours"
        raise ProfileError(str(path), None, problem) from fault
