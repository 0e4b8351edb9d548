"""The questions of `swarfside new-profile` in their order, and the fields that their answers make.

Each part yields its questions and is sent the answers as judged; it returns a part of the profile.
The words of the questions stand in questions.yaml.
"""

from __future__ import annotations

from collections.abc import Generator, Mapping, Sequence
from fractions import Fraction
from functools import cache
from importlib.resources import files
from itertools import product
from math import prod
from typing import Any, Final, TypeAlias

import yaml

from profiles import exact
from profiles.kinematics import Row
from profiles.replies import NO_MORE, PLAIN, YES, Question, listed, placed

Script: TypeAlias = Generator[Question, str, Any]
Levers: TypeAlias = Mapping[str, Sequence[str]]
"""Lever -> its positions."""
MOST_LEVERS: Final = 40
MOST_ITEMS: Final = 200
_USUAL: Final = {
    "inch": {"unit": "inch", "lead_unit": "per inch", "feed_unit": "inch/turn"},
    "metric": {"unit": "mm", "lead_unit": "mm", "feed_unit": "mm/turn"},
}
"""Units that are usual on the plates of such a lathe."""


@cache
def texts() -> dict[str, dict[str, Any]]:
    """The file questions.yaml: 'questions' and 'comments'."""
    found: dict[str, dict[str, Any]] = yaml.safe_load(
        files("profiles").joinpath("questions.yaml").read_text(encoding="utf-8")
    )
    return found


def _question(
    name: str, key: str | None = None, names: Mapping[str, Any] | None = None, **more: Any
) -> Question:
    """The question `name` of questions.yaml, its {names} filled in; `more` are fields of Question."""
    entry = texts()["questions"][name]
    such = entry.get("such", "")
    if isinstance(such, Mapping):
        such = such[more["unit"]]
    filled = {
        field: str(entry[field]).format(**(names or {}))
        for field in ("ask", "usual", "empty")
        if field in entry
    }
    filled["such"] = str(such).format(**(names or {}))
    known = {"choices": tuple(entry.get("choices", ())), **filled, **more}
    return Question(key=key or name, kind=entry["kind"], **known)


def script() -> Script:
    """All questions in their order; returns the fields of the profile."""
    fields: dict[str, Any] = {}
    for name in ("name", "description", "units"):
        fields[name] = yield _question(name)
    usual = _USUAL[fields["units"]]
    levers, roles = yield from _levers()
    fields["levers"] = levers
    table = yield from _speeds(levers)
    direction = {"direction": roles["spindle"]} if "spindle" in roles else {}
    fields["spindle"] = {**direction, "table": table}
    screw = yield _question(
        "leadscrew", names={**usual, "unit": usual["lead_unit"]}, unit=usual["lead_unit"]
    )
    starts = yield _question("leadscrew_starts")
    fields["leadscrew"] = {"pitch": screw, "starts": int(starts)}
    reversing = {"reversing": roles["leadscrew"]} if "leadscrew" in roles else {}
    feed = yield from _feed(levers, usual, exact.printed(screw, exact.LEAD).value * int(starts))
    fields["feed"] = {**reversing, **feed}
    fields |= yield from _thread_dial()
    for field, slide in (("cross_slide", "Cross slide"), ("compound", "Compound slide")):
        fields[field] = yield from _slide(field, slide, usual)
    fields["chucks"] = yield from _chucks(usual)
    fields |= yield from _sizes(usual)
    return {name: value for name, value in fields.items() if value != []}


def _levers() -> Script:
    """The levers, and what the levers of direction do: 'spindle' or 'leadscrew' -> their field."""
    levers: list[dict[str, Any]] = []
    roles: dict[str, dict[str, str]] = {}
    for number in range(1, MOST_LEVERS + 1):
        key = f"lever.{number}"
        taken = tuple(lever["name"] for lever in levers)
        name = yield _question("lever", key, taken=taken)
        if not name:
            break
        names = {"lever": name}
        group = yield _question("lever_group", f"{key}.group", names=names)
        positions = listed((yield _question("lever_positions", f"{key}.positions", names=names)))
        when = yield _question("lever_when", f"{key}.when", names=names)
        levers.append({"name": name, "group": group, "positions": positions, "when": when})
        free = tuple(role for role in ("spindle", "leadscrew") if role not in roles)
        if group == "direction" and free:
            role = yield _question("lever_role", f"{key}.role", names=names, choices=free)
            if role:
                roles[role] = yield from _role(key, role, name, positions)
    return levers, roles


