"""Finding, including and loading profiles, and exact figures."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from pydantic import BaseModel

from assistant.core.levers import WhenToShift
from assistant.errors import ProfileError
from profiles import exact, schema
from profiles.check import check
from profiles.lathe import Banjo, Reversing, SpindleDirection
from profiles.load import bundled, find, load, names, shop_folder
from tests.profiles.sorrel import SORREL, spoiled


def written(folder: Path, name: str, text: str) -> Path:
    path = folder / f"{name}.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_text_a_path_and_a_file_name_give_the_same_lathe(tmp_path: Path) -> None:
    path = written(tmp_path, "sorrel", SORREL)
    assert load(SORREL) == load(path) == load(str(path))


def test_every_field_reaches_the_lathe() -> None:
    lathe = load(SORREL)
    assert (lathe.name, lathe.spoken, lathe.inch) == ("sorrel", ("sorrel",), False)
    assert lathe.description == "Small lathe in the paint shed"
    assert lathe.speed_excess == Fraction(1, 20)
    assert [lever.when for lever in lathe.levers[:2]] == [WhenToShift.STOPPED, WhenToShift.SLOW]
    assert lathe.levers[0].spoken_positions == {"A": "alpha"}
    assert [setting.gives for setting in lathe.speeds] == [150, 400]
    assert [setting.gives for setting in lathe.feeds] == [Fraction(1, 20), Fraction(1, 10)]
    assert [setting.gives for setting in lathe.cross_feeds] == [Fraction(1, 40), Fraction(1, 20)]
    assert lathe.leadscrew.lead == 4
    assert (lathe.cross_slide.division, lathe.cross_slide.divisions) == (Fraction(1, 20), 160)
    assert lathe.cross_slide.reads == "diameter"
    assert [(chuck.name, int(chuck.top_speed)) for chuck in lathe.chucks] == [
        ("three-jaw chuck", 1200),
        ("faceplate", 400),
    ]
    assert (lathe.swing_over_bed, lathe.swing_over_slide) == (Fraction(200), Fraction(120))
    assert lathe.motor_power is None
    assert lathe.banjo == Banjo(Fraction(30), Fraction(120), Fraction(1))
    assert lathe.reversing == Reversing("tumbler", "up", "down", "middle")
    assert lathe.usual_train == exact.train("30/60")


def test_marks_are_evenly_spaced_by_default_and_numbered_by_their_label() -> None:
    dial = load(SORREL).thread_dial
    assert dial is not None
    assert [mark.position for mark in dial.marks] == [Fraction(index, 4) for index in range(4)]
    assert [mark.numbered for mark in dial.marks] == [True, False, True, False]


def test_given_positions_of_marks_are_kept() -> None:
    text = spoiled("  marks:\n", '  positions: ["0", "1/10", "1/2", "7/10"]\n  marks:\n')
    dial = load(text).thread_dial
    assert dial is not None
    assert [str(mark.position) for mark in dial.marks] == ["0", "1/10", "1/2", "7/10"]


def test_starting_lever_motor_and_tailstock_of_heron() -> None:
    heron = find("heron")
    assert heron.spindle_direction == SpindleDirection("clutch", "forward", "back", "stop")
    assert (heron.motor_power, heron.drive_efficiency) == (2.2, 0.75)
    assert (heron.tailstock_taper, heron.tailstock_travel) == ("MT3", Fraction("114.3"))
    assert heron.banjo is not None
    assert heron.banjo.module == Fraction("1.5875")


def test_a_figure_from_the_kinematics_is_exact_where_the_printed_one_is_rounded() -> None:
    text = spoiled('right: {ratio: "1"}', 'right: {ratio: "0.9999"}')
    text = spoiled('          - "10 per inch"\n', "", text)
    assert load(text).pitches[-1].gives == Fraction("1.9998")


def test_a_printed_speed_may_be_rounded_to_tens() -> None:
    text = spoiled('driven: "200 mm"', 'driven: "202 mm"')
    assert load(text).speeds[-1].gives == Fraction(40000, 101)


def with_a_chart_alone() -> str:
    start, _, rest = SORREL.partition("  kinematics:\n    end_train")
    text = start + rest[rest.index("\nthread_dial:") :]
    return spoiled(
        '  - {name: gate, group: feed, positions: ["screw", "along", "across"]}\n', "", text
    )


def test_a_chart_alone_gives_its_figures_as_printed() -> None:
    lathe = load(with_a_chart_alone())
    assert [setting.gives for setting in lathe.pitches] == [1, 2]
    assert lathe.usual_train is None
    assert lathe.gearbox


def test_of_two_settings_of_a_lead_the_one_with_the_usual_gears_comes_first() -> None:
    row = '      - {lead: "2 mm", levers: {slider: "right"}}\n'
    geared = '      - {lead: "2 mm", levers: {slider: "left"}, train: "60/30"}\n'
    lathe = load(spoiled(row, geared + row, with_a_chart_alone()))
    twos = [setting for setting in lathe.pitches if setting.gives == 2]
    assert [setting.train for setting in twos] == [None, exact.train("60/30")]


def test_impossible_lever_sets_are_left_out() -> None:
    text = spoiled(
        "    other_trains:\n", '    impossible: [{slider: "right"}]\n    other_trains:\n'
    )
    text = spoiled('          - "10 per inch"\n', "", text)
    text = spoiled('      - {lead: "2 mm", levers: {slider: "right"}}\n', "", text)
    text = spoiled('      - {feed: "0.10 mm/turn", levers: {slider: "right"}}\n', "", text)
    text = spoiled('      - {feed: "0.050 mm/turn", levers: {slider: "right"}}\n', "", text)
    lathe = load(text)
    assert [setting.levers["slider"] for setting in lathe.pitches] == ["left", "left"]


def test_the_leadscrew_may_have_several_starts() -> None:
    text = spoiled('leadscrew: {pitch: "4 mm"}', 'leadscrew: {pitch: "2 mm", starts: 2}')
    lathe = load(text)
    assert (lathe.leadscrew.pitch, lathe.leadscrew.lead) == (Fraction(2), Fraction(4))
    assert lathe.pitches == load(SORREL).pitches


def test_the_shops_own_lathe_is_found_and_wins(tmp_path: Path) -> None:
    written(tmp_path, "sorrel", SORREL)
    written(tmp_path, "heron", SORREL.replace("name: sorrel", "name: heron"))
    (tmp_path / "notes.txt").write_text("no profile", encoding="utf-8")
    assert names(tmp_path) == ["badger", "heron", "juniper", "sorrel"]
    assert find("Sorrel", tmp_path).name == "sorrel"
    assert not find("heron", tmp_path).inch
    assert find("heron", None).inch


def test_a_missing_shop_folder_is_an_empty_one(tmp_path: Path) -> None:
    assert names(tmp_path / "none") == bundled()
    assert find("heron", tmp_path / "none").name == "heron"


def test_the_shop_folder_is_in_the_xdg_data_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert shop_folder() == tmp_path / "swarfside" / "profiles"


@pytest.mark.parametrize("value", [None, "", "relative/path"])
def test_without_a_proper_xdg_folder_the_shop_folder_is_under_home(
    value: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    if value is not None:
        monkeypatch.setenv("XDG_DATA_HOME", value)
    monkeypatch.setenv("HOME", "/home/shop")
    assert shop_folder() == Path("/home/shop/.local/share/swarfside/profiles")


def test_a_base_profile_is_replaced_field_by_field(tmp_path: Path) -> None:
    written(tmp_path, "sorrel", SORREL)
    text = 'include: "sorrel"\nname: clover\nspeed_excess: "1 %"\n'
    clover = load(written(tmp_path, "clover", text))
    assert (clover.name, clover.speed_excess) == ("clover", Fraction(1, 100))
    assert clover.speeds == load(SORREL).speeds


def test_a_bundled_lathe_may_be_a_base_for_a_text_and_for_its_own_name(tmp_path: Path) -> None:
    text = 'include: "heron"\nspeed_excess: "0 %"\n'
    assert load(text).speed_excess == 0
    assert find("heron", written(tmp_path, "heron", text).parent).speed_excess == 0


def test_a_fault_in_a_base_profile_is_shown_in_the_base(tmp_path: Path) -> None:
    base = written(tmp_path, "sorrel", spoiled('"400 rpm", levers', '"450 rpm", levers'))
    top = written(tmp_path, "clover", 'include: "sorrel"\nname: clover\n')
    with pytest.raises(ProfileError) as caught:
        load(top)
    assert (caught.value.file, caught.value.line) == (str(base), 16)


def test_a_ring_of_profiles_is_refused(tmp_path: Path) -> None:
    one = written(tmp_path, "one", 'name: one\ninclude: "two"\n')
    two = written(tmp_path, "two", 'include: "one"\n')
    with pytest.raises(ProfileError) as caught:
        load(one)
    assert (caught.value.file, caught.value.line) == (str(two), 1)
    assert caught.value.problem == (
        f"{one} includes {two} includes {one}: profiles may not include one another in a ring"
    )


def test_a_profile_that_includes_itself_is_refused(tmp_path: Path) -> None:
    path = written(tmp_path, "one", 'include: "one"\n')
    with pytest.raises(ProfileError, match="may not include one another in a ring"):
        load(path)


def test_a_long_chain_of_profiles_is_refused(tmp_path: Path) -> None:
    for number in range(8):
        written(tmp_path, f"l{number}", f'include: "l{number + 1}"\n')
    with pytest.raises(ProfileError) as caught:
        load(tmp_path / "l0.yaml")
    assert (caught.value.file, caught.value.line) == (str(tmp_path / "l4.yaml"), 1)
    assert caught.value.problem == "is the last of 5 profiles that may be chained"


@pytest.mark.parametrize(
    ("include", "problem"),
    [
        (
            '"../secret"',
            'include is "../secret"; expected the name of a profile such as "heron", no path',
        ),
        (
            '"/etc/passwd"',
            'include is "/etc/passwd"; expected the name of a profile such as "heron", no path',
        ),
        ('"hernn"', 'include is "hernn", which is no profile known here; the nearest is heron'),
        ("[heron]", 'include is not a name; expected such as include: "heron"'),
        ("12", 'include is not a name; expected such as include: "heron"'),
    ],
)
def test_an_include_that_is_no_profile_is_refused(include: str, problem: str) -> None:
    with pytest.raises(ProfileError) as caught:
        load(f"name: clover\ninclude: {include}\n")
    assert (caught.value.line, caught.value.problem) == (2, problem)


@pytest.mark.parametrize(
    ("text", "measure", "value"),
    [
        ("0.1 mm", exact.LENGTH, Fraction(1, 10)),
        ("1/8 inch", exact.LENGTH, Fraction(127, 40)),
        ("7 1/2 inch", exact.LENGTH, Fraction(381, 2)),
        (".5 thou", exact.LENGTH, Fraction(127, 10_000)),
        ("1.2 m", exact.LENGTH, Fraction(1200)),
        ("11 1/2 per inch", exact.LEAD, Fraction(254, 115)),
        ("0.004 inch/turn", exact.FEED, Fraction(127, 1250)),
        ("2 hp", exact.POWER, Fraction("1.49139974316454044")),
        ("550 W", exact.POWER, Fraction(11, 20)),
        ("33.5 rpm", exact.SPEED, Fraction(67, 2)),
    ],
)
def test_a_figure_is_read_exactly(text: str, measure: exact.Measure, value: Fraction) -> None:
    found = exact.printed(text, measure).value
    assert found == value
    assert type(found) is Fraction


def test_readme_example_is_sound_and_readme_names_every_field() -> None:
    readme = (Path(schema.__file__).parent / "README.md").read_text(encoding="utf-8")
    example = readme.partition("```yaml\n")[2].partition("```")[0]
    assert check(example) == []
    assert load(example).name == "sorrel"
    models = [
        model
        for model in vars(schema).values()
        if isinstance(model, type) and issubclass(model, BaseModel)
    ]
    fields = {name for model in models for name in model.model_fields}
    assert len(fields) > 60
    words = set(
        "".join(letter if letter.isalnum() or letter == "_" else " " for letter in readme).split()
    )
    assert fields - words == set()


def test_gears_that_stand_in_for_one_of_127_cut_what_they_cut() -> None:
    text = spoiled('train: "127/50 x 20/80"', 'train: "40/63"')
    text = spoiled('          - "20 per inch"\n', "", text)
    text = spoiled("gears: [20, 30, 40, 50, 60, 80, 127]", "gears: [30, 40, 60, 63]", text)
    lead = next(one.gives for one in load(text).pitches if one.train == exact.train("40/63"))
    assert lead == Fraction(160, 63)
    # 80/63 stands in for 1.27 with an error of -0.0125 %.
    assert round(float(lead / Fraction("2.54") - 1) * 100, 4) == -0.0125


def test_remarks_are_kept_as_they_are() -> None:
    lathe = load(SORREL + '\nremarks: {"oil": "every Monday"}\n')
    assert lathe.extra == {"oil": "every Monday"}


def test_a_lathe_of_which_only_the_leadscrew_is_known() -> None:
    text = 'include: "juniper"\nlevers: []\nfeed: {change_gears: {}}\n'
    text += 'spindle: {table: [{speed: "300 rpm"}]}\n'
    lathe = load(text)
    assert (lathe.pitches, lathe.feeds, lathe.gearbox) == ((), (), False)
    assert lathe.leadscrew.lead == 3
    assert [setting.gives for setting in lathe.speeds] == [300]
