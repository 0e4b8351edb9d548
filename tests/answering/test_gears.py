"""Change gears on the real profiles: the best trains, what they cut, whether they hang, what is refused."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.answer import Answer, Ask, Refusal
from assistant.answering import Situation, answer_to
from assistant.answering.gearing import LARGEST_ERROR, box_positions
from assistant.answering.set_up import SetUp, set_up_at_start
from assistant.app import Assistant
from assistant.core.levers import GearTrain
from assistant.query import ThreadFor, ThreadNamed
from assistant.query_levers import ChangeGearsFor, GearsMounted
from assistant.units import inches, quantity
from profiles.lathe import Lathe
from profiles.load import find
from tests.check_values import check_rows

LATHES = ("heron", "badger", "juniper")


@cache
def lathe(name: str) -> Lathe:
    return find(name)


def situation(name: str, set_up: SetUp | None = None) -> Situation:
    known = set_up or set_up_at_start(lathe(name))
    return Situation(lathe(name), "mm", levers=known.known, set_up=known)


def pitch(mm: Fraction) -> ThreadNamed:
    return ThreadNamed(pitch=quantity(mm, "mm"))


def gears_for(name: str, lead: Fraction) -> Answer | Refusal:
    outcome = answer_to(ChangeGearsFor(thread=pitch(lead)), situation(name))
    assert isinstance(outcome, Answer | Refusal)
    return outcome


def number(answer: Answer, name: str) -> Fraction:
    found = answer.values[name].number
    assert isinstance(found, Fraction)
    return found


@pytest.mark.parametrize("row", check_rows("gears_on_lathes.csv"))
def test_error_and_train_are_those_of_the_sum(row: dict[str, str]) -> None:
    answer = Assistant(row["lathe"]).reply(f"change gears for {row['thread']}").answer
    assert answer is not None
    error = float(number(answer, "pitch_error_ppm"))
    assert error == pytest.approx(float(row["error_ppm"]), abs=float(row["tolerance"]))
    if row["train"]:
        above, below = ([int(each) for each in part.split("+")] for part in row["train"].split("/"))
        assert answer.gears[0] == (tuple(above), tuple(below))


LEADS = st.one_of(
    st.integers(3, 240).map(lambda steps: Fraction(steps, 20)),
    st.integers(16, 320).map(lambda quarters: inches(Fraction(4, quarters))),
)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(LATHES), LEADS)
def test_trains_hang_cut_what_is_told_and_are_told_best_first(name: str, lead: Fraction) -> None:
    answer = gears_for(name, lead)
    if isinstance(answer, Refusal):
        assert "500 ppm" in answer.reason
        return
    machine = lathe(name)
    assert 1 <= len(answer.gears) <= 3
    assert len(set(answer.gears)) == len(answer.gears)
    for drivers, driven in answer.gears:
        assert Counter(drivers + driven) <= Counter(machine.gears)
        assert hangs(drivers, driven, machine)
    feed = answer.settings["feed"]
    train = feed.train or machine.usual_train
    assert train is not None
    assert train.ratio == GearTrain(*answer.gears[0]).ratio
    cut = train.ratio * box_lead(name, dict(feed.levers))
    assert cut - lead == number(answer, "pitch_error")
    assert number(answer, "pitch_error_ppm") == (cut - lead) / lead * 1_000_000
    assert abs(number(answer, "pitch_error_ppm")) <= LARGEST_ERROR
    misses = [nearest_miss(lead, GearTrain(*each), machine) for each in answer.gears]
    assert misses[0] == abs(cut - lead)
    assert misses == sorted(misses)


def box_lead(name: str, levers: dict[str, str]) -> Fraction:
    """mm that the box cuts at these levers through gears of ratio 1."""
    machine = lathe(name)
    if not machine.gearbox:
        return machine.leadscrew.lead
    assert machine.usual_train is not None
    [gives] = {e.gives for e in machine.pitches if e.train is None and dict(e.levers) == levers}
    return gives / machine.usual_train.ratio


def nearest_miss(lead: Fraction, train: GearTrain, machine: Lathe) -> Fraction:
    return min(abs(train.ratio * box - lead) for _, box in box_positions(machine))


def hangs(drivers: tuple[int, ...], driven: tuple[int, ...], machine: Lathe) -> bool:
    """Whether two pairs stand within the banjo and clear of each other's shafts, by distances in mm."""
    if in_chart(drivers, driven, machine):
        return True
    if len(drivers) == 1:
        spare = Counter(machine.gears) - Counter(drivers + driven)
        return any(reaches(drivers[0], idler, driven[0], machine) for idler in spare)
    (a, c), (b, d) = drivers, driven
    banjo = machine.banjo
    assert banjo is not None
    module = banjo.module
    assert module is not None
    assert banjo.min_centres is not None
    assert banjo.max_centres is not None
    upper, lower = module * (a + b) / 2, module * (c + d) / 2
    near = all(banjo.min_centres <= each <= banjo.max_centres for each in (upper, lower))
    tips = module
    clear = module * c / 2 + tips <= upper and module * b / 2 + tips <= lower
    return near and clear


