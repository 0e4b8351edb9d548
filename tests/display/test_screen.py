"""The live screen, run as the application runs it, in a process of its own and drawn in memory."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

PRELUDE = """
import json, threading, time
from display import screen, window
from display.contact_sheet import LONGEST, SPEED, THREAD, THREAD_ANSWER
screen.choose_screen = window.choose_offscreen
screen.PAGE_SECONDS = 0.3
view = screen.Screen(2000, 600, fullscreen=False)
said = []
failed = []

def words(*roles):
    return sorted(w.text for w in view._sheet.walk() if getattr(w, 'role', '') in roles)

def until(true, seconds=20):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if true():
            return True
        time.sleep(0.02)
    return False

def told(*wanted):
    return until(lambda: view._sheet is not None and set(wanted) <= set(
        ' '.join(w.text.split()) for w in view._sheet.walk() if hasattr(w, 'text')))

def run(drive):
    def safely():
        try:
            drive()
        except BaseException as fault:
            failed.append(repr(fault))
        view.close()
    threading.Thread(target=safely).start()
    view.run()
    print(json.dumps({'said': said, 'failed': failed}))
"""


def played(drive: str, folder: Path, before: str = "") -> list[object]:
    """What the lines of `drive`, on a second thread, put into `said`; `before` runs first of all."""
    body = "".join(f"    {line}\n" for line in drive.strip().splitlines())
    environment = {
        "HOME": str(folder),
        "PATH": os.environ["PATH"],
        "PYTHONPATH": str(Path(__file__).parent.parent.parent),
        "PYTHONDONTWRITEBYTECODE": "1",
    }
    done = subprocess.run(
        [sys.executable, "-c", f"{PRELUDE}\n{before}\ndef drive():\n{body}\nrun(drive)\n"],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    result = json.loads(done.stdout)
    assert result["failed"] == []
    said: list[object] = result["said"]
    return said


def test_an_answer_given_on_another_thread_is_shown(tmp_path: Path) -> None:
    said = played(
        "view.set_ear('speaking')\n"
        "view.show(SPEED)\n"
        "said.append(told('380 rpm', 'speaking', 'Heron · mm'))",
        tmp_path,
    )
    assert said == [True]


def test_what_comes_before_the_window_is_shown_when_it_opens(tmp_path: Path) -> None:
    said = played("said.append(told('Welcome'))", tmp_path, before="view.welcome(['Welcome'])")
    assert said == [True]


def test_welcome_fault_and_answer_follow_each_other(tmp_path: Path) -> None:
    said = played(
        "view.welcome(['Swarfside', 'It controls nothing.'])\n"
        "said.append(told('Swarfside', 'It controls nothing.'))\n"
        "view.fault('No microphone.', 'Plug one in.')\n"
        "said.append(told('Fault', 'Plug one in.'))\n"
        "view.show(SPEED)\n"
        "said.append(told('380 rpm'))\n"
        "said.append(words('kicker'))",
        tmp_path,
    )
    assert said == [True, True, True, []]


def test_several_pages_turn_by_themselves_and_start_anew(tmp_path: Path) -> None:
    said = played(
        "view.show(THREAD, THREAD_ANSWER)\n"
        "count = len(view._pages) if until(lambda: len(view._pages) > 1) else 0\n"
        "said.append(all(told(f'{n} of {count}') for n in [*range(1, count + 1), 1]))\n"
        "said.append(told(f'2 of {count}'))\n"
        "view.show(SPEED)\n"
        "said.append(told('380 rpm') and until(lambda: words('page') == []))",
        tmp_path,
    )
    assert said == [True, True, True]


def test_a_change_of_the_ear_keeps_the_page(tmp_path: Path) -> None:
    said = played(
        "view.show(THREAD, THREAD_ANSWER)\n"
        "until(lambda: len(view._pages) > 1)\n"
        "count = len(view._pages)\n"
        "said.append(told(f'2 of {count}'))\n"
        "view._turning.cancel()\n"
        "number = view._number\n"
        "view.set_ear('muted')\n"
        "said.append(told('muted', f'{number + 1} of {count}'))",
        tmp_path,
    )
    assert said == [True, True]


def test_keys_and_pedal_reach_the_hooks_once_for_each_press(tmp_path: Path) -> None:
    said = played(
        "view.on_key = lambda name: said.append(['down', name])\n"
        "view.on_release = lambda name: said.append(['up', name])\n"
        "view.show(SPEED)\n"
        "told('380 rpm')\n"
        "from kivy.core.window import Window\n"
        "from kivy.clock import mainthread\n"
        "@mainthread\n"
        "def press():\n"
        "    for _ in range(3):\n"
        "        Window.dispatch('on_key_down', 32, 0, None, [])\n"
        "    Window.dispatch('on_key_up', 32, 0)\n"
        "    Window.dispatch('on_key_down', 32, 0, None, [])\n"
        "    Window.dispatch('on_touch_down', None)\n"
        "press()\n"
        "until(lambda: len(said) >= 4)",
        tmp_path,
    )
    assert said == [
        ["down", "spacebar"],
        ["up", "spacebar"],
        ["down", "spacebar"],
        ["down", "touch"],
    ]


def test_an_unknown_ear_is_an_error_at_once(tmp_path: Path) -> None:
    said = played(
        "try:\n"
        "    view.set_ear('deaf')\n"
        "except ValueError as fault:\n"
        "    said.append(str(fault)[:16])",
        tmp_path,
    )
    assert said == ["ear state 'deaf'"]


def test_a_screen_too_small_for_the_distance_is_refused(tmp_path: Path) -> None:
    code = (
        "from assistant.errors import DeviceError\n"
        "from display import screen, window\n"
        "screen.choose_screen = window.choose_offscreen\n"
        "try:\n"
        "    screen.Screen(9000, 300, fullscreen=False).run()\n"
        "except DeviceError as fault:\n"
        "    print(fault)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parent.parent.parent)},
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.stdout.startswith("this screen is too small to be read from 9 m: stand it within")


def test_without_a_screen_it_is_refused_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    from display import window
    from display.screen import Screen

    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(window, "drivers", lambda environment: [])
    with pytest.raises(window.KivyUnavailable, match="--display terminal"):
        Screen(3000, 600)


BRIEF = """
from display.rest import Patience
screen.TICK = 0.1
view = screen.Screen(2000, 600, fullscreen=False, patience=Patience(0.5, 1.0, 3.0, 1.0))
"""


def test_hints_then_the_clock_come_when_nothing_is_asked(tmp_path: Path) -> None:
    said = played(
        "view.set_ear('listening')\n"
        "view.suggest(['one', 'two', 'three', 'four'], 'heron · mm')\n"
        "view.show(SPEED)\n"
        "said.append(told('380 rpm'))\n"
        "said.append(told('You can say', 'Heron · mm'))\n"
        "first = words('note')\n"
        "said.append(len(first) == 3 and until(lambda: words('note') not in (first, [])))\n"
        "said.append(told('Last answer', '380 rpm', SPEED.heard))\n"
        "view.show(SPEED)\n"
        "said.append(until(lambda: '380 rpm' in words('headline')))",
        tmp_path,
        BRIEF,
    )
    assert said == [True] * 5


def test_what_only_steers_is_not_the_last_answer(tmp_path: Path) -> None:
    said = played(
        "from assistant.answer import Answer, Shown\n"
        "view.show(SPEED)\n"
        "view.show(Shown('answered', 'speak louder', 'Louder'), Answer('louder'))\n"
        "said.append(told('Louder'))\n"
        "said.append(told('Last answer', '380 rpm'))",
        tmp_path,
        "from display.rest import Patience\n"
        "screen.TICK = 0.1\n"
        "view = screen.Screen(2000, 600, fullscreen=False, patience=Patience(0.5, 1.0, 1.5, 1.0))",
    )
    assert said == [True, True]


def test_a_page_that_cannot_be_made_leaves_the_last_one(tmp_path: Path) -> None:
    said = played(
        "view.show(SPEED)\n"
        "told('380 rpm')\n"
        "usual = screen.compose\n"
        "def broken(*_):\n"
        "    raise ValueError('the screen is too low for a row')\n"
        "screen.compose = broken\n"
        "view.show(LONGEST)\n"
        "time.sleep(0.3)\n"
        "said.append('380 rpm' in words('headline'))\n"
        "screen.compose = usual\n"
        "view.show(LONGEST)\n"
        "said.append(told('382 turns/min'))",
        tmp_path,
    )
    assert said == [True, True]


def test_a_muted_ear_is_told_when_nothing_is_asked(tmp_path: Path) -> None:
    said = played(
        "view.set_ear('muted')\n"
        "view.show(SPEED)\n"
        "said.append(told('The ear is muted', 'Press the pedal to be heard again'))\n"
        "view.set_ear('listening')\n"
        "said.append(told('380 rpm'))",
        tmp_path,
        BRIEF,
    )
    assert said == [True, True]


def test_a_step_waits_however_long_it_takes(tmp_path: Path) -> None:
    said = played(
        "from display.contact_examples import STEP\n"
        "view.suggest(['one'], '')\n"
        "view.show(STEP)\n"
        "said.append(told('step 3 of 9'))\n"
        "time.sleep(1.6)\n"
        "said.append(told('step 3 of 9'))",
        tmp_path,
        BRIEF,
    )
    assert said == [True, True]


def test_the_window_never_blanks_and_stands_on_the_monitor_asked_for(tmp_path: Path) -> None:
    said = played(
        "view.show(SPEED)\n"
        "told('380 rpm')\n"
        "from kivy.core.window import Window\n"
        "from kivy.config import Config\n"
        "said.append(Window.allow_screensaver)\n"
        "said.append(hex(Config.getint('graphics', 'left')))",
        tmp_path,
        "view = screen.Screen(2000, 600, fullscreen=False, monitor=2)",
    )
    assert said == [False, "0x2fff0001"]


def test_a_monitor_that_goes_and_comes_back_ends_nothing(tmp_path: Path) -> None:
    said = played(
        "view.show(SPEED)\n"
        "told('380 rpm')\n"
        "came = []\n"
        "view._come_back = lambda: came.append(plugged[0])\n"
        "for now in ((), ('HDMI-A-1',), ('DP-1',)):\n"
        "    plugged[0] = now\n"
        "    time.sleep(0.5)\n"
        "said.append(came)\n"
        "from kivy.clock import mainthread\n"
        "from kivy.core.window import Window\n"
        "@mainthread\n"
        "def shrink(size):\n"
        "    view._sheet.size_hint = (None, None)\n"
        "    view._sheet.size = size\n"
        "for size in ((1, 1), (40, 30), (1600, 900)):\n"
        "    shrink(size)\n"
        "    time.sleep(0.3)\n"
        "view.show(SPEED)\n"
        "view.set_ear('muted')\n"
        "said.append(told('380 rpm', 'muted'))",
        tmp_path,
        "plugged = [('HDMI-A-1',)]\n"
        "screen.TICK = 0.1\n"
        "screen.monitors_plugged = lambda: plugged[0]\n",
    )
    assert said == [[["HDMI-A-1"], ["DP-1"]], True]


def test_coming_back_fills_the_screen_again(tmp_path: Path) -> None:
    said = played(
        "view.show(SPEED)\n"
        "told('380 rpm')\n"
        "from kivy.clock import mainthread\n"
        "from kivy.core.window import Window\n"
        "done = []\n"
        "@mainthread\n"
        "def back():\n"
        "    Window.fullscreen = False\n"
        "    view._fullscreen = True\n"
        "    view._come_back()\n"
        "    done.append(Window.fullscreen)\n"
        "back()\n"
        "until(lambda: done)\n"
        "said.append(done[0])\n"
        "said.append(told('380 rpm'))",
        tmp_path,
    )
    assert said == ["auto", True]
