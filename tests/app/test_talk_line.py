"""A foot switch on a GPIO line, on the pins that gpiozero simulates for tests; no board was at hand."""

import os
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from gpiozero import Device
from gpiozero.pins.mock import MockFactory, MockPin

from assistant import talk_line
from assistant.app import Assistant
from assistant.errors import DeviceError
from assistant.live_loop import LiveLoop
from assistant.speaking.silent import SilentVoice
from assistant.talk_line import BOUNCE, TalkLine
from assistant.talking import Talking, Way
from display.view import NoView
from tests.app.test_cli import process

LONG = 0.4
"""A bounce time that no busy machine reaches between two edges of one test."""


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant("heron")


class Told:
    """What the line told, in its order."""

    def __init__(self) -> None:
        self.events: list[str] = []

    def press(self, name: str) -> None:
        self.events.append(f"{name} down")

    def release(self, name: str) -> None:
        self.events.append(f"{name} up")


@pytest.fixture
def told() -> Told:
    return Told()


@pytest.fixture
def line(pins: MockFactory, told: Told) -> Iterator[TalkLine]:
    made = TalkLine("17", told.press, told.release)
    yield made
    made.close()


def soon(condition: Callable[[], object]) -> bool:
    deadline = time.monotonic() + 10
    while not condition() and time.monotonic() < deadline:
        time.sleep(0.005)
    return bool(condition())


def settled() -> None:
    """Longer than a line takes to tell."""
    time.sleep(BOUNCE * 5)


@pytest.mark.usefixtures("line")
def test_a_switch_that_closes_to_ground_is_pressed_and_let_go_once(
    pins: MockFactory, told: Told
) -> None:
    assert pins.pin(17).pull == "up"
    pins.pin(17).drive_low()
    assert soon(lambda: told.events == ["line down"])
    settled()
    pins.pin(17).drive_high()
    assert soon(lambda: told.events == ["line down", "line up"])
    settled()
    assert told.events == ["line down", "line up"]


