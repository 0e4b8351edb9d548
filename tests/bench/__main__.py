"""Chooses what to measure."""

import importlib
import sys

NAMES = ("core", "hear", "display", "learn")
WITH_OPTIONS = ("hear", "learn")

name, options = [*sys.argv, ""][1], sys.argv[2:]
if name not in NAMES or (name not in WITH_OPTIONS and options):
    sys.exit(f"python -m tests.bench {'|'.join(NAMES)} [options of {' and '.join(WITH_OPTIONS)}]")
chosen = importlib.import_module(f"tests.bench.{name}")
chosen.run(*([options] if name in WITH_OPTIONS else []))
