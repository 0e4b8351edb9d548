"""What is said of a job: its number, settings, notes, counted parts and timers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.alongside.job import Job, KeptSetting
from assistant.alongside.shelf import JobShelf
from assistant.answer import Answer, Phrase, Refusal, Value
from assistant.core.materials import material
from assistant.errors import OutOfRange
from assistant.query import Query
from assistant.query_alongside import (
    JobWord,
    NoteThat,
    PartsWord,
    SameAsJob,
    TimerFor,
    UseJob,
)

Outcome = Answer | Refusal
LONGEST_TIMER = 12 * 60 * 60
"""Seconds; longer than a shift is a slip of the tongue."""
LISTED = 4
"""Settings and notes of a job that fit a screen."""


@dataclass(frozen=True)
class Kept:
    """The job in hand after a word about it, and what is told."""

    job: Job
    outcome: Outcome


def in_job(
    query: Query,
    job: Job,
    shelf: JobShelf,
    now: float,
    last_setting: Callable[[], KeptSetting | None],
) -> Kept | None:
    """What comes of a word about the job in hand; None for any other query.

    now          : seconds since 1970
    last_setting : the last answer that gave a setting, for 'save setting'
    """
    match query:
        case TimerFor():
            return _timer(query, job, now)
        case PartsWord():
            return _parts(query.word, job)
        case NoteThat():
            noted = job.noted(query.text, now)
            return Kept(noted, Answer("note-kept", texts={"text": query.text, **_named(job)}))
        case UseJob():
            return _use(query.number, job, shelf)
        case SameAsJob():
            return _same_as(query.number, job, shelf)
        case JobWord():
            return _word(query.word, job, last_setting)
    return None


def _named(job: Job) -> dict[str, str]:
    return number_texts(job.number) if job.number else {}


def number_texts(number: str) -> dict[str, str]:
    """A job's number for the eye, and digit by digit for the ear."""
    return {"job": number, "job_said": " ".join(number)}


def _timer(query: TimerFor, job: Job, now: float) -> Kept:
    seconds = Fraction(query.minutes or 0) * 60 + (query.seconds or 0)
    if not 0 < seconds <= LONGEST_TIMER:
        raise OutOfRange("timer", f"{float(seconds):g} s", "must be from 1 second to 12 hours")
    return Kept(job.timed(seconds, now), Answer("timer-set", values=_time(seconds)))


def _time(seconds: Fraction) -> dict[str, Value]:
    if seconds >= 60:
        return {"timer_minutes": Value(seconds / 60, "min")}
    return {"timer": Value(seconds, "s")}


def time_over(seconds: int) -> Answer:
    """What is told when a timer is due."""
    return Answer("timer-over", values=_time(Fraction(seconds)))


def _parts(word: str, job: Job) -> Kept:
    if word == "start":
        started = replace(job, counting=True, parts=0)
        return Kept(started, Answer("parts-start", texts=_named(job)))
    if not job.counting:
        return Kept(
            job,
            Refusal(
                reason="no parts are being counted",
                say_next="Say: count parts",
                spoken="no parts are being counted",
            ),
        )
    change = {"done": 1, "undo": -1, "how_many": 0}[word]
    counted = replace(job, parts=max(0, job.parts + change))
    figures = {"parts": Value(Fraction(counted.parts), "")}
    kind = "parts-one" if counted.parts == 1 else "parts"
    return Kept(counted, Answer(kind, values=figures, texts=_named(job)))


def _use(number: str, job: Job, shelf: JobShelf) -> Kept:
    if job.number:
        shelf.put(job)
    found = shelf.job(number)
    if found is None:
        # What was done before a number was said belongs to the job that is now named.
        new = replace(job, number=number) if not job.number else Job(number)
        return Kept(new, Answer("job-new", texts={**number_texts(number), **_material_text(new)}))
    return Kept(found, Answer("job", texts={**_told_of(found)}))


def _material_text(job: Job) -> dict[str, str]:
    return {"material": material(job.material).name} if job.material else {}


def _told_of(job: Job) -> dict[str, str]:
    settings = [each.headline for each in job.settings[-LISTED:]]
    texts = {
        **_named(job),
        **_material_text(job),
        "settings": "; ".join(settings),
        "sizes": ", ".join(each.text for each in job.sizes[-LISTED:]),
        "notes": "; ".join(each.text for each in job.notes[-LISTED:]),
        "going_on": job.sequence.title if job.sequence else "",
        "parts": str(job.parts) if job.counting else "",
    }
    return {name: text for name, text in texts.items() if text}


def _same_as(number: str, job: Job, shelf: JobShelf) -> Kept:
    found = shelf.job(number)
    if found is None:
        known = [each.number for each in shelf.jobs()][-LISTED:]
        there_are = f"; there are {', '.join(known)}" if known else ""
        return Kept(
            job,
            Refusal(
                reason=f"there is no job {number}{there_are}",
                say_next="Say: job, and its number",
                spoken="there is no such job",
            ),
        )
    taken = replace(job, material=found.material, settings=(*job.settings, *found.settings))
    return Kept(
        taken,
        Answer(
            "job-same",
            texts={**_told_of(found), "from": number, "from_said": " ".join(number)},
            cautions=(Phrase("same-as-check"),),
        ),
    )


def _word(word: str, job: Job, last_setting: Callable[[], KeptSetting | None]) -> Kept:
    handlers: dict[str, Callable[[], Kept]] = {
        "save": lambda: _save(job, last_setting()),
        "which": lambda: Kept(
            job, Answer("job" if not job.empty else "job-none", texts=_told_of(job))
        ),
        "notes": lambda: _notes(job),
    }
    return handlers[word]()


def _notes(job: Job) -> Kept:
    notes = {"notes": "; ".join(each.text for each in job.notes[-LISTED:])}
    return Kept(job, Answer("job-notes" if job.notes else "job-no-notes", texts=notes))


def _save(job: Job, last_setting: KeptSetting | None) -> Kept:
    if last_setting is None:
        return Kept(
            job,
            Refusal(
                reason="no setting was told yet",
                say_next="Ask for a speed, feed or thread",
                spoken="no setting was told yet",
            ),
        )
    texts = {"headline": last_setting.headline, "question": last_setting.question, **_named(job)}
    return Kept(job.with_setting(last_setting), Answer("setting-kept", texts=texts))
