"""Procedures: what their files must hold, and that a broken file is refused with its place."""

import re
from importlib.resources import files
from typing import Any

import pytest
import yaml

from assistant.alongside.procedures.load import find, landmarks, names, needs, read, spoken_names
from assistant.alongside.procedures.steps import Need
from assistant.alongside.procedures.walk import Told, Walk, begin
from assistant.errors import TableError
from assistant.query import KINDS
from grammar.understanding import pronunciations
from tests.whole_grammar import decoder

FOLDER = files("assistant.alongside.procedures")
ALL = names()
STOPPED = Need.SPINDLE_STOPPED
ASKED = (Need.SPINDLE_STOPPED, Need.ISOLATED, Need.CHUCK_KEY_OUT)
WORK = [
    *("start-of-shift", "mount-three-jaw", "mount-four-jaw", "between-centres", "change-speed"),
    *("change-feed", "change-gears", "facing", "turning", "boring", "drilling", "reaming"),
    *("threading-outside", "threading-inside", "taper-compound", "taper-set-over"),
    *("taper-attachment", "knurling", "parting", "chatter", "stopping", "end-of-shift"),
]

HANDS_IN = {
    "measures": r"\b(measure|gauge|indicator|over wires)\b(?! what)",
    "touches the work or the jaws": r"\b(jaws?|dog|by hand once round|turn the (chuck|spindle) by hand)\b",
    "uses the key": r"\bkey\b",
    "clears swarf": r"\bswarf\b|\bbrush\b",
    "sets a tool": r"\bset the (.* )?(tool|edge|blade|bar|reamer)\b|centre height|wheels turn freely",
    "shifts levers or gears": r"\b(levers|spindle speed|banjo|mesh|gear cover)\b",
    "sets a slide over": r"\b(swing|unclamp|guide bar|set-over)\b",
}
"""What no one may do on a turning spindle, by words of the step."""
ONLY_TALK = re.compile(r"^(Ask for|Draw the (blade|bar)|Run the carriage|Take further)")
MOVES_TOOL_ONLY = re.compile(r"^(Start|Stop|Put the feed|At the )")


def raw(name: str) -> list[dict[str, Any]]:
    """The steps as they stand in the file, by nothing that the product uses."""
    text = FOLDER.joinpath(f"{name}.yaml").read_text(encoding="utf-8")
    found: list[dict[str, Any]] = yaml.safe_load(text)["steps"]
    return found


def test_every_kind_of_work_has_its_procedure() -> None:
    assert sorted(WORK) == list(ALL)


@pytest.mark.parametrize("name", ALL)
def test_a_procedure_loads_and_has_8_to_20_steps_of_its_own(name: str) -> None:
    procedure = find(name)
    assert procedure.name == name
    assert 8 <= procedure.last <= 20
    assert procedure.last == len(raw(name))
    assert find(name) is procedure


@pytest.mark.parametrize("name", ALL)
def test_every_step_names_its_source(name: str) -> None:
    for step in raw(name):
        assert re.fullmatch(r"common practice, no source|.*[A-Za-z]{4}.*", step["source"]), step


@pytest.mark.parametrize("name", ALL)
def test_a_step_fits_the_screen_and_the_ear(name: str) -> None:
    for step in find(name).steps:
        assert len(step.do) <= 60, step
        assert not re.search(r"\d|[/%°\"]", step.spoken), step
        assert step.spoken.count(" and ") <= 2, step
        for sentence in (step.why, step.caution):
            assert sentence is None or (len(sentence) <= 120 and sentence.count(".") == 1), step
        assert step.do.lower().split()[0] not in {"the", "a", "you", "never", "do"}, step


@pytest.mark.parametrize("name", ALL)
def test_who_comes_before_swarfside_is_said_first_and_once(name: str) -> None:
    walk, first = begin(name)
    assert isinstance(first, Told)
    assert first.number == 0
    assert first.step.caution is not None
    for words in ("controls nothing", "manual", "shop's rules", "qualified person"):
        assert words in first.step.caution
    assert not [s for s in find(name).steps[1:] if s.caution and "qualified person" in s.caution]
    assert all(item in first.step.spoken for item in find(name).have)
    assert walk == Walk(name)


@pytest.mark.parametrize("name", ALL)
def test_a_step_for_a_stopped_spindle_never_comes_while_it_turns(name: str) -> None:
    turning = False
    for number, step in enumerate(raw(name), 1):
        if turning:
            assert "spindle-stopped" not in step.get("needs", []), (name, number)
        if step.get("starts_spindle"):
            assert not turning, (name, number)
            turning = True
        if step.get("stops_spindle"):
            turning = False
    assert not turning, f"{name} leaves the spindle turning"


