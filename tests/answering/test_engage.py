"""The re-engage rule on the real profiles: trade facts, and the lathe turned step by step."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache

import pytest

from assistant.answer import Answer, Ask, Refusal
from assistant.answering import Situation, answer_to
from assistant.answering.engage import closings_for, engage_for, mark_said, rule_key
from assistant.app import Assistant
from assistant.core.dial_types import DialGear, DialMark, ThreadDial
from assistant.core.thread_dial import mark_names, safe_closings
from assistant.query import ReengageFor, ThreadFor, ThreadNamed
from assistant.query_levers import ClosedOn, StartOnDial, WaitAtDial
from assistant.units import inches, quantity
from profiles.lathe import Lathe
from profiles.load import find
from tests.check_values import check_rows
from tests.core.dial_simulation import built, safe_marks

LATHES = ("heron", "badger", "juniper")

PITCHES = sorted(
    {
        *(inches(Fraction(4, quarters)) for quarters in range(16, 321)),
        *(inches(Fraction(8, eighths)) for eighths in range(16, 961)),
        *(Fraction(steps, 20) for steps in range(3, 241)),
    }
)
"""4 to 80 per inch in quarters, 2 to 120 per inch in eighths, 0.15 to 12 mm in steps of 0.05."""

EVERY_THREAD = ThreadDial((DialGear(None, 1),), (DialMark("", Fraction(0)),))
"""A dial that shows each thread of the leadscrew: its one mark is safe only if every closing is."""


@cache
def lathe(name: str) -> Lathe:
    return find(name)


def situation(name: str, **more: object) -> Situation:
    return Situation(lathe(name), "mm", **more)  # type: ignore[arg-type]


def per_inch(rate: Fraction | int, **more: object) -> ThreadNamed:
    return ThreadNamed(threads_per_inch=Fraction(rate), **more)  # type: ignore[arg-type]


def pitch(mm: str, **more: object) -> ThreadNamed:
    return ThreadNamed(pitch=quantity(Fraction(mm), "mm"), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("row", check_rows("lathe_dials.csv"))
def test_rule_of_the_trade_on_the_lathes(row: dict[str, str]) -> None:
    assistant = Assistant(row["lathe"])
    assert assistant.reply(row["thread"]).answered
    said = f"i closed on {row['first']}" if row["first"] else "when do i close the half nut"
    answer = assistant.reply(said).answer
    assert answer is not None
    engage = answer.engage
    assert engage is not None
    rule = {"keep-closed": "keep closed", "close-anywhere": "anywhere"}.get(rule_key(engage))
    assert (rule or "+".join(engage.marks)) == row["rule"]
    if row["gear"]:
        assert engage.pick_off_gear == row["gear"]


def simulated_gears(name: str, lead: Fraction) -> dict[str | None, tuple[bool, ...]]:
    dial = lathe(name).thread_dial
    assert dial is not None
    screw = lathe(name).leadscrew
    first = next((i for i, mark in enumerate(dial.marks) if mark.numbered), 0)
    return {gear.name: safe_marks(lead, screw, gear.teeth, dial, first) for gear in dial.gears}


@pytest.mark.parametrize("name", ["heron", "badger"])
def test_what_is_told_agrees_with_the_lathe_turned_step_by_step(name: str) -> None:
    dial = lathe(name).thread_dial
    assert dial is not None
    wrong = []
    for lead in PITCHES:
        seen = simulated_gears(name, lead)
        for gear in dial.gears:
            found = safe_closings(lead, lathe(name).leadscrew, gear, dial)
            if tuple(good for _, _, good in found.all_marks) != seen[gear.name]:
                wrong.append((lead, gear.name))
        engage = engage_for(lead, lathe(name))
        told = tuple(good for _, _, good in engage.all_marks)
        best = max(map(sum, seen.values()))
        if (
            told != seen[engage.pick_off_gear]
            or sum(told) != best
            or engage.keep_closed != (best == 0)
        ):
            wrong.append((lead, "told"))
    assert wrong == []


@pytest.mark.parametrize("name", LATHES)
def test_anywhere_is_told_only_where_every_closing_meets_the_groove(name: str) -> None:
    wrong = []
    for lead in PITCHES:
        [every] = safe_marks(lead, lathe(name).leadscrew, 1, EVERY_THREAD)
        if (rule_key(engage_for(lead, lathe(name))) == "close-anywhere") != every:
            wrong.append(lead)
    assert wrong == []


def test_without_a_dial_it_is_anywhere_or_keep_closed() -> None:
    rules = {rule_key(engage_for(lead, lathe("juniper"))) for lead in PITCHES}
    assert rules == {"close-anywhere", "keep-closed"}


def cut_by(setting: Answer, name: str) -> Fraction:
    """The lead that the levers and gears of an answer cut, from the profile's chart alone."""
    feed = setting.settings["feed"]
    machine = lathe(name)
    if not machine.gearbox:
        assert feed.train is not None
        return feed.train.ratio * machine.first_ratio * machine.leadscrew.lead
    [box] = {
        each.gives
        for each in machine.pitches
        if each.train is None and dict(each.levers) == dict(feed.levers)
    }
    assert machine.usual_train is not None
    train = feed.train or machine.usual_train
    return box / machine.usual_train.ratio * train.ratio