def _role(key: str, role: str, lever: str, positions: Sequence[str]) -> Script:
    """Where the lever stands for each thing it does; a position serves for one of them."""
    places = (
        ("forward", "reverse", "stopped")
        if role == "spindle"
        else ("right_hand", "left_hand", "neutral")
    )
    field = {"lever": lever}
    free = list(positions)
    for place in places:
        if not free:
            break
        found = yield _question(
            f"lever_{place}", f"{key}.{place}", names={"lever": lever}, choices=tuple(free)
        )
        if found:
            field[place] = found
            free.remove(found)
    return field


def _of_group(levers: Sequence[Mapping[str, Any]], group: str) -> Levers:
    return {lever["name"]: lever["positions"] for lever in levers if lever["group"] == group}


def _with(levers: Mapping[str, str]) -> str:
    return (
        f" with {', '.join(f'{lever} {place}' for lever, place in levers.items())}"
        if levers
        else ""
    )


def _table(
    name: str, levers: Levers, names: Mapping[str, str], *, needed: bool, **more: Any
) -> Script:
    """A question for every position of the levers together; returns (figure, places) of those that give one."""
    rows: list[tuple[str, dict[str, str]]] = []
    total = prod(len(positions) for positions in levers.values())
    sets = product(*(range(len(positions)) for positions in levers.values()))
    for number, chosen in enumerate(sets, start=1):
        places = {
            lever: positions[index]
            for (lever, positions), index in zip(levers.items(), chosen, strict=True)
        }
        last = needed and not rows and number == total
        question = _question(
            name,
            ".".join([name, *map(str, chosen)]),
            names={**names, "with": _with(places), "number": number, "total": total},
            may_end=bool(rows) or not needed,
            **more,
            **({"empty": None} if last else {}),
        )
        figure = yield question
        if figure == NO_MORE:
            break
        if figure:
            rows.append((figure, places))
    return rows


def _speeds(levers: Sequence[Mapping[str, Any]]) -> Script:
    rows = yield from _table("speed", _of_group(levers, "spindle"), {}, needed=True, unit="rpm")
    # A plate is read row by row; the profile lists the speeds rising.
    rows.sort(key=lambda row: exact.printed(row[0], exact.SPEED).value)
    return [{"speed": figure, "levers": places} for figure, places in rows]


def _feed(
    levers: Sequence[Mapping[str, Any]], usual: Mapping[str, str], screw_lead: Fraction
) -> Script:
    gearbox = yield _question("gearbox")
    lead_unit = yield _question("lead_unit", names=usual)
    feed_unit = yield _question("feed_unit", names=usual)
    feed_levers = _of_group(levers, "feed")
    if gearbox == YES:
        return (yield from _gearbox(feed_levers, usual, lead_unit, feed_unit))
    return (yield from _change_gears(feed_levers, usual, lead_unit, feed_unit, screw_lead))


def _gearbox(levers: Levers, usual: Mapping[str, str], lead_unit: str, feed_unit: str) -> Script:
    chart: dict[str, Any] = {}
    fixed, free = yield from _fixed("thread_levers", levers)
    rows = yield from _table("thread", free, usual, needed=False, unit=lead_unit)
    pitches = [{"lead": figure, "levers": {**fixed, **places}} for figure, places in rows]
    pitches += yield from _other_trains(fixed, free, usual, lead_unit)
    chart["pitches"] = pitches
    for field, name in (("feeds", "feed"), ("cross_feeds", "cross_feed")):
        if (yield _question(field)) == YES:
            fixed, free = yield from _fixed(f"{name}_levers", levers)
            rows = yield from _table(name, free, usual, needed=False, unit=feed_unit)
            chart[field] = [
                {"feed": figure, "levers": {**fixed, **places}} for figure, places in rows
            ]
    return {"chart": {field: rows for field, rows in chart.items() if rows}}


def _fixed(name: str, levers: Levers) -> Script:
    """The levers that stand alike for all of a table, and those that are left."""
    fixed = placed((yield _question(name, levers=levers))) if levers else {}
    return fixed, {lever: places for lever, places in levers.items() if lever not in fixed}


def _such_places(levers: Levers) -> str:
    return ", ".join(positions[0] for positions in levers.values())


def _places(name: str, key: str, levers: Levers, figure: str) -> Script:
    if not levers:
        return {}
    names = {"levers": ", ".join(levers), "figure": figure, "such_places": _such_places(levers)}
    return placed((yield _question(name, key, names=names, levers=levers)))


