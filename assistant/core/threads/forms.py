"""Thread forms: included angle, depth, crest, root and clearance as parts of the pitch."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import radians, tan
from typing import Any

from assistant.core.threads.thread import BasicSizes, Thread
from assistant.errors import NoSuchSize, OutOfRange, TableError, nearest_names
from assistant.tables import document
from assistant.units import MM_PER_INCH

TABLE = "thread_forms.yaml"
MILLIMETRES = {"mm": Fraction(1), "inch": MM_PER_INCH}


@dataclass(frozen=True)
class Nose:
    """A crest or a root, and so the end of the tool that cuts the root."""

    kind: str
    """'flat' or 'radius'."""
    size: float
    """Width of the flat or the radius: part of the pitch in a ThreadForm, mm in an answer."""


@dataclass(frozen=True)
class Groove:
    """One member of a thread as it is cut; parts of the pitch, clearance not included."""

    depth: float
    """Radial, from the crest of the blank to the bottom of the groove."""
    crest: Nose
    root: Nose


@dataclass(frozen=True)
class Clearance:
    """Radial room at the root of the thread."""

    steps: tuple[tuple[Fraction, Fraction], ...]
    """(pitch from which it counts, clearance), mm, rising; empty where the form has none."""
    in_minor: bool
    """True where the standard's minor diameter of the screw includes it."""


@dataclass(frozen=True)
class ThreadForm:
    """The proportions of one form; parts of the pitch unless said otherwise."""

    key: str
    name: str
    included_angle: Fraction
    """Degrees."""
    pitch_diameter_drop: float
    """Basic major diameter less basic pitch diameter, on diameter."""
    minor_diameter_drop: float
    """Basic major diameter less basic minor diameter of the screw, on diameter."""
    nut_minor_drop: float
    """Basic major diameter less basic minor diameter of the nut, on diameter."""
    external: Groove
    internal: Groove
    clearance_steps: Clearance
    wire_range: tuple[float, float] | None
    """Smallest and largest wire in use, where practice is narrower than the geometry."""
    sizes_from_table: bool
    """True where basic diameters do not follow from the drops above (gauge planes)."""
    source: str

    @property
    def half_angle(self) -> float:
        """Half the included angle, degrees."""
        return float(self.included_angle / 2)

    @property
    def height(self) -> float:
        """Height of the sharp fundamental triangle H = P / (2 tan(half angle)), as a part of the pitch."""
        return height(self.included_angle)

    def groove(self, internal: bool = False) -> Groove:
        """The screw's groove, or the nut's."""
        return self.internal if internal else self.external


def height(included_angle: Fraction) -> float:
    """Height of the sharp triangle of a symmetrical thread: H/P = 1 / (2 tan(a/2)).

    included_angle : degrees, between 0 and 180
    Returns        : part of the pitch, approximate (tangent)
    Raises         : OutOfRange if the angle is not between 0 and 180 degrees
    Valid          : symmetrical flanks
    Source         : geometry of the triangle

    >>> round(height(Fraction(60)), 6)
    0.866025
    """
    if not 0 < included_angle < 180:
        raise OutOfRange(
            "included angle",
            f"{float(included_angle):g} degrees",
            "must be between 0 and 180 degrees",
        )
    return 1 / (2 * tan(radians(included_angle / 2)))


def _measure(text: str, triangle: float) -> float:
    number, unit = text.split()
    return float(Fraction(number)) * {"P": 1.0, "H": triangle}[unit]


def _nose(entry: dict[str, str], triangle: float) -> Nose:
    if entry["kind"] not in ("flat", "radius"):
        raise ValueError(f"kind is {entry['kind']!r}; expected 'flat' or 'radius'")
    return Nose(entry["kind"], _measure(entry["measure"], triangle))


def _groove(entry: dict[str, Any], triangle: float) -> Groove:
    return Groove(
        depth=_measure(entry["depth"], triangle),
        crest=_nose(entry["crest"], triangle),
        root=_nose(entry["root"], triangle),
    )


