"""No way through a procedure loses the place, or offers a step before what it needs is confirmed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.alongside.procedures.load import find, landmarks, names
from assistant.alongside.procedures.steps import Need, Procedure, Step
from assistant.alongside.procedures.walk import (
    Confirm,
    Ended,
    Noted,
    Told,
    Walk,
    as_plain,
    back,
    begin,
    confirm,
    from_plain,
    left,
    next_step,
    repeat,
    skip_to,
    spindle_started,
    where,
)
from assistant.errors import NoSuchSize

ALL = names()
STOPPED = Need.SPINDLE_STOPPED
ASKED = (Need.SPINDLE_STOPPED, Need.ISOLATED, Need.CHUCK_KEY_OUT)


def test_a_procedure_that_is_not_there_gets_the_nearest() -> None:
    with pytest.raises(NoSuchSize) as caught:
        begin("faceing")
    assert caught.value.nearest == "facing"


def stopped_at(name: str, landmark: str) -> Walk:
    walk, told = confirm(skip_to(begin(name)[0], landmark)[0], *ASKED)
    assert isinstance(told, Told)
    return walk


def test_a_lever_is_not_given_before_stopped_is_said() -> None:
    walk, asked = skip_to(begin("facing")[0], "speed")
    assert asked == Confirm((STOPPED,), wanted=find("facing").landmarks["speed"], number=0)
    assert next_step(back(walk)[0])[0].step == 0
    walk, told = confirm(walk, STOPPED)
    assert isinstance(told, Told)
    assert told.step.name == "speed"
    assert walk.wanted is None


def test_another_word_does_not_stand_for_stopped() -> None:
    walk, _ = skip_to(begin("facing")[0], "speed")
    assert isinstance(confirm(walk, Need.CHUCK_KEY_OUT)[1], Confirm)


def test_stopped_is_asked_again_after_a_start() -> None:
    walk = stopped_at("facing", "speed")
    assert isinstance(skip_to(walk, "tool")[1], Told)
    walk, told = skip_to(walk, "start")
    assert isinstance(told, Told)
    walk, asked = skip_to(walk, "tool")
    assert isinstance(asked, Confirm)
    assert asked.missing == (STOPPED,)
    assert walk.step == asked.number == find("facing").landmarks["start"]


def test_the_key_is_asked_for_again_once_it_was_used() -> None:
    walk = stopped_at("mount-three-jaw", "indicator")
    walk, told = skip_to(walk, "tighten")
    assert isinstance(told, Told)
    walk, _ = next_step(walk)
    _, asked = next_step(walk)
    assert isinstance(asked, Confirm)
    assert asked.missing == (Need.CHUCK_KEY_OUT,)


def test_a_skip_past_the_start_still_asks_for_the_key() -> None:
    _, asked = skip_to(begin("turning")[0], "cut")
    assert isinstance(asked, Confirm)
    assert asked.missing == (Need.CHUCK_KEY_OUT,)


@pytest.mark.parametrize("name", ALL)
def test_stopping_never_waits_for_anything(name: str) -> None:
    for number, step in enumerate(find(name).steps):
        if step.stops_spindle:
            assert isinstance(skip_to(begin(name)[0], number)[1], Told)


def test_stopped_answers_a_step_that_stops_the_spindle() -> None:
    walk, told = skip_to(begin("change-speed")[0], 3)
    assert isinstance(told, Told)
    assert told.step.stops_spindle
    walk, told = confirm(walk, STOPPED)
    assert isinstance(told, Told)
    assert walk.step == 4


def test_stopped_said_for_nothing_is_noted_and_moves_nothing() -> None:
    walk, _ = begin("facing")
    assert confirm(walk, STOPPED) == (Walk("facing", 0, frozenset({STOPPED})), Noted((STOPPED,)))


def test_a_spindle_known_to_turn_is_asked_about_even_where_the_step_was_told() -> None:
    walk = stopped_at("facing", "speed")
    assert isinstance(repeat(walk)[1], Told)
    assert isinstance(repeat(spindle_started(walk))[1], Confirm)


def test_after_a_restart_nothing_counts_as_confirmed() -> None:
    walk = stopped_at("facing", "speed")
    again = from_plain(as_plain(walk))
    assert again == Walk("facing", walk.step)
    assert isinstance(repeat(again)[1], Confirm)


@pytest.mark.parametrize(
    "plain",
    [
        {"procedure": "gone", "step": 0, "confirmed": []},
        {"procedure": "facing", "step": 99, "confirmed": []},
        {"procedure": "facing", "step": None, "confirmed": []},
        {"procedure": "facing", "step": True, "confirmed": []},
        {"procedure": "facing", "step": 1, "confirmed": [], "wanted": -1},
    ],
)
def test_a_place_that_is_no_longer_there_is_refused(plain: dict[str, object]) -> None:
    with pytest.raises(NoSuchSize):
        from_plain(plain)


@pytest.mark.parametrize(("target", "nearest"), [(99, "19"), (-1, "0"), ("touch of", "touch off")])
def test_a_step_that_is_not_there_gets_the_nearest(target: int | str, nearest: str) -> None:
    with pytest.raises(NoSuchSize) as caught:
        skip_to(begin("facing")[0], target)
    assert caught.value.nearest == nearest


def test_a_skip_names_what_it_passed_over() -> None:
    _, told = skip_to(begin("change-speed")[0], 3)
    assert isinstance(told, Told)
    assert told.passed_over == (1, 2)
    assert told.left == left(Walk("change-speed", 3)) == find("change-speed").last - 3


@pytest.mark.parametrize("name", ALL)
def test_saying_next_and_what_is_asked_leads_through_every_step_in_order(name: str) -> None:
    walk, result = begin(name)
    told = [0]
    while not isinstance(result, Ended):
        walk, result = next_step(walk)
        if isinstance(result, Confirm):
            walk, result = confirm(walk, *result.missing)
        if isinstance(result, Told):
            told.append(result.number)
    assert told == list(range(find(name).last + 1))


SAID = st.one_of(
    st.sampled_from(["next", "next", "next", "back", "repeat", "restart", "started"]),
    st.integers(0, 20),
    st.sampled_from(landmarks()),
    st.sampled_from(Need),
)


def after(walk: Walk, said: str | int | Need) -> tuple[Walk, object]:
    if isinstance(said, Need):
        return confirm(walk, said)
    if said == "restart":
        return from_plain(as_plain(walk)), None
    if said == "started":
        return spindle_started(walk), None
    named = {"next": next_step, "back": back, "repeat": repeat}
    if said in named:
        return named[said](walk)  # type: ignore[index]
    try:
        return skip_to(walk, said)
    except NoSuchSize:
        return walk, None


def true_after(sure: set[Need], said: str | int | Need, told: Step | None) -> set[Need]:
    """What the operator has vouched for, kept by nothing that the walk keeps."""
    if told and told.starts_spindle:
        sure = sure - {Need.SPINDLE_STOPPED, Need.ISOLATED}
    return sure - set(told.undoes) if told else sure


@given(st.sampled_from(ALL), st.lists(SAID, max_size=60))
def test_no_way_through_a_procedure_loses_the_place_or_tells_a_step_too_early(
    name: str, sayings: list[str | int | Need]
) -> None:
    procedure: Procedure = find(name)
    walk, _ = begin(name)
    sure: set[Need] = set()
    for said in sayings:
        before = walk
        walk, result = after(walk, said)
        if isinstance(said, Need):
            sure.add(said)
        if said in ("restart", "started"):
            sure = set() if said == "restart" else sure - {Need.SPINDLE_STOPPED, Need.ISOLATED}
        if isinstance(result, Told):
            assert set(result.step.needs) & set(ASKED) <= sure, (name, result.number)
            assert result.step is procedure.steps[result.number]
            assert walk.step == result.number
            assert walk.wanted is None
            sure = true_after(sure, said, result.step)
        else:
            assert walk.step == before.step
        if said == "next" and isinstance(result, Told):
            assert walk.step == before.step + 1
        if said == "back" and isinstance(result, Told):
            assert walk.step == before.step - 1
        if isinstance(result, Confirm):
            assert walk.wanted == result.wanted
            assert set(result.missing) == (
                set(procedure.steps[result.wanted].needs) & set(ASKED)
            ) - set(walk.confirmed)
        assert walk.confirmed == frozenset(sure)
        assert where(walk).number + where(walk).left == procedure.last
        assert from_plain(as_plain(walk), same_sitting=True) == walk