@pytest.mark.parametrize("name", ALL)
def test_work_with_the_hands_waits_for_a_stopped_spindle(name: str) -> None:
    for number, step in enumerate(raw(name), 1):
        if ONLY_TALK.match(step["do"]) or MOVES_TOOL_ONLY.match(step["do"]):
            continue
        for what, words in HANDS_IN.items():
            if re.search(words, step["do"], re.IGNORECASE):
                safe = "spindle-stopped" in step.get("needs", []) or at_the_bench(step)
                assert safe, f"{name} {number} {what}: {step['do']}"


def at_the_bench(step: dict[str, Any]) -> bool:
    return bool(re.search(r"at the bench|measuring tools|ways round|small piece", step["do"]))


@pytest.mark.parametrize("name", ALL)
def test_metal_is_cut_only_between_a_start_and_a_stop(name: str) -> None:
    turning = False
    for number, step in enumerate(raw(name), 1):
        by_hand = re.search(r"by hand", step["do"])
        if not by_hand and re.match(
            r"(Turn|Drill|Bore|Face|Cut|Ream|Knurl) |Take .*\b(cut|pass)", step["do"]
        ):
            assert turning, f"{name} {number} cuts though nothing has started: {step['do']}"
        turning = (turning or bool(step.get("starts_spindle"))) and not step.get("stops_spindle")


@pytest.mark.parametrize("name", ALL)
def test_the_first_start_has_its_caution_and_asks_for_the_key(name: str) -> None:
    starts = [step for step in raw(name) if step.get("starts_spindle")]
    assert all("chuck-key-out" in step["needs"] for step in starts)
    assert all("guard-closed" in step["needs"] for step in starts)
    first = {"tool-clear", "feed-out", "half-nut-open"}
    assert all(first <= set(step["needs"]) for step in starts[:1])
    assert not starts or "caution" in starts[0], name


@pytest.mark.parametrize("name", ALL)
def test_a_key_that_goes_in_comes_out_before_the_next_start(name: str) -> None:
    key_in = False
    for number, step in enumerate(raw(name), 1):
        key_in = key_in or "chuck-key-out" in step.get("undoes", [])
        if re.search(r"key out", step["do"]):
            key_in = False
        assert not (key_in and step.get("starts_spindle")), (name, number)
    assert not key_in, f"{name} leaves the key in the chuck"


@pytest.mark.parametrize("name", ALL)
def test_hands_among_the_gears_wait_for_an_isolated_lathe(name: str) -> None:
    for number, step in enumerate(raw(name), 1):
        if re.search(r"banjo|gear cover|old gears|driver|mesh|drive plate as", step["do"]):
            assert "isolated" in step.get("needs", []), (name, number, step["do"])


@pytest.mark.parametrize("name", ALL)
def test_the_supply_comes_back_by_a_step_before_the_spindle_starts(name: str) -> None:
    isolated = False
    for number, step in enumerate(raw(name), 1):
        isolated = (isolated or "isolated" in step.get("needs", [])) and "isolated" not in step.get(
            "undoes", []
        )
        assert not (isolated and step.get("starts_spindle")), (name, number)


def test_a_question_that_a_step_asks_is_one_that_can_be_asked() -> None:
    asked = {step.asks for name in ALL for step in find(name).steps if step.asks}
    assert len(asked) > 10
    assert asked <= set(KINDS)


def test_every_lever_that_a_step_moves_is_asked_for_stopped() -> None:
    roles = {"speed", "feed", "pitch", "feed-direction"}
    moved = [step for name in ALL for step in raw(name) if step.get("lever") in roles]
    assert len(moved) > 20
    assert all("spindle-stopped" in step["needs"] for step in moved)


def test_every_phrase_can_be_heard() -> None:
    ear, own = decoder(), pronunciations()
    phrases = [phrase for _, phrase in spoken_names()]
    phrases += landmarks()
    phrases += [word for each in needs().values() for word in each.words]
    mute = {w for p in phrases for w in p.split() if ear.lookup_word(w) is None and w not in own}
    assert mute == set()


def test_no_phrase_stands_for_two_procedures() -> None:
    phrases = [phrase for _, phrase in spoken_names()]
    assert sorted(set(phrases)) == sorted(phrases)
    confirming = [word for each in needs().values() for word in each.words]
    assert len(set(confirming)) == len(confirming)
    assert not set(confirming) & {*phrases, *landmarks()}


def test_nothing_that_is_said_here_sounds_like_the_call_to_stop() -> None:
    phrases = [phrase for _, phrase in spoken_names()] + list(landmarks())
    assert not [phrase for phrase in phrases if {"stop", "emergency"} & set(phrase.split())]


