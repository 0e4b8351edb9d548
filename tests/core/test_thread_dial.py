"""The rule of the thread dial against printed charts, trade practice and a lathe turned step by step."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from fractions import Fraction
from math import gcd

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.answer import Engage
from assistant.core.dial_types import DialGear, DialMark, Leadscrew, ThreadDial
from assistant.core.thread_dial import (
    Closings,
    best_gear,
    mark_names,
    pitches_between_closings,
    safe_closings,
    start_closings,
    waiting_time,
)
from assistant.errors import NoSuchSize, OutOfRange
from assistant.units import inches
from tests.check_values import check_rows
from tests.core.dial_simulation import offsets_seen, safe_marks


def face(labels: list[str]) -> tuple[DialMark, ...]:
    """Evenly spaced lines with these labels."""
    count = len(labels)
    return tuple(DialMark(label, Fraction(at, count)) for at, label in enumerate(labels))


FACES = {
    "numbers 1-8": [str(number) for number in range(1, 9)],
    "numbers 1-4": ["1", "2", "3", "4"],
    "numbers 1-4 and plain": ["1", "", "2", "", "3", "", "4", ""],
    "plain 2": ["", ""],
    "plain 4": [""] * 4,
    "plain 5": [""] * 5,
}


def one_gear(teeth: int, name: str = "numbers 1-4 and plain") -> ThreadDial:
    return ThreadDial((DialGear(None, teeth),), face(FACES[name]))


def per_inch(threads: Fraction | int) -> Fraction:
    return inches(1) / threads


def mixed(text: str) -> Fraction:
    """'11 1/2' or '2.75' as a Fraction."""
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def length(text: str) -> Fraction:
    """'9 per inch', '1/4 inch' or '3.5 mm' in mm."""
    number, _, unit = text.rpartition(" ")
    if unit == "mm":
        return mixed(number)
    if number.endswith(" per"):
        return per_inch(mixed(number.removesuffix(" per")))
    return inches(mixed(number))


EIGHT_PER_INCH = Leadscrew(per_inch(8))


@pytest.mark.parametrize("row", check_rows("thread_dial.csv"))
def test_marks_are_those_of_the_chart(row: dict[str, str]) -> None:
    dial = one_gear(int(row["dial_teeth"]), row["face"])
    leadscrew = Leadscrew(length(row["leadscrew"]))
    lead = length(row["thread"])
    found = safe_closings(lead, leadscrew, dial.gears[0], dial, row["first"] or None)
    said = "keep closed" if found.keep_closed else "+".join(found.marks)
    every = "+".join(mark_names(dial.marks))
    assert said == (every if row["expected"] == "every mark" else row["expected"])
    assert found.anywhere == (row["anywhere"] == "yes")
    if row["between"]:
        assert found.pitches_between * leadscrew.pitch == length(row["between"])


LEADS = sorted(
    {
        starts * pitch
        for starts in (1, 2, 3, 4)
        for pitch in (
            *(per_inch(Fraction(quarters, 4)) for quarters in range(16, 321)),
            *(per_inch(Fraction(eighths, 8)) for eighths in range(16, 961)),
            *(Fraction(steps, 20) for steps in range(3, 241)),
        )
    }
)
"""4 to 80 per inch in quarters, 2 to 120 per inch in eighths, 0.15 to 12 mm in steps of 0.05, 1 to 4 starts."""

MACHINES = [
    pytest.param(EIGHT_PER_INCH, 32, "numbers 1-4 and plain", 0, id="8 per inch, 32 teeth"),
    pytest.param(EIGHT_PER_INCH, 16, "numbers 1-8", 7, id="8 per inch, 16 teeth, from 8"),
    pytest.param(Leadscrew(per_inch(4)), 16, "numbers 1-8", 2, id="4 per inch, 16 teeth, from 3"),
    pytest.param(Leadscrew(per_inch(6)), 24, "numbers 1-4 and plain", 1, id="6 per inch, plain"),
    pytest.param(Leadscrew(per_inch(10)), 40, "numbers 1-4", 0, id="1/10 inch, 40 teeth"),
    *(
        pytest.param(Leadscrew(Fraction(6)), teeth, "plain 4", teeth % 4, id=f"6 mm, {teeth} teeth")
        for teeth in (14, 15, 16, 18, 20, 21, 22, 24)
    ),
    pytest.param(Leadscrew(Fraction(3), 2), 20, "numbers 1-4", 0, id="3 mm of two starts"),
    pytest.param(Leadscrew(per_inch(12), 3), 24, "numbers 1-8", 4, id="12 per inch, three starts"),
]


@pytest.mark.parametrize(("leadscrew", "teeth", "marks", "first"), MACHINES)
def test_rule_agrees_with_the_lathe_turned_step_by_step(
    leadscrew: Leadscrew, teeth: int, marks: str, first: int
) -> None:
    dial = one_gear(teeth, marks)
    name = mark_names(dial.marks)[first]
    wrong = []
    for lead in LEADS:
        found = safe_closings(lead, leadscrew, dial.gears[0], dial, name)
        by_rule = tuple(good for _, _, good in found.all_marks)
        if by_rule != safe_marks(lead, leadscrew, teeth, dial, first):
            wrong.append(lead)
    assert wrong == []


def test_simulation_finds_both_safe_and_unsafe_marks() -> None:
    dial = one_gear(32)
    assert safe_marks(per_inch(13), EIGHT_PER_INCH, 32, dial) == (True, False) * 4
    assert not any(safe_marks(Fraction(3, 2), EIGHT_PER_INCH, 32, dial))


def test_leadscrew_of_two_starts_closes_on_a_thread_that_is_not_its_lead() -> None:
    """6 mm lead on a 3 mm screw of two starts: half of the closings lie half a lead away."""
    leadscrew, dial = Leadscrew(Fraction(3), 2), one_gear(20, "numbers 1-4")
    assert pitches_between_closings(leadscrew.lead, leadscrew) == 2
    found = safe_closings(leadscrew.lead, leadscrew, dial.gears[0], dial)
    assert found.marks == ("1", "3")
    assert offsets_seen(leadscrew.lead, leadscrew, 20, dial)[1] == {Fraction(3)}


def test_start_marks_agree_with_the_lathe_turned_step_by_step() -> None:
    by_dial = 0
    for leadscrew, teeth, marks in (
        (EIGHT_PER_INCH, 32, "numbers 1-4 and plain"),
        (Leadscrew(per_inch(4)), 16, "numbers 1-8"),
        (Leadscrew(Fraction(6)), 20, "plain 4"),
        (Leadscrew(Fraction(3), 2), 24, "numbers 1-8"),
    ):
        dial = one_gear(teeth, marks)
        for starts in (1, 2, 3, 4):
            for lead in LEADS[::7]:
                found = start_closings(lead, starts, leadscrew, dial.gears[0], dial)
                seen = offsets_seen(lead, leadscrew, teeth, dial)
                names = mark_names(dial.marks)
                for start in range(starts):
                    behind = {start * lead / starts}
                    expected = [n for n, s in zip(names, seen, strict=True) if s == behind]
                    assert found.starts[start] == tuple(expected), (lead, starts, start)
                by_dial += starts > 1 and found.by_dial
    assert by_dial > 0


def test_two_starts_by_the_dial_worked_by_hand() -> None:
    """Lead 2/5 inch in two starts on 8 per inch: a = 16; 8 teeth are 1 inch, 5 pitches, the other start."""
    dial = one_gear(32)
    found = start_closings(inches(Fraction(2, 5)), 2, EIGHT_PER_INCH, dial.gears[0], dial)
    assert found.starts == (("1", "3"), ("2", "4"))
    assert found.by_dial
    assert found.pitch == inches(Fraction(1, 5))


def test_first_start_agrees_with_the_safe_marks_of_the_lead() -> None:
    dial = one_gear(16, "numbers 1-8")
    for starts in (2, 3, 4):
        lead = starts * per_inch(9)
        found = start_closings(lead, starts, EIGHT_PER_INCH, dial.gears[0], dial)
        assert found.starts[0] == safe_closings(lead, EIGHT_PER_INCH, dial.gears[0], dial).marks


def test_smallest_travel_is_one_over_the_greatest_common_divisor() -> None:
    """Jones's rule for whole numbers: travel is a whole number of screw threads and of work threads."""
    for screw in range(2, 13):
        for threads in range(1, 81):
            pitches = pitches_between_closings(per_inch(threads), Leadscrew(per_inch(screw)))
            assert Fraction(pitches, screw) == Fraction(1, gcd(screw, threads))


