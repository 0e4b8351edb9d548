"""Measuring a screw's pitch diameter over three wires."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import cos, isfinite, pi, radians, sin, sqrt, tan

from assistant.core.threads import forms
from assistant.core.threads.forms import ThreadForm
from assistant.core.threads.geometry_of_thread import helix_angle
from assistant.core.threads.thread import Limits, ThreadLimits
from assistant.errors import OutOfRange

STEEPEST = 8.0
"""Degrees of lead angle up to which the formula is used. The standard asks for more than this formula
above 5 degrees; a wire laid into a helicoid differs by less than 1 um there and 4 um at 8 degrees
(pitch 7 mm), always towards a smaller measurement."""

WORTH_SAYING = 0.00381
"""mm over wires: 0.00015 inch, below which practice leaves the lead-angle term out (ASME B1.2, from memory)."""

ITERATIONS = 100


@dataclass(frozen=True)
class OverWires:
    """A measurement over three wires."""

    size: float
    """mm over the wires, the lead-angle term included."""
    lead_angle_term: float
    """mm that the lead angle adds."""

    @property
    def as_tabled(self) -> float:
        """mm over the wires as tables print it: the lead-angle term only where it matters."""
        return self.size if self.lead_angle_matters else self.size - self.lead_angle_term

    @property
    def lead_angle_matters(self) -> bool:
        """True where practice does not leave the term out."""
        return self.lead_angle_term >= WORTH_SAYING


@dataclass(frozen=True)
class WireRange:
    """Wires that can be used, mm."""

    smallest: float
    largest: float


def _parallel_form(form_key: str) -> ThreadForm:
    shape = forms.form(form_key)
    if shape.sizes_from_table:
        raise OutOfRange(
            "thread form",
            form_key,
            "a tapered thread is not measured by this formula; use its gauge",
        )
    return shape


def _check_wire(wire: float) -> None:
    if not (isfinite(wire) and wire > 0):
        raise OutOfRange("wire", f"{wire:g} mm", "must be more than 0 mm")


def best_wire(form_key: str, pitch: Fraction) -> float:
    """The wire that touches the flanks at the pitch line: W = P / (2 cos a).

    form_key : key of the form
    pitch    : mm, greater than zero
    Returns  : mm, approximate (cosine)
    Raises   : OutOfRange for a pitch of zero or less, a tapered form, or a form whose groove is so
               shallow that this wire would touch the bottom, with the smallest that does not
    Valid    : symmetrical parallel threads
    Source   : geometry (ASME B1.2: 0.57735 P for 60 degrees)

    >>> round(best_wire("iso-60", Fraction(1)), 5)
    0.57735
    """
    shape = _parallel_form(form_key)
    forms.check_pitch(pitch)
    wire = float(pitch) / (2 * cos(radians(shape.half_angle)))
    smallest, _ = _fitting(shape, pitch)
    if wire < smallest:
        raise OutOfRange(
            "best wire",
            f"{wire:.3f} mm",
            f"would touch the bottom of the groove at pitch {float(pitch):g} mm",
            f"{smallest:.3f} mm",
        )
    return wire


def _straight_height(shape: ThreadForm) -> float:
    """From the pitch line to where the flank stops being straight at the crest, P = 1."""
    crest = shape.external.crest
    height = shape.pitch_diameter_drop / 2
    if crest.kind == "flat":
        return height
    return height - crest.size * (1 - sin(radians(shape.half_angle)))


def _fitting(shape: ThreadForm, pitch: Fraction) -> tuple[float, float]:
    """Smallest and largest wire by geometry, mm: over the crest, off the bottom, on the flank."""
    angle = radians(shape.half_angle)
    step = float(pitch)
    over_crest = (shape.pitch_diameter_drop * step + step / 2 / tan(angle)) / (1 + 1 / sin(angle))
    floor = (shape.external.depth - shape.pitch_diameter_drop / 2) * step
    floor += float(forms.clearance(shape.key, pitch))
    # Below the pitch line the wire reaches P/4 cot a - W/2 (1/sin a - 1); more wire, less deep.
    off_bottom = (step / 4 / tan(angle) - floor) * 2 / (1 / sin(angle) - 1)
    largest = step * (1 / 2 + 2 * _straight_height(shape) * tan(angle)) / cos(angle)
    return max(over_crest, off_bottom), largest


def wire_range(form_key: str, pitch: Fraction) -> WireRange:
    """Wires that stand over the crests, clear the bottom and touch the straight flank.

    form_key : key of the form
    pitch    : mm, greater than zero
    Returns  : WireRange in mm, approximate: the geometry's, or practice where it is narrower
    Raises   : OutOfRange for a pitch of zero or less, past the clearance table, or a tapered form
    Valid    : symmetrical parallel threads
    Source   : geometry; 60 degrees: 0.56 P to 0.90 P, textbook rule (tables/thread_forms.yaml)

    >>> round(wire_range("iso-60", Fraction(1)).largest, 2)
    0.9
    """
    shape = _parallel_form(form_key)
    forms.check_pitch(pitch)
    smallest, largest = _fitting(shape, pitch)
    if shape.wire_range is not None:
        smallest = max(smallest, shape.wire_range[0] * float(pitch))
        largest = min(largest, shape.wire_range[1] * float(pitch))
    return WireRange(smallest, largest)


def check_usable(form_key: str, pitch: Fraction, wire: float) -> None:
    """Refuse a wire that does not serve a thread.

    form_key : key of the form
    pitch    : mm, greater than zero
    wire     : diameter of the wire, mm
    Returns  : nothing
    Raises   : OutOfRange for a wire of zero or less, or outside `wire_range`, with the nearest in it
    Valid    : symmetrical parallel threads
    Source   : as `wire_range`

    >>> check_usable("iso-60", Fraction(1), 0.6)
    """
    _check_wire(wire)
    fits = wire_range(form_key, pitch)
    if not fits.smallest <= wire <= fits.largest:
        nearest = min(max(wire, fits.smallest), fits.largest)
        raise OutOfRange(
            "wire",
            f"{wire:.3f} mm",
            f"pitch {float(pitch):.4g} mm takes wires from {fits.smallest:.3f} to {fits.largest:.3f} mm",
            f"{nearest:.3f} mm",
        )


def _check_lead_angle(lead: float, pitch_diameter: float) -> None:
    steep = helix_angle(lead, pitch_diameter)
    if steep > STEEPEST:
        raise OutOfRange(
            "lead angle",
            f"{steep:.1f} degrees",
            f"measuring over wires is worked out here up to {STEEPEST:g} degrees",
        )


def _size(
    shape: ThreadForm, pitch: float, wire: float, pitch_diameter: float, lead: float
) -> float:
    """M = E - P/2 cot a + W (1 + sqrt(csc^2 a + cot^2 a tan^2 L)), tan L = lead / (pi E)."""
    angle = radians(shape.half_angle)
    steep = lead / (pi * pitch_diameter)
    return (
        pitch_diameter
        - pitch / 2 / tan(angle)
        + wire * (1 + sqrt(1 / sin(angle) ** 2 + (steep / tan(angle)) ** 2))
    )


def over_wires(
    form_key: str,
    pitch: Fraction,
    pitch_diameter: float,
    wire: float,
    lead: Fraction | None = None,
) -> OverWires:
    """Measurement over three wires: M = E - P/2 cot a + W (1 + sqrt(csc^2 a + cot^2 a tan^2 L)), L the lead angle.

    form_key       : key of the form
    pitch          : mm, greater than zero
    pitch_diameter : E, mm, greater than zero
    wire           : W, diameter of the wires, mm, within `wire_range`
    lead           : mm per turn; None for a single start
    Returns        : OverWires in mm, approximate
    Raises         : OutOfRange for a length of zero or less, an unusable wire, a lead angle above
                     8 degrees or a tapered form
    Valid          : external parallel threads, lead angle up to 8 degrees, light measuring force
    Source         : ASME B1.2 (best approximation for the lead angle), from memory; checked against
                     a wire laid into a helicoid

    >>> round(over_wires("iso-60", Fraction(1), 5.35, 0.57735).size, 3)
    6.218
    """
    check_usable(form_key, pitch, wire)
    shape = _parallel_form(form_key)
    advance = float(pitch if lead is None else lead)
    _check_lead_angle(advance, pitch_diameter)
    size = _size(shape, float(pitch), wire, pitch_diameter, advance)
    return OverWires(size, size - _size(shape, float(pitch), wire, pitch_diameter, 0.0))


def pitch_diameter_from(
    form_key: str,
    pitch: Fraction,
    measured: float,
    wire: float,
    lead: Fraction | None = None,
) -> float:
    """Pitch diameter of a screw from a measurement over three wires: `over_wires` turned round.

    form_key : key of the form
    pitch    : mm, greater than zero
    measured : M, mm over the wires
    wire     : W, diameter of the wires, mm, within `wire_range`
    lead     : mm per turn; None for a single start
    Returns  : mm, approximate, to the last bits
    Raises   : OutOfRange as `over_wires`, or for a measurement too small for these wires and pitch
    Valid    : as `over_wires`
    Source   : as `over_wires`

    >>> round(pitch_diameter_from("iso-60", Fraction(1), 6.2176, 0.57735), 3)
    5.35
    """
    check_usable(form_key, pitch, wire)
    shape = _parallel_form(form_key)
    step = float(pitch)
    advance = float(pitch if lead is None else lead)
    # With no lead angle the pitch diameter is M less what a pitch diameter of 1 mm would add.
    plain = measured - (_size(shape, step, wire, 1.0, 0.0) - 1.0)
    if not (isfinite(plain) and plain > 0):
        raise OutOfRange(
            "measurement over wires",
            f"{measured:g} mm",
            f"is too small for pitch {step:.4g} mm and wires of {wire:.3f} mm",
        )
    _check_lead_angle(advance, plain)
    found = plain
    for _ in range(ITERATIONS):
        found += measured - _size(shape, step, wire, found, advance)
    _check_lead_angle(advance, found)
    return found


def limits_over_wires(
    form_key: str,
    pitch: Fraction,
    limits: ThreadLimits,
    wire: float,
    lead: Fraction | None = None,
) -> Limits:
    """Least and largest measurement over wires that keep the pitch diameter within its limits.

    form_key : key of the form
    pitch    : mm, greater than zero
    limits   : limits of size of the screw, mm
    wire     : diameter of the wires, mm, within `wire_range`
    lead     : mm per turn; None for a single start
    Returns  : Limits in mm, approximate
    Raises   : OutOfRange as `over_wires`, for a nut, or where the pitch diameter has no limits
    Valid    : as `over_wires`; flank angle and pitch errors are not seen by wires
    Source   : as `over_wires`; limits from the thread's standard

    >>> screw = ThreadLimits("6g", False, Limits(9.732, 9.968), Limits(8.862, 8.994), Limits(None, 8.344), "ISO 965-1")
    >>> round(limits_over_wires("iso-60", Fraction(3, 2), screw, 0.866).maximum, 2)
    10.3
    """
    if limits.internal:
        raise OutOfRange("thread", limits.tolerance_class, "wires measure a screw, not a nut")
    if limits.pitch.minimum is None or limits.pitch.maximum is None:
        raise OutOfRange(
            "tolerance class", limits.tolerance_class, "sets no two limits for the pitch diameter"
        )
    return Limits(
        over_wires(form_key, pitch, limits.pitch.minimum, wire, lead).size,
        over_wires(form_key, pitch, limits.pitch.maximum, wire, lead).size,
    )


@dataclass(frozen=True)
class GaugeLimits:
    """Pitch diameters that a go and a no-go gauge stand for, mm."""

    go: float
    no_go: float


def gauge_limits(limits: ThreadLimits) -> GaugeLimits:
    """What go and no-go screw gauges stand for: the maximum-metal and minimum-metal pitch diameters.

    limits  : limits of size of the screw or the nut, mm
    Returns : GaugeLimits in mm: for a nut the plugs (go at the least pitch diameter, no-go at the
              largest), for a screw the rings (go at the largest, no-go at the least)
    Raises  : OutOfRange where the pitch diameter has no two limits
    Valid   : the work's limits; the gauge's own tolerance and wear (ISO 1502) are not in them
    Source  : limits from the thread's standard; the rule is ISO 1502's, from memory

    >>> nut = ThreadLimits("6H", True, Limits(10, None), Limits(9.026, 9.206), Limits(8.376, 8.676), "ISO 965-1")
    >>> gauge_limits(nut).go
    9.026
    """
    if limits.pitch.minimum is None or limits.pitch.maximum is None:
        raise OutOfRange(
            "tolerance class", limits.tolerance_class, "sets no two limits for the pitch diameter"
        )
    if limits.internal:
        return GaugeLimits(limits.pitch.minimum, limits.pitch.maximum)
    return GaugeLimits(limits.pitch.maximum, limits.pitch.minimum)
