"""Each planted inconsistency is found, at its line, beside all others."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.errors import ProfileError
from profiles.check import check
from profiles.faults import Finding
from profiles.load import load
from profiles.source import PLAIN_TEXT
from tests.profiles.planted import PLANTED, Planted
from tests.profiles.sorrel import SORREL, line_of, spoiled


def findings(text: str) -> list[tuple[int | None, str]]:
    return [(finding.line, finding.problem) for finding in check(text)]


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.case)
def test_a_planted_inconsistency_is_the_one_finding(planted: Planted) -> None:
    text = spoiled(planted.old, planted.new)
    found = check(text)
    line = line_of(text, planted.at)
    assert found == [Finding(PLAIN_TEXT, line, planted.problem, planted.stops)]


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.case)
def test_only_a_finding_that_stops_keeps_the_lathe_from_loading(planted: Planted) -> None:
    text = spoiled(planted.old, planted.new)
    if planted.stops:
        with pytest.raises(ProfileError) as caught:
            load(text)
        assert caught.value.problem == planted.problem
    else:
        assert load(text).name == "sorrel"


def test_a_sound_profile_has_no_findings() -> None:
    assert check(SORREL) == []


MORE = (
    (
        "unknown lever in the speed table",
        (('"150 rpm", levers: {knob: "A"}', '"150 rpm", levers: {nob: "A"}'),),
        (
            ("{nob:", '"nob" is no lever of this lathe; the nearest is "knob"'),
            ("{nob:", '"150 rpm" does not say where lever "knob" stands; name its position'),
            (
                '"400 rpm", levers',
                '"400 rpm" does not say where lever "nob" stands; name its position',
            ),
        ),
    ),
    (
        "one setting with two figures",
        (
            (
                '{lead: "2 mm", levers: {slider: "right"}}',
                '{lead: "2 mm", levers: {slider: "left"}}',
            ),
        ),
        (
            (
                '"2 mm"',
                '"2 mm" has the same setting as "1 mm"; '
                "one setting gives one figure, so correct one of them",
            ),
            (
                '"2 mm"',
                '"2 mm" is printed, but the drive gives 1 mm; correct the row or the drive',
            ),
        ),
    ),
    (
        "two settings of one pitch that disagree",
        (('{lead: "2 mm",', '{lead: "1 mm",'),),
        (
            (
                '"1 mm", levers: {slider: "right"}',
                '"1 mm" is printed, but the drive gives 2 mm; correct the row or the drive',
            ),
            (
                '"1 mm", levers: {slider: "right"}',
                '"1 mm" has two settings that disagree: the drive gives 1 mm for the first and '
                "2 mm here",
            ),
        ),
    ),
    (
        "two settings of one pitch, each within its rounding",
        (
            ('{lead: "1 mm",', '{lead: "2 mm",'),
            ('left: {gears: "20/40"}', 'left: {ratio: "0.9995"}'),
            ('{feed: "0.05 mm/turn",', '{feed: "0.0999 mm/turn",'),
            ('{feed: "0.025 mm/turn",', '{feed: "0.0500 mm/turn",'),
            ('          - "20 per inch"\n', ""),
        ),
        (
            (
                '"2 mm", levers: {slider: "right"}',
                '"2 mm" has two settings that disagree: the drive gives 1.999 mm for the first '
                "and 2 mm here",
            ),
        ),
    ),
    (
        "marks off whole teeth",
        (("{teeth: 20}", "{teeth: 18}"),),
        (
            (
                "MARK 2",
                "plain mark 2 stands at 4.5 teeth of the gear of 18 from the first; "
                "marks sit on whole teeth, so correct the marks or the teeth",
            ),
            (
                "MARK 4",
                "plain mark 4 stands at 13.5 teeth of the gear of 18 from the first; "
                "marks sit on whole teeth, so correct the marks or the teeth",
            ),
        ),
    ),
)


def placed(text: str, at: str) -> int:
    """The line of `at`, or of the mark whose number it names."""
    if at.startswith("MARK "):
        return line_of(text, "  marks:") + int(at.removeprefix("MARK "))
    return line_of(text, at)


@pytest.mark.parametrize(("case", "changes", "wanted"), MORE, ids=[case for case, *_ in MORE])
def test_what_follows_from_one_mistake_is_all_found(
    case: str, changes: tuple[tuple[str, str], ...], wanted: tuple[tuple[str, str], ...]
) -> None:
    text = SORREL
    for old, new in changes:
        text = spoiled(old, new, text)
    assert findings(text) == [(placed(text, at), problem) for at, problem in wanted]


def test_every_inconsistency_is_found_in_one_run() -> None:
    text = SORREL
    # Those that change other parts of the file, so that all can stand in it at once.
    cases = (
        "unknown position of a reversing lever",
        "lever never used",
        "speed that no lever set gives",
        "chart pitch that the gears do not give",
        "chart feed that the gears do not give",
        "lead that a train does not give",
        "train out of the banjo's reach",
        "dial gear that is too large",
        "a label twice",
        "compound dial that no screw fits",
        "cross-slide dial against the cross-feed screw",
        "chuck limit under the lowest speed",
        "chuck that does not swing",
    )
    chosen = [planted for planted in PLANTED if planted.case in cases]
    assert len(chosen) == len(cases)
    for planted in chosen:
        text = spoiled(planted.old, planted.new, text)
    wanted = [(line_of(text, planted.at), planted.problem) for planted in chosen]
    assert findings(text) == sorted(wanted)


def test_fields_that_do_not_fit_do_not_hide_the_rest() -> None:
    text = spoiled('"400 rpm", levers', '"450 rpm", levers')
    text = spoiled("swing_over_bed:", "swing_over_the_bed:", text)
    text = spoiled('top_speed: "1200 rpm"', "top_speed: 1200", text)
    text = spoiled('feed: "0.10 mm/turn"', 'feed: "0.10 mm"', text)
    assert findings(text) == [
        (
            line_of(text, '"450 rpm", levers'),
            '"450 rpm" is printed, but the drive gives 400 rpm; correct the row or the drive',
        ),
        (
            line_of(text, '"0.10 mm"'),
            'feed.chart.feeds[2].feed: "0.10 mm" is not a figure with its unit such as '
            '"0.1 mm/turn" or "0.004 inch/turn"',
        ),
        (
            line_of(text, "top_speed: 1200"),
            'chucks[1].top_speed: 1200 is a bare number; write it in quotes, such as "210 rpm"',
        ),
        (
            line_of(text, "swing_over_the_bed"),
            'the profile has no field "swing_over_the_bed"; the nearest is "swing_over_bed"',
        ),
    ]


def test_lines_still_fit_behind_a_row_that_was_left_out() -> None:
    text = spoiled('{lead: "1 mm",', "{lead: 1,")
    text = spoiled('{lead: "2 mm",', '{lead: "2.5 mm",', text)
    assert findings(text)[1] == (
        line_of(text, '"2.5 mm"'),
        '"2.5 mm" is printed, but the drive gives 2 mm; correct the row or the drive',
    )


def test_a_gear_of_several_that_only_the_first_mark_fits_is_found() -> None:
    text = spoiled(
        "    - {teeth: 20}\n",
        "    - {name: small, teeth: 20}\n    - {name: large, teeth: 27}\n",
    )
    assert findings(text) == [
        (
            line_of(text, "teeth: 27"),
            "with 27 teeth only the first mark sits on a whole tooth; "
            "correct the teeth or the marks",
        )
    ]


def test_a_mark_that_fits_no_gear_of_several_is_found() -> None:
    text = spoiled(
        "    - {teeth: 20}\n",
        "    - {name: small, teeth: 18}\n    - {name: large, teeth: 22}\n",
    )
    assert [line for line, _ in findings(text)] == [
        line_of(text, "  marks:") + 2,
        line_of(text, "  marks:") + 4,
    ]


def test_a_dial_gear_on_an_inch_screw_turns_in_whole_inches() -> None:
    text = SORREL.replace('leadscrew: {pitch: "4 mm"}', 'leadscrew: {pitch: "8 per inch"}')
    text = text.replace("{teeth: 20}", "{teeth: 36}")
    wanted = (
        "a dial gear of 36 teeth on a screw of 8 per inch does not turn once in whole inches; "
        "expected a multiple of 8"
    )
    assert (line_of(text, "{teeth: 36}"), wanted) in findings(text)
    assert wanted not in [
        problem for _, problem in findings(text.replace("{teeth: 36}", "{teeth: 32}"))
    ]


def test_a_missing_thread_dial_is_allowed() -> None:
    start, _, rest = SORREL.partition("thread_dial:")
    text = start + rest[rest.index("cross_slide:") :]
    assert check(text) == []
    assert load(text).thread_dial is None


def test_drives_with_too_many_settings_are_refused_and_not_listed() -> None:
    levers = "".join(
        f'  - {{name: l{index}, group: spindle, positions: ["0", "1", "2", "3", "4", "5", "6"]}}\n'
        for index in range(10)
    )
    steps = "".join(
        f"      - lever: l{index}\n        positions: {{"
        + ", ".join(f'"{place}": {{ratio: "1"}}' for place in range(7))
        + "}\n"
        for index in range(10)
    )
    text = spoiled("spindle:\n", f"{levers}\nspindle:\n")
    text = spoiled("      - lever: knob\n", f"{steps}      - lever: knob\n", text)
    # Spindle 7 to the power 10 times 2; leads 2 x 2 trains; feeds 2; cross feeds 2.
    problem = f"the drives give {2 * 7**10 + 4 + 2 + 2} settings; a lathe has at most 5000"
    assert findings(text) == [(line_of(text, "^name:"), problem)]


def test_a_speed_must_be_possible() -> None:
    text = spoiled(
        '    motor: "1200 rpm"\n',
        '    motor: "1200 rpm"\n    impossible: [{knob: "A"}, {knob: "B"}]\n',
    )
    assert (
        line_of(text, "^spindle:"),
        "no lever set gives a speed; leave one that is possible",
    ) in findings(text)


def test_a_file_called_otherwise_than_its_lathe_is_found(tmp_path: Path) -> None:
    path = tmp_path / "clover.yaml"
    path.write_text(SORREL, encoding="utf-8")
    assert check(path) == [
        Finding(
            str(path),
            2,
            'the lathe is called "sorrel" but its file "clover"; it is found by its file\'s name, '
            "so make them the same",
            stops=False,
        )
    ]


def test_what_cannot_be_read_is_one_finding(tmp_path: Path) -> None:
    path = tmp_path / "sorrel.yaml"
    path.write_bytes(b"name: a\nname: b\n")
    assert check(path) == [Finding(str(path), 2, '"name" stands twice, first in line 1; keep one')]


def test_a_change_gear_without_a_train_is_found() -> None:
    text = 'include: "juniper"\nfeed:\n  change_gears:\n    threads:\n      - {lead: "1 mm"}\n'
    assert (
        3,
        'feed.change_gears: has no train for "1 mm"; give one such as "40/60 x 30/72"',
    ) in findings(text)


def test_a_change_gear_lead_that_its_train_does_not_cut_is_found() -> None:
    text = (
        'include: "juniper"\nlevers: []\nfeed:\n  change_gears:\n    threads:\n'
        '      - {lead: "1 mm", train: "40/60"}\n'
    )
    problem = '"1 mm" is printed, but the drive gives 2 mm; correct the row or the drive'
    assert (6, problem) in findings(text)


def test_a_chart_with_trains_is_checked_against_the_gears_owned() -> None:
    text = spoiled(
        '      - {lead: "2 mm", levers: {slider: "right"}}\n',
        '      - {lead: "2 mm", levers: {slider: "right"}}\n'
        '      - {lead: "4 mm", levers: {slider: "right"}, train: "60/60"}\n',
    )
    line = line_of(text, '"4 mm", levers')
    assert findings(text) == [
        (line, '"4 mm" has a setting that the drive does not have; correct its levers'),
        (
            line,
            "the train needs 2 gears of 60 teeth and the shop owns 1; "
            "correct the train or the list of gears",
        ),
    ]


@pytest.mark.parametrize(("teeth", "fouls"), [(69, False), (70, True)])
def test_a_gear_that_just_reaches_the_next_shaft_is_found(teeth: int, fouls: bool) -> None:
    # 20/50 stand 35 modules apart; a gear of 70 teeth beside the 50 reaches 35 modules.
    text = spoiled('train: "127/50 x 20/80"', f'train: "20/50 x {teeth}/80"')
    text = spoiled("gears: [20, 30,", f"gears: [{teeth}, 20, 30,", text)
    problem = (
        f"the gear of {teeth} teeth reaches the shaft of the gear of 20; order the pairs otherwise"
    )
    assert ((line_of(text, "20/50 x"), problem) in findings(text)) is fouls