def test_lead_through_approximate_gears_is_another_lead() -> None:
    """0.8 mm is 32/127 of 1/8 inch: 32 pitches. Through 63/80 for 100/127 it is 63/250: 63 pitches."""
    dial = one_gear(32)
    exact = safe_closings(Fraction(4, 5), EIGHT_PER_INCH, dial.gears[0], dial)
    assert (exact.pitches_between, exact.marks) == (32, ("1",))
    lead = EIGHT_PER_INCH.pitch * Fraction(32, 100) * Fraction(63, 80)
    as_geared = safe_closings(lead, EIGHT_PER_INCH, dial.gears[0], dial)
    assert (as_geared.pitches_between, as_geared.marks) == (63, ())


def test_metric_lead_serves_on_an_inch_screw_only_if_it_divides_a_turn_of_the_dial() -> None:
    """Of 0.2 to 6 mm in steps of 0.05 only those that go whole into 4 inches, as the sum requires."""
    dial = one_gear(32)
    for steps in range(4, 121):
        lead = Fraction(steps, 20)
        found = safe_closings(lead, EIGHT_PER_INCH, dial.gears[0], dial)
        assert found.keep_closed == ((inches(4) / lead).denominator != 1)


def test_turns_to_repeat_are_those_after_which_the_groove_is_met_again() -> None:
    """2 7/8 per inch needs 64 teeth, two turns of a dial of 32: safe on every other turn only."""
    dial, lead = one_gear(32), per_inch(Fraction(23, 8))
    found = safe_closings(lead, EIGHT_PER_INCH, dial.gears[0], dial)
    assert (found.keep_closed, found.marks, found.every) == (True, (), None)
    assert found.turns_to_repeat == 2
    seen = offsets_seen(lead, EIGHT_PER_INCH, 32, dial, dial_turns=4)[0]
    assert 0 in seen
    assert len(seen) == 2