def _clearance(entry: dict[str, Any] | None) -> Clearance:
    if entry is None:
        return Clearance(steps=(), in_minor=False)
    unit = MILLIMETRES[entry["unit"]]
    steps = tuple(
        (Fraction(step["from_pitch"]) * unit, Fraction(step["radial"]) * unit)
        for step in entry["steps"]
    )
    return Clearance(steps=steps, in_minor=entry["in_minor"])


def _form(key: str, entry: dict[str, Any]) -> ThreadForm:
    included_angle = Fraction(entry["included_angle"])
    triangle = height(included_angle)
    wires = entry.get("wire_range")
    return ThreadForm(
        key=key,
        name=entry["name"],
        included_angle=included_angle,
        pitch_diameter_drop=_measure(entry["pitch_diameter"], triangle),
        minor_diameter_drop=_measure(entry["minor_diameter"], triangle),
        nut_minor_drop=_measure(entry["nut_minor"], triangle),
        external=_groove(entry["external"], triangle),
        internal=_groove(entry["internal"], triangle),
        clearance_steps=_clearance(entry.get("clearance")),
        wire_range=None
        if wires is None
        else (_measure(wires["smallest"], triangle), _measure(wires["largest"], triangle)),
        sizes_from_table=bool(entry.get("sizes_from_table", False)),
        source=entry["source"],
    )


@cache
def forms() -> dict[str, ThreadForm]:
    """Every thread form of the table by its key.

    Returns : key -> ThreadForm, in the table's order
    Raises  : TableError if an entry is incomplete or badly written
    Valid   : symmetrical thread forms
    Source  : tables/thread_forms.yaml, a source in every entry

    >>> "iso-60" in forms()
    True
    """
    found = {}
    for key, entry in document(TABLE).items():
        try:
            found[key] = _form(key, entry)
        except (KeyError, ValueError, TypeError, OutOfRange) as fault:
            raise TableError(TABLE, f"{key}: {fault}") from fault
    return found


def form(key: str) -> ThreadForm:
    """The thread form called `key` in the table of forms.

    key     : 'iso-60', 'whitworth-55', 'ba-47.5', 'acme-29', 'stub-acme-29', 'trapezoidal-30', 'npt-60'
    Returns : ThreadForm; parts of the pitch are approximate (the angle is exact)
    Raises  : NoSuchSize for a key that the table does not have, with the nearest that it has
    Valid   : the forms of the table
    Source  : tables/thread_forms.yaml, a source in every entry

    >>> round(form("iso-60").pitch_diameter_drop, 5)
    0.64952
    """
    if key not in forms():
        close = nearest_names(key, list(forms()), 1)
        raise NoSuchSize(
            "thread form",
            repr(key),
            f"the table has {', '.join(forms())}",
            close[0] if close else None,
        )
    return forms()[key]


def check_pitch(pitch: Fraction) -> None:
    """Refuse a pitch that is not a length: P > 0.

    pitch   : mm
    Returns : nothing
    Raises  : OutOfRange if it is zero or negative
    Valid   : every form
    Source  : definition of a pitch

    >>> check_pitch(Fraction(3, 2))
    """
    if pitch <= 0:
        raise OutOfRange("pitch", f"{float(pitch):g} mm", "must be more than 0 mm")


def clearance(form_key: str, pitch: Fraction) -> Fraction:
    """Radial clearance at the root that the form's standard gives for a pitch: stepped by pitch.

    form_key : key of the form
    pitch    : mm, greater than zero
    Returns  : mm, exact; 0 where the form has none
    Raises   : OutOfRange for a pitch of zero or less, or finer than the standard's finest step
    Valid    : the forms of the table
    Source   : ISO 2904 (trapezoidal), ASME B1.5 and B1.8 (Acme), as marked in tables/thread_forms.yaml

    >>> clearance("trapezoidal-30", Fraction(4))
    Fraction(1, 4)
    """
    check_pitch(pitch)
    steps = form(form_key).clearance_steps.steps
    if not steps:
        return Fraction(0)
    reached = [radial for start, radial in steps if pitch >= start]
    if not reached:
        finest = f"{float(steps[0][0]):g} mm"
        raise OutOfRange(
            "pitch",
            f"{float(pitch):g} mm",
            f"the form's clearances begin at pitch {finest}",
            finest,
        )
    return reached[-1]