@pytest.mark.usefixtures("line")
def test_contacts_that_bounce_give_one_press_and_one_release(
    pins: MockFactory, told: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(talk_line, "BOUNCE", LONG)
    pin = pins.pin(17)
    for _ in range(6):
        pin.drive_low()
        time.sleep(0.003)
        pin.drive_high()
        time.sleep(0.003)
    pin.drive_low()
    assert soon(lambda: told.events)
    time.sleep(LONG * 1.5)
    assert told.events == ["line down"]
    for _ in range(6):
        pin.drive_high()
        time.sleep(0.003)
        pin.drive_low()
        time.sleep(0.003)
    pin.drive_high()
    assert soon(lambda: len(told.events) > 1)
    time.sleep(LONG * 1.5)
    assert told.events == ["line down", "line up"]


@pytest.mark.usefixtures("line")
def test_a_spike_shorter_than_a_bounce_is_no_press(
    pins: MockFactory, told: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(talk_line, "BOUNCE", LONG)
    pins.pin(17).drive_low()
    time.sleep(0.005)
    pins.pin(17).drive_high()
    time.sleep(LONG * 2)
    assert told.events == []


def test_a_switch_closed_at_the_start_counts_from_the_next_press_on(
    pins: MockFactory, told: Told
) -> None:
    class Closed(MockPin):
        """Held to ground whatever the pull-up does."""

        def _set_pull(self, value: str) -> None:
            super()._set_pull(value)
            self._change_state(False)

    pins.pin_class = Closed
    line = TalkLine("17", told.press, told.release)
    settled()
    assert told.events == []
    pins.pin(17).drive_high()
    assert soon(lambda: told.events == ["line up"])
    pins.pin(17).drive_low()
    assert soon(lambda: told.events == ["line up", "line down"])
    line.close()


@pytest.mark.parametrize("name", ["17", "GPIO17", "BCM17", "BOARD11", "J8:11"])
def test_a_line_may_be_named_as_gpiozero_names_it(pins: MockFactory, told: Told, name: str) -> None:
    line = TalkLine(name, told.press, told.release)
    pins.pin(17).drive_low()
    assert soon(lambda: told.events == ["line down"])
    line.close()


def test_a_closed_line_is_let_go_and_free_for_another(
    pins: MockFactory, told: Told, line: TalkLine
) -> None:
    pins.pin(17).drive_low()
    assert soon(lambda: told.events == ["line down"])
    line.close()
    assert told.events == ["line down", "line up"], "what is held would stay held"
    assert not [each for each in threading.enumerate() if each.name == "talk line"]
    pins.pin(17).drive_high()
    again = Told()
    other = TalkLine("17", again.press, again.release)
    pins.pin(17).drive_low()
    assert soon(lambda: again.events == ["line down"])
    assert told.events == ["line down", "line up"]
    other.close()


@pytest.mark.parametrize("way", Way)
@pytest.mark.parametrize("key", [None, "f7"])
def test_the_line_is_held_and_tapped_in_every_way_and_beside_every_key(
    pins: MockFactory, assistant: Assistant, way: Way, key: str | None
) -> None:
    talking = Talking(way, key)
    stopped = []

    class Voice(SilentVoice):
        def stop(self) -> None:
            stopped.append(True)

    class Unheard:
        """Stands where the recogniser would: nothing is heard here."""

    loop = LiveLoop(assistant, Unheard(), NoView(), Voice(), talking)  # type: ignore[arg-type]
    line = TalkLine("17", loop.key, loop.key_released)
    pins.pin(17).drive_low()
    assert soon(lambda: talking.down), "it was not held"
    assert stopped, "the voice goes on"
    assert talking.called
    assert talking.take_press() is not None
    settled()
    assert talking.down
    assert talking.take_press() is None, "held, it was pressed once"
    pins.pin(17).drive_high()
    assert soon(lambda: not talking.down)
    assert talking.called, "tapped, the ear stays open for the question"
    line.close()


def fault(line: str = "17") -> str:
    told = Told()
    here = Path.cwd()
    with pytest.raises(DeviceError) as caught:
        TalkLine(line, told.press, told.release)
    assert Path.cwd() == here
    assert caught.value.device == "GPIO line"
    return str(caught.value)


@pytest.mark.usefixtures("pins")
def test_without_the_package_it_says_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "gpiozero", None)
    assert fault() == (
        "the package gpiozero for the GPIO line is not installed: "
        "install it with: pip install '.[line]'"
    )


@pytest.fixture
def no_pins(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """gpiozero finds no pins; the folder that stands for /dev."""
    monkeypatch.setattr(Device, "pin_factory", None)
    monkeypatch.setenv("GPIOZERO_PIN_FACTORY", "none-such")
    monkeypatch.setattr(talk_line, "DEVICES", tmp_path)
    return tmp_path


@pytest.mark.usefixtures("no_pins")
def test_a_machine_without_gpio_is_told() -> None:
    assert fault() == "this machine has no GPIO: press a key or talk by another way"


def test_gpio_without_its_backend_names_the_package(
    no_pins: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (no_pins / "gpiochip0").touch()
    monkeypatch.setattr(talk_line, "find_spec", lambda name: None)
    assert fault().startswith("the package lgpio for the GPIO line is not installed: install")


@pytest.mark.parametrize(
    ("may", "told"),
    [
        (False, "the GPIO may not be used by this user ({}): add the user to the group"),
        (True, "gpiozero does not know the GPIO of this machine: press a key"),
    ],
)
def test_gpio_that_is_not_permitted_or_not_known_is_told(
    no_pins: Path, monkeypatch: pytest.MonkeyPatch, may: bool, told: str
) -> None:
    chip = no_pins / "gpiochip0"
    chip.touch()
    monkeypatch.setattr(talk_line, "find_spec", lambda name: object())
    # Whoever runs this may be root, to whom everything is permitted.
    monkeypatch.setattr(os, "access", lambda path, mode: may)
    assert fault().startswith(told.format(chip))


@pytest.mark.usefixtures("pins")
@pytest.mark.parametrize("line", ["99", "pedal", "BOARD1", "-1"])
def test_a_line_that_is_not_there_is_told(line: str) -> None:
    assert fault(line) == (
        f"there is no GPIO line {line}: give its number, such as 17, or its place, such as BOARD11"
    )


@pytest.mark.usefixtures("line")
def test_a_line_in_use_is_told() -> None:
    assert fault("BOARD11").startswith("the GPIO line BOARD11 is in use or not permitted (pin GPIO")


def test_what_a_backend_refuses_in_its_own_way_is_told(pins: MockFactory) -> None:
    class Busy(MockPin):
        """Refused when it is claimed."""

        def __init__(self, factory: MockFactory, info: object) -> None:
            raise RuntimeError("GPIO busy")

    pins.pin_class = Busy
    assert fault() == (
        "the GPIO line 17 is in use or not permitted (GPIO busy): "
        "close the program that holds it or choose another line, then start again"
    )


def quiet(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, factory: str) -> None:
    """For a process without sound whose pins are made by `factory`."""
    monkeypatch.setenv("GPIOZERO_PIN_FACTORY", factory)
    monkeypatch.setenv("PULSE_SERVER", f"unix:{tmp_path / 'nothing.sock'}")
    monkeypatch.setenv("ALSA_CONFIG_PATH", "/dev/null")


USUAL = ("--engine", "sphinx", "--forgetful", "--talk-line", "99", "--talk")


def test_a_missing_line_is_shown_and_the_other_ways_go_on(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    quiet(monkeypatch, tmp_path, "mock")
    done = process(*USUAL, "open", "--display", "terminal")
    assert "fault: there is no GPIO line 99\ndo this: give its number" in done.stdout
    # It went on to what ends it here.
    assert "there is no microphone" in done.stderr


def test_where_only_the_line_could_open_the_ear_its_fault_ends_the_start(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    quiet(monkeypatch, tmp_path, "mock")
    done = process(*USUAL, "pedal", "--display", "none")
    assert done.returncode == 1
    assert done.stderr.strip().startswith("there is no GPIO line 99: give its number")
    assert "microphone" not in done.stderr
