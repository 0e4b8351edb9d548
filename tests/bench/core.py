"""Time for a typed question of every kind, from the words to the sentence to say."""

from __future__ import annotations

import heapq
import statistics
import subprocess
import sys
import time
from collections import defaultdict
from fractions import Fraction
from pathlib import Path

import yaml

from assistant.app import Assistant
from assistant.core.change_gears import BanjoLimits, change_gears
from assistant.query import Query
from assistant.units import inches
from tests.core.test_change_gears import LARGE_SET, every_setting, key

SENTENCES = Path(__file__).parent.parent / "sentences"
ROUNDS = 15
TARGET_MEDIAN, TARGET_99 = 5.0, 20.0


def questions() -> list[dict[str, object]]:
    found: list[dict[str, object]] = []
    for file in sorted(SENTENCES.glob("*.yaml")):
        found += yaml.safe_load(file.read_text(encoding="utf-8"))
    return found


def percentile(values: list[float], share: float) -> float:
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


GEARS = LARGE_SET[1:]
"""24 gears of an invented shop, 127 and 63 among them."""
STEPS = [Fraction(each) for each in "4 9/2 5 21/4 11/2 23/4 6 13/2 27/4 7 15/2 31/4".split()]
BOX = tuple(inches(1 / (step * times)) for times in (1, 2, 4, 8) for step in STEPS)
"""Leads of a gearbox of four by twelve positions."""
LEADS = (Fraction(7, 4), Fraction(22, 7))
"""mm: a metric pitch, and one that no train of the set cuts exactly."""
GEARS_TARGET = 250.0
BEST = 8


def gear_search() -> None:
    """The search against a plain brute force: the same trains, and how much sooner."""
    took: dict[str, list[float]] = defaultdict(list)
    for lead in LEADS:
        begun = time.perf_counter()
        found = change_gears(lead, GEARS, BOX, count=BEST)
        took["search"].append((time.perf_counter() - begun) * 1000)
        begun = time.perf_counter()
        plain = heapq.nsmallest(BEST, every_setting(lead, GEARS, BOX, BanjoLimits()))
        took["plain"].append((time.perf_counter() - begun) * 1000)
        if [key(one) for one in found] != [entry[:3] for entry in plain]:
            raise SystemExit(f"gear search for {float(lead):g} mm: not what the brute force finds")
    search, plainly = statistics.median(took["search"]), statistics.median(took["plain"])
    print(
        f"gear search, {len(GEARS)} gears, two pairs, {len(BOX)} positions: {search:.0f} ms, "
        f"{search / GEARS_TARGET:.2f} of the target {GEARS_TARGET:g} ms; plain brute force "
        f"{plainly:.0f} ms, the same {BEST} trains, ratio {plainly / search:.0f}"
    )


def run() -> None:
    times: dict[str, list[float]] = defaultdict(list)
    for entry in questions():
        assistant = Assistant(entry.get("lathe"), entry.get("units"))  # type: ignore[arg-type]
        for earlier in entry.get("after", []):  # type: ignore[attr-defined]
            assistant.reply(earlier)
        words = str(entry["say"])
        query = assistant.grammar.read(words, assistant.conversation.memory.units)
        kind = query.kind if isinstance(query, Query) else "not understood"
        assistant.reply(words)
        for _ in range(ROUNDS):
            begun = time.perf_counter()
            assistant.reply(words)
            times[kind].append((time.perf_counter() - begun) * 1000)
    print(
        f"{'kind':16} {'asked':>6} {'median ms':>10} {'99 % ms':>9}  of the targets {TARGET_MEDIAN:g} and {TARGET_99:g} ms"
    )
    for kind, values in sorted(times.items()):
        median, high = statistics.median(values), percentile(values, 0.99)
        print(
            f"{kind:16} {len(values):6} {median:10.2f} {high:9.2f}  "
            f"{median / TARGET_MEDIAN:5.2f} {high / TARGET_99:5.2f}"
        )
    gear_search()
    program = "from assistant.app import Assistant; Assistant().reply('thirteen threads per inch')"
    subprocess.run([sys.executable, "-c", program], check=True)
    begun = time.perf_counter()
    subprocess.run([sys.executable, "-c", program], check=True)
    took = time.perf_counter() - begun
    print(
        f"start of the process to first typed answer: {took:.2f} s, {took / 1.0:.2f} of the target 1 s"
    )
