"""Chooses what to measure."""

import importlib
import sys

NAMES = ("core", "hear", "display")

if len(sys.argv) < 2 or sys.argv[1] not in NAMES or (sys.argv[1] != "hear" and sys.argv[2:]):
    sys.exit(f"python -m tests.bench {'|'.join(NAMES)} [options of hear]")
chosen = importlib.import_module(f"tests.bench.{sys.argv[1]}")
chosen.run(*([sys.argv[2:]] if sys.argv[1] == "hear" else []))
