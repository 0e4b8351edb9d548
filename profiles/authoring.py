"""The interview that makes a profile: from the answers so far to the next question, or to the profile.

Pure: nothing is written or remembered here. The script asks and builds at once; it is run from its
start with the answers that are there, up to the first that is missing.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

from profiles.replies import Question, judged
from profiles.script import script, texts
from profiles.writing import profile_yaml

Answers: TypeAlias = Mapping[str, str]
"""Key of the question -> answer as judged, in the order in which they were given."""


def comments(**names: str) -> dict[str, str]:
    """The comments for a profile, with `names` filled in."""
    return {field: text.format(**names) for field, text in texts()["comments"].items()}


def next_question(answers: Answers) -> Question | None:
    """The first question that `answers` has no good answer to; None where nothing is left to ask.

    >>> next_question({"name": "sorrel"}).key
    'description'
    """
    return _run(answers)[0]


def answered(answers: Answers, text: str) -> dict[str, str]:
    """`answers` and the answer `text` to the next question. Raises ValueError with one sentence."""
    question = next_question(answers)
    if question is None:
        raise ValueError("nothing is left to ask")
    return {**answers, question.key: judged(question, text)}


def without_last(answers: Answers) -> dict[str, str]:
    """`answers` without the one given last."""
    return dict(list(answers.items())[:-1])


def profile_text(answers: Answers) -> str:
    """The profile as commented YAML. Raises ValueError while a question is open."""
    question, fields = _run(answers)
    if question is not None:
        raise ValueError(f"still to be answered: {question.ask}")
    return profile_yaml(fields, comments(name=fields["name"], file=""))


def _run(answers: Answers) -> tuple[Question | None, Any]:
    running = script()
    question = next(running)
    while True:
        text = answers.get(question.key)
        try:
            good = None if text is None else judged(question, text)
        except ValueError:
            # A draft that was changed by hand: the question is asked again.
            good = None
        if good is None:
            return question, None
        try:
            question = running.send(good)
        except StopIteration as end:
            return None, end.value