def named_threads() -> Iterator[ThreadNamed]:
    for quarters in range(16, 321, 5):
        yield per_inch(Fraction(quarters, 4))
    for steps in range(4, 121, 3):
        yield pitch(f"{steps}/20")


@pytest.mark.parametrize("name", LATHES)
def test_the_rule_is_that_of_the_lead_as_geared_not_as_named(name: str) -> None:
    approximate = exact = 0
    for named in named_threads():
        answer = answer_to(ThreadFor(thread=named), situation(name))
        assert isinstance(answer, Answer)
        if answer.engage is None:
            assert "no_pitch" in answer.texts
            assert answer.settings == {}
            continue
        lead = cut_by(answer, name)
        wanted = answer.values["lead"].number
        assert isinstance(wanted, Fraction)
        if lead == wanted:
            exact += 1
        else:
            approximate += 1
            assert abs(lead - wanted) * 1_000_000 <= 500 * wanted
            assert any(each.key.startswith("approximate-") for each in answer.cautions)
        [every] = safe_marks(lead, lathe(name).leadscrew, 1, EVERY_THREAD)
        assert (rule_key(answer.engage) == "close-anywhere") == every
        if lathe(name).thread_dial:
            told = tuple(good for _, _, good in answer.engage.all_marks)
            assert told == simulated_gears(name, lead)[answer.engage.pick_off_gear]
        else:
            assert answer.engage.keep_closed != every
    assert exact > 10
    assert approximate > 0


@pytest.mark.parametrize("name", ["heron", "badger"])
def test_first_closing_on_each_mark_agrees_with_the_lathe_turned_step_by_step(name: str) -> None:
    dial = lathe(name).thread_dial
    assert dial is not None
    teeth = {gear.name: gear.teeth for gear in dial.gears}
    for lead in PITCHES[::11]:
        for first, mark in enumerate(mark_names(dial.marks)):
            found = closings_for(lead, lathe(name), first_mark=mark)
            assert found is not None
            seen = safe_marks(lead, lathe(name).leadscrew, teeth[found.pick_off_gear], dial, first)
            assert tuple(good for _, _, good in found.all_marks) == seen, (lead, mark)


def test_first_mark_is_remembered_for_the_thread_in_hand_only() -> None:
    assistant = Assistant("heron")
    for said, marks in (
        ("eleven and a half threads per inch", None),
        ("i closed on two", ("2", "4")),
        ("which line", ("2", "4")),
        ("which line for eleven and a half threads per inch", ("2", "4")),
        ("four and a half threads per inch", None),
        ("which line", ("1", "3")),
    ):
        answer = assistant.reply(said).answer
        assert answer is not None
        assert answer.engage is not None
        if marks:
            assert answer.engage.marks == marks, said


def test_first_closing_keeps_the_pick_off_gear_that_was_told() -> None:
    """The gear is in mesh by then: 4 mm has lines 1, 3, 5 with 18 teeth, and 2, 4, 6 after a first on 2."""
    answer = answer_to(ClosedOn(first_mark="2"), situation("badger", thread=pitch("4")))
    assert isinstance(answer, Answer)
    assert answer.engage is not None
    assert (answer.engage.pick_off_gear, answer.engage.marks) == ("small", ("2", "4", "6"))


def test_number_said_at_a_dial_without_numbers_counts_its_lines() -> None:
    plain = ThreadDial((DialGear(None, 16),), tuple(DialMark("", Fraction(i, 4)) for i in range(4)))
    assert mark_said("2", plain) == "line 2"
    dial = lathe("heron").thread_dial
    assert dial is not None
    assert mark_said("2", dial) == "2"


