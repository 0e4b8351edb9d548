"""Chooses what to measure."""

import importlib
import sys

NAMES = ("core", "hear")

if len(sys.argv) != 2 or sys.argv[1] not in NAMES:
    sys.exit(f"python -m tests.bench {'|'.join(NAMES)}")
importlib.import_module(f"tests.bench.{sys.argv[1]}").run()
