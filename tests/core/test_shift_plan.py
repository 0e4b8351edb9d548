"""Plans of lever moves: always to the target, in safe order, and with no move too many."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.core.levers import GearTrain, Lever, Setting, WhenToShift
from assistant.core.shift_plan import Plan, shift_plan
from assistant.errors import NoSuchSize, OutOfRange

STOPPED, BY_HAND, SLOW, ANY = (
    WhenToShift.STOPPED,
    WhenToShift.BY_HAND,
    WhenToShift.SLOW,
    WhenToShift.ANY,
)
RANK = {STOPPED: 0, BY_HAND: 1, SLOW: 2, ANY: 3}
GROUPS = ("spindle", "feed", "direction")

RANGE = Lever("range", "spindle", ("low", "high"), BY_HAND)
SPEED = Lever("speed", "spindle", ("1", "2", "3"), STOPPED)
TUMBLER = Lever("tumbler", "feed", ("A", "B", "C"), SLOW)
HAND = Lever("hand", "direction", ("right", "left"), STOPPED)
SHIFT = Lever("shift", "feed", ("in", "out"), STOPPED)
ROD = Lever("rod", "feed", ("feed", "thread"), ANY)
LEVERS = (RANGE, SPEED, TUMBLER, HAND, SHIFT, ROD)


def setting(train: GearTrain | None = None, **levers: str) -> Setting:
    return Setting(Fraction(1), levers, train)


def steps(plan: Plan) -> list[str]:
    return [f"{move.lever} {move.to}" for move in plan.moves]


ALL_WRONG = {
    "range": "low",
    "speed": "1",
    "tumbler": "A",
    "hand": "right",
    "shift": "in",
    "rod": "feed",
}
EVERYTHING = setting(range="high", speed="3", tumbler="C", hand="left", shift="out", rod="thread")


def test_stopped_then_by_hand_then_slow_then_any_and_speed_after_feed() -> None:
    plan = shift_plan(LEVERS, ALL_WRONG, [EVERYTHING])
    assert steps(plan) == [
        "hand left",
        "shift out",
        "speed 3",
        "range high",
        "tumbler C",
        "rod thread",
    ]
    assert plan.needs_stop
    assert [move.start for move in plan.moves] == ["right", "in", "1", "low", "A", "feed"]
    assert [move.when for move in plan.moves] == [STOPPED, STOPPED, STOPPED, BY_HAND, SLOW, ANY]


def test_lever_that_stands_right_is_not_moved() -> None:
    plan = shift_plan(LEVERS, {**ALL_WRONG, "speed": "3"}, [setting(speed="3", tumbler="A")])
    assert plan.moves == ()
    assert not plan.needs_stop


def test_lever_of_unknown_position_is_moved_and_says_so() -> None:
    plan = shift_plan(LEVERS, {}, [setting(speed="1")])
    assert steps(plan) == ["speed 1"]
    assert plan.moves[0].start is None


def test_slow_moves_alone_need_no_stop() -> None:
    assert not shift_plan(LEVERS, ALL_WRONG, [setting(tumbler="B", rod="thread")]).needs_stop


def test_by_hand_move_needs_a_stop() -> None:
    assert shift_plan(LEVERS, ALL_WRONG, [setting(range="high")]).needs_stop


def test_setting_with_fewest_moves_is_taken() -> None:
    far = setting(speed="2", range="high")
    near = setting(speed="2", range="low")
    assert shift_plan(LEVERS, ALL_WRONG, [far, near]).settings == (near,)


def test_unknown_lever_counts_as_a_move_in_the_choice() -> None:
    """Both name two levers that are right or unknown: the one whose levers are known wins."""
    unknown = setting(range="low", shift="in")
    known = setting(speed="2", tumbler="B", shift="in")
    present = {"speed": "2", "tumbler": "B"}
    assert shift_plan(LEVERS, present, [unknown, known]).settings == (known,)
    assert shift_plan(
        LEVERS, {**present, "range": "low", "shift": "in"}, [unknown, known]
    ).settings == (unknown,)


def test_of_equal_numbers_of_moves_the_one_that_needs_no_stop_is_taken() -> None:
    stopping, running = setting(speed="2"), setting(tumbler="B")
    assert shift_plan(LEVERS, ALL_WRONG, [stopping, running]).settings == (running,)


def test_first_given_setting_wins_a_full_tie() -> None:
    two, three = setting(speed="2"), setting(speed="3")
    assert shift_plan(LEVERS, ALL_WRONG, [two, three]).settings == (two,)
    assert shift_plan(LEVERS, ALL_WRONG, [three, two]).settings == (three,)


def test_speed_and_pitch_are_planned_together() -> None:
    plan = shift_plan(LEVERS, ALL_WRONG, [setting(speed="2")], [setting(shift="out", hand="left")])
    assert steps(plan) == ["hand left", "shift out", "speed 2"]


def test_groups_that_share_a_lever_take_settings_that_agree() -> None:
    low, high = setting(range="low", speed="2"), setting(range="high", speed="1")
    needs_high = setting(range="high", shift="in")
    plan = shift_plan(LEVERS, ALL_WRONG, [low, high], [needs_high])
    assert plan.settings == (high, needs_high)


def test_groups_that_contradict_each_other_are_refused() -> None:
    with pytest.raises(OutOfRange, match="in two states at once"):
        shift_plan(LEVERS, ALL_WRONG, [setting(range="low")], [setting(range="high")])


METRIC = GearTrain((40,), (127,))


def test_setting_on_the_gears_that_are_on_comes_before_fewer_moves() -> None:
    geared = setting(METRIC, shift="in")
    usual = setting(shift="out", tumbler="C")
    plan = shift_plan(LEVERS, ALL_WRONG, [geared, usual])
    assert plan.settings == (usual,)
    assert not plan.change_gears


def test_gears_to_mount_need_a_stop_and_are_named() -> None:
    plan = shift_plan(LEVERS, ALL_WRONG, [setting(METRIC, shift="in")])
    assert (plan.change_gears, plan.train, plan.moves, plan.needs_stop) == (True, METRIC, (), True)


def test_usual_gears_go_back_for_a_setting_that_counts_on_them() -> None:
    plan = shift_plan(LEVERS, ALL_WRONG, [setting(shift="in")], mounted=METRIC)
    assert (plan.change_gears, plan.train, plan.needs_stop) == (True, None, True)


USUAL = GearTrain((60,), (60,))


def test_usual_gears_that_are_known_are_named_when_they_go_back() -> None:
    plan = shift_plan(LEVERS, ALL_WRONG, [setting(shift="in")], mounted=METRIC, usual=USUAL)
    assert (plan.change_gears, plan.train) == (True, USUAL)


def test_setting_that_names_the_usual_gears_changes_none() -> None:
    for mounted in (None, USUAL):
        for train in (None, USUAL):
            wanted = [setting(train, shift="in")]
            plan = shift_plan(LEVERS, ALL_WRONG, wanted, mounted=mounted, usual=USUAL)
            assert not plan.change_gears


def test_cross_feed_by_a_direction_lever_alone_does_not_mind_the_change_gears() -> None:
    assert not shift_plan(
        LEVERS, ALL_WRONG, [setting(hand="left")], mounted=METRIC, usual=USUAL
    ).change_gears


def test_speed_does_not_mind_the_change_gears() -> None:
    plan = shift_plan(LEVERS, ALL_WRONG, [setting(speed="2")], mounted=METRIC)
    assert not plan.change_gears


def test_gears_of_the_same_ratio_stay_on() -> None:
    mounted = GearTrain((20, 40), (127, 20))
    assert mounted.ratio == METRIC.ratio
    plan = shift_plan(LEVERS, ALL_WRONG, [setting(METRIC, shift="in")], mounted=mounted)
    assert not plan.change_gears


def test_speed_and_pitch_on_other_gears_go_together() -> None:
    plan = shift_plan(LEVERS, ALL_WRONG, [setting(speed="2")], [setting(METRIC, shift="in")])
    assert (plan.change_gears, steps(plan)) == (True, ["speed 2"])


def test_two_settings_on_two_trains_are_refused() -> None:
    with pytest.raises(OutOfRange, match="in two states at once"):
        shift_plan(LEVERS, ALL_WRONG, [setting(METRIC, shift="in")], [setting(rod="feed")])


@pytest.mark.parametrize(
    ("present", "wanted", "text"),
    [
        ({}, [], "setting none: at least one setting"),
        ({"sped": "1"}, [setting(speed="1")], "lever sped: .*; nearest is speed"),
        ({"speed": "4"}, [setting(speed="1")], "lever position now of speed 4: there are 1, 2, 3"),
        ({}, [setting(speed="9")], "lever position of speed 9: there are 1, 2, 3"),
        ({}, [setting(gate="1")], "lever gate: there are range"),
    ],
)
def test_what_the_lathe_does_not_have_is_refused(
    present: dict[str, str], wanted: list[Setting], text: str
) -> None:
    with pytest.raises(OutOfRange, match=text):
        shift_plan(LEVERS, present, wanted)


def test_unknown_lever_is_a_no_such_size() -> None:
    with pytest.raises(NoSuchSize):
        shift_plan(LEVERS, {}, [setting(gate="1")])


def test_nothing_wanted_at_all_is_refused() -> None:
    with pytest.raises(OutOfRange, match="at least one setting"):
        shift_plan(LEVERS, {})


@st.composite
def cases(draw: st.DrawFn) -> tuple[list[Lever], dict[str, str], list[Setting]]:
    """A lathe of up to six levers, where some of them stand, and settings that serve equally."""
    levers = [
        Lever(
            f"lever {number}",
            draw(st.sampled_from(GROUPS)),
            tuple("abc"[: draw(st.integers(1, 3))]),
            draw(st.sampled_from(list(WhenToShift))),
        )
        for number in range(draw(st.integers(1, 6)))
    ]
    present = {
        lever.name: draw(st.sampled_from(lever.positions))
        for lever in levers
        if draw(st.booleans())
    }
    settings = [
        Setting(
            Fraction(1),
            {
                lever.name: draw(st.sampled_from(lever.positions))
                for lever in levers
                if draw(st.booleans())
            },
        )
        for _ in range(draw(st.integers(1, 4)))
    ]
    return levers, present, settings


def wrong(present: dict[str, str], wanted: Setting) -> int:
    return sum(present.get(name) != place for name, place in wanted.levers.items())


@given(cases())
def test_plan_always_ends_at_the_setting_that_it_names(
    case: tuple[list[Lever], dict[str, str], list[Setting]],
) -> None:
    levers, present, settings = case
    plan = shift_plan(levers, present, settings)
    stand = dict(present)
    for move in plan.moves:
        assert stand.get(move.lever) == move.start
        assert move.to != move.start
        stand[move.lever] = move.to
    assert plan.settings[0] in settings
    assert plan.settings[0].levers.items() <= stand.items()
    untouched = stand.keys() - plan.settings[0].levers.keys()
    assert all(stand[name] == present[name] for name in untouched)


@given(cases())
def test_nothing_that_needs_a_stop_comes_after_a_running_move(
    case: tuple[list[Lever], dict[str, str], list[Setting]],
) -> None:
    levers, present, settings = case
    plan = shift_plan(levers, present, settings)
    group = {lever.name: lever.group for lever in levers}
    rule = {lever.name: lever.when for lever in levers}
    assert all(move.when is rule[move.lever] for move in plan.moves)
    ranks = [RANK[move.when] for move in plan.moves]
    assert ranks == sorted(ranks)
    assert plan.needs_stop == any(rank <= 1 for rank in ranks)
    for one, later in pairwise(plan.moves):
        if one.when is later.when and group[one.lever] == "spindle":
            assert group[later.lever] == "spindle"


@given(cases())
def test_plan_has_the_fewest_moves_of_all_alternatives(
    case: tuple[list[Lever], dict[str, str], list[Setting]],
) -> None:
    levers, present, settings = case
    plan = shift_plan(levers, present, settings)
    assert len(plan.moves) == min(wrong(present, wanted) for wanted in settings)
    assert len(plan.moves) <= len(settings[0].levers)


@given(cases())
def test_plan_for_two_groups_is_the_fewest_that_agree(
    case: tuple[list[Lever], dict[str, str], list[Setting]],
) -> None:
    levers, present, settings = case
    half = (len(settings) + 1) // 2
    first, second = settings[:half], settings[half:] or settings[:1]
    together = [
        len({(n, p) for s in pair for n, p in s.levers.items() if present.get(n) != p})
        for pair in product(first, second)
        if all(pair[1].levers.get(name, place) == place for name, place in pair[0].levers.items())
    ]
    if together:
        assert len(shift_plan(levers, present, first, second).moves) == min(together)
    else:
        with pytest.raises(OutOfRange, match="in two states at once"):
            shift_plan(levers, present, first, second)