def test_what_is_asked_for_is_the_spindle_the_supply_and_the_key() -> None:
    assert tuple(need for need, words in needs().items() if words.asked) == ASKED
    assert needs()[STOPPED].words[0] == "spindle stopped"


GOOD = """
name: sample
title: Sample
spoken: [sample]
have: [a rule]
steps:
""" + "\n".join(
    f"  - {{do: Look at {word}, why: It is so., source: no source}}"
    for word in "one two three four five six seven eight".split()
)
STEP = "  - {do: Look at one, why: It is so., source: no source}"


def changed(step: str) -> str:
    assert STEP in GOOD
    why = "" if "why:" in step else ", why: It is so."
    return GOOD.replace(STEP, f"  - {{{step}{why}}}")


def test_the_sample_of_the_bad_ones_is_itself_good() -> None:
    assert read(GOOD, "sample").last == 8


BAD = {
    "no source": (changed("do: Look at it"), "step 1, source: Field required"),
    "no reason": (GOOD.replace("one, why: It is so.", "one"), "step 1, why: Field required"),
    "unknown field": (
        changed("do: Look at it, source: none, colour: red"),
        "step 1, colour: Extra inputs are not permitted",
    ),
    "too long": (
        changed(f"do: Look {'at it ' * 12}now, source: none"),
        "step 1, do: String should have at most 60 characters",
    ),
    "figures for the ear": (
        changed("do: Cut 3 mm, source: none"),
        "step 1: has signs that can not be said; give say",
    ),
    "two sentences": (
        changed("do: Look at it, why: It is so. It is., source: none"),
        "step 1, why: String should match pattern",
    ),
    "unknown need": (
        changed("do: Look at it, needs: [sunshine], source: none"),
        "step 1, needs, 0: Input should be 'spindle-stopped'",
    ),
    "word that YAML turns": (changed("do: on, source: none"), "step 1, do: Input should be a"),
    "starts with the key in": (
        changed("do: Start it, starts_spindle: true, source: none"),
        "step 1: starts the spindle and so must need chuck-key-out",
    ),
    "starts and needs it stopped": (
        changed(
            "do: Start it, starts_spindle: true, needs: [spindle-stopped, chuck-key-out], source: none"
        ),
        "step 1: starts the spindle and must not stop it or need it stopped",
    ),
    "isolated but turning": (
        changed("do: Look at it, needs: [isolated], source: none"),
        "step 1: needs isolated and so must need spindle-stopped too",
    ),
    "lever in motion": (
        changed("do: Shift it, lever: speed, source: none"),
        "step 1: moves the speed levers and so must need spindle-stopped",
    ),
    "left turning": (
        GOOD.replace(
            "{do: Look at eight", "{do: Start it, starts_spindle: true, needs: [chuck-key-out]"
        ),
        "the whole: ends with the spindle turning",
    ),
    "needs a stop that never came": (
        changed("do: Start it, starts_spindle: true, needs: [chuck-key-out], source: none").replace(
            "{do: Look at two,", "{do: Look at two, needs: [spindle-stopped],"
        ),
        "the whole: step 2 needs the spindle stopped and nothing has stopped it",
    ),
    "key not asked for while turning": (
        changed("do: Start it, starts_spindle: true, needs: [chuck-key-out], source: none"),
        "the whole: step 2 has the spindle turning and must need chuck-key-out",
    ),
    "a stop that waits": (
        changed("do: Stop it, stops_spindle: true, needs: [feed-out], source: none"),
        "step 1: stops the spindle, which must never wait for anything",
    ),
    "a name twice": (
        GOOD.replace("{do: Look at one", "{name: tool, do: Look at one").replace(
            "{do: Look at two", "{name: tool, do: Look at two"
        ),
        "the whole: has two steps called tool",
    ),
    "too few steps": (
        GOOD.replace(STEP, ""),
        "steps: Tuple should have at least 9 items",
    ),
    "other name": (GOOD.replace("name: sample", "name: other"), 'its name is "other"'),
    "no steps": ("name: sample", "is no procedure"),
    "a list": ("- one", "is no procedure"),
    "a key twice": (GOOD + "\ntitle: Other", '"title" stands twice'),
    "no YAML": ("steps: [", "is no YAML text that can be read"),
    "a date": (GOOD.replace("title: Sample", "title: 2020-02-02"), "has a value that is no text"),
}


@pytest.mark.parametrize("case", BAD)
def test_a_broken_file_is_refused_with_its_place(case: str) -> None:
    text, problem = BAD[case]
    with pytest.raises(TableError) as caught:
        read(text, "sample")
    assert caught.value.table == "sample"
    assert caught.value.problem.startswith(problem) or problem in caught.value.problem
