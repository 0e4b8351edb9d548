"""A placard from a spreadsheet: sound sheets become profiles, each wrong row is named by its line."""

from __future__ import annotations

import random
import re
import tempfile
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.errors import ProfileError
from profiles.check import check
from profiles.import_chart import about, import_chart, parts, slide
from profiles.load import find, load
from profiles.sheet import read_sheet

TERN = """\
kind,value,knob,slider,gate,train
speed,150 rpm,A,,,
speed,400 rpm,B,,,
thread,1 mm,,left,screw,
thread,2 mm,,right,screw,
thread,20 per inch,,left,screw,127/50 x 20/80
feed,0.05 mm/turn,,left,along,
feed,0.10 mm/turn,,right,along,
cross feed,0.025 mm/turn,,left,across,
cross-feed,0.050 mm/turn,,right,across,
"""
LATHE = {
    "name": "tern",
    "units": "metric",
    "leadscrew": "4",
    "cross_slide": "0.05 mm x 160 diameter",
    "compound": "0,05 mm x 40 radius",
}
ABOUT = about(**LATHE)


def sheet(folder: Path, text: str | bytes, name: str = "tern.csv") -> Path:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return path


def wrong(folder: Path, text: str) -> list[tuple[int, str]]:
    return [(each.line, each.problem) for each in read_sheet(sheet(folder, text)).wrong]


def test_a_sheet_becomes_a_whole_profile_without_findings(tmp_path: Path) -> None:
    text, findings = import_chart(sheet(tmp_path, TERN), ABOUT)
    assert findings == []
    assert check(text) == []
    lathe = load(text)
    assert lathe.name == "tern"
    assert [lever.positions for lever in lathe.levers] == [
        ("A", "B"),
        ("left", "right"),
        ("screw", "along", "across"),
    ]
    assert [float(each.gives) for each in lathe.speeds] == [150, 400]
    assert [float(each.gives) for each in lathe.pitches] == [1, 1.27, 2]
    assert [float(each.gives) for each in lathe.cross_feeds] == [0.025, 0.05]
    assert float(lathe.leadscrew.pitch) == 4


def test_a_sheet_alone_gives_the_parts_that_it_has(tmp_path: Path) -> None:
    text, findings = import_chart(sheet(tmp_path, TERN))
    assert findings == []
    assert re.findall(r"^(\w+):", text, re.M) == ["levers", "spindle", "feed"]
    assert text.startswith("# Parts of a profile")
    assert parts(read_sheet(sheet(tmp_path, "kind,value\nspeed,90 rpm\n"))) == {
        "spindle": {"table": [{"speed": "90 rpm"}]}
    }


@pytest.mark.parametrize(
    "changed",
    [
        TERN.replace(",", ";"),
        TERN.replace(",", "\t"),
        TERN.replace(",", ";").replace("0.", "0,"),
        TERN.replace("0.05 mm/turn", '"0,05 mm/turn"'),
        "\ufeff" + TERN,
        TERN.replace("\n", "\r\n"),
        TERN.replace("\n", "\r"),
        TERN.replace("kind,value", "Kind, VALUE "),
        "# from the plate\n\n" + TERN.replace("speed,400", "\n# the fast one\nspeed,400"),
        TERN.replace(",train\n", ",train,,\n"),
        TERN.replace("127/50 x 20/80", "127/50 × 20/80"),
    ],
)
def test_the_same_sheet_in_other_forms_gives_the_same_parts(tmp_path: Path, changed: str) -> None:
    expected = parts(read_sheet(sheet(tmp_path, TERN)))
    found = read_sheet(sheet(tmp_path, changed))
    assert found.wrong == ()
    assert parts(found) == expected


def test_speeds_are_listed_rising(tmp_path: Path) -> None:
    found = parts(
        read_sheet(sheet(tmp_path, "kind,value,knob\nspeed,400 rpm,B\nspeed,150 rpm,A\n"))
    )
    assert [row["speed"] for row in found["spindle"]["table"]] == ["150 rpm", "400 rpm"]


def test_a_sheet_with_gears_in_every_row_is_a_lathe_without_gearbox(tmp_path: Path) -> None:
    text = (
        "kind,value,train\nspeed,300 rpm,\nthread,1.5 mm,30/60\nfeed,0.1 mm/turn,20/100 x 20/120\n"
    )
    given = about("wren", "metric", "3 mm", "0.05 mm x 40 radius", "0.05 mm x 40 radius")
    written, findings = import_chart(sheet(tmp_path, text), given)
    assert findings == []
    lathe = load(written)
    assert not lathe.gearbox
    assert [float(each.gives) for each in lathe.pitches] == [1.5]


