"""Junk in, ProfileError out: nothing else, whatever the bytes."""

from __future__ import annotations

import json
import random
import tempfile
from importlib.resources import files
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.errors import ProfileError
from profiles.check import check
from profiles.lathe import Lathe
from profiles.load import load
from tests.profiles.sorrel import SORREL

HERON = files("profiles").joinpath("heron.yaml").read_text(encoding="utf-8")
YAML_SIGNS = "{}[]:,&*!|>'\"%@`#-?\n\t \x00\x85\ud800é0"


def outcome(source: Path | str) -> Lathe | ProfileError:
    """What load gives; anything but a Lathe or a ProfileError fails the test by itself."""
    try:
        return load(source)
    except ProfileError as refusal:
        return refusal


def judged(source: Path | str) -> Lathe | ProfileError:
    """The same, after a look at what it says and whether check agrees."""
    found = outcome(source)
    stopping = [finding for finding in check(source) if finding.stops]
    if isinstance(found, Lathe):
        assert stopping == []
    else:
        assert found.problem.startswith(stopping[0].problem)
        assert (found.file, found.line) == (stopping[0].file, stopping[0].line)
        assert "\n" not in found.problem
        assert found.line is None or found.line >= 1
    return found


@given(st.binary(max_size=400))
@settings(max_examples=300, deadline=None)
def test_random_bytes(raw: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "junk.yaml"
        path.write_bytes(raw)
        assert isinstance(judged(path), ProfileError)


@given(st.text(max_size=400))
@settings(max_examples=300, deadline=None)
def test_random_text(text: str) -> None:
    assert isinstance(judged(text + "\n"), ProfileError)


@given(st.text(alphabet=YAML_SIGNS + "ab", max_size=120))
@settings(max_examples=300, deadline=None)
def test_random_signs_of_yaml(text: str) -> None:
    assert isinstance(judged(text + "\n"), ProfileError)


TREES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=10),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)
FIELDS = (
    "name",
    "spoken",
    "units",
    "levers",
    "spindle",
    "feed",
    "leadscrew",
    "thread_dial",
    "cross_slide",
    "chucks",
    "motor",
    "tailstock",
    "gears",
    "banjo",
    "remarks",
)


@given(st.sampled_from(FIELDS), TREES)
@settings(max_examples=300, deadline=None)
def test_a_field_with_any_value(field: str, value: object) -> None:
    # JSON is YAML, but for what the loader refuses anyway.
    text = f"include: heron\n{field}: {json.dumps(value)}\n"
    judged(text)


@given(st.integers(0, 2**32), st.sampled_from([HERON, SORREL]))
@settings(max_examples=150, deadline=None)
def test_a_sound_profile_spoiled_anywhere(throw: int, text: str) -> None:
    dice = random.Random(throw)
    letters = list(text)
    for _ in range(dice.randint(1, 4)):
        at = dice.randrange(len(letters))
        way = dice.random()
        if way < 0.3:
            del letters[at : at + dice.randint(1, 30)]
        elif way < 0.6:
            letters[at] = dice.choice(YAML_SIGNS)
        else:
            start = dice.randrange(len(letters))
            letters[at:at] = letters[start : start + dice.randint(1, 60)]
    judged("".join(letters))


@given(st.integers(0, 2**32))
@settings(max_examples=150, deadline=None)
def test_a_sound_profile_with_one_word_changed(throw: int) -> None:
    dice = random.Random(throw)
    words = SORREL.split(" ")
    words[dice.randrange(len(words))] = dice.choice(
        ["0", "-1", "1e9", ".nan", ".inf", '"0 mm"', '"1/0"', "[]", "{}", "~", "yes", '"9999/1"']
    )
    judged(" ".join(words))
