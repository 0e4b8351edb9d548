"""Levers in every answer: safe order, gears first, cautions before the step; and what is told of positions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.answer import Answer, Refusal
from assistant.answering import Situation, answer_to
from assistant.answering.levers import gears_needed, train_text
from assistant.answering.set_up import KNOWN, SetUp, set_up_at_start
from assistant.app import Assistant
from assistant.core.levers import GearTrain, Move, WhenToShift
from assistant.query import FeedOf, Query, SpindleSpeedFor, ThreadFor, ThreadNamed
from assistant.query_levers import (
    ChangeGearsFor,
    LeversAt,
    LeversDone,
    LeversForgotten,
    LeversStandWhere,
    StepOfPlan,
)
from assistant.units import inches, quantity
from profiles.lathe import Lathe
from profiles.load import find

LATHES = ("heron", "badger", "juniper")
STANDING = {WhenToShift.STOPPED, WhenToShift.BY_HAND}


@cache
def lathe(name: str) -> Lathe:
    return find(name)


def situation(name: str, set_up: SetUp | None = None) -> Situation:
    known = set_up or set_up_at_start(lathe(name))
    return Situation(lathe(name), "mm", levers=known.known, set_up=known)


@cache
def questions(name: str) -> tuple[Query, ...]:
    return tuple(_questions(lathe(name)))


def _questions(machine: Lathe) -> Iterator[Query]:
    """Every kind of answer that has a setting, for every speed, feed and pitch of the lathe."""
    for speed in sorted({each.gives for each in machine.speeds}):
        # v = pi d n / 1000: a diameter for which this speed is about right
        diameter = Fraction(round(30_000 / (3.14159 * float(speed)), 2))
        if diameter <= (machine.swing_over_bed or 0):
            yield SpindleSpeedFor(material="mild_steel", diameter=quantity(diameter, "mm"))
    for feed in sorted({each.gives for each in machine.feeds}):
        yield FeedOf(feed=quantity(feed, "mm"))
    for lead in sorted({each.gives for each in machine.pitches}):
        yield ThreadFor(thread=ThreadNamed(pitch=quantity(lead, "mm")))
        yield ThreadFor(thread=ThreadNamed(pitch=quantity(lead, "mm"), left_hand=True))
        yield ChangeGearsFor(thread=ThreadNamed(pitch=quantity(lead, "mm")))
    for lead in (inches(Fraction(1, 19)), Fraction(4, 5), Fraction(11, 10)):
        yield ThreadFor(thread=ThreadNamed(pitch=quantity(lead, "mm")))
        yield ChangeGearsFor(thread=ThreadNamed(pitch=quantity(lead, "mm")))


def order_is_safe(moves: tuple[Move, ...], machine: Lathe) -> bool:
    """Nothing that needs the spindle at rest after a move that may be made while it turns."""
    whens = [
        next(each.when for each in machine.levers if each.name == move.lever) for move in moves
    ]
    if [move.when for move in moves] != whens:
        return False
    turning = False
    for when in whens:
        if when in STANDING and turning:
            return False
        turning = turning or when not in STANDING
    return True


def followed(moves: tuple[Move, ...], present: Mapping[str, str]) -> dict[str, str]:
    return {**present, **{move.lever: move.to for move in moves}}


def target(answer: Answer) -> dict[str, str]:
    return {name: at for each in answer.settings.values() for name, at in each.levers.items()}


@st.composite
def some_levers(draw: st.DrawFn, name: str) -> dict[str, str]:
    """Positions of some of the levers."""
    return {
        lever.name: draw(st.sampled_from(lever.positions))
        for lever in lathe(name).levers
        if draw(st.booleans())
    }


@pytest.mark.parametrize("name", LATHES)
@settings(max_examples=20, deadline=None)
@given(st.data())
def test_every_plan_is_safe_and_ends_at_its_setting(name: str, data: st.DataObject) -> None:
    present = data.draw(some_levers(name))
    trains = [None, *{each.train for each in lathe(name).pitches if each.train}]
    mounted = data.draw(st.sampled_from(sorted(trains, key=str)))
    set_up = SetUp(present, mounted=mounted, gears_known=data.draw(st.booleans()))
    every = 9
    for query in questions(name)[data.draw(st.integers(0, every - 1)) :: every]:
        answer = answer_to(query, situation(name, set_up))
        assert isinstance(answer, Answer), query
        wanted = target(answer)
        assert wanted or answer.settings["feed"].train
        assert followed(answer.moves, present) | wanted == followed(answer.moves, present)
        assert order_is_safe(answer.moves, lathe(name))
        # Only what must move: never a lever that stands right already.
        assert not any(present.get(move.lever) == move.to for move in answer.moves)
        assert all(move.start == present.get(move.lever) for move in answer.moves)
        keys = [each.key for each in answer.cautions]
        needed = gears_needed(answer.settings.values(), situation(name, set_up))
        assert ("mount" in answer.texts) == needed.change
        if needed.change:
            assert keys[0] == "gears-guard"
        assert keys.count("gears-guard") == needed.change
        slow = any(move.when is WhenToShift.SLOW for move in answer.moves)
        assert ("slow-shift" in keys) == slow


@pytest.mark.parametrize("name", LATHES)
def test_gears_wanted_are_those_that_the_figure_counts_on(name: str) -> None:
    """With any train on, an answer either asks for the train that its figure needs, or that one is on."""
    machine = lathe(name)
    trains = {each.train for each in (*machine.pitches, *machine.feeds) if each.train}
    for place, mounted in enumerate([*sorted(trains, key=str), None]):
        set_up = SetUp(mounted=mounted, gears_known=True)
        on = mounted or machine.usual_train
        for query in questions(name)[place % 8 :: 8]:
            answer = answer_to(query, situation(name, set_up))
            assert isinstance(answer, Answer)
            feed = answer.settings.get("feed")
            if feed is None:
                assert "mount" not in answer.texts
                continue
            needs = feed.train or machine.usual_train
            assert needs is not None
            right = on is not None and on.ratio == needs.ratio
            assert ("mount" in answer.texts) != right
            if not right:
                assert train_text(needs) in answer.texts["mount"]
                assert (needs.drivers, needs.driven) in answer.gears


def test_train_in_words() -> None:
    assert train_text(GearTrain((40,), (80,)), 127) == "40 drives 80, over idler 127"


def test_moves_of_one_class_are_said_with_their_lead_and_many_are_counted() -> None:
    assistant = Assistant("heron")
    two = assistant.reply("speed for two inch brass").shown.spoken
    assert "with the spindle stopped: range to" in two
    assert "stopped, turning the chuck by hand: collar to" in two
    many = assistant.reply("half inch thirteen").shown.spoken
    assert "stop the spindle. five levers to set: say next step" in many
    assert len(many.split()) < 32


# Told positions.
def test_levers_told_are_noted_in_the_order_of_the_lathe() -> None:
    query = LeversAt(places=(("collar", "red"), ("range", "low")))
    answer = answer_to(query, situation("heron"))
    assert isinstance(answer, Answer)
    assert answer.texts["set"] == "range low, collar red"
    assert answer.settings[KNOWN].levers == {"range": "low", "collar": "red"}


@pytest.mark.parametrize(
    ("places", "text"),
    [
        ((("gearbox", "low"),), "lever gearbox: the heron has range, collar, cone"),
        ((("rnge", "low"),), "nearest is range"),
        ((("range", "red"),), "position of range red: range has low, middle, high"),
        ((("collar", "yelow"),), "nearest is yellow"),
        ((("range", "low"), ("range", "high")), "a lever stands in one place"),
        ((("", ""),), "lever"),
    ],
)
def test_lever_or_position_that_is_not_there_is_refused(
    places: tuple[tuple[str, str], ...], text: str
) -> None:
    outcome = answer_to(LeversAt(places=places), situation("heron"))
    assert isinstance(outcome, Refusal)
    assert text in outcome.reason


def test_lathe_without_levers_refuses_any() -> None:
    bare = Situation(replace(lathe("heron"), levers=()), "mm")
    outcome = answer_to(LeversAt(places=(("range", "low"),)), bare)
    assert isinstance(outcome, Refusal)
    assert "has no levers" in outcome.reason


@pytest.mark.parametrize(
    "query", [LeversDone(), StepOfPlan(which="next"), StepOfPlan(which="back")]
)
def test_without_a_plan_there_is_nothing_to_confirm_or_to_step(query: Query) -> None:
    outcome = answer_to(query, situation("heron"))
    assert isinstance(outcome, Refusal)
    assert outcome.say_next == "Ask for a speed, feed or thread"
    assert len(outcome.say_next.split()) <= 8


def test_what_is_not_known_is_said_to_be_not_known() -> None:
    shown = Assistant("heron").reply("where do the levers stand").shown
    rows = {row.label: row.text for row in shown.rows}
    assert shown.headline == "Not known"
    # The clutch starts and stops the spindle all day: it is not asked for.
    assert rows["Not known"] == "range, collar, cone, step, drive, apron, reverse"
    assert rows["Gears"] == "the usual ones, 40 drives 40"
    assert Assistant("juniper").reply("where are the levers").shown.rows[0].text == "not known"


def test_lever_of_a_plan_told_since_is_said_to_be_perhaps_moved() -> None:
    set_up = SetUp({"range": "low", "collar": "red"}, doubtful=frozenset({"range"}))
    answer = answer_to(LeversStandWhere(), situation("heron", set_up))
    assert isinstance(answer, Answer)
    assert answer.texts["unsure"] == "range"
    assert answer.texts["spindle"] == "collar red"
    assert answer.texts["state"] == "Not all known"


def test_forgetting_is_answered() -> None:
    assert isinstance(answer_to(LeversForgotten(), situation("heron")), Answer)


# One step at a time.
def test_steps_tell_gears_first_then_each_move_with_its_caution() -> None:
    assistant = Assistant("badger")
    plan = assistant.reply("half inch thirteen").answer
    assert plan is not None
    told = []
    for number in range(1, len(plan.moves) + 2):
        reply = assistant.reply("next step")
        found = reply.as_json()
        assert found["query"] == {"kind": "step", "which": "next"}
        assert found["values"]["step"]["value"] == number
        assert found["values"]["steps"]["value"] == len(plan.moves) + 1
        told += found.get("moves", [])
        if number == 1:
            assert found["headline"] == "Change gears"
            assert found["cautions"] == ["Isolate the lathe before opening the gear guard."]
            assert found["gears"] == [{"drivers": [127, 20], "driven": [65, 80]}]
            continue
        caution = {
            "stopped": "Wait until the spindle is at rest.",
            "by-hand": "never force a lever",
            "slow": "Half-nut open, tool clear",
        }.get(found["moves"][0]["when"])
        if caution:
            assert caution in found["cautions"][0]
            # said before the move that it concerns
            assert found["spoken"].index(caution[:12]) < found["spoken"].index(" to ")
    assert [(each["lever"], each["to"]) for each in told] == [(m.lever, m.to) for m in plan.moves]
    assert assistant.reply("next step").shown.headline == "No more"
    assert assistant.reply("next step").shown.headline == "No more"


def test_go_back_goes_one_back_and_stays_at_the_first() -> None:
    assistant = Assistant("heron")
    assistant.reply("half inch thirteen")
    heads = [
        assistant.reply(said).shown.headline
        for said in (
            "next step",
            "next step",
            "next step",
            "go back",
            "repeat that",
            "go back",
            "go back",
        )
    ]
    assert heads == [
        "reverse right",
        "step 2",
        "drive thread",
        "step 2",
        "step 2",
        "reverse right",
        "reverse right",
    ]


def test_stepping_back_from_the_end_tells_the_last_step() -> None:
    assistant = Assistant("heron")
    assistant.reply("speed for two inch brass")
    heads = [assistant.reply(said).shown.headline for said in ["next step"] * 3 + ["go back"]]
    assert heads[2:] == ["No more", heads[1]]


def test_first_step_starts_again() -> None:
    assistant = Assistant("heron")
    assistant.reply("half inch thirteen")
    first = assistant.reply("first step").shown.headline
    assistant.reply("next step")
    assert assistant.reply("first step").shown.headline == first


def test_plan_without_moves_has_nothing_to_step() -> None:
    assistant = Assistant("heron")
    for said in ("half inch thirteen", "all set", "half inch thirteen"):
        assistant.reply(said)
    assert assistant.reply("next step").shown.headline == "Nothing"
