"""Every inconsistency of a profile, with its line, in one run."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path as FilePath

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from assistant.errors import ProfileError
from profiles import source as sources
from profiles.dial_check import dial_faults
from profiles.faults import Fault, Finding, findings_of, model_at, path_of
from profiles.gear_check import gear_faults
from profiles.lever_check import lever_faults
from profiles.placard import Path, Placard
from profiles.schema import Profile
from profiles.table_check import table_faults

ROW_LISTS = {
    "chucks",
    "cross_feeds",
    "feeds",
    "gears",
    "leads",
    "pitches",
    "printed_speeds",
    "table",
    "threads",
}
"""Lists of which one broken item may be left out while the rest is checked."""

MOST_ROUNDS = 3


def check(source: FilePath | str) -> list[Finding]:
    """Every inconsistency of the profile in `source`, by file and line; empty where there is none.

    `source` is as for `load`. What cannot be read as YAML at all is one finding. A field that
    does not fit is a finding, and the rest is still checked as far as it makes sense without it.
    """
    try:
        placard = sources.opened(source)
    except ProfileError as fault:
        return [Finding(fault.file, fault.line, fault.problem)]
    return examined(placard)[1]


def examined(placard: Placard) -> tuple[Profile | None, list[Finding]]:
    """The profile in `placard`, or None where its fields do not fit, and all findings."""
    try:
        profile = Profile.model_validate(dict(placard.data))
    except ValidationError as error:
        findings = findings_of(error, placard)
        rest = _remainder(placard, error)
        if rest is not None:
            profile, left = rest
            # A lever may be unused only because the row with it was left out.
            findings += [finding for finding in _consistency(profile, left) if finding.stops]
        return None, _in_order(findings)
    return profile, _in_order(_consistency(profile, placard))


def _consistency(profile: Profile, placard: Placard) -> Iterator[Finding]:
    for faults in (lever_faults, table_faults, gear_faults, dial_faults):
        for fault in faults(profile):
            yield fault.placed(placard)
    yield from (fault.placed(placard) for fault in _name_faults(profile, placard))


def _name_faults(profile: Profile, placard: Placard) -> Iterator[Fault]:
    stem = FilePath(placard.file.removeprefix(sources.BUNDLED)).stem
    if placard.file.endswith(sources.SUFFIX) and stem.lower() != profile.name.lower():
        yield Fault(
            ("name",),
            f'the lathe is called "{profile.name}" but its file "{stem}"; it is found by its '
            "file's name, so make them the same",
            stops=False,
        )


def _in_order(findings: Iterable[Finding]) -> list[Finding]:
    unique = dict.fromkeys(findings)
    return sorted(unique, key=lambda finding: (finding.file, finding.line or 0))


def _remainder(placard: Placard, error: ValidationError) -> tuple[Profile, Placard] | None:
    """What is left of the profile without the parts that do not fit; None if too little is."""
    for _ in range(MOST_ROUNDS):
        parts = {_part_to_leave_out(details) for details in error.errors(include_url=False)}
        if None in parts:
            return None
        # Later items first, so that the indices of the earlier ones still hold.
        for path in sorted(filter(None, parts), key=_countable, reverse=True):
            placard = placard.without(path)
        try:
            return Profile.model_validate(dict(placard.data)), placard
        except ValidationError as again:
            error = again
    return None


def _countable(path: Path) -> tuple[str, ...]:
    return tuple(f"{part:06}" if isinstance(part, int) else part for part in path)


def _part_to_leave_out(details: ErrorDetails) -> Path | None:
    """The smallest part around an error that a profile can do without."""
    path = path_of(details)
    if details["type"] == "extra_forbidden":
        return path
    while path:
        last = path[-1]
        if isinstance(last, int):
            if path[-2] in ROW_LISTS:
                return path
        elif last != "levers" and _is_optional(path[:-1], last):
            return path
        path = path[:-1]
    return None


def _is_optional(path: Path, name: str) -> bool:
    model: type[BaseModel] | None = model_at(path)
    field = None if model is None else model.model_fields.get(name)
    return field is not None and not field.is_required()
