"""Screw threads: one file per family of standards, the shared types in `thread`."""
