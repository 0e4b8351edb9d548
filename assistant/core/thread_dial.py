"""When the half-nut may be closed again: the rule of the thread dial, derived and exact.

With the half-nut open the carriage stands and the leadscrew runs past it. Each thread of the
leadscrew that goes by turns the dial by one tooth, and at each the half-nut can close. `k` teeth
after the first closing the leadscrew has gone by k pitches p, and the work has run on by k p / L
leads L. The tool meets its groove only if that is a whole number. With L/p = a/b in lowest terms
k p / L = k b / a, so `k` must be a multiple of `a`.

The dial shows teeth only modulo its own number N. A mark d teeth from the mark of the first
closing comes round after d, d + N, d + 2N, … teeth; all of them are multiples of `a` only if `a`
divides both N and d. If `a` does not divide N no mark serves at every turn, not even the first
one, and the half-nut stays closed.

p is the pitch of the leadscrew and not its lead: on a screw of two starts the half-nut also
closes on the threads of the other start, and the worm moves the dial by two teeth a turn.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import gcd

from assistant.core.dial_types import DialGear, DialMark, Leadscrew, ThreadDial
from assistant.errors import NoSuchSize, OutOfRange, nearest_names

PLAIN_ORDINALS = ("", "second ", "third ", "fourth ", "fifth ", "sixth ", "seventh ", "eighth ")
"""What goes before 'plain after 1' where several plain lines follow one numbered line."""


@dataclass(frozen=True)
class Closings:
    """Where the half-nut may be closed again; the fields of an answer's Engage, and more."""

    keep_closed: bool
    """True where no mark serves at every turn: keep the half-nut closed, reverse the spindle."""
    marks: tuple[str, ...]
    """Names of the marks that serve, in order; see `mark_names`."""
    every: int | None
    """Every so many teeth of the dial gear is safe; None where no mark serves."""
    dial_teeth: int
    pick_off_gear: str | None
    """Name of the gear to mesh, where the lathe has several."""
    all_marks: tuple[tuple[str, Fraction, bool], ...]
    """The whole face: label ('' for plain), position in turns, safe or not."""
    first_mark: str
    """Name of the mark on which the half-nut was, or must be, closed the first time."""
    anywhere: bool
    """True where it may be closed wherever it drops in, without looking at the dial."""
    pitches_between: int
    """`a`: leadscrew pitches from one safe closing to the next, whether a mark stands there or not."""
    turns_to_repeat: int
    """Turns of the dial after which a mark is safe again: 1 where the dial serves; more only if the
    operator counts the turns and never loses count, which is why such a dial is not used."""
    left_hand: bool
    """True for a left-hand thread: the marks are the same, the carriage runs the other way."""

    @property
    def dial_turn(self) -> Fraction | None:
        """Turns of the dial from one safe closing to the next, exact; None where none serves."""
        return None if self.every is None else Fraction(self.every, self.dial_teeth)

    @property
    def longest_gap(self) -> int | None:
        """Teeth that pass, at worst, between two marks that serve; None where none serves."""
        if self.keep_closed:
            return None
        teeth = [int(place * self.dial_teeth) for place in self._safe_turns()]
        following = [*teeth[1:], teeth[0] + self.dial_teeth]
        return max(later - earlier for earlier, later in zip(teeth, following, strict=True))

    def _safe_turns(self) -> list[Fraction]:
        """Positions of the safe marks counted from the first safe one, whose own is 0."""
        safe = [position for _, position, serves in self.all_marks if serves]
        return [position - safe[0] for position in safe]


@dataclass(frozen=True)
class StartClosings:
    """Which marks give which start of a multiple-start thread."""

    starts: tuple[tuple[str, ...], ...]
    """For each start the marks that give it at every turn; the first start comes first, each
    next one lies one pitch further behind it in the direction of the cut."""
    pitch: Fraction
    """mm; what the compound, set parallel to the work, moves from start to start."""

    @property
    def by_dial(self) -> bool:
        """True where every start has a mark; else set the starts by the compound or the spindle."""
        return all(self.starts)


