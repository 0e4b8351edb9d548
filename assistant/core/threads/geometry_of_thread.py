"""Geometry of cutting a thread: helix angle, tool clearance, depth by nose, blank and relief."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import atan, degrees, pi, radians, sin, tan

from assistant.core.threads import forms
from assistant.core.threads.forms import Nose
from assistant.core.threads.practice import habit
from assistant.core.threads.thread import ThreadLimits
from assistant.errors import OutOfRange
from assistant.tables import parsed

RELIEFS = "thread_reliefs.csv"


def helix_angle(lead: Fraction | float, diameter: float) -> float:
    """Helix (lead) angle at a diameter: tan(angle) = lead / (pi d).

    lead     : mm per turn, greater than zero
    diameter : mm, usually the pitch diameter, greater than zero
    Returns  : degrees from a plane square to the axis, approximate
    Raises   : OutOfRange if either is zero or negative
    Valid    : parallel threads
    Source   : geometry of the helix

    >>> round(helix_angle(Fraction(3, 2), 9.026), 2)
    3.03
    """
    if lead <= 0:
        raise OutOfRange("lead", f"{float(lead):g} mm", "must be more than 0 mm")
    if diameter <= 0:
        raise OutOfRange("diameter", f"{diameter:g} mm", "must be more than 0 mm")
    return degrees(atan(float(lead) / (pi * diameter)))


@dataclass(frozen=True)
class ToolClearance:
    """Side angles to grind under the cutting edges of a threading tool, degrees."""

    leading: float
    """Under the edge that goes first."""
    trailing: float
    """Under the other edge; negative where the helix leans past the working clearance."""
    leading_side: str
    """'left' or 'right' of the tool, seen from above with the nose away from the operator."""


def tool_clearance(
    lead: Fraction | float, root_diameter: float, crest_diameter: float, left_hand: bool = False
) -> ToolClearance:
    """Side clearance of the tool: leading = working clearance + helix at the root, trailing = working - helix at the crest.

    lead           : mm per turn, greater than zero
    root_diameter  : mm, smallest diameter of the thread, where the helix is steepest
    crest_diameter : mm, largest diameter of the thread, not less than the root
    left_hand      : True for a left-hand thread, cut away from the headstock
    Returns        : ToolClearance in degrees, approximate
    Raises         : OutOfRange if a length is zero or negative, or the crest is inside the root
    Valid          : external and internal threads cut with the half-nut closed
    Source         : geometry; working clearance is common practice (tables/thread_practice.yaml)

    >>> round(tool_clearance(Fraction(3, 2), 8.376, 10).leading, 1)
    6.3
    """
    if crest_diameter < root_diameter:
        raise OutOfRange(
            "crest diameter",
            f"{crest_diameter:g} mm",
            f"must be at least the root diameter, {root_diameter:g} mm",
        )
    working = float(habit("side_clearance").value)
    return ToolClearance(
        leading=working + helix_angle(lead, root_diameter),
        trailing=working - helix_angle(lead, crest_diameter),
        leading_side="right" if left_hand else "left",
    )


def _reach(nose: Nose, half_angle: float) -> float:
    """How far from the pitch line the straight flank goes; the groove is P/2 wide there, P = 1."""
    angle = radians(half_angle)
    if nose.kind == "flat":
        return (1 / 4 - nose.size / 2) / tan(angle)
    return 1 / 4 / tan(angle) - nose.size * (1 / sin(angle) - sin(angle))


def _bottom(nose: Nose, half_angle: float) -> float:
    """How far from the pitch line the groove goes, P = 1."""
    angle = radians(half_angle)
    if nose.kind == "flat":
        return _reach(nose, half_angle)
    return 1 / 4 / tan(angle) - nose.size * (1 / sin(angle) - 1)


def _reach_needed(form_key: str, kind: str, internal: bool) -> float:
    """How far from the pitch line the flank must be straight to clear the mating crest, P = 1."""
    shape = forms.form(form_key)
    mating = shape.groove(not internal).crest
    if mating.kind == "radius":
        # A flat must lie as deep as the mating round crest reaches; a round root follows it.
        own = shape.groove(internal).root
        return (_bottom if kind == "flat" else _reach)(own, shape.half_angle)
    if internal:
        return shape.pitch_diameter_drop / 2
    return (shape.nut_minor_drop - shape.pitch_diameter_drop) / 2


def depth_with_nose(form_key: str, pitch: Fraction, nose: Nose, internal: bool = False) -> float:
    """Radial depth that brings the thread to its basic pitch diameter with a given nose on the tool.

    form_key : key of the form
    pitch    : mm, greater than zero
    nose     : flat (width, mm, 0 for a sharp tool) or radius (mm)
    internal : True for the nut, bored to its minor diameter
    Returns  : mm on radius from the basic crest, approximate: crest to pitch line, then
               (P/4 - f/2) / tan a for a flat f, or P/4 / tan a - r (1/sin a - 1) for a radius r
    Raises   : OutOfRange for a pitch of zero or less, a negative nose, or one so wide that the
               mating crest would bind in the root, with the widest that serves
    Valid    : symmetrical forms; a narrow nose cuts deeper and weakens the core
    Source   : geometry of straight flanks; with the form's own nose it is `forms.thread_depth`

    >>> round(depth_with_nose("iso-60", Fraction(1), Nose("flat", 0.125)), 4)
    0.6495
    """
    forms.check_pitch(pitch)
    shape = forms.form(form_key)
    relative = Nose(nose.kind, nose.size / float(pitch))
    if nose.size < 0:
        raise OutOfRange("nose of the tool", f"{nose.size:g} mm", "must not be less than 0 mm")
    widest = widest_nose(form_key, pitch, nose.kind, internal)
    # The table's factors are rounded to five figures; the slack is theirs.
    if nose.size > widest * 1.001:
        raise OutOfRange(
            "nose of the tool",
            f"{nose.kind} {nose.size:g} mm",
            f"is too wide for pitch {float(pitch):g} mm, the mating crest would bind",
            f"{nose.kind} {widest:.3f} mm",
        )
    crest = (
        shape.nut_minor_drop - shape.pitch_diameter_drop if internal else shape.pitch_diameter_drop
    )
    return float(pitch) * (crest / 2 + _bottom(relative, shape.half_angle))


def widest_nose(form_key: str, pitch: Fraction, kind: str, internal: bool = False) -> float:
    """Widest flat or largest radius on the tool that still clears the mating crest.

    form_key : key of the form
    pitch    : mm, greater than zero
    kind     : 'flat' or 'radius'
    internal : True for the nut
    Returns  : mm, approximate: the flanks stay straight to the mating crest and the clearance
    Raises   : OutOfRange for a pitch of zero or less or past the clearance table, or another kind
    Valid    : symmetrical forms
    Source   : geometry of straight flanks; ISO 68-1: flat P/4 or radius H/6 for the screw

    >>> round(widest_nose("iso-60", Fraction(1), "radius"), 4)
    0.1443
    """
    if kind not in ("flat", "radius"):
        raise OutOfRange("nose of the tool", repr(kind), "is either 'flat' or 'radius'")
    room = float(forms.clearance(form_key, pitch)) / float(pitch)
    shape = forms.form(form_key)
    needed = _reach_needed(form_key, kind, internal) + room
    angle = radians(shape.half_angle)
    if kind == "flat":
        return float(pitch) * (1 / 2 - 2 * needed * tan(angle))
    return float(pitch) * (1 / 4 / tan(angle) - needed) / (1 / sin(angle) - sin(angle))


@dataclass(frozen=True)
class Blank:
    """The diameter to turn (or bore) before threading, mm."""

    aim: float
    least: float
    most: float
    source: str


def blank(limits: ThreadLimits, pitch: Fraction) -> Blank:
    """Blank before threading: a screw a little under its largest major diameter, a nut in the middle of its minor limits.

    limits  : limits of size of the member, mm
    pitch   : mm, greater than zero
    Returns : Blank in mm, approximate; the aim lies within the limits
    Raises  : OutOfRange for a pitch of zero or less, or limits that are open at one end
    Valid   : a screw by its major diameter, a nut by its minor diameter
    Source  : limits from the thread's standard; the aim is common practice (tables/thread_practice.yaml)

    >>> from assistant.core.threads.thread import Limits
    >>> screw = ThreadLimits("6g", False, Limits(9.732, 9.968), Limits(8.862, 8.994), Limits(None, 8.344), "ISO 965-1")
    >>> round(blank(screw, Fraction(3, 2)).aim, 3)
    9.893
    """
    forms.check_pitch(pitch)
    crest = limits.minor if limits.internal else limits.major
    if crest.minimum is None or crest.maximum is None:
        raise OutOfRange(
            "tolerance class", limits.tolerance_class, "sets no two limits for the blank"
        )
    middle = (crest.minimum + crest.maximum) / 2
    share = habit("blank_share")
    aim = middle
    if not limits.internal:
        aim = max(middle, crest.maximum - float(share.value * pitch))
    return Blank(
        aim=aim,
        least=crest.minimum,
        most=crest.maximum,
        source=f"{limits.source}; aim: {share.source}",
    )


@dataclass(frozen=True)
class Relief:
    """The groove that the thread runs out into, mm."""

    narrowest: Fraction
    """Full-width part, at least this."""
    widest: Fraction | None
    """From the shoulder to the last full thread, at most this; None where practice sets none."""
    change: Fraction | None
    """Diameter of the groove less the basic major diameter; None: just past the root of the thread."""
    radius: Fraction | None
    source: str


@cache
def _reliefs() -> dict[tuple[str, Fraction], Relief]:
    return dict(
        parsed(
            RELIEFS,
            lambda row: (
                (row["member"], Fraction(row["pitch"])),
                Relief(
                    narrowest=Fraction(row["narrowest"]),
                    widest=Fraction(row["widest"]),
                    change=Fraction(row["change"]),
                    radius=Fraction(row["radius"]),
                    source=row["source"],
                ),
            ),
        )
    )


def relief(form_key: str, pitch: Fraction, internal: bool = False) -> Relief:
    """Width and depth of the thread relief: DIN 76-1 for a metric pitch, else a number of pitches.

    form_key : key of the form
    pitch    : mm, greater than zero
    internal : True for the nut
    Returns  : Relief in mm, exact; its `source` says whether it is the table or practice
    Raises   : OutOfRange for a pitch of zero or less; NoSuchSize for an unknown form
    Valid    : the table: 60 degree threads of metric pitch; practice: every other thread
    Source   : DIN 76-1, from memory (tables/thread_reliefs.csv); common practice

    >>> relief("iso-60", Fraction(3, 2)).narrowest
    Fraction(16, 5)
    """
    forms.check_pitch(pitch)
    member = "nut" if internal else "screw"
    if forms.form(form_key).key == "iso-60" and (member, pitch) in _reliefs():
        return _reliefs()[member, pitch]
    practice = habit("relief_pitches")
    return Relief(practice.value * pitch, None, None, None, practice.source)
