"""A foot switch on a simulated GPIO line, on the virtual card: tapped, held, and named in the settings."""

import threading
from pathlib import Path

import pytest
from gpiozero.pins.mock import MockFactory
from typer.testing import CliRunner, Result

from assistant import live
from assistant.cli import app
from assistant.speaking.earcons import Earcons
from assistant.speaking.silent import SilentVoice
from assistant.talk_line import TalkLine
from assistant.talking import Talking, Way
from display.setting import SHOP_FILE
from tests.live.conftest import Starter, Watching, spoken, wait_for
from tests.live.virtual_card import VirtualCard, with_quiet


def test_a_switch_on_the_line_tapped_or_held_hears_one_question(
    card: VirtualCard, started: Starter, pins: MockFactory
) -> None:
    loop, view = started(SilentVoice(), talking=Talking(Way.PEDAL, "f7"), earcons=Earcons())
    line, pin = TalkLine("17", loop.key, loop.key_released), pins.pin(17)
    question = spoken("half_inch_thirteen.wav")
    with card.quiet_room():
        wait_for(lambda: "asleep" in view.ears, "the sleeping ear")
        pin.drive_low()
        threading.Event().wait(0.1)
        pin.drive_high()
        wait_for(lambda: view.ears[-1] == "listening", "the open ear")
        with card.playing(with_quiet(question, 0.1)):
            wait_for(lambda: view.shown, "an answer")
        wait_for(lambda: view.ears[-1] == "asleep", "the ear to sleep after one question")
        pin.drive_low()
        wait_for(lambda: view.ears[-1] == "listening", "the open ear")
        # The pause after the question is longer than the wait that ends one without a key.
        card.play_into_room(with_quiet(question, 0.8))
        assert view.ears[-1] == "listening", "a pause ends nothing while the switch is held"
        pin.drive_high()
        wait_for(lambda: view.ears[-1] == "asleep", "the end of the answer")
    line.close()
    assert [shown.heard for shown in view.shown] == ["half inch thirteen"] * 2


@pytest.mark.parametrize(
    ("arguments", "serves", "idle"), [([], 27, 17), (["--talk-line", "BOARD11"], 17, 27)]
)
def test_the_line_is_named_in_the_shops_file_or_by_the_command_which_goes_before_it(
    card: VirtualCard,
    pins: MockFactory,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    arguments: list[str],
    serves: int,
    idle: int,
) -> None:
    (tmp_path / SHOP_FILE).write_text("display:\n  talk_line: 27\n", encoding="utf-8")
    monkeypatch.setenv("SWARFSIDE_PROFILES", str(tmp_path))
    view = Watching()
    monkeypatch.setattr(live, "view_for", lambda *_: view)
    done: list[Result] = []

    def command() -> None:
        usual = ["--talk", "pedal", "--engine", "sphinx", "--forgetful", "--no-earcons"]
        done.append(CliRunner().invoke(app, [*usual, *arguments]))

    running = threading.Thread(target=command, daemon=True)
    with card.quiet_room():
        running.start()
        wait_for(lambda: view.ears[-1:] == ["asleep"], "the sleeping ear")
        pins.pin(idle).drive_low()
        threading.Event().wait(0.5)
        assert set(view.ears) == {"asleep"}, "the other line opens nothing"
        pins.pin(serves).drive_low()
        wait_for(lambda: view.ears[-1] == "listening", "the open ear")
        pins.pin(serves).drive_high()
        view.close()
        running.join(20)
    assert [result.exit_code for result in done] == [0]
    assert view.faults == []
    assert not [each for each in threading.enumerate() if each.name == "talk line"]