def mark_names(marks: tuple[DialMark, ...]) -> tuple[str, ...]:
    """Name of each mark, as said aloud: the label, or for a plain line where it stands.

    A plain line on a dial with numbers is 'plain after 1' ('second plain after 1' and so on),
    since 'line 2' would be taken for the number 2. On a dial without any number they are
    'line 1', 'line 2', … in the order in which they pass the index.

    marks   : in the order in which they pass the index
    Returns : names, in the same order, no two alike
    Raises  : OutOfRange if there is no mark, if a position is outside 0 to below 1 turn or out
              of order, or if two marks have one name
    Valid   : up to eight plain lines after a numbered one
    Source  : trade wording; the names are ours

    >>> mark_names((DialMark("1", Fraction(0)), DialMark("", Fraction(1, 2))))
    ('1', 'plain after 1')
    """
    _check_face(marks)
    numbered = [index for index, mark in enumerate(marks) if mark.numbered]
    if not numbered:
        return tuple(f"line {index + 1}" for index in range(len(marks)))
    names = {}
    for step in range(len(marks)):
        index = (numbered[0] + step) % len(marks)
        if marks[index].numbered:
            last, plain = marks[index].label, 0
            names[index] = last
        else:
            if plain == len(PLAIN_ORDINALS):
                raise OutOfRange(
                    "thread dial",
                    f"with more than {plain} plain lines after {last}",
                    f"at most {plain} plain lines can be told apart after a numbered one",
                )
            names[index] = f"{PLAIN_ORDINALS[plain]}plain after {last}"
            plain += 1
    if len(set(names.values())) != len(marks):
        raise OutOfRange("thread dial", "with a label twice", "each label may stand there once")
    return tuple(names[index] for index in range(len(marks)))


def pitches_between_closings(lead: Fraction, leadscrew: Leadscrew) -> int:
    """Leadscrew pitches from one safe closing to the next: `a` of L/p = a/b in lowest terms.

    lead      : mm per turn of the spindle, exactly as geared; the lead, not the pitch, of a
                multiple-start thread
    leadscrew : its pitch in mm
    Returns   : whole number of leadscrew pitches, exact; 1 means that any closing is safe
    Raises    : OutOfRange if lead or leadscrew pitch is zero or negative
    Valid     : any gearing between spindle and leadscrew that stays in mesh
    Source    : derived at the head of this file; the case of whole numbers of threads per inch
                in F. D. Jones, Turning and Boring (1914)

    >>> pitches_between_closings(Fraction(127, 65), Leadscrew(Fraction(127, 40)))
    8
    """
    if lead <= 0:
        raise OutOfRange("lead", f"{float(lead):g} mm", "must be more than 0 mm")
    if leadscrew.pitch <= 0:
        pitch = f"{float(leadscrew.pitch):g} mm"
        raise OutOfRange("leadscrew pitch", pitch, "must be more than 0 mm")
    return (Fraction(lead) / leadscrew.pitch).numerator


