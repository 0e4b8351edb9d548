"""The memory of levers, gears, first mark and speed over a conversation, and the words of the lathe in use."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.answer import Answer
from assistant.answering.set_up import KNOWN
from assistant.app import Assistant
from assistant.core.levers import GearTrain, Move, WhenToShift
from profiles.lathe import Lathe
from profiles.load import find

LATHES = ("heron", "badger", "juniper")
STANDING = {WhenToShift.STOPPED, WhenToShift.BY_HAND}
QUESTIONS = (
    "speed for mild steel twenty millimetres",
    "speed for brass one inch carbide",
    "speed for stainless eighty millimetres",
    "thirteen threads per inch",
    "nineteen threads per inch",
    "metric twelve",
    "metric ten",
    "metric ten left hand",
    "point eight millimetre pitch",
    "gears for point four millimetre pitch",
    "change gears for metric eight",
    "feed point one millimetres",
    "feed point two millimetres",
)


@dataclass
class Shop:
    """An operator who tells the truth, at a lathe whose levers and gears are really somewhere."""

    lathe: Lathe
    levers: dict[str, str]
    train: GearTrain | None
    confirmed: dict[str, str] = field(default_factory=dict)
    plan: Answer | None = None
    carried_out: bool = False

    def carry_out(self, answer: Answer, steps: int) -> None:
        """Do the first `steps` of gears and moves in the order told."""
        if "mount" in answer.texts:
            if steps > 0:
                self.train = GearTrain(*answer.gears[0])
            steps -= 1
        for move in answer.moves[: max(0, steps)]:
            self.levers[move.lever] = move.to

    def steps(self, answer: Answer) -> int:
        return len(answer.moves) + ("mount" in answer.texts)


def needed_train(answer: Answer, lathe: Lathe) -> GearTrain | None:
    """The gears that a setting counts on; None where it does not use the feed."""
    feed = answer.settings.get("feed")
    return None if feed is None else feed.train or lathe.usual_train


def safe_order(moves: tuple[Move, ...]) -> bool:
    standing = [move.when in STANDING for move in moves]
    return standing == sorted(standing, reverse=True)


def check_plan(answer: Answer, shop: Shop) -> None:
    """Whoever follows the plan from where things really are gets to the setting, and safely."""
    trial = Shop(shop.lathe, dict(shop.levers), shop.train)
    trial.carry_out(answer, trial.steps(answer))
    for setting in answer.settings.values():
        for lever, place in setting.levers.items():
            assert trial.levers[lever] == place, (lever, answer.moves)
    needs = needed_train(answer, shop.lathe)
    if needs is not None:
        assert trial.train is not None
        assert trial.train.ratio == needs.ratio
    assert safe_order(answer.moves)
    when = {lever.name: lever.when for lever in shop.lathe.levers}
    assert all(move.when is when[move.lever] for move in answer.moves)
    if "mount" in answer.texts:
        assert answer.cautions[0].key == "gears-guard"


@pytest.mark.parametrize("name", LATHES)
@settings(max_examples=25, deadline=None)
@given(st.data())
def test_every_plan_leads_from_where_the_levers_really_stand(
    name: str, data: st.DataObject
) -> None:
    assistant = Assistant(name)
    lathe = find(name)
    levers = {each.name: data.draw(st.sampled_from(each.positions)) for each in lathe.levers}
    shop = Shop(lathe, levers, lathe.usual_train)
    for _ in range(data.draw(st.integers(2, 14))):
        act = data.draw(
            st.sampled_from(("ask", "ask", "confirm", "tell", "look", "forget", "cancel", "step"))
        )
        if act == "ask":
            ask(assistant, shop, data)
        elif act == "confirm" and shop.plan is not None and shop.carried_out:
            confirm(assistant, shop, data)
        elif act == "tell":
            lever = data.draw(st.sampled_from(lathe.levers))
            place = shop.levers[lever.name]
            said = lever.spoken_positions.get(place, place)
            assert assistant.reply(f"{lever.spoken or lever.name} is at {said}").answered
            shop.confirmed[lever.name] = place
        elif act == "forget":
            assistant.reply("forget the levers")
            shop.confirmed, shop.plan = {}, None
        elif act == "cancel":
            assistant.reply("cancel that")
            shop.plan = None
        elif act == "step":
            assistant.reply(data.draw(st.sampled_from(("next step", "go back", "first step"))))
        else:
            report = assistant.reply("where do the levers stand").answer
            assert report is not None
            for setting in report.settings.values():
                # What is reported as known is so.
                assert setting.levers.items() <= shop.levers.items()
        assert assistant.conversation.memory.set_up.confirmed == shop.confirmed


def ask(assistant: Assistant, shop: Shop, data: st.DataObject) -> None:
    answer = assistant.reply(data.draw(st.sampled_from(QUESTIONS))).answer
    if answer is None or not answer.settings:
        return
    check_plan(answer, shop)
    # The operator does all of it, a part, or nothing, and need not say so.
    steps = data.draw(st.integers(0, shop.steps(answer)))
    shop.carry_out(answer, steps)
    shop.plan, shop.carried_out = answer, steps == shop.steps(answer)


def confirm(assistant: Assistant, shop: Shop, data: st.DataObject) -> None:
    assert shop.plan is not None
    said = data.draw(st.sampled_from(("levers done", "all set", "done", "gears are mounted")))
    answer = assistant.reply(said).answer
    if said == "gears are mounted" or answer is None:
        # Nothing of the levers is confirmed, or all of it was before.
        return
    for setting in shop.plan.settings.values():
        shop.confirmed.update(setting.levers)
    shop.plan = None if said != "levers done" else shop.plan


def heron(*said: str) -> Assistant:
    assistant = Assistant("heron")
    for each in said:
        assistant.reply(each)
    return assistant


def moves(assistant: Assistant, said: str) -> dict[str, str]:
    answer = assistant.reply(said).answer
    assert answer is not None
    return {move.lever: move.to for move in answer.moves}


def test_only_what_must_move_is_listed_once_a_plan_is_confirmed() -> None:
    """13 per inch is cone maple, 9 cone birch: after the one only the cone moves to the other."""
    assistant = heron("thirteen threads per inch", "levers done")
    assert moves(assistant, "nine threads per inch") == {"cone": "birch"}


@pytest.mark.parametrize(
    "said", ["levers done", "levers are set", "the levers are set", "all set", "all done", "done"]
)
def test_words_that_confirm_a_plan(said: str) -> None:
    assistant = heron("thirteen threads per inch", said)
    assert moves(assistant, "thirteen threads per inch") == {}


def test_plan_that_was_not_confirmed_is_not_taken_as_done_nor_as_not_done() -> None:
    assistant = heron("thirteen threads per inch", "levers done", "nine threads per inch")
    # The cone may stand at maple or at birch: for either thread it is listed.
    assert moves(assistant, "thirteen threads per inch") == {"cone": "maple"}
    assert moves(assistant, "nine threads per inch") == {"cone": "birch"}


def test_confirming_takes_the_plan_told_last_also_after_other_answers() -> None:
    assistant = heron(
        "thirteen threads per inch", "when do i close the half nut", "half inch in millimetres"
    )
    assistant.reply("levers done")
    assert moves(assistant, "thirteen threads per inch") == {}


def test_confirming_twice_has_nothing_to_confirm() -> None:
    assistant = heron("thirteen threads per inch", "levers done")
    assert assistant.reply("levers done").shown.status == "refused"


def test_levers_told_are_known_and_the_rest_is_not() -> None:
    assistant = heron("levers are at range low, collar red, and cone ash")
    assert assistant.conversation.memory.set_up.known == {
        "range": "low",
        "collar": "red",
        "cone": "ash",
    }
    assert "cone" not in moves(assistant, "eight threads per inch")


def test_refused_positions_are_not_remembered() -> None:
    assistant = heron("range is at low, range is at high")
    assert assistant.conversation.memory.set_up.confirmed == {}


def test_another_lathe_knows_nothing_of_the_levers() -> None:
    assistant = heron("thirteen threads per inch", "all set", "use the badger", "use the heron")
    memory = assistant.conversation.memory
    assert memory.set_up.confirmed == {}
    assert memory.set_up.plan is None
    assert (memory.first_mark, memory.spindle_speed) == (None, None)


def test_cancel_drops_the_plan_and_keeps_the_doubt() -> None:
    assistant = heron(
        "thirteen threads per inch", "levers done", "nine threads per inch", "cancel that"
    )
    assert assistant.reply("levers done").shown.status == "refused"
    assert moves(assistant, "thirteen threads per inch") == {"cone": "maple"}


def test_levers_done_leaves_gears_open_and_says_so() -> None:
    assistant = heron("metric twelve")
    shown = assistant.reply("levers done").shown
    assert "gears are mounted" in str(shown.rows)
    answer = assistant.reply("metric twelve").answer
    assert answer is not None
    assert "mount" in answer.texts
    assert answer.moves == ()


def test_gears_confirmed_before_the_levers_leave_the_steps_of_the_levers() -> None:
    assistant = heron("metric twelve", "next step", "gears are mounted")
    assert assistant.reply("next step").shown.headline == "reverse right"
    assert assistant.reply("levers done").answered
    answer = assistant.reply("metric twelve").answer
    assert answer is not None
    assert "mount" not in answer.texts
    assert answer.moves == ()


def test_all_set_confirms_gears_too() -> None:
    assistant = heron("metric twelve", "all set")
    assert assistant.conversation.memory.set_up.mounted == GearTrain((70, 120), (127, 60))


def test_usual_gears_can_be_told_at_any_time() -> None:
    assistant = heron("metric twelve", "all set", "usual gears are mounted")
    answer = assistant.reply("thirteen threads per inch").answer
    assert answer is not None
    assert "mount" not in answer.texts


def test_json_tells_what_is_known() -> None:
    found = heron("range is at low").reply("where do the levers stand").as_json()
    assert found["setting"] == {KNOWN: {"range": "low"}}
    assert found["query"] == {"kind": "levers"}


def test_speed_last_asked_for_is_exact() -> None:
    assistant = heron("speed for two inch brass")
    assert isinstance(assistant.conversation.memory.spindle_speed, Fraction)