@pytest.mark.parametrize(
    ("said", "text"),
    [
        ("i closed on seven", "mark 7: the dial has 1, plain after 1, 2"),
        ("i closed on the plain line after five", "mark plain after 5: the dial has"),
        ("i closed on the second plain line after one", "mark second plain after 1: the dial has"),
    ],
)
def test_mark_that_the_dial_lacks_is_refused_with_those_it_has(said: str, text: str) -> None:
    assistant = Assistant("heron")
    assistant.reply("half inch thirteen")
    reply = assistant.reply(said)
    assert reply.shown.status == "refused"
    assert text in reply.shown.headline
    # What was refused is not remembered.
    answer = assistant.reply("which line").answer
    assert answer is not None
    assert answer.engage is not None
    assert answer.engage.marks == ("1", "2", "3", "4")


def test_lathe_without_a_dial_has_no_mark_to_close_on() -> None:
    outcome = answer_to(ClosedOn(first_mark="2"), situation("juniper", thread=pitch("2")))
    assert isinstance(outcome, Refusal)
    assert "no thread dial" in outcome.reason


@pytest.mark.parametrize(
    "query", [ReengageFor(), ClosedOn(first_mark="1"), WaitAtDial(), StartOnDial(start=2)]
)
def test_without_a_thread_it_is_asked_for(query: object) -> None:
    assert isinstance(answer_to(query, situation("heron")), Ask)  # type: ignore[arg-type]


def test_thread_that_the_lathe_can_not_cut_has_no_rule() -> None:
    outcome = answer_to(ReengageFor(thread=per_inch(27)), situation("juniper"))
    assert isinstance(outcome, Refusal)
    assert "500 ppm" in outcome.reason
    assert "0.93986 mm" in outcome.reason


def test_where_no_line_serves_both_methods_and_their_cautions_are_told() -> None:
    shown = Assistant("heron").reply("when do i close the half nut for metric twelve").shown
    rows = {row.label: row.text for row in shown.rows}
    assert rows["Half-nut"] == "stays closed; reverse the spindle"
    assert "reverse to the same line" in rows["Or"]
    assert "under one turn" in rows["But then"]
    assert any("withdraw the tool before reversing" in each for each in shown.cautions)
    assert any("screwed spindle nose" in each for each in shown.cautions)


def test_lathe_without_a_dial_is_not_told_to_watch_one() -> None:
    shown = Assistant("juniper").reply("when do i close the half nut for metric twelve").shown
    assert "Or" not in {row.label for row in shown.rows}
    assert "dial" not in shown.spoken


def test_metric_thread_that_the_sum_allows_names_the_shops_rule_too() -> None:
    shown = Assistant("heron").reply("which line for point eight millimetre pitch").shown
    assert shown.headline == "1 only"
    assert "whole turn of the dial" in str(shown.rows)
    assert any("if unsure, keep the half-nut closed" in each for each in shown.cautions)
    assert any("shop's rule is to keep the half-nut closed" in each for each in shown.working)


@pytest.mark.parametrize("name", LATHES)
def test_left_hand_starts_at_the_headstock_and_reverses_the_leadscrew(name: str) -> None:
    for left in (False, True):
        answer = answer_to(ThreadFor(thread=pitch("1", left_hand=left)), situation(name))
        assert isinstance(answer, Answer)
        reversing = lathe(name).reversing
        assert reversing is not None
        place = reversing.left_hand if left else reversing.right_hand
        assert answer.settings["direction"].levers == {reversing.lever: place}
        assert any(move.lever == reversing.lever and move.to == place for move in answer.moves)
        assert any(each.key == "left-hand-start" for each in answer.cautions) is left


@pytest.mark.parametrize("lead", [Fraction(7, 4), Fraction(3, 2), inches(Fraction(8, 23))])
def test_reversing_to_the_same_line_meets_the_groove_within_one_turn_of_the_dial_only(
    lead: Fraction,
) -> None:
    """Half-nut open, carriage still: the spindle runs on, is stopped and reversed to the line where it stood."""
    screw, teeth = lathe("heron").leadscrew, 32
    for running_on, meets in ((3, True), (31, True), (33, False), (63, False)):
        machine = built(lead, screw, teeth)
        machine.turn(5 * machine.screw_pitch, 5 * machine.screw_pitch)
        line = machine.dial % machine.dial_turn
        machine.turn(running_on * machine.screw_pitch, 0)
        machine.turn(-1, 0)
        while machine.dial % machine.dial_turn != line:
            machine.turn(-1, 0)
        assert machine.half_nut_drops_in()
        assert (machine.tool_behind_groove() == 0) is meets
