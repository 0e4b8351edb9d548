"""Text that is no plain YAML: refused by line and sentence, and never executed."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.errors import ProfileError
from profiles.load import load
from profiles.source import PLAIN_TEXT


def refusal(text: str) -> tuple[str, int | None, str]:
    with pytest.raises(ProfileError) as caught:
        load(text)
    return caught.value.file, caught.value.line, caught.value.problem


TOO_LARGE = "is over 1 MB; a lathe profile is a YAML text of a few kilobytes"
LAUGHS = "a: &a [ha, ha]\n" + "".join(
    f"{name}: &{name} [*{before}, *{before}, *{before}, *{before}, *{before}, *{before}]\n"
    for before, name in zip("abcdefgh", "bcdefghi", strict=True)
)
NO_MAPPING = 'is no lathe profile; expected fields such as name: "heron"'

YAML = [
    pytest.param(
        "name: a\nunits: inch\nname: b",
        3,
        '"name" stands twice, first in line 1; keep one',
        id="repeated name",
    ),
    pytest.param(
        "levers:\n  - {name: a, group: b, name: c}",
        2,
        '"name" stands twice, first in line 2; keep one',
        id="repeated name inside",
    ),
    pytest.param("a: 1\nb: *a", 2, "*a is an alias; write the part out", id="alias"),
    pytest.param("a: &x 1", 1, "&x is an anchor; write each part out", id="anchor"),
    pytest.param(LAUGHS, 1, "&a is an anchor; write each part out", id="exploding aliases"),
    pytest.param(
        "a: 1\n? &x b\n: 1", 2, "&x is an anchor; write each part out", id="anchor on a name"
    ),
    pytest.param(
        "a: 1\nb: !!python/object/apply:os.getcwd []",
        2,
        "tag:yaml.org,2002:python/object/apply:os… is a tag; write plain text in quotes",
        id="tag that would run code",
    ),
    pytest.param(
        "a: !!str 1",
        1,
        "tag:yaml.org,2002:str is a tag; write plain text in quotes",
        id="standard tag",
    ),
    pytest.param("a: !mine {b: 1}", 1, "!mine is a tag; write plain text in quotes", id="own tag"),
    pytest.param("a: 1\n<<: {b: 2}", 2, '<< is no text to YAML; write "<<"', id="merge"),
    pytest.param("a: 1\nyes: 2", 2, 'yes is no text to YAML; write "yes"', id="yes for a name"),
    pytest.param(
        "a: 1\n[b]: 2", 2, "has a list or mapping as a name; expected a word", id="list for a name"
    ),
    pytest.param(
        "a: 1\n---\nb: 2",
        2,
        "starts a second document; keep one lathe in one file",
        id="two documents",
    ),
    pytest.param(
        "a:\n\tb: 1", 2, "has a tab where YAML wants spaces; indent with spaces", id="tab"
    ),
    pytest.param(
        "a: 1\nb: \x07",
        2,
        "has a control character; a lathe profile is a YAML text file",
        id="control character",
    ),
    pytest.param(
        'a: 1\nb: "\\a"',
        2,
        "has a character that no screen can show; write plain text",
        id="control character by escape",
    ),
    pytest.param(
        'a: "\\ud800"',
        1,
        "has a character that no screen can show; write plain text",
        id="half a character",
    ),
    pytest.param(
        'a: "\\UFFFFFFFF"',
        None,
        "has an escape or directive that YAML cannot read; write plain text",
        id="no character",
    ),
    pytest.param(
        "a: 1\nb",
        2,
        'has a name without a colon and a blank behind it, here or just above; write name: "value"',
        id="no colon",
    ),
    pytest.param(
        "a: 1\nb: c: d",
        2,
        "has a colon too many, or is indented too far; put a text that holds a colon in quotes",
        id="two colons",
    ),
    pytest.param(
        "a: {b: 1",
        1,
        "has no comma, or no closing }, where one is due; check the mapping",
        id="open mapping",
    ),
    pytest.param(
        "a: [b\nc: 1]",
        2,
        "has no comma, or no closing ], where one is due; check the list",
        id="open list",
    ),
    pytest.param(
        'a: "b', 1, "opens a quote or bracket that is never closed; close it", id="open quote"
    ),
    pytest.param("", 1, 'is empty; expected fields such as name: "heron"', id="empty"),
    pytest.param(
        "# nothing\n", 1, 'is empty; expected fields such as name: "heron"', id="comment only"
    ),
    pytest.param("heron", 1, NO_MAPPING, id="a word"),
    pytest.param("- a\n- b", 1, NO_MAPPING, id="a list"),
    pytest.param(
        "[" * 900_000, 1, "is nested over 12 deep; a lathe profile is flatter", id="brackets"
    ),
    pytest.param(
        "a: [" + "b," * 30_000 + "]",
        1,
        "has over 20000 parts; a lathe profile is smaller",
        id="many parts",
    ),
    pytest.param("a: b\n" * 300_000, None, TOO_LARGE, id="over 1 MB"),
]


@pytest.mark.parametrize(("text", "line", "problem"), YAML)
def test_text_that_is_no_plain_yaml_is_refused(text: str, line: int | None, problem: str) -> None:
    assert refusal(text) == (PLAIN_TEXT, line, problem)


def test_nothing_in_a_profile_is_executed(tmp_path: Path) -> None:
    trace = tmp_path / "trace"
    text = f"name: !!python/object/apply:pathlib.Path.touch [!!python/object/apply:pathlib.Path ['{trace}']]"
    assert refusal(text)[1] == 1
    assert not trace.exists()