def in_chart(drivers: tuple[int, ...], driven: tuple[int, ...], machine: Lathe) -> bool:
    """Trains of the profile hang on the lathe already; the profile's own check looks at them."""
    return GearTrain(drivers, driven) in {machine.usual_train, *(e.train for e in machine.pitches)}


def every_train(machine: Lathe) -> Iterator[GearTrain]:
    owned = Counter(machine.gears)
    for a, b, c, d in set(permutations(machine.gears, 4)):
        if hangs((a, c), (b, d), machine):
            yield GearTrain((a, c), (b, d))
    for a, b in set(permutations(machine.gears, 2)):
        for idler in owned - Counter((a, b)):
            if reaches(a, idler, b, machine):
                yield GearTrain((a,), (b,))
                break


def reaches(driver: int, idler: int, driven: int, machine: Lathe) -> bool:
    banjo = machine.banjo
    assert banjo is not None
    assert banjo.module is not None
    assert banjo.min_centres is not None
    assert banjo.max_centres is not None
    centres = (banjo.module * (driver + idler) / 2, banjo.module * (idler + driven) / 2)
    return all(banjo.min_centres <= each <= banjo.max_centres for each in centres)


@pytest.mark.parametrize("name", ["badger", "juniper"])
def test_no_train_of_the_shop_is_nearer_than_the_one_told(name: str) -> None:
    """Every way to hang two, three or four gears, at every box position, tried one by one."""
    machine = lathe(name)
    leads = [box for _, box in box_positions(machine)]
    ratios = {train.ratio for train in every_train(machine)}
    for wanted in (
        inches(Fraction(1, 19)),
        inches(Fraction(2, 23)),
        Fraction(7, 20),
        Fraction(11, 10),
    ):
        answer = gears_for(name, wanted)
        assert isinstance(answer, Answer)
        best = min(abs(ratio * box - wanted) for ratio in ratios for box in leads)
        assert abs(number(answer, "pitch_error")) <= best
        assert abs(number(answer, "pitch_error")) in (0, best)


def test_error_is_told_in_every_form_and_as_a_caution() -> None:
    """19 per inch on juniper: -357.91 ppm of 1.3368 mm is -0.000478 mm, -35.8 um in 100 mm."""
    shown = Assistant("juniper").reply("change gears for nineteen threads per inch")
    found = shown.as_json()
    assert found["values"]["pitch_error"]["value"] == pytest.approx(-0.000478, abs=1e-6)
    assert found["values"]["pitch_error"]["unit"] == "mm"
    assert found["values"]["pitch_error_ppm"]["value"] == pytest.approx(-357.91, abs=0.01)
    assert "Approximate pitch: 358 ppm short, 35.8 µm in 100 mm." in found["cautions"]
    assert found["gears"][0] == {"drivers": [35, 70], "driven": [55, 100]}
    assert found["query"]["kind"] == "gears"


def test_exact_gears_are_no_caution() -> None:
    found = Assistant("juniper").reply("gears for metric twelve").as_json()
    assert not any("pproximate" in each for each in found["cautions"])
    assert ("Error", "none, exact") in {(row["label"], row["text"]) for row in found["rows"]}
    assert len(found["gears"]) == 3


def test_thread_that_the_chart_lacks_is_answered_with_gears_error_and_rule() -> None:
    found = Assistant("badger").reply("nineteen threads per inch").as_json()
    assert found["status"] == "answered"
    assert found["gears"] == [{"drivers": [55, 70], "driven": [40, 90]}]
    assert found["rows"][0]["text"] == "mount 55 drives 40, then 70 drives 90"
    assert found["values"]["pitch_error_ppm"]["value"] == pytest.approx(-27.34, abs=0.01)
    assert found["engage"]["keep_closed"]
    assert found["setting"]["feed"]["pointer"] == "6 o'clock"
    assert found["cautions"][0] == "Isolate the lathe before opening the gear guard."
    assert found["cautions"][1].startswith("Approximate pitch: 27 ppm short")


def test_dial_is_told_for_the_lead_that_the_gears_cut() -> None:
    """0.8 mm through 127 serves on one line; the chart of the heron lacks it."""
    found = Assistant("heron").reply("gears for point eight millimetre pitch").as_json()
    assert found["engage"]["marks"] == ["1"]
    assert found["values"]["pitch_error"]["exact"] == "0"