def test_dial_that_does_not_serve_has_no_safe_mark_in_its_picture() -> None:
    dial = one_gear(32)
    found = safe_closings(Fraction(1), EIGHT_PER_INCH, dial.gears[0], dial)
    assert found.keep_closed
    assert not any(good for _, _, good in found.all_marks)
    assert found.dial_turn is None
    assert found.longest_gap is None


METRIC_DIAL = ThreadDial(
    tuple(DialGear(f"{teeth} teeth", teeth) for teeth in (14, 15, 16, 18, 20, 21, 22, 24)),
    face(FACES["plain 4"]),
)
METRIC_SCREW = Leadscrew(Fraction(6))


def test_best_gear_serves_with_most_marks() -> None:
    """5 mm on 6 mm: every 5 teeth; 15 shows one line, 20 all four."""
    found = best_gear(Fraction(5), METRIC_SCREW, METRIC_DIAL)
    assert (found.pick_off_gear, found.every, len(found.marks)) == ("20 teeth", 5, 4)


def test_meshed_gear_is_kept_on_a_tie_only() -> None:
    """3 mm closes anywhere: 16, 20 and 24 carry four whole lines; 15 only one."""
    lead = Fraction(3)
    assert best_gear(lead, METRIC_SCREW, METRIC_DIAL).pick_off_gear == "16 teeth"
    kept = best_gear(lead, METRIC_SCREW, METRIC_DIAL, meshed="24 teeth")
    assert kept.pick_off_gear == "24 teeth"
    changed = best_gear(lead, METRIC_SCREW, METRIC_DIAL, meshed="15 teeth")
    assert changed.pick_off_gear == "16 teeth"


