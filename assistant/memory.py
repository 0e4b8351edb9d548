"""What is carried from one question to the next, and how an answer changes it."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from fractions import Fraction

from assistant.alongside.job import Job
from assistant.alongside.sequence import Sequence
from assistant.answer import Answer
from assistant.answering import Situation
from assistant.answering.set_up import SetUp, set_up_at_start
from assistant.lever_memory import set_up_after
from assistant.query import Query, SpindleSpeedFor, ThreadNamed
from assistant.query_alongside import ItMeasures
from assistant.query_levers import ClosedOn
from assistant.wording import Outcome
from profiles.lathe import Lathe

KEPT_TURNS = 20
"""Answers that 'go back' may reach."""
KEPT_STEPS = 400
"""Steps that 'back' may undo in a sequence."""

MOST_WAITING = 3
"""Sequences that may wait for others to end."""


@dataclass(frozen=True)
class Told:
    """A question and what was told to it."""

    query: Query
    heard: str
    outcome: Outcome
    question: bool = True
    """False for what was said to a sequence or of a job: the next 'and in brass' is not about that."""


@dataclass
class Memory:
    """What is carried from one question to the next."""

    lathe: Lathe
    units: str
    lathe_named: str = ""
    """The lathe as it was asked for: a profile's name or a file."""
    tool: str | None = None
    material: str | None = None
    thread: ThreadNamed | None = None
    set_up: SetUp = field(default_factory=SetUp)
    """Levers, change gears and the plan in hand."""
    first_mark: str | None = None
    """Mark of the first closing, for the thread in hand."""
    spindle_speed: Fraction | None = None
    """Turns per minute, as last asked for."""
    told: list[Told] = field(default_factory=list)
    """The last questions with their answers, the newest at the end."""
    sequence: Sequence | None = None
    trail: list[Sequence] = field(default_factory=list)
    """The states of the sequence before this one; 'back' takes the last."""
    outer: list[Sequence] = field(default_factory=list)
    """Sequences that wait until the present one is over, the last goes on first."""
    readings: list[tuple[Query, str]] = field(default_factory=list)
    """Readings of the last sound not yet answered, best first: for 'that is wrong', or to choose from."""
    asking: bool = False
    """True after a question back: the choice between `readings` is awaited."""
    job: Job = field(default_factory=Job)

    @property
    def last(self) -> Told | None:
        """The last question with its answer."""
        return self.told[-1] if self.told else None

    @property
    def last_question(self) -> Told | None:
        """The last question that stands for itself."""
        return next((each for each in reversed(self.told) if each.question), None)

    def situation(self) -> Situation:
        """What an answer may depend on."""
        return Situation(
            self.lathe,
            self.units,
            self.tool,
            self.thread,
            self.set_up.known,
            self.set_up,
            self.first_mark,
            self.spindle_speed,
            self.material,
        )

    def keep(self, query: Query, outcome: Outcome, heard: str, *, question: bool = True) -> None:
        """Takes over what `query` and its answer tell; `heard` are the words."""
        situation = self.situation()
        self.told = [*self.told, Told(query, heard, outcome, question)][-KEPT_TURNS:]
        if not isinstance(outcome, Answer) or not question:
            return
        if isinstance(query, SpindleSpeedFor) and query.tool:
            self.tool = query.tool
        self.keep_named(query)
        if isinstance(query, ClosedOn):
            self.first_mark = outcome.texts.get("first")
        speed = outcome.values.get("spindle_speed")
        if (
            "spindle" in outcome.settings
            and speed is not None
            and isinstance(speed.number, Fraction)
        ):
            self.spindle_speed = speed.number
        self.set_up = set_up_after(query, outcome, situation)

    def keep_named(self, query: Query) -> None:
        """The thread and the material that `query` names are in hand from now on."""
        self.material = getattr(query, "material", None) or self.material
        if self.material != self.job.material:
            self.job = replace(self.job, material=self.material)
        named = getattr(query, "thread", None)
        if isinstance(named, ThreadNamed):
            if named != self.thread:
                self.first_mark = None
            self.thread = named

    def note_size(self, query: ItMeasures, now: float) -> None:
        """Keeps a measured size with the job."""
        size = query.measured_size
        self.job = self.job.sized(f"{float(size.magnitude):g} {size.units:~}", now)

    def use(self, lathe: Lathe, named: str) -> None:
        """Another lathe: nothing is known of its levers, and a sequence on the old one is over."""
        self.lathe, self.lathe_named = lathe, named
        self.units = "inch" if lathe.inch else "mm"
        self.set_up = set_up_at_start(lathe)
        self.first_mark = self.spindle_speed = None
        self.sequence, self.trail, self.outer = None, [], []

    def begin(self, sequence: Sequence) -> None:
        """Starts a sequence; one of another sort that goes on already waits for its end."""
        if self.sequence is not None and type(self.sequence) is not type(sequence):
            self.outer = [*self.outer, self.sequence][-MOST_WAITING:]
        self.sequence, self.trail = sequence, []

    def end(self) -> None:
        """The sequence is over; one that waited goes on where it was."""
        self.sequence, self.trail = None, []
        if self.outer:
            self.sequence, self.outer = self.outer[-1].standing(), self.outer[:-1]

    def forget(self) -> None:
        """Everything but the lathe, the units and the job."""
        empty = at_start(self.lathe)
        for each in fields(self):
            if each.name not in ("lathe", "lathe_named", "units", "job"):
                setattr(self, each.name, getattr(empty, each.name))


def at_start(lathe: Lathe, named: str = "") -> Memory:
    """The memory at the start of a session: the lathe and its own units, nothing else known."""
    return Memory(
        lathe,
        "inch" if lathe.inch else "mm",
        named or lathe.name,
        set_up=set_up_at_start(lathe),
    )
