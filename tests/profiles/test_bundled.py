"""The lathes that come with Swarfside: figures worked by hand, no findings, names for the ear."""

from __future__ import annotations

import re
from fractions import Fraction
from importlib.util import find_spec
from itertools import combinations
from pathlib import Path

import pytest

from assistant.core.levers import Lever, Setting
from profiles import source
from profiles.check import examined
from profiles.exact import train
from profiles.lathe import Lathe
from profiles.load import bundled, find
from tests.check_values import check_rows

LATHES = ("badger", "heron", "juniper")
ISO_COARSE = "0.5 0.7 0.8 1 1.25 1.5 1.75 2 2.5 3 3.5 4"
"""ISO 261, coarse pitches of M3 to M36, mm (M3.5 left out)."""


def settings_of(lathe: Lathe, kind: str) -> tuple[Setting, ...]:
    return {
        "speed": lathe.speeds,
        "lead": lathe.pitches,
        "feed": lathe.feeds,
        "cross feed": lathe.cross_feeds,
    }[kind]


def levers_in(cell: str) -> dict[str, str]:
    parts = [part.strip().partition("=") for part in cell.split(";") if part.strip()]
    return {lever: position for lever, _, position in parts}


@pytest.mark.parametrize("row", check_rows("lathe_profiles.csv"))
def test_figure_is_as_worked_by_hand(row: dict[str, str]) -> None:
    wanted = levers_in(row["levers"])
    gears = train(row["train"]) if row["train"] else None
    found = [
        setting
        for setting in settings_of(find(row["lathe"]), row["kind"])
        if wanted.items() <= setting.levers.items() and setting.train == gears
    ]
    assert [setting.gives for setting in found] == [Fraction(row["expected"])]
    assert type(found[0].gives) is Fraction


def test_the_three_lathes_are_bundled() -> None:
    assert bundled() == sorted(LATHES)


@pytest.mark.parametrize("name", LATHES)
def test_a_bundled_lathe_has_no_findings(name: str) -> None:
    assert examined(source.opened_bundled(name))[1] == []


@pytest.mark.parametrize("name", LATHES)
@pytest.mark.parametrize("kind", ["speed", "lead", "feed", "cross feed"])
def test_settings_are_exact_and_rising_and_use_known_levers(name: str, kind: str) -> None:
    lathe = find(name)
    settings = settings_of(lathe, kind)
    gives = [setting.gives for setting in settings]
    assert gives == sorted(gives)
    assert all(type(figure) is Fraction and figure > 0 for figure in gives)
    levers = {lever.name: lever for lever in lathe.levers}
    for setting in settings:
        for lever, position in setting.levers.items():
            assert position in levers[lever].positions
    assert settings or (name, kind) == ("juniper", "cross feed")


@pytest.mark.parametrize(
    ("name", "count", "lowest", "highest"),
    [("heron", 12, 34, 1613), ("badger", 16, 42, 1984), ("juniper", 12, 39, 1623)],
)
def test_number_and_range_of_speeds(name: str, count: int, lowest: int, highest: int) -> None:
    speeds = [setting.gives for setting in find(name).speeds]
    assert len(speeds) == count
    assert lowest < speeds[0] < lowest + 2
    assert highest - 2 < speeds[-1] < highest + 1


def test_heron_cuts_the_inch_threads_of_the_trade() -> None:
    plain = {setting.gives for setting in find("heron").pitches if setting.train is None}
    wanted = "4 4.5 5 6 7 8 9 10 11 11.5 12 13 14 16 18 20 24 27 28 32 36 40 44 48 56"
    assert {Fraction(127, 5) / Fraction(number) for number in wanted.split()} <= plain


def test_heron_and_badger_cut_the_coarse_metric_threads() -> None:
    wanted = {Fraction(pitch) for pitch in ISO_COARSE.split()}
    badger = {setting.gives for setting in find("badger").pitches if setting.train is None}
    assert wanted <= badger
    heron = {setting.gives for setting in find("heron").pitches}
    assert wanted - heron == {Fraction("0.8")}


@pytest.mark.parametrize("pitch", ISO_COARSE.split())
def test_a_pick_off_gear_of_badger_serves_each_coarse_pitch(pitch: str) -> None:
    lathe = find("badger")
    assert lathe.thread_dial is not None
    # The work has turned a whole number of times again after this many threads of the screw.
    threads = (Fraction(pitch) / lathe.leadscrew.pitch).numerator
    assert any(gear.teeth % threads == 0 for gear in lathe.thread_dial.gears)


def test_gears_that_belong_to_a_setting_are_owned() -> None:
    for name in LATHES:
        lathe = find(name)
        for setting in (*lathe.pitches, *lathe.feeds):
            if setting.train is not None:
                used = (*setting.train.drivers, *setting.train.driven)
                assert all(used.count(teeth) <= lathe.gears.count(teeth) for teeth in used)


def test_juniper_has_no_gearbox_no_thread_dial_and_no_cross_feed() -> None:
    juniper = find("juniper")
    assert not juniper.gearbox
    assert juniper.thread_dial is None
    assert juniper.cross_feeds == ()
    assert juniper.usual_train is None
    assert all(setting.train is not None for setting in juniper.pitches)


def test_levers_say_when_they_may_be_moved() -> None:
    allowed = {lever.name: lever.when.value for lever in find("heron").levers}
    assert allowed["range"] == "stopped"
    assert allowed["collar"] == "by-hand"
    assert {lever.name: lever.when.value for lever in find("badger").levers}["pointer"] == "slow"


def dictionary() -> set[str]:
    spec = find_spec("pocketsphinx")
    assert spec is not None
    assert spec.submodule_search_locations is not None
    folder = Path(spec.submodule_search_locations[0])
    text = (folder / "model" / "en-us" / "cmudict-en-us.dict").read_text(encoding="utf-8")
    return {line.partition(" ")[0] for line in text.splitlines()}


def said(lever: Lever) -> list[str]:
    positions = [lever.spoken_positions.get(position, position) for position in lever.positions]
    return [lever.spoken or lever.name, *positions]


def test_every_spoken_name_is_in_the_pronouncing_dictionary() -> None:
    words: set[str] = set()
    for name in LATHES:
        lathe = find(name)
        phrases = [name, *lathe.spoken, *(chuck.name for chuck in lathe.chucks)]
        for lever in lathe.levers:
            phrases += said(lever)
        words |= {word for phrase in phrases for word in re.findall("[a-z']+", phrase)}
    assert words - dictionary() == set()


def test_no_two_lathes_share_a_spoken_name() -> None:
    spoken = [set(find(name).spoken) | {name} for name in LATHES]
    assert all(not one & other for one, other in combinations(spoken, 2))


def test_spoken_positions_of_a_lever_differ() -> None:
    for name in LATHES:
        for lever in find(name).levers:
            assert len(set(said(lever)[1:])) == len(lever.positions)
