"""A profile's text as plain data, with the file and line of every part; nothing in it is executed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path as FilePath
from typing import Any, TypeAlias

import yaml
from yaml.resolver import Resolver

from assistant.errors import ProfileError

LARGEST_FILE = 1_000_000
"""Bytes. A profile is some kilobytes; anything near this is not a profile."""
DEEPEST = 12
MOST_PARTS = 20_000
LONGEST_INCLUDE = 5
LONGEST_SHOWN = 40
"""Letters of the profile that a message quotes."""

_UNPRINTABLE = re.compile("[\\x00-\\x08\\x0b-\\x1f\\x7f-\\x9f\\u2028-\\u202e\\ud800-\\udfff]")

Path: TypeAlias = tuple[str | int, ...]
"""Keys and list indices from the top of the profile down to a part."""


@dataclass(frozen=True)
class Place:
    """Where a part stands."""

    file: str
    line: int


@dataclass(frozen=True)
class Part:
    """One scalar, list or mapping of the text."""

    place: Place
    data: object
    """str, bool, int, float, None or Unquoted; a tuple of Part; or a dict of str to Part."""
    written: str = ""
    """A scalar as it stands in the text."""
    key_places: Mapping[str, Place] | None = None
    """Of a mapping: where each key stands."""


@dataclass(frozen=True)
class Unquoted:
    """A bare word that YAML would turn into something else, such as 1:30, 012 or a date."""

    written: str


@dataclass(frozen=True)
class Placard:
    """A whole profile as plain data, and where each part of it stands."""

    data: Mapping[str, object]
    places: Mapping[Path, Place]
    written: Mapping[Path, str]
    file: str

    def place(self, path: Path) -> Place:
        """Where `path` stands, or the nearest part around it that the text has."""
        while path and path not in self.places:
            path = path[:-1]
        return self.places.get(path, Place(self.file, 1))

    def without(self, path: Path) -> Placard:
        """The same without the part at `path`; the list items behind it move up."""

        def moved(old: Path) -> Path | None:
            if old[: len(path)] == path:
                return None
            last, here = path[-1], old[len(path) - 1 : len(path)]
            beside = old[: len(path) - 1] == path[:-1] and here
            if beside and isinstance(last, int) and isinstance(here[0], int) and here[0] > last:
                return (*path[:-1], here[0] - 1, *old[len(path) :])
            return old

        places = {new: place for old, place in self.places.items() if (new := moved(old))}
        written = {new: text for old, text in self.written.items() if (new := moved(old))}
        return replace(
            self,
            data=_pruned(self.data, path),
            places={**places, (): self.place(())},
            written=written,
        )


Fetch: TypeAlias = Callable[[str, Place], tuple[str, str]]
"""From the name in `include:` and its place to the file's name and text."""


def text_of(path: FilePath) -> str:
    """The text of the file `path`. Raises ProfileError if it is missing, too large or no text."""
    name = str(path)
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise ProfileError(name, None, f"cannot be read: {reason}") from fault
    return text_from(name, raw)