def thread_depth(form_key: str, pitch: Fraction, internal: bool = False) -> float:
    """Radial depth of the groove as cut with the form's own nose: depth factor times P, plus clearance.

    form_key : key of the form
    pitch    : mm, greater than zero
    internal : True for the nut, bored to its minor diameter
    Returns  : mm on radius, approximate
    Raises   : OutOfRange for a pitch of zero or less or past the clearance table
    Valid    : a blank of the basic diameter and a tool with the nose of `tool_nose`
    Source   : tables/thread_forms.yaml; ISO 68-1: screw 17/24 H = 0.6134 P, nut 5/8 H = 0.5413 P

    >>> round(thread_depth("iso-60", Fraction(7, 4)), 4)
    1.0735
    """
    room = clearance(form_key, pitch)
    return form(form_key).groove(internal).depth * float(pitch) + float(room)


def tool_nose(form_key: str, pitch: Fraction, internal: bool = False) -> Nose:
    """Flat or radius on the end of the tool: the root of the groove, narrowed by clearance.

    form_key : key of the form
    pitch    : mm, greater than zero
    internal : True for the nut
    Returns  : Nose in mm, approximate: flat f - 2 ac tan(a/2), or the radius of the root
    Raises   : OutOfRange for a pitch of zero or less, past the clearance table, or one so fine
               that the clearance leaves no flat
    Valid    : symmetrical forms; a narrower nose cuts deeper to the same pitch diameter
    Source   : tables/thread_forms.yaml; the narrowing is the geometry of straight flanks

    >>> round(tool_nose("trapezoidal-30", Fraction(4)).size, 3)
    1.33
    """
    shape = form(form_key)
    root = shape.groove(internal).root
    narrowed = 2 * float(clearance(form_key, pitch)) * tan(radians(shape.half_angle))
    size = root.size * float(pitch) - narrowed
    if size <= 0:
        raise OutOfRange(
            "pitch", f"{float(pitch):g} mm", "the clearance of this form leaves no flat on the tool"
        )
    return Nose(root.kind, size)


def basic_sizes(thread: Thread) -> BasicSizes:
    """Basic diameters of a thread from its form: major less the form's drops times the pitch.

    thread  : with its nominal major diameter, mm
    Returns : BasicSizes in mm, approximate (H is irrational) save for the major diameter
    Raises  : OutOfRange if only the pitch is known, the pitch or diameter is zero or less, the
              form's sizes hang on a gauge plane, or the thread would cut through the axis
    Valid   : forms whose sizes follow from the pitch; R threads in their gauge plane
    Source  : tables/thread_forms.yaml (ISO 724: d2 = d - 3/4 H, d1 = d - 5/4 H)

    >>> round(basic_sizes(Thread("M10x1.5", "M", "iso-60", Fraction(3, 2), Fraction(10))).pitch_diameter, 3)
    9.026
    """
    shape = form(thread.form)
    major = thread.major_diameter
    check_pitch(thread.pitch)
    if major is None:
        raise OutOfRange("thread", thread.designation, "has a pitch but no diameter; name the size")
    if shape.sizes_from_table:
        raise OutOfRange(
            "thread", thread.designation, f"{shape.name} takes its diameters from its own table"
        )
    pitch = float(thread.pitch)
    room = 2 * float(clearance(thread.form, thread.pitch))
    extra = room if shape.clearance_steps.in_minor else 0.0
    minor = float(major) - shape.minor_diameter_drop * pitch - extra
    if minor <= 0:
        raise OutOfRange(
            "thread",
            thread.designation,
            "is so coarse for its diameter that nothing is left at the root",
        )
    return BasicSizes(
        major_diameter=float(major),
        pitch_diameter=float(major) - shape.pitch_diameter_drop * pitch,
        minor_diameter=minor,
        minor_diameter_internal=float(major) - shape.nut_minor_drop * pitch,
        major_diameter_internal=float(major) + extra,
    )