def test_the_bundled_badger_typed_into_a_sheet_comes_out_the_same(tmp_path: Path) -> None:
    badger = find("badger")
    levers = [lever.name for lever in badger.levers if lever.group != "direction"]
    lines = [",".join(["kind", "value", *levers])]
    for kind, settings_, unit in (
        ("speed", badger.speeds, "rpm"),
        ("thread", [each for each in badger.pitches if each.train is None], "mm"),
        ("feed", badger.feeds, "mm/turn"),
    ):
        for each in settings_:
            figure = f"{float(each.gives):.9f} {unit}"
            lines.append(
                ",".join([kind, figure, *(each.levers.get(lever, "") for lever in levers)])
            )
    given = about("badger", "metric", "6 mm", "0.05 mm x 160 diameter", "0.02 mm x 150 radius")
    text, findings = import_chart(sheet(tmp_path, "\n".join(lines)), given)
    assert findings == []
    typed = load(text)
    assert [each.levers for each in typed.speeds] == [each.levers for each in badger.speeds]
    assert [each.levers for each in typed.feeds] == [each.levers for each in badger.feeds]


ROWS = [
    (
        "sped,150 rpm,A,,,",
        'kind is "sped"; expected speed, thread, feed, cross feed; the nearest is speed',
    ),
    (",150 rpm,A,,,", 'kind is ""; expected speed, thread, feed, cross feed'),
    ("speed,,A,,,", 'has no value; expected a figure such as "210 rpm"'),
    ("speed,150,A,,,", '"150" is not a figure with its unit such as "210 rpm"'),
    ("speed,150 rmp,A,,,", '"150 rmp" is not a figure with its unit such as "210 rpm"'),
    ("speed,0 rpm,A,,,", '"0 rpm" must be more than zero, such as "210 rpm"'),
    ("speed,-5 rpm,A,,,", '"-5 rpm" is not a figure with its unit such as "210 rpm"'),
    ('speed,"1,250 rpm",C,,,', '"1,250 rpm" could be 1.250 or 1250'),
    ("speed,1,250 rpm,C,,,,x", "has 8 cells and the heading 6"),
    ("speed,150 rpm,A,,,40/60", "is a speed with a train"),
    ("thread,1.5 mm,,left,along,40", '"40" is not a gear train'),
    ("thread,1.5 mm,,left,,", '"1.5 mm" does not say where lever "gate" stands; fill its cell'),
    ("thread,1.5 mm,,left,screw,", '"1.5 mm" has the same levers and gears as "1 mm" in line 4'),
    (
        "thread,1.5 mm,A,left,along,",
        'lever "knob" is used for a thread here and for a speed in line 2',
    ),
    ("thread,1.5 mm,,le\x07ft,along,", 'has a cell "le ft" that is no plain short text'),
    (f"thread,1.5 mm,,{'x' * 201},along,", "that is no plain short text"),
]


@pytest.mark.parametrize(("row", "sentence"), ROWS)
def test_a_wrong_row_is_named_by_its_line_and_the_others_stay(
    tmp_path: Path, row: str, sentence: str
) -> None:
    [(line, problem)] = wrong(tmp_path, TERN + row + "\n")
    assert line == 11
    assert sentence in problem
    assert "\n" not in problem
    expected = parts(read_sheet(sheet(tmp_path, TERN)))
    assert parts(read_sheet(sheet(tmp_path, TERN + row + "\n"))) == expected


def test_every_wrong_row_is_listed_in_order_with_the_line_where_it_begins(tmp_path: Path) -> None:
    text = TERN + 'speed,fast,A,,,\n"sp\need",150 rpm,A,,,\n\nspeed,slow,A,,,\n'
    assert [line for line, _ in wrong(tmp_path, text)] == [11, 12, 15]


def test_a_lever_with_one_position_is_named_at_the_heading(tmp_path: Path) -> None:
    text = "kind,value,knob,drive\nthread,1 mm,A,screw\nthread,2 mm,B,screw\n"
    assert wrong(tmp_path, text) == [
        (
            1,
            'lever "drive" stands at "screw" in every row, and a lever has two positions at least; '
            "leave its column out or add a row",
        )
    ]


def test_a_value_in_a_column_without_a_name_is_wrong(tmp_path: Path) -> None:
    assert wrong(tmp_path, "kind,value,\nspeed,90 rpm,A\n") == [
        (2, 'has "A" in a column without a name; name the lever')
    ]