@pytest.mark.parametrize(
    ("said", "lathe_name", "status", "text"),
    [
        ("gears for pitch zero", "heron", "refused", "must be more than 0 mm"),
        ("gears for pitch one hundred", "heron", "refused", "within 500 ppm"),
        (
            "gears for twenty seven threads per inch",
            "juniper",
            "refused",
            "nearest is 0.93986 mm, -936 ppm",
        ),
        ("gears for pitch point oh oh one", "juniper", "refused", "0.001 mm"),
        ("gears for zero threads per inch", "heron", "not-understood", "do not follow 'threads'"),
        ("gears for", "heron", "not-understood", "is not finished"),
        ("which gears", "heron", "ask", "For which thread?"),
        ("gears for metric seven hundred", "heron", "refused", "700"),
    ],
)
def test_what_no_gears_give_is_refused(said: str, lathe_name: str, status: str, text: str) -> None:
    shown = Assistant(lathe_name).reply(said).shown
    assert shown.status == status
    assert text in shown.headline


def test_thread_that_neither_chart_nor_gears_give_keeps_its_figures_and_no_setting() -> None:
    found = Assistant("juniper").reply("twenty seven threads per inch").as_json()
    assert found["status"] == "answered"
    assert found["values"]["pitch"]["value"] == pytest.approx(25.4 / 27, abs=1e-6)
    assert "setting" not in found
    assert "engage" not in found
    assert "do not cut it on this lathe" in found["cautions"][0]


def test_lathe_without_change_gears_says_so() -> None:
    bare = replace(lathe("heron"), gears=())
    outcome = answer_to(ChangeGearsFor(thread=pitch(Fraction(4, 5))), Situation(bare, "mm"))
    assert isinstance(outcome, Refusal)
    assert "its profile no change gears" in outcome.reason
    chart = answer_to(ChangeGearsFor(thread=pitch(Fraction(3, 2))), Situation(bare, "mm"))
    assert isinstance(chart, Answer)
    assert len(chart.gears) == 1


def test_lathe_whose_box_is_not_known_has_its_chart_only() -> None:
    chart_only = replace(lathe("heron"), usual_train=None)
    outcome = answer_to(ThreadFor(thread=pitch(Fraction(4, 5))), Situation(chart_only, "mm"))
    assert isinstance(outcome, Answer)
    assert outcome.settings == {}


def test_gears_that_are_on_stay_on_where_they_give_the_lead_as_well() -> None:
    """With 80 for 127 on the heron, 0.4 mm is the same train at another position of the box."""
    on = SetUp(mounted=GearTrain((80,), (127,)))
    for query in (
        ThreadFor(thread=pitch(Fraction(2, 5))),
        ChangeGearsFor(thread=pitch(Fraction(2, 5))),
    ):
        answer = answer_to(query, situation("heron", on))
        assert isinstance(answer, Answer)
        assert "mount" not in answer.texts
        train = answer.settings["feed"].train
        assert train is not None
        assert train.ratio == Fraction(80, 127)
        assert train.ratio * box_lead("heron", dict(answer.settings["feed"].levers)) == Fraction(
            2, 5
        )


def test_feed_after_a_metric_thread_asks_for_the_usual_gears_again() -> None:
    assistant = Assistant("heron")
    for said in ("metric twelve", "all set"):
        assert assistant.reply(said).answered
    found = assistant.reply("feed five thou").as_json()
    assert found["rows"][0] == {
        "label": "Gears",
        "text": "mount the usual ones again: 40 drives 40",
    }
    assert found["cautions"][0] == "Isolate the lathe before opening the gear guard."
    assert found["gears"] == [{"drivers": [40], "driven": [40]}]


def test_speed_needs_no_gears_whatever_is_on() -> None:
    assistant = Assistant("juniper")
    found = assistant.reply("speed for brass twenty millimetres").as_json()
    assert "gears" not in found
    assert not any("guard" in each for each in found["cautions"])


def test_mounted_gears_are_confirmed_by_word_only() -> None:
    assistant = Assistant("juniper")
    assert "mount" in str(assistant.reply("metric twelve").as_json()["rows"])
    assert "mount" in str(assistant.reply("metric twelve").as_json()["rows"])
    found = assistant.reply("gears are mounted").as_json()
    assert found["gears"] == [{"drivers": [35], "driven": [60]}]
    assert "mount" not in str(assistant.reply("metric twelve").as_json()["rows"])
    assert "mount" in str(assistant.reply("metric ten").as_json()["rows"])


@pytest.mark.parametrize(
    ("name", "usual"), [("heron", False), ("juniper", False), ("juniper", True)]
)
def test_gears_that_were_never_told_can_not_be_confirmed(name: str, usual: bool) -> None:
    outcome = answer_to(GearsMounted(usual=usual), situation(name))
    assert isinstance(outcome, Refusal)


def test_without_a_thread_it_is_asked_for() -> None:
    assert isinstance(answer_to(ChangeGearsFor(), situation("heron")), Ask)
