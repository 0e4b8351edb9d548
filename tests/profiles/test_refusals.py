"""What the loader refuses: file, line and sentence of each ProfileError."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.errors import ProfileError
from profiles.load import find, load
from profiles.source import PLAIN_TEXT
from tests.profiles.sorrel import SORREL, line_of, spoiled


def refusal(source: Path | str) -> tuple[str, int | None, str]:
    with pytest.raises(ProfileError) as caught:
        load(source)
    return caught.value.file, caught.value.line, caught.value.problem


FIGURE = "is not a figure with its unit such as"

FIELDS = [
    pytest.param(
        'description: "Small lathe in the paint shed"\n',
        "",
        "^name: sorrel",
        'the profile has no "description"; give one',
        id="missing field",
    ),
    pytest.param(
        "speed_excess:",
        "speed_exces:",
        "^speed_exces:",
        'the profile has no field "speed_exces"; the nearest is "speed_excess"',
        id="misspelt field",
    ),
    pytest.param(
        "divisions: 40,",
        "divisons: 40, divisions: 40,",
        "divisons: 40",
        'compound has no field "divisons"; the nearest is "divisions"',
        id="misspelt field inside",
    ),
    pytest.param(
        'pitch: "4 mm"',
        "pitch: 4.0",
        "pitch: 4.0",
        "leadscrew.pitch: 4.0 is a bare number; write it in quotes, "
        'such as "1.5 mm" or "11 1/2 per inch"',
        id="float for a figure",
    ),
    pytest.param(
        'pitch: "4 mm"',
        "pitch: 4",
        "pitch: 4}",
        "leadscrew.pitch: 4 is a bare number; write it in quotes, "
        'such as "1.5 mm" or "11 1/2 per inch"',
        id="whole number for a figure",
    ),
    pytest.param(
        'motor: "1200 rpm"',
        'motor: "1200 rpn"',
        "rpn",
        f'spindle.kinematics.motor: "1200 rpn" {FIGURE} "210 rpm"',
        id="unknown unit",
    ),
    pytest.param(
        'pitch: "4 mm"',
        'pitch: "4"',
        'pitch: "4"',
        f'leadscrew.pitch: "4" {FIGURE} "1.5 mm" or "11 1/2 per inch"',
        id="no unit",
    ),
    pytest.param(
        'pitch: "4 mm"',
        'pitch: "0 mm"',
        'pitch: "0 mm"',
        'leadscrew.pitch: "0 mm" must be more than zero, such as "1.5 mm" or "11 1/2 per inch"',
        id="zero",
    ),
    pytest.param(
        'pitch: "4 mm"',
        'pitch: "-4 mm"',
        'pitch: "-4 mm"',
        f'leadscrew.pitch: "-4 mm" {FIGURE} "1.5 mm" or "11 1/2 per inch"',
        id="negative",
    ),
    pytest.param(
        'pitch: "4 mm"',
        'pitch: "1/0 inch"',
        'pitch: "1/0 inch"',
        'leadscrew.pitch: "1/0" has a zero under the line',
        id="zero under the line",
    ),
    pytest.param(
        'end_train: "30/60"',
        'end_train: "30:60"',
        "30:60",
        'feed.kinematics.end_train: "30:60" is not a gear train such as '
        '"40/60" or "30/60 x 24/72" (driver over driven)',
        id="train in another writing",
    ),
    pytest.param(
        'end_train: "30/60"',
        'end_train: "30/0"',
        '"30/0"',
        'feed.kinematics.end_train: "30/0" has a gear of 0 teeth; expected 1 to 1000',
        id="gear of no teeth",
    ),
    pytest.param(
        '{name: slider, group: feed, positions: ["left", "right"], when: slow}',
        '{name: slider, group: feed, positions: ["left", "right"], when: running}',
        "running",
        "levers[2].when is running; expected 'stopped', 'by-hand', 'slow' or 'any'",
        id="unknown moment to shift",
    ),
    pytest.param(
        'positions: ["A", "B"]',
        "positions: [A, 2]",
        "positions: [A, 2]",
        'levers[1].positions[2] is 2 without quotes; write "2"',
        id="number for a position",
    ),
    pytest.param(
        'positions: ["up", "middle", "down"]',
        "positions: [up, off, down]",
        "[up, off, down]",
        'levers[4].positions[2] is off without quotes; write "off"',
        id="yes or no for a position",
    ),
    pytest.param(
        'positions: ["screw", "along", "across"]',
        'positions: ["screw"]',
        'positions: ["screw"]',
        "levers[3].positions has 1 entries; expected at least 2",
        id="a lever that cannot move",
    ),
    pytest.param(
        "    - {teeth: 20}",
        '    - {teeth: "20"}',
        '{teeth: "20"}',
        "thread_dial.gears[1].teeth is 20; expected a whole number without quotes",
        id="text for a count",
    ),
    pytest.param(
        "    - {teeth: 20}",
        "    - {teeth: 2}",
        "{teeth: 2}",
        "thread_dial.gears[1].teeth is 2; expected at least 8",
        id="count too low",
    ),
    pytest.param(
        "divisions: 40, reads: radius",
        "divisions: 40, reads: bore",
        "reads: bore",
        "compound.reads is bore; expected 'diameter' or 'radius'",
        id="unknown reading of a dial",
    ),
    pytest.param(
        "compound: {",
        "compound: 12 #{",
        "compound: 12",
        "compound is 12; expected a mapping with fields",
        id="number for a mapping",
    ),
    pytest.param(
        'speed_excess: "5 %"',
        'speed_excess: "500 %"',
        "500 %",
        'speed_excess: "500 %" is over 100 %',
        id="share over the whole",
    ),
    pytest.param(
        'A: {gears: "20/80"}',
        "A: {}",
        "A: {}",
        "spindle.kinematics.steps[2].positions.A: has no drive; give gears, pulleys or ratio "
        '(straight through is "1")',
        id="position without a drive",
    ),
    pytest.param(
        "      - lever: knob\n",
        "      - ratio: '1'\n",
        "- ratio: '1'",
        "spindle.kinematics.steps[2]: must be either a lever with positions, "
        "or gears, pulleys or ratio",
        id="positions without a lever",
    ),
    pytest.param(
        'feeds: {levers: {gate: "along"}, travel: "0.2 mm/turn"}',
        'feeds: {levers: {gate: "along"}}',
        'feeds: {levers: {gate: "along"}}',
        "feed.kinematics.feeds: must end in exactly one of rack_pinion, screw and travel",
        id="feed drive without an end",
    ),
    pytest.param(
        "  chart:\n",
        "  change_gears: {}\n  chart:\n",
        "^feed:",
        "feed: must have chart or kinematics (a gearbox), or change_gears (no gearbox), not both",
        id="gearbox and no gearbox",
    ),
]


@pytest.mark.parametrize(("old", "new", "at", "problem"), FIELDS)
def test_a_field_that_does_not_fit_is_refused(old: str, new: str, at: str, problem: str) -> None:
    text = spoiled(old, new)
    assert refusal(text) == (PLAIN_TEXT, line_of(text, at), problem)


TOO_LARGE = "is over 1 MB; a lathe profile is a YAML text of a few kilobytes"


def file_refusal(path: Path, content: bytes) -> tuple[int | None, str]:
    path.write_bytes(content)
    file, line, problem = refusal(path)
    assert file == str(path)
    return line, problem


def test_ten_megabytes_are_refused(tmp_path: Path) -> None:
    assert file_refusal(tmp_path / "big.yaml", b"name: x\n" * 1_250_000) == (None, TOO_LARGE)
    assert file_refusal(tmp_path / "big.yaml", bytes(10_000_000)) == (None, TOO_LARGE)


def test_a_binary_file_is_refused(tmp_path: Path) -> None:
    problem = "is not UTF-8 text; a lathe profile is a YAML text file"
    assert file_refusal(tmp_path / "a.yaml", b"name: x\n\xff\xfe\x00") == (2, problem)


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "sorrel.yaml"
    assert refusal(path) == (str(path), None, "cannot be read: No such file or directory")


def test_a_folder_is_refused(tmp_path: Path) -> None:
    assert refusal(tmp_path) == (str(tmp_path), None, "cannot be read: Is a directory")


def test_an_unknown_lathe_is_refused_with_the_nearest() -> None:
    with pytest.raises(ProfileError) as caught:
        find("hiron")
    assert str(caught.value) == "hiron: is no lathe that is known here; the nearest is heron"


def test_a_name_like_nothing_is_refused_with_all_that_there_are() -> None:
    with pytest.raises(ProfileError, match="there are badger, heron, juniper"):
        find("../../etc/x")


def test_the_message_says_how_much_more_is_wrong() -> None:
    text = spoiled("description: ", "descriptoin: ")
    file, line, problem = refusal(text)
    assert (file, line) == (PLAIN_TEXT, 2)
    assert problem == 'the profile has no "description"; give one (and 1 more)'


def test_an_inconsistency_that_makes_figures_doubtful_stops_the_lathe() -> None:
    text = spoiled('"400 rpm", levers', '"450 rpm", levers')
    assert refusal(text) == (
        PLAIN_TEXT,
        line_of(text, '"450 rpm", levers'),
        '"450 rpm" is printed, but the drive gives 400 rpm; correct the row or the drive',
    )


def test_a_thing_to_look_at_does_not_stop_the_lathe() -> None:
    text = spoiled("reads: radius", "reads: diameter")
    assert load(text).compound.reads == "diameter"


def test_the_unspoiled_lathe_loads() -> None:
    assert load(SORREL).name == "sorrel"