def text_from(name: str, raw: bytes) -> str:
    """The bytes of a file called `name` as text. Raises ProfileError if too large or no text."""
    if len(raw) > LARGEST_FILE:
        raise ProfileError(
            name, None, "is over 1 MB; a lathe profile is a YAML text of a few kilobytes"
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = raw[: fault.start].count(b"\n") + 1
        raise ProfileError(
            name, line, "is not UTF-8 text; a lathe profile is a YAML text file"
        ) from fault


def read(text: str, file: str, fetch: Fetch) -> Placard:
    """The profile in `text`, with the base profiles that it includes merged below it.

    Each field at the top of the profile replaces the field of that name of its base, whole.
    Raises ProfileError for what is no plain YAML, a repeated key, an alias, a tag or a cycle.
    """
    top = _merged(text, file, fetch, (file,))
    places: dict[Path, Place] = {}
    written: dict[Path, str] = {}
    data = _plain(top, (), places, written)
    if not isinstance(data, dict):
        raise ProfileError(file, top.place.line, _NO_MAPPING)
    return Placard(data, places, written, file)


_NO_MAPPING = 'is no lathe profile; expected fields such as name: "heron"'


def _pruned(data: Any, path: Path) -> Any:
    first, rest = path[0], path[1:]
    if isinstance(data, tuple):
        items = list(data)
        if rest:
            items[int(first)] = _pruned(items[int(first)], rest)
        else:
            del items[int(first)]
        return tuple(items)
    kept = dict(data)
    if rest:
        kept[first] = _pruned(kept[first], rest)
    else:
        del kept[first]
    return kept


def _merged(text: str, file: str, fetch: Fetch, chain: tuple[str, ...]) -> Part:
    part = _parse(text, file)
    if not isinstance(part.data, dict):
        raise ProfileError(file, part.place.line, _NO_MAPPING)
    base = part.data.get("include")
    if base is None:
        return part
    if not isinstance(base.data, str):
        raise ProfileError(
            file, base.place.line, 'include is not a name; expected such as include: "heron"'
        )
    base_file, base_text = fetch(base.data, base.place)
    if base_file in chain:
        round_trip = " includes ".join((*chain[chain.index(base_file) :], base_file))
        raise ProfileError(
            file, base.place.line, f"{round_trip}: profiles may not include one another in a ring"
        )
    if len(chain) >= LONGEST_INCLUDE:
        raise ProfileError(
            file, base.place.line, f"is the last of {LONGEST_INCLUDE} profiles that may be chained"
        )
    below = _merged(base_text, base_file, fetch, (*chain, base_file))
    assert isinstance(below.data, dict)
    own = {key: value for key, value in part.data.items() if key != "include"}
    keys = {**(below.key_places or {}), **(part.key_places or {})}
    return Part(part.place, {**below.data, **own}, key_places=keys)


def _plain(part: Part, path: Path, places: dict[Path, Place], written: dict[Path, str]) -> object:
    places[path] = part.place
    if isinstance(part.data, dict):
        data = {}
        for key, value in part.data.items():
            data[key] = _plain(value, (*path, key), places, written)
            if part.key_places:
                places[(*path, key)] = part.key_places[key]
        return data
    if isinstance(part.data, tuple):
        return tuple(
            _plain(item, (*path, index), places, written) for index, item in enumerate(part.data)
        )
    written[path] = part.written
    return part.data


def _parse(text: str, file: str) -> Part:
    if len(text) > LARGEST_FILE:
        raise ProfileError(
            file, None, "is over 1 MB; a lathe profile is a YAML text of a few kilobytes"
        )
    builder = _Builder(file)
    try:
        return builder.document(yaml.parse(text, Loader=yaml.SafeLoader))
    except yaml.MarkedYAMLError as fault:
        mark = fault.problem_mark or fault.context_mark
        line = None if mark is None else mark.line + 1
        raise ProfileError(file, line, _yaml_sentence(fault)) from fault
    except yaml.reader.ReaderError as fault:
        line = text.count("\n", 0, fault.position) + 1
        raise ProfileError(
            file, line, "has a control character; a lathe profile is a YAML text file"
        ) from fault
    except (yaml.YAMLError, ValueError, OverflowError, AttributeError, IndexError) as fault:
        # PyYAML lets these through for odd escapes and directives.
        raise ProfileError(
            file, None, "has an escape or directive that YAML cannot read; write plain text"
        ) from fault


def _yaml_sentence(fault: yaml.MarkedYAMLError) -> str:
    problem = str(fault.problem or fault.context or "unreadable")
    for start, sentence in _YAML_SENTENCES.items():
        if problem.startswith(start):
            return sentence
    return f"is not YAML here: {shown(problem, 90)}; see the example in the profiles' README"


_YAML_SENTENCES = {
    "found character '\\t'": "has a tab where YAML wants spaces; indent with spaces",
    "could not find expected ':'": (
        'has a name without a colon and a blank behind it, here or just above; write name: "value"'
    ),
    "mapping values are not allowed": (
        "has a colon too many, or is indented too far; put a text that holds a colon in quotes"
    ),
    "expected <block end>": (
        "does not fit the lines above it; check indentation, quotes and brackets"
    ),
    "expected ',' or '}'": "has no comma, or no closing }, where one is due; check the mapping",
    "expected ',' or ']'": "has no comma, or no closing ], where one is due; check the list",
    "found unexpected end of stream": "opens a quote or bracket that is never closed; close it",
}
"""PyYAML's problem, by its beginning -> what to tell the owner of the profile."""


def shown(text: str, longest: int = LONGEST_SHOWN) -> str:
    """`text` as it may stand in a message: one line, and no longer than a message can bear.

    >>> shown("x" * 100)
    'xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx…'
    """
    line = "".join(letter if letter.isprintable() else " " for letter in text)
    return line if len(line) <= longest else line[:longest] + "…"


class _Builder:
    """Builds Parts from YAML events, refusing all that a profile has no use for."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.count = 0
        self.resolver = Resolver()

    def document(self, events: Iterator[yaml.Event]) -> Part:
        found: Part | None = None
        for event in events:
            if isinstance(event, yaml.StreamStartEvent | yaml.StreamEndEvent):
                continue
            if isinstance(event, yaml.DocumentEndEvent):
                continue
            if not isinstance(event, yaml.DocumentStartEvent):
                found = self.part(event, events, 1)
            elif found is not None:
                raise self.refusal(event, "starts a second document; keep one lathe in one file")
        if found is None:
            raise ProfileError(self.file, 1, f"is empty; {_NO_MAPPING.partition('; ')[2]}")
        return found

    def refusal(self, event: yaml.Event, problem: str) -> ProfileError:
        return ProfileError(self.file, self.place(event).line, problem)

    def part(self, event: yaml.Event, events: Iterator[yaml.Event], depth: int) -> Part:
        self.count += 1
        if self.count > MOST_PARTS:
            raise self.refusal(event, f"has over {MOST_PARTS} parts; a lathe profile is smaller")
        if depth > DEEPEST:
            raise self.refusal(event, f"is nested over {DEEPEST} deep; a lathe profile is flatter")
        if isinstance(event, yaml.AliasEvent):
            raise self.refusal(
                event, f"*{shown(str(event.anchor))} is an alias; write the part out"
            )
        assert isinstance(event, yaml.NodeEvent)
        if event.anchor is not None:
            raise self.refusal(event, f"&{shown(event.anchor)} is an anchor; write each part out")
        assert isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent)
        if event.tag is not None:
            raise self.refusal(event, f"{shown(event.tag)} is a tag; write plain text in quotes")
        if isinstance(event, yaml.ScalarEvent):
            return self.scalar(event)
        if isinstance(event, yaml.SequenceStartEvent):
            return self.sequence(event, events, depth)
        return self.mapping(event, events, depth)

    def place(self, event: yaml.Event) -> Place:
        mark = event.start_mark
        return Place(self.file, 1 if mark is None else mark.line + 1)

    def scalar(self, event: yaml.ScalarEvent) -> Part:
        value = event.value
        if _UNPRINTABLE.search(value):
            raise self.refusal(event, "has a character that no screen can show; write plain text")
        return Part(self.place(event), self.resolved(event), value)

    def resolved(self, event: yaml.ScalarEvent) -> object:
        value = event.value
        if not event.implicit[0]:
            return value
        tag = self.resolver.resolve(yaml.ScalarNode, value, (True, False))  # type: ignore[no-untyped-call]
        kind = str(tag).rpartition(":")[2]
        if kind == "str":
            return value
        if kind == "null":
            return None
        if kind == "int" and re.fullmatch(r"0|[1-9][0-9]{0,8}", value):
            return int(value)
        return Unquoted(value)

    def sequence(self, start: yaml.Event, events: Iterator[yaml.Event], depth: int) -> Part:
        items = []
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            items.append(self.part(event, events, depth + 1))
        return Part(self.place(start), tuple(items))

    def mapping(self, start: yaml.Event, events: Iterator[yaml.Event], depth: int) -> Part:
        data: dict[str, Part] = {}
        keys: dict[str, Place] = {}
        for event in events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            name = self.key(event, events, depth)
            if name in data:
                raise self.refusal(
                    event,
                    f'"{shown(name)}" stands twice, first in line {keys[name].line}; keep one',
                )
            keys[name] = self.place(event)
            data[name] = self.part(next(events), events, depth + 1)
        return Part(self.place(start), data, key_places=keys)

    def key(self, event: yaml.Event, events: Iterator[yaml.Event], depth: int) -> str:
        part = self.part(event, events, depth + 1)
        if isinstance(part.data, str):
            return part.data
        if isinstance(part.data, dict | tuple):
            raise self.refusal(event, "has a list or mapping as a name; expected a word")
        word = shown(part.written) or "an empty name"
        raise self.refusal(event, f'{word} is no text to YAML; write "{shown(part.written)}"')
