"""The interview in a terminal or from a pipe: every answer is kept at once, so that it can be resumed."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Final

from assistant.errors import ProfileError
from profiles import authoring
from profiles.authoring import answered, next_question, profile_text, without_last
from profiles.check import check
from profiles.faults import Finding
from profiles.placard import LARGEST_FILE
from profiles.replies import Question, judged
from profiles.source import SUFFIX
from profiles.writing import refuse_existing, store

BACK: Final = "<"
"""Takes the last answer back."""
DRAFT_SUFFIX: Final = ".draft"
Read = Callable[[], str]
"""One line as typed. Raises EOFError at the end of input, KeyboardInterrupt at Ctrl-C."""
Write = Callable[[str], None]


def ask_name(read: Read, write: Write) -> str | None:
    """The name of the lathe, asked until it will do; None where the input ends."""
    question = next_question({})
    assert question is not None
    while True:
        write(question.prompt)
        try:
            return judged(question, read())
        except ValueError as fault:
            write(f"No: {fault}.")
        except (EOFError, KeyboardInterrupt):
            return None


def target_of(given: str, folder: Path) -> Path:
    """The file to write for `given`, the name of a lathe or a .yaml file; names go into `folder`.

    Raises ProfileError for what is neither.

    >>> target_of("Sorrel", Path("shop")).name
    'sorrel.yaml'
    """
    if given.endswith(SUFFIX):
        return Path(given)
    return folder / f"{_judged_name(given, given)}{SUFFIX}"


def _judged_name(name: str, file: str) -> str:
    question = next_question({})
    assert question is not None
    try:
        return judged(question, name)
    except ValueError as fault:
        raise ProfileError(file, None, f"is no name for a lathe: {fault}") from fault


def draft_of(target: Path) -> Path:
    """Where the answers for the profile `target` are kept meanwhile."""
    return target.with_name(target.name + DRAFT_SUFFIX)


def interview(target: Path, read: Read, write: Write) -> list[Finding] | None:
    """Asks for a profile, writes it to `target`, and gives what `check` finds wrong with it.

    Returns None where the input ended before the last answer; then the answers are in the draft
    beside `target`, and the next call goes on from there.
    Raises ProfileError where `target` is there already or cannot be written, where its name is no
    name of a lathe, or where its draft is none.
    """
    if target.suffix != SUFFIX:
        raise ProfileError(str(target), None, f"must end in {SUFFIX}, such as sorrel{SUFFIX}")
    refuse_existing(target)
    draft = draft_of(target)
    answers = _begun(target, draft)
    _keep(draft, answers)
    write(f"Each answer is kept at once; Ctrl-C stops, {BACK} takes the last answer back.")
    if len(answers) > 1:
        write(f"Going on with the answers in {draft}: {len(answers)}.")
    while (question := next_question(answers)) is not None:
        write(question.prompt)
        try:
            typed = read()
        except (EOFError, KeyboardInterrupt):
            write(f"Stopped. The answers are in {draft}; the same command goes on there.")
            return None
        answers = _after(answers, question, typed, write)
        _keep(draft, answers)
    store(target, profile_text(answers))
    with contextlib.suppress(OSError):
        draft.unlink()
    return check(target)


def _after(answers: dict[str, str], question: Question, typed: str, write: Write) -> dict[str, str]:
    """The answers after one more line of input."""
    if typed.strip() == BACK:
        # The name is the file's; it cannot be taken back.
        return without_last(answers) if len(answers) > 1 else answers
    try:
        given = answered(answers, typed)
    except ValueError as fault:
        write(f"No: {fault}.")
        return answers
    if given[question.key] != typed.strip():
        write(f"= {given[question.key] or question.empty}")
    return given


def _begun(target: Path, draft: Path) -> dict[str, str]:
    """The answers in the draft, or only the name where there is none."""
    name = {"name": _judged_name(target.stem, str(target))}
    try:
        with draft.open("rb") as file:
            found = json.loads(file.read(LARGEST_FILE))
    except FileNotFoundError:
        return name
    except OSError as fault:
        raise ProfileError(str(draft), None, f"cannot be read: {fault.strerror}") from fault
    except (ValueError, RecursionError) as fault:
        raise _no_draft(draft) from fault
    if not isinstance(found, dict) or not all(isinstance(each, str) for each in found.values()):
        raise _no_draft(draft)
    return {**found, **name}


def _no_draft(draft: Path) -> ProfileError:
    return ProfileError(
        str(draft), None, "holds no answers of an interview; move it away to begin anew"
    )


def _keep(draft: Path, answers: authoring.Answers) -> None:
    store(draft, json.dumps(answers, ensure_ascii=False, indent=1) + "\n")
