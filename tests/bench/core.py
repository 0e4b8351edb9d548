"""Time for a typed question of every kind, from the words to the sentence to say."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections import defaultdict
from pathlib import Path

import yaml

from assistant.app import Assistant
from assistant.query import Query

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
    program = "from assistant.app import Assistant; Assistant().reply('thirteen threads per inch')"
    subprocess.run([sys.executable, "-c", program], check=True)
    begun = time.perf_counter()
    subprocess.run([sys.executable, "-c", program], check=True)
    took = time.perf_counter() - begun
    print(
        f"start of the process to first typed answer: {took:.2f} s, {took / 1.0:.2f} of the target 1 s"
    )