def _other_trains(
    fixed: Mapping[str, str], free: Levers, usual: Mapping[str, str], unit: str
) -> Script:
    rows: list[dict[str, Any]] = []
    for number in range(1, MOST_ITEMS + 1):
        key = f"other.{number}"
        train = yield _question("other_train", key)
        if not train:
            break
        for row in range(1, MOST_ITEMS + 1):
            names = {**usual, "train": train}
            lead = yield _question("other_lead", f"{key}.{row}", names=names, unit=unit)
            if not lead:
                break
            places = yield from _places("other_places", f"{key}.{row}.places", free, lead)
            rows.append({"lead": lead, "levers": {**fixed, **places}, "train": train})
    return rows


def _change_gears(
    levers: Levers,
    usual: Mapping[str, str],
    lead_unit: str,
    feed_unit: str,
    screw_lead: Fraction,
) -> Script:
    first = yield _question("first")
    each = exact.ratio(first) * screw_lead
    found: dict[str, Any] = {"first": first}
    tables = (
        ("threads", "gear_lead", "lead", exact.LEAD, lead_unit),
        ("feeds", "gear_feed", "feed", exact.FEED, feed_unit),
    )
    for field, name, kind, measure, unit in tables:
        rows: list[dict[str, Any]] = []
        for number in range(1, MOST_ITEMS + 1):
            key = f"{name}.{number}"
            figure = yield _question(name, key, names=usual, unit=unit)
            if not figure:
                break
            worth = exact.printed(figure, measure)
            row = Row(figure, worth.value, worth.half_digit, {}, None, ())
            names = {"figure": figure}
            train = yield _question(
                "gear_train", f"{key}.train", names=names, figure=row, figure_kind=kind, each=each
            )
            places = yield from _places("gear_places", f"{key}.places", levers, figure)
            rows.append({kind: figure, "train": train, **({"levers": places} if places else {})})
        found[field] = rows
    return {"change_gears": {field: value for field, value in found.items() if value}}


def _thread_dial() -> Script:
    if (yield _question("dial")) != YES:
        return {}
    teeth = listed((yield _question("dial_teeth")))
    names: Sequence[str] = [""]
    if len(teeth) > 1:
        count = len(teeth)
        names = listed((yield _question("dial_names", names={"count": count}, count=count)))
    marks = listed((yield _question("dial_marks")))
    gears = [
        {**({"name": name} if name else {}), "teeth": int(each)}
        for name, each in zip(names, teeth, strict=True)
    ]
    return {
        "thread_dial": {"gears": gears, "marks": ["" if mark == PLAIN else mark for mark in marks]}
    }


def _slide(field: str, slide: str, usual: Mapping[str, str]) -> Script:
    names = {**usual, "slide": slide}
    division = yield _question(
        "slide_division", f"{field}.division", names=names, unit=usual["unit"]
    )
    divisions = yield _question("slide_divisions", f"{field}.divisions", names=names)
    reads = yield _question("slide_reads", f"{field}.reads", names=names)
    return {"division": division, "divisions": int(divisions), "reads": reads}


def _chucks(usual: Mapping[str, str]) -> Script:
    chucks: list[dict[str, str]] = []
    for number in range(1, MOST_ITEMS + 1):
        key = f"chuck.{number}"
        chuck = yield _question("chuck", key, taken=tuple(each["name"] for each in chucks))
        if not chuck:
            break
        names = {**usual, "chuck": chuck}
        diameter = yield _question(
            "chuck_diameter", f"{key}.diameter", names=names, unit=usual["unit"]
        )
        top_speed = yield _question("chuck_speed", f"{key}.top_speed", names=names, unit="rpm")
        chucks.append({"name": chuck, "diameter": diameter, "top_speed": top_speed})
    return chucks


def _sizes(usual: Mapping[str, str]) -> Script:
    """What may be left unknown."""
    fields: dict[str, Any] = {}
    if power := (yield _question("power", unit="kW")):
        fields["motor"] = {"power": power}
    for name in ("distance_between_centres", "swing_over_bed", "swing_over_slide"):
        if length := (yield _question(name, names=usual, unit=usual["unit"])):
            fields[name] = length
    if taper := (yield _question("taper")):
        fields["tailstock"] = {"taper": taper}
    if gears := (yield _question("gears")):
        fields["gears"] = [int(teeth) for teeth in listed(gears)]
    return fields
