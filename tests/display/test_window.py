"""Can a window open? Found out without opening one, and without being fooled by a stale variable."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.errors import DeviceError
from display import window
from display.window import KivyUnavailable, choose_screen, drivers


@pytest.fixture
def socket_folder(tmp_path: Path) -> Iterator[Path]:
    """A folder in which 'wayland-0' is listened on; short, since socket addresses are."""
    with socket.socket(socket.AF_UNIX) as server:
        server.bind(str(tmp_path / "wayland-0"))
        server.listen()
        yield tmp_path


@pytest.fixture(autouse=True)
def _no_console(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(window, "_console_screen", lambda: False)


def test_nothing_set_no_window() -> None:
    assert drivers({}) == []


@pytest.mark.parametrize("display", ["", ":", ":x", ":4711", "unix:4711", "localhost:3999", "4711"])
def test_a_display_that_does_not_answer_is_no_screen(display: str) -> None:
    assert drivers({"DISPLAY": display}) == []


def test_a_desktop_that_answers_is_a_screen(socket_folder: Path) -> None:
    environment = {"WAYLAND_DISPLAY": "wayland-0", "XDG_RUNTIME_DIR": str(socket_folder)}
    assert drivers(environment) == ["wayland"]


def test_a_desktop_named_by_its_whole_path_is_found(socket_folder: Path) -> None:
    assert drivers({"WAYLAND_DISPLAY": str(socket_folder / "wayland-0")}) == ["wayland"]


def test_a_desktop_that_is_gone_is_no_screen(tmp_path: Path) -> None:
    environment = {"WAYLAND_DISPLAY": "wayland-0", "XDG_RUNTIME_DIR": str(tmp_path)}
    assert drivers(environment) == []


def test_a_display_over_the_network_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        number = server.getsockname()[1] - 6000
        assert drivers({"DISPLAY": f"127.0.0.1:{number}.0"}) == ["x11"]


def test_the_console_is_used_only_without_a_desktop(
    socket_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(window, "_console_screen", lambda: True)
    assert drivers({}) == ["kmsdrm"]
    assert drivers({"WAYLAND_DISPLAY": str(socket_folder / "wayland-0")}) == ["wayland"]


@pytest.mark.parametrize(
    ("state", "card", "expected"),
    [("connected\n", True, True), ("disconnected\n", True, False), ("connected\n", False, False)],
)
def test_a_console_screen_is_plugged_in_and_ours(
    tmp_path: Path, state: str, card: bool, expected: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.undo()
    (tmp_path / "dri").mkdir()
    (tmp_path / "drm" / "card0-HDMI-A-1").mkdir(parents=True)
    (tmp_path / "drm" / "card0-HDMI-A-1" / "status").write_text(state)
    if card:
        (tmp_path / "dri" / "card0").touch()
    assert window._console_screen(tmp_path / "dri", tmp_path / "drm") == expected


def test_without_a_screen_the_way_out_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    with pytest.raises(KivyUnavailable, match=r"no screen to open a window on.*--display terminal"):
        choose_screen()


def test_it_is_a_device_error() -> None:
    assert issubclass(KivyUnavailable, DeviceError)


def test_a_found_screen_is_all_that_sdl_may_use(
    socket_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.setenv("WAYLAND_DISPLAY", str(socket_folder / "wayland-0"))
    monkeypatch.setenv("SDL_VIDEODRIVER", "offscreen")
    choose_screen()
    assert os.environ["SDL_VIDEODRIVER"] == "wayland"


def test_asking_for_a_screen_imports_no_kivy(tmp_path: Path) -> None:
    code = "import sys, display; display.available(); print('kivy' in sys.modules)"
    assert _run(code, tmp_path).stdout == "False\n"


def test_kivy_leaves_the_home_folder_the_arguments_and_the_terminal_alone(tmp_path: Path) -> None:
    code = (
        "import sys; sys.argv = ['x', '--help', '--size=9x9']\n"
        "from display.contact_sheet import STANDS, SPEED\n"
        "from display.render import render\n"
        "from pathlib import Path\n"
        "stand = STANDS[0]\n"
        "render(SPEED, None, stand.size, Path('a.png'), stand.distance, stand.screen_height)\n"
        "print(sys.argv)"
    )
    done = _run(code, tmp_path)
    assert done.stdout == "['x', '--help', '--size=9x9']\n"
    assert done.stderr == ""
    assert [path.name for path in tmp_path.iterdir()] == ["a.png"]


def _run(code: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """`code` in a Python of its own whose home is `folder`."""
    root = Path(__file__).parent.parent.parent
    environment = {
        "HOME": str(folder),
        "PATH": os.environ["PATH"],
        "PYTHONPATH": str(root),
        "PYTHONDONTWRITEBYTECODE": "1",
    }
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )


def test_giving_memory_back_is_no_fault_where_it_cannot_be(monkeypatch: pytest.MonkeyPatch) -> None:
    window.give_memory_back()
    monkeypatch.setattr(window.ctypes, "CDLL", lambda _: object())
    window.give_memory_back()


def test_monitors_are_named_by_their_connectors(tmp_path: Path) -> None:
    for name, state in (("card0-HDMI-A-1", "connected"), ("card0-DP-1", "disconnected")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "status").write_text(f"{state}\n")
    (tmp_path / "card1-eDP-1").mkdir()
    (tmp_path / "card1-eDP-1" / "status").write_text("connected\n")
    assert window.monitors_plugged(tmp_path) == ("HDMI-A-1", "eDP-1")


def test_where_the_system_does_not_tell_there_are_no_monitors(tmp_path: Path) -> None:
    assert window.monitors_plugged(tmp_path / "none") == ()
