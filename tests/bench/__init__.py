"""Measurements, not tests: `python -m tests.bench core|display|hear|wake|idle`."""
