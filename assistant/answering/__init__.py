"""Query + lathe + memory -> Answer: one short function for each kind of question, found by type."""

from __future__ import annotations

from assistant.answering.registry import answer_to, answers
from assistant.answering.situation import Situation

__all__ = ["Situation", "answer_to", "answers"]
