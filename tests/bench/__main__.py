"""Chooses what to measure."""

import importlib
import sys

PLAIN = ("core", "display")
WITH_OPTIONS = ("hear", "wake", "idle", "learn")

chosen, options = sys.argv[1:2], sys.argv[2:]
if not chosen or chosen[0] not in PLAIN + WITH_OPTIONS or (chosen[0] in PLAIN and options):
    sys.exit(
        f"python -m tests.bench {'|'.join(PLAIN + WITH_OPTIONS)} "
        f"[options of {', '.join(WITH_OPTIONS)}: --help]"
    )
measure = importlib.import_module(f"tests.bench.{chosen[0]}")
measure.run(*([options] if chosen[0] in WITH_OPTIONS else []))
