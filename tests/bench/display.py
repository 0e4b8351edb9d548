"""First frame, answer to pixels, idle processor time, memory and its growth over many answers.

Everything is drawn by software into memory (SDL offscreen, no graphics card), at 1920 x 1080.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ANSWERS = 1200
"""Shown one after another for the growth: twenty minutes at sixty a minute."""
IDLE_SECONDS = 10
ROOT = Path(__file__).parent.parent.parent

FIRST_FRAME = """
import time
begun = time.clock_gettime(time.CLOCK_MONOTONIC)
from display import screen, window
screen.choose_screen = window.choose_offscreen
view = screen.Screen(3000, 812.8, fullscreen=False)
view.welcome(['Swarfside', 'It controls nothing.'])
from kivy.config import Config
Config.set('graphics', 'width', '1920'); Config.set('graphics', 'height', '1080')
from kivy.clock import Clock
def flipped(*_):
    print(time.clock_gettime(time.CLOCK_MONOTONIC), flush=True)
    view.close()
def started(*_):
    from kivy.core.window import Window
    Window.bind(on_flip=flipped)
    Window.canvas.ask_update()
Clock.schedule_once(started, 0)
view.run()
"""

ASK = """
import pickle
from pathlib import Path
from assistant.app import Assistant
replies = []
for lathe, units in (('heron', 'inch'), ('badger', 'mm')):
    assistant = Assistant(lathe, units)
    for words in assistant.grammar.examples():
        if not words.startswith(('use ', 'answer in ')):
            reply = assistant.reply(words)
            replies.append((reply.shown, reply.answer))
Path('replies').write_bytes(pickle.dumps(replies))
"""

LONG = """
import gc, json, resource, statistics, sys, threading, time
from pathlib import Path
from display import screen, window
screen.choose_screen = window.choose_offscreen
from kivy.config import Config
Config.set('graphics', 'width', '1920'); Config.set('graphics', 'height', '1080')
import pickle
replies = pickle.loads(Path('replies').read_bytes())
view = screen.Screen(3000, 812.8, fullscreen=False)
found = {}

def memory():
    for line in Path('/proc/self/status').read_text().splitlines():
        if line.startswith('VmRSS'):
            return int(line.split()[1]) / 1024

drawn = threading.Event()
laid_out = []
def flipped(*_):
    # Frames are drawn after all that was due is done: this one shows what was laid out.
    if laid_out:
        laid_out.clear()
        drawn.set()

def bound():
    from kivy.core.window import Window
    Window.bind(on_flip=flipped)

worked = []
def shown(reply):
    drawn.clear()
    begun, work = time.perf_counter(), time.process_time()
    view.show(*reply)
    view._later(lambda: laid_out.append(True))
    if not drawn.wait(10):
        raise TimeoutError(reply[0].headline)
    worked.append((time.process_time() - work) * 1000)
    return (time.perf_counter() - begun) * 1000

def drive():
    try:
        while view._sheet is None:
            time.sleep(0.05)
        view._clock.schedule_once(lambda _: bound())
        time.sleep(1)
        begun, wall = time.process_time(), time.monotonic()
        time.sleep(IDLE)
        found['idle'] = (time.process_time() - begun) / (time.monotonic() - wall) * 100
        first = [shown(reply) for reply in replies]
        found['new'], found['work'] = first, list(worked)
        gc.collect()
        sizes = [memory()]
        again = []
        for number in range(ANSWERS):
            again.append(shown(replies[number % len(replies)]))
            if number % 20 == 19:
                gc.collect()
                sizes.append(memory())
        found['again'], found['memory'] = again, sizes
        found['most'] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    finally:
        view.close()
threading.Thread(target=drive, daemon=True).start()
view.run()
print(json.dumps(found))
"""


def _run(code: str, folder: str) -> str:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_DATA_HOME": folder}
    environment.setdefault("HOME", folder)
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        sys.exit(done.stderr)
    return done.stdout


def first_frame(folder: str) -> float:
    """Seconds from the start of the process to the first frame."""
    begun = time.clock_gettime(time.CLOCK_MONOTONIC)
    return float(_run(FIRST_FRAME, folder).split()[0]) - begun


def slope(values: list[float]) -> float:
    """Least-squares growth of `values` from one to the next."""
    middle = (len(values) - 1) / 2
    mean = statistics.mean(values)
    above = sum((at - middle) * (value - mean) for at, value in enumerate(values))
    return above / sum((at - middle) ** 2 for at in range(len(values)))


def _line(label: str, value: float, unit: str, target: float) -> None:
    verdict = "within" if value <= target else "OVER"
    print(f"{label:52} {value:8.2f} {unit:3} {verdict} the target {target:g} {unit}")


def run() -> None:
    busy = os.getloadavg()[0]
    print(f"{busy:.1f} other processes are at work on {os.cpu_count()} cores")
    with tempfile.TemporaryDirectory() as folder:
        first_frame(folder)
        starts = sorted(first_frame(folder) for _ in range(5))
        _run(ASK, folder)
        code = LONG.replace("IDLE)", f"{IDLE_SECONDS})").replace("(ANSWERS)", f"({ANSWERS})")
        found = json.loads(_run(code, folder).splitlines()[-1])
    _line("start of the process to first frame, median of 5", starts[2], "s", 1.5)
    _line("idle, of one core", found["idle"], "%", 3)
    for name, label in (
        ("new", "answer to pixels, first time"),
        ("work", "of that the processor's work"),
        ("again", "answer to pixels, shown again"),
    ):
        values = sorted(found[name])
        _line(f"{label}, median of {len(values)}", statistics.median(values), "ms", 60)
        print(f"{'':8}99 % {values[int(0.99 * len(values))]:.1f} ms, worst {values[-1]:.1f} ms")
    _line("memory after every kind was shown", found["memory"][0], "MB", 250)
    _line("memory at most", found["most"], "MB", 250)
    grown = slope(found["memory"][len(found["memory"]) // 2 :]) / 20 * 3600
    print(f"growth at sixty answers a minute: {grown:.2f} MB an hour, over the last {ANSWERS // 2}")
    print("memory every 100 answers, MB:", *(f"{size:.1f}" for size in found["memory"][::5]))
