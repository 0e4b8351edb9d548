"""Measurements, not tests: `python -m tests.bench core|hear`."""