FILES = [
    (b"", None, "is empty; expected a heading such as kind,value,range,collar,train"),
    (b"\n# nothing\n", None, "is empty"),
    (b"kind,value\n", 1, "is a heading without any row below it"),
    (b"kind,knob\nspeed,A\n", 1, 'has no column "value"; expected a heading such as'),
    (b"150 rpm,A\n", 1, 'has no column "kind"'),
    (b"kind,value,knob,knob\nspeed,90 rpm,A,B\n", 1, 'has two columns "knob"; rename one'),
    (b'kind,value\nspeed,"90 rpm\n', 2, "is no row of CSV here"),
    (b'kind,value\nspeed,"90" rpm\n', 2, "is no row of CSV here"),
    (b'kind,"value\nspeed,90 rpm\n', 1, "is no heading of CSV"),
    (b"kind,value\nspeed,90 rpm \xb1 5\n", 2, "is not UTF-8 text; save the sheet as CSV in UTF-8"),
    ("kind,value\n".encode("utf-16"), 1, "is not UTF-8 text"),
    (bytes(range(256)) * 10, 2, "is not UTF-8 text"),
    (b"kind,value\n" + b"speed,90 rpm\n" * 800_000, None, "is over 1 MB"),
    (b"kind,value\n" + b"speed,90 rpm\n" * 6000, 5002, "is row 5001; a placard has fewer"),
    (b"kind,value\nspeed," + b"9" * 200_000 + b"\n", 2, "is no row of CSV here"),
]


@pytest.mark.parametrize(("raw", "line", "sentence"), FILES, ids=range(len(FILES)))
def test_a_file_that_is_no_sheet_is_refused(
    tmp_path: Path, raw: bytes, line: int | None, sentence: str
) -> None:
    with pytest.raises(ProfileError, match=re.escape(sentence)) as caught:
        read_sheet(sheet(tmp_path, raw))
    assert caught.value.line == line
    assert "\n" not in caught.value.problem


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(ProfileError, match="cannot be read: No such file"):
        read_sheet(tmp_path / "none.csv")
    with pytest.raises(ProfileError, match="cannot be read: Is a directory"):
        read_sheet(tmp_path)


def test_a_whole_profile_is_checked(tmp_path: Path) -> None:
    text = TERN + "thread,20 per inch,,right,screw,127/50 x 20/80\n"
    given = about("tern", "metric", "4 mm", "0.05 mm x 163 diameter", "0.05 mm x 40 radius")
    _, findings = import_chart(sheet(tmp_path, text), given)
    assert ["163 divisions" in finding.problem for finding in findings] == [True]


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (
            ("tern", None, None, None, None),
            "needs --units and --leadscrew and --cross-slide and --compound too",
        ),
        ((None, "inch", None, None, None), "needs --name and"),
    ],
)
def test_what_is_missing_for_a_whole_profile_is_named(
    given: tuple[str | None, ...], sentence: str
) -> None:
    with pytest.raises(ValueError, match=sentence):
        about(*given)


def test_without_anything_about_the_lathe_only_parts_are_made() -> None:
    assert about(None, None, None, None, None) is None


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"name": "two words"}, '"two words" is not one word'),
        ({"units": "furlongs"}, '"furlongs" is not one of the answers'),
        ({"leadscrew": "coarse"}, '"coarse" is not a figure with its unit'),
        ({"cross_slide": "0.05 mm"}, '"0.05 mm" is not a division, how many there are'),
        ({"compound": "0.05 x 160 diameter"}, '"0.05" is not a figure with its unit'),
    ],
)
def test_what_is_wrong_about_the_lathe_is_refused(change: dict[str, str], sentence: str) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        about(**{**LATHE, **change})


def test_a_slide_in_inches() -> None:
    assert slide("0.001 inch × 200 diameter") == {
        "division": "0.001 inch",
        "divisions": 200,
        "reads": "diameter",
    }


@given(st.integers(0, 2**32))
@settings(max_examples=200, deadline=None)
def test_a_spoiled_sheet_is_read_or_refused(throw: int) -> None:
    dice = random.Random(throw)
    letters = list(TERN)
    for _ in range(dice.randint(1, 5)):
        at = dice.randrange(len(letters))
        if dice.random() < 0.4:
            del letters[at : at + dice.randint(1, 40)]
        else:
            letters[at:at] = dice.choice(
                ['"', ",", ";", "\n", "\t", "=", "\x00", "\ud7ff", "é", "#", "x" * 300]
            )
    with tempfile.TemporaryDirectory() as folder:
        path = sheet(Path(folder), "".join(letters))
        with suppress(ProfileError):
            text, findings = import_chart(path, ABOUT)
            # What was read is always YAML: a profile, or one whose contradictions are found.
            assert all(finding.line is not None for finding in (findings or check(text)))


@given(st.binary(max_size=300))
@settings(max_examples=200, deadline=None)
def test_random_bytes_are_refused(raw: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder, pytest.raises(ProfileError):
        read_sheet(sheet(Path(folder), raw))