def safe_closings(
    lead: Fraction,
    leadscrew: Leadscrew,
    gear: DialGear,
    dial: ThreadDial,
    first_mark: str | None = None,
    left_hand: bool = False,
) -> Closings:
    """Marks on which the half-nut may be closed again: those a multiple of `a` teeth from the first.

    lead       : mm per turn, exactly as geared: a metric lead through approximate gears is
                 another number than its name, and so is the answer
    leadscrew  : pitch mm; starts
    gear       : the dial gear in mesh
    dial       : its face
    first_mark : name of the mark of the first closing ('2', 'plain after 1'); None takes the first
                 numbered mark, or the first of a dial without numbers
    left_hand  : True for a left-hand thread
    Returns    : Closings, exact; `keep_closed` where no mark serves at every turn of the dial
    Raises     : OutOfRange for a lead, pitch or tooth number of zero or less, and for a face
                 that cannot be; NoSuchSize for a first mark that is not there
    Valid      : while the gearing, the work in the chuck and the compound stay as they were
    Source     : derived at the head of this file

    >>> face = tuple(DialMark(str(number + 1), Fraction(number, 4)) for number in range(4))
    >>> dial = ThreadDial((DialGear(None, 32),), face)
    >>> safe_closings(Fraction(254, 115), Leadscrew(Fraction(127, 40)), dial.gears[0], dial).marks
    ('1', '3')
    """
    a = pitches_between_closings(lead, leadscrew)
    teeth = _teeth_of(gear)
    names = mark_names(dial.marks)
    first = _first_index(dial.marks, names, first_mark)
    serves = teeth % a == 0
    safe = tuple(
        serves and _is_multiple(offset, a) for offset in _tooth_offsets(dial.marks, first, teeth)
    )
    return Closings(
        keep_closed=not serves,
        marks=tuple(name for name, good in zip(names, safe, strict=True) if good),
        every=a if serves else None,
        dial_teeth=teeth,
        pick_off_gear=gear.name,
        all_marks=tuple(
            (mark.label, mark.position, good) for mark, good in zip(dial.marks, safe, strict=True)
        ),
        first_mark=names[first],
        anywhere=a == 1,
        pitches_between=a,
        turns_to_repeat=a // gcd(a, teeth),
        left_hand=left_hand,
    )


def best_gear(
    lead: Fraction,
    leadscrew: Leadscrew,
    dial: ThreadDial,
    first_mark: str | None = None,
    left_hand: bool = False,
    meshed: str | None = None,
) -> Closings:
    """The closings with the pick-off gear that serves with most marks: max of the marks with a | N.

    lead       : mm per turn, exactly as geared
    leadscrew  : pitch mm; starts
    dial       : its face and its pick-off gears
    first_mark : name of the mark of the first closing; None as in `safe_closings`
    left_hand  : True for a left-hand thread
    meshed     : name of the gear in mesh now; kept where another would not serve with more marks.
                 Of the rest the first in the dial's list wins
    Returns    : Closings of the gear chosen; `keep_closed` where none of them serves
    Raises     : OutOfRange if the dial has no gear, and as `safe_closings`
    Valid      : as `safe_closings`
    Source     : derived at the head of this file

    >>> face = (DialMark("1", Fraction(0)), DialMark("2", Fraction(1, 2)))
    >>> dial = ThreadDial((DialGear("wide", 15), DialGear("narrow", 14)), face)
    >>> best_gear(Fraction(7, 2), Leadscrew(Fraction(6)), dial).pick_off_gear
    'narrow'
    """
    if not dial.gears:
        raise OutOfRange("thread dial", "without a gear", "must have at least one gear")
    found = [
        safe_closings(lead, leadscrew, gear, dial, first_mark, left_hand) for gear in dial.gears
    ]
    # max keeps the first of equals, which is the order of the dial's list.
    return max(found, key=lambda one: (len(one.marks), _kept(one, meshed)))


def start_closings(
    lead: Fraction,
    starts: int,
    leadscrew: Leadscrew,
    gear: DialGear,
    dial: ThreadDial,
    first_mark: str | None = None,
) -> StartClosings:
    """Marks for each start of a multiple-start thread: d p starts / L is whole and counts the start.

    A mark d teeth from the first closing puts the tool d leadscrew pitches behind its groove. That
    is start number 1 + (d p / (L / starts)) modulo the number of starts, if the quotient is whole.

    lead       : mm per turn of the spindle, exactly as geared
    starts     : of the thread to be cut
    leadscrew  : pitch mm; starts
    gear       : the dial gear in mesh
    dial       : its face
    first_mark : name of the mark of the first closing; None as in `safe_closings`
    Returns    : StartClosings, exact; a start without marks must be set by moving the compound one
                 pitch or by indexing the spindle 1/starts of a turn
    Raises     : OutOfRange if starts is less than 1, and as `safe_closings`
    Valid      : as `safe_closings`; the mark must hold at every turn, so `a` must divide N
    Source     : derived at the head of this file

    >>> face = tuple(DialMark(str(number + 1), Fraction(number, 4)) for number in range(4))
    >>> dial = ThreadDial((DialGear(None, 16),), face)
    >>> start_closings(Fraction(24), 2, Leadscrew(Fraction(6)), dial.gears[0], dial).starts
    (('1', '2', '3', '4'), ())
    """
    if starts < 1:
        raise OutOfRange("number of starts", str(starts), "must be 1 or more")
    a = pitches_between_closings(lead, leadscrew)
    teeth = _teeth_of(gear)
    names = mark_names(dial.marks)
    first = _first_index(dial.marks, names, first_mark)
    pitch = Fraction(lead) / starts
    given: list[list[str]] = [[] for _ in range(starts)]
    if teeth % a == 0:
        offsets = _tooth_offsets(dial.marks, first, teeth)
        for name, offset in zip(names, offsets, strict=True):
            steps = offset * leadscrew.pitch / pitch
            if offset.denominator == 1 and steps.denominator == 1:
                given[int(steps) % starts].append(name)
    return StartClosings(tuple(tuple(marks) for marks in given), pitch)