@given(st.sampled_from(LEADS))
def test_best_gear_is_never_worse_than_any_single_gear(lead: Fraction) -> None:
    best = best_gear(lead, METRIC_SCREW, METRIC_DIAL)
    each = [safe_closings(lead, METRIC_SCREW, gear, METRIC_DIAL) for gear in METRIC_DIAL.gears]
    assert best in each
    assert len(best.marks) == max(len(one.marks) for one in each)


def test_closings_fill_an_engage_field_by_field() -> None:
    dial = one_gear(32)
    found = safe_closings(per_inch(13), EIGHT_PER_INCH, dial.gears[0], dial)
    engage = Engage(**{part.name: getattr(found, part.name) for part in fields(Engage)})
    assert engage.marks == ("1", "2", "3", "4")
    assert (engage.every, engage.dial_teeth) == (8, 32)
    assert engage.all_marks[1] == ("", Fraction(1, 8), False)


def test_left_hand_has_the_same_marks_and_says_so() -> None:
    dial = one_gear(32)
    right = safe_closings(per_inch(13), EIGHT_PER_INCH, dial.gears[0], dial)
    left = safe_closings(per_inch(13), EIGHT_PER_INCH, dial.gears[0], dial, left_hand=True)
    assert right.marks == left.marks
    assert (right.left_hand, left.left_hand) == (False, True)


def test_first_closing_on_a_plain_line_of_a_dial_without_first_mark_named() -> None:
    """The first numbered mark is taken, not the first line on the face."""
    dial = ThreadDial((DialGear(None, 32),), face(["", "1", "", "2", "", "3", "", "4"]))
    found = safe_closings(per_inch(13), EIGHT_PER_INCH, dial.gears[0], dial)
    assert found.first_mark == "1"
    assert found.marks == ("1", "2", "3", "4")


def test_waiting_time_worked_by_hand() -> None:
    """13 per inch on 8 per inch: 8 teeth are 1 inch, 13 turns; at 65 turns a minute a fifth of a minute."""
    dial = one_gear(32)
    found = safe_closings(per_inch(13), EIGHT_PER_INCH, dial.gears[0], dial)
    assert (found.dial_turn, found.longest_gap) == (Fraction(1, 4), 8)
    time = waiting_time(8, per_inch(13), EIGHT_PER_INCH, Fraction(65))
    assert time == Fraction(1, 5)
    assert type(time) is Fraction


def test_longest_gap_is_between_the_marks_that_are_furthest_apart() -> None:
    marks = (
        DialMark("1", Fraction(0)),
        DialMark("2", Fraction(1, 4)),
        DialMark("3", Fraction(1, 2)),
    )
    dial = ThreadDial((DialGear(None, 16),), marks)
    found = safe_closings(per_inch(10), EIGHT_PER_INCH, dial.gears[0], dial)
    assert found.marks == ("1", "2", "3")
    assert found.longest_gap == 8


@given(
    st.sampled_from(LEADS),
    st.integers(1, 64),
    st.integers(1, 3),
    st.fractions(Fraction(1, 2), Fraction(12), max_denominator=20),
    st.sampled_from(sorted(FACES)),
)
def test_first_mark_serves_wherever_any_does(
    lead: Fraction, teeth: int, starts: int, pitch: Fraction, name: str
) -> None:
    dial = one_gear(teeth, name)
    leadscrew = Leadscrew(pitch, starts)
    found = safe_closings(lead, leadscrew, dial.gears[0], dial)
    assert found.keep_closed == (not found.marks)
    assert found.keep_closed or found.first_mark in found.marks
    assert found.keep_closed == (found.turns_to_repeat != 1)
    assert bool(found.marks) == any(safe_marks(lead, leadscrew, teeth, dial))


