"""How the screen is set: command before shop's file before memory before system; else asked once."""

from __future__ import annotations

import io
from pathlib import Path
from types import SimpleNamespace

import pytest

from assistant import views
from assistant.errors import OutOfRange, ProfileError
from display.setting import SHOP_FILE, Setting, Wish, setting_for, shop_wish
from profiles import load


def nothing() -> None:
    return None


def shop(folder: Path, text: str) -> Path:
    (folder / SHOP_FILE).write_text(text, encoding="utf-8")
    return folder


def test_everything_may_be_set_in_the_shops_file(tmp_path: Path) -> None:
    folder = shop(
        tmp_path,
        "talk: pedal\ndisplay:\n  distance: 4m\n  screen: 32in\n  scheme: light\n"
        "  monitor: 2\n  talk_key: f9\n  talk_line: 17\n",
    )
    assert shop_wish(folder) == Wish("4m", "32in", "light", 2, "f9", "17")
    assert setting_for(shop_wish(folder), nothing) == Setting(
        4000.0, pytest.approx(812.8), "light", 2, "f9"
    )


@pytest.mark.parametrize("text", ["", "talk: pedal\n", "display:\n", "# nothing\n"])
def test_a_file_that_asks_for_nothing_changes_nothing(tmp_path: Path, text: str) -> None:
    assert shop_wish(shop(tmp_path, text)) == Wish()


def test_no_file_is_no_wish(tmp_path: Path) -> None:
    assert shop_wish(tmp_path) == Wish()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("display:\n  brightness: 3\n", "display has no key 'brightness'; there are distance,"),
        ("display:\n  distance: 4\n", "display.distance is 4; expected words such as 4m"),
        ("display:\n  screen: [32]\n", r"display.screen is \[32\]; expected words such as 32in"),
        ("display:\n  scheme: blue\n", "scheme 'blue': must be dark or light"),
        ("display:\n  monitor: first\n", "monitor 'first': must be a number from 1 to 16"),
        ("display:\n  monitor: 0\n", "monitor 0: must be a number from 1 to 16"),
        ("display:\n  monitor: true\n", "monitor True: must be a number"),
        ("display:\n  distance: 4 fathoms\n", "write a number and mm, cm, m, in or ft"),
        ("display:\n  distance: 90m\n", "must be 300 mm to 20000 mm"),
        ("display: large\n", "display is 'large'; expected keys such as distance"),
        ("display:\n  talk_key: [a]\n", "display.talk_key is no name of a key"),
        ("display:\n  talk_line: [17]\n", r"display.talk_line is \[17\]; expected a GPIO line"),
        (
            "display:\n  talk_line: true\n",
            "display.talk_line is True; expected a GPIO line such as",
        ),
        (
            "display:\n  talk_line: 1.5\n",
            "display.talk_line is 1.5; expected a GPIO line such as 17",
        ),
        ("display:\n  - [\n", "line 3: is no YAML"),
        ("just words\n", "display is 'just words'"),
    ],
)
def test_a_wrong_setting_is_named_with_what_would_be_right(
    tmp_path: Path, text: str, told: str
) -> None:
    with pytest.raises(ProfileError, match=told):
        shop_wish(shop(tmp_path, text))


def test_a_file_that_is_no_text_is_told(tmp_path: Path) -> None:
    (tmp_path / SHOP_FILE).write_bytes(b"\xff\xfe\x00")
    with pytest.raises(ProfileError, match="cannot be read"):
        shop_wish(tmp_path)


def test_the_command_goes_before_the_file() -> None:
    wish = Wish(distance="5m").over(Wish("4m", "32in", "light"))
    assert wish == Wish("5m", "32in", "light")


@pytest.mark.parametrize(
    ("wish", "remembered", "system", "told", "expected"),
    [
        (Wish(screen="32in"), "24in", 600.0, "19in", 812.8),
        (Wish(), "32in", 600.0, "19in", 812.8),
        (Wish(), None, 600.0, "19in", 600.0),
        (Wish(), None, None, "32in", 812.8),
        (Wish(), None, None, None, 609.6),
    ],
)
def test_the_size_is_asked_for_only_where_nothing_tells_it(
    wish: Wish, remembered: str | None, system: float | None, told: str | None, expected: float
) -> None:
    asked = []

    def ask() -> str | None:
        asked.append(True)
        return told

    found = setting_for(wish, lambda: system, remembered, ask)
    assert found.diagonal_mm == pytest.approx(expected)
    assert bool(asked) == (wish.screen is None and remembered is None and system is None)


@pytest.mark.parametrize(
    "wish", [Wish("4"), Wish(screen="1in"), Wish(scheme="blue"), Wish(monitor=17)]
)
def test_a_wrong_command_is_refused(wish: Wish) -> None:
    with pytest.raises(OutOfRange):
        setting_for(wish, nothing)


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Answers to be given at a terminal, taken from the front."""
    answers: list[str] = []
    monkeypatch.setattr(views, "sys", SimpleNamespace(stdin=Terminal(), stdout=Terminal()))
    monkeypatch.setattr("builtins.input", lambda _: answers.pop(0))
    return answers


def test_the_size_is_asked_once_and_remembered(tmp_path: Path, terminal: list[str]) -> None:
    terminal += ["big", "32in"]
    path = tmp_path / "data" / "screen.txt"
    assert views._ask(path) == "32in"
    assert views._remembered(path) == "32in"
    assert terminal == []


def test_enter_alone_is_the_usual_size_and_not_remembered(
    tmp_path: Path, terminal: list[str]
) -> None:
    terminal += [""]
    assert views._ask(tmp_path / "screen.txt") is None
    assert not (tmp_path / "screen.txt").exists()


def test_where_nobody_is_at_a_terminal_nobody_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(views, "sys", SimpleNamespace(stdin=io.StringIO(), stdout=Terminal()))
    assert views._ask(tmp_path / "screen.txt") is None


@pytest.mark.parametrize("text", ["", "big", "32"])
def test_a_memory_that_cannot_be_is_forgotten(tmp_path: Path, text: str) -> None:
    (tmp_path / "screen.txt").write_text(text)
    assert views._remembered(tmp_path / "screen.txt") is None


def test_the_shops_file_is_no_lathe(tmp_path: Path) -> None:
    shop(tmp_path, "display:\n  distance: 4m\n")
    assert load.names(tmp_path) == load.names()


def test_the_shops_file_stands_in_its_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SWARFSIDE_PROFILES", str(shop(tmp_path, "display:\n  talk_key: f9\n")))
    assert views.shop_talk_key() == "f9"
    monkeypatch.setattr(views, "system_diagonal", lambda: 600.0)
    assert views.screen_setting(Wish(distance="4m")).talk_key == "f9"


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("display:\n  talk_line: 17\n", "17"),
        ("display:\n  talk_line: J8:11\n", "J8:11"),
        ("display:\n  talk_key: f9\n", None),
    ],
)
def test_the_line_of_a_foot_switch_stands_in_the_shops_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str, line: str | None
) -> None:
    monkeypatch.setenv("SWARFSIDE_PROFILES", str(shop(tmp_path, text)))
    assert views.shop_talk_line() == line