def waiting_time(
    teeth: int, lead: Fraction, leadscrew: Leadscrew, spindle_speed: Fraction
) -> Fraction:
    """Time in which `teeth` of the dial go by while the carriage stands: t = teeth p / (n L).

    teeth         : teeth of the dial gear, such as `every` or `longest_gap` of Closings
    lead          : mm per turn of the spindle
    leadscrew     : its pitch in mm
    spindle_speed : turns per minute
    Returns       : minutes, exact
    Raises        : OutOfRange if any of them is zero or negative
    Valid         : half-nut open, carriage standing still
    Source        : derived at the head of this file

    >>> waiting_time(8, Fraction(127, 65), Leadscrew(Fraction(127, 40)), Fraction(65))
    Fraction(1, 5)
    """
    pitches_between_closings(lead, leadscrew)
    if teeth <= 0:
        raise OutOfRange("teeth of the dial", str(teeth), "must be more than 0")
    if spindle_speed <= 0:
        given = f"{float(spindle_speed):g} turns a minute"
        raise OutOfRange("spindle speed", given, "must be more than 0 turns a minute")
    return teeth * leadscrew.pitch / (Fraction(spindle_speed) * lead)


def _check_face(marks: tuple[DialMark, ...]) -> None:
    if not marks:
        raise OutOfRange("thread dial", "without a mark", "must have at least one mark")
    places = [mark.position for mark in marks]
    if not all(0 <= place < 1 for place in places):
        raise OutOfRange("dial mark", "off the dial", "must stand at 0 to below 1 turn")
    if any(later <= earlier for earlier, later in pairwise(places)):
        raise OutOfRange("dial marks", "out of order", "must rise in position round the dial")


def _teeth_of(gear: DialGear) -> int:
    if gear.teeth < 1:
        raise OutOfRange("dial gear", f"{gear.teeth} teeth", "must have at least 1 tooth")
    return gear.teeth


def _first_index(marks: tuple[DialMark, ...], names: tuple[str, ...], first: str | None) -> int:
    if first is None:
        return next((index for index, mark in enumerate(marks) if mark.numbered), 0)
    if first not in names:
        close = nearest_names(first, names, 1)
        raise NoSuchSize(
            "mark",
            first,
            f"the dial has {', '.join(names)}",
            close[0] if close else None,
        )
    return names.index(first)


def _tooth_offsets(marks: tuple[DialMark, ...], first: int, teeth: int) -> tuple[Fraction, ...]:
    """Teeth from the mark of the first closing to each mark, 0 or more and below one turn."""
    return tuple((mark.position - marks[first].position) % 1 * teeth for mark in marks)


def _is_multiple(offset: Fraction, a: int) -> bool:
    # A mark between two teeth never meets a closing of the half-nut, so it is not safe either.
    return offset.denominator == 1 and offset.numerator % a == 0


def _kept(closings: Closings, meshed: str | None) -> bool:
    return meshed is not None and closings.pick_off_gear == meshed