@pytest.mark.parametrize(
    ("labels", "names"),
    [
        (["1", "", "2", ""], ("1", "plain after 1", "2", "plain after 2")),
        (["1", "", "", "2"], ("1", "plain after 1", "second plain after 1", "2")),
        (["", "1", "", "2"], ("plain after 2", "1", "plain after 1", "2")),
        (["", "", ""], ("line 1", "line 2", "line 3")),
    ],
)
def test_marks_are_named_as_an_operator_finds_them(
    labels: list[str], names: tuple[str, ...]
) -> None:
    assert mark_names(face(labels)) == names


def bad_calls() -> Iterator[object]:
    dial = one_gear(32)
    gear = dial.gears[0]
    screw = EIGHT_PER_INCH

    def closings(lead: Fraction = Fraction(1), **other: object) -> Closings:
        given_: dict[str, object] = {"leadscrew": screw, "gear": gear, "dial": dial, **other}
        return safe_closings(lead, **given_)  # type: ignore[arg-type]

    no_marks = ThreadDial((gear,), ())
    off = ThreadDial((gear,), (DialMark("1", Fraction(1)),))
    twice = ThreadDial((gear,), face(["1", "1"]))
    back = ThreadDial((gear,), (DialMark("1", Fraction(1, 2)), DialMark("2", Fraction(0))))
    crowded = ThreadDial((gear,), face(["1", *[""] * 9]))
    yield pytest.param(
        lambda: closings(Fraction(0)), "lead 0 mm: must be more than 0 mm", id="no lead"
    )
    yield pytest.param(lambda: closings(Fraction(-2)), "lead -2 mm: must be", id="negative lead")
    yield pytest.param(
        lambda: closings(leadscrew=Leadscrew(Fraction(0))),
        "leadscrew pitch 0 mm",
        id="no leadscrew",
    )
    yield pytest.param(lambda: closings(gear=DialGear(None, 0)), "dial gear 0 teeth", id="no teeth")
    yield pytest.param(lambda: closings(dial=no_marks), "without a mark", id="no marks")
    yield pytest.param(lambda: closings(dial=off), "0 to below 1 turn", id="mark off the dial")
    yield pytest.param(lambda: closings(dial=twice), "label twice", id="label twice")
    yield pytest.param(lambda: closings(dial=back), "out of order", id="marks out of order")
    yield pytest.param(lambda: closings(dial=crowded), "at most 8 plain", id="too many plain lines")
    yield pytest.param(
        lambda: best_gear(Fraction(1), screw, ThreadDial((), dial.marks)),
        "at least one gear",
        id="no gear",
    )
    yield pytest.param(
        lambda: start_closings(Fraction(1), 0, screw, gear, dial),
        "starts 0: must be 1",
        id="no starts",
    )
    yield pytest.param(
        lambda: waiting_time(8, Fraction(1), screw, Fraction(0)), "spindle speed 0", id="no speed"
    )
    yield pytest.param(
        lambda: waiting_time(0, Fraction(1), screw, Fraction(9)), "dial 0: must be", id="no wait"
    )


@pytest.mark.parametrize(("call", "text"), list(bad_calls()))
def test_what_cannot_be_is_refused_with_its_limit(call: object, text: str) -> None:
    with pytest.raises(OutOfRange, match=text):
        call()  # type: ignore[operator]


def test_unknown_first_mark_names_the_marks_there_are() -> None:
    dial = one_gear(32, "numbers 1-4")
    with pytest.raises(NoSuchSize, match="mark 7: the dial has 1, 2, 3, 4"):
        safe_closings(Fraction(1), EIGHT_PER_INCH, dial.gears[0], dial, "7")
