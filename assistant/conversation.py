"""Turn-taking: which words steer, which change the last question, which belong to what goes on."""

from __future__ import annotations

import time
from collections.abc import Callable
from collections.abc import Sequence as Several
from dataclasses import replace

from assistant.alongside.job import KeptSetting
from assistant.alongside.keeping import in_job, time_over
from assistant.alongside.knowledge import known
from assistant.alongside.sequence import NOTHING_GOES_ON, Going, Outcome, Sequence
from assistant.alongside.shelf import JobShelf, JobsInMemory
from assistant.answer import Answer, Ask, Phrase, Refusal
from assistant.answering import Situation, answer_to
from assistant.answering.following import Changed, changed, stepped
from assistant.answering.registry import refused
from assistant.answering.set_up import KNOWN
from assistant.errors import OutOfRange, ProfileError
from assistant.lever_memory import stands_at, without_plan
from assistant.memory import KEPT_STEPS, Memory
from assistant.query import (
    Cancel,
    EmergencyWords,
    Loudness,
    NotUnderstood,
    Pace,
    Query,
    Repeat,
    ShowWorking,
    UnitsChoice,
    UseLathe,
    WhatCanISay,
)
from assistant.query_alongside import (
    AtReading,
    DialZero,
    GoToStep,
    ItMeasures,
    NowTrue,
    PartsWord,
    SequenceWord,
    UseJob,
)
from assistant.query_following import (
    ChooseReading,
    FollowUp,
    ForgetAll,
    GoBack,
    NotThat,
    StepAlong,
    TalkBy,
    TellMore,
    ThisIs,
    WhatDoYouKnow,
    Why,
    YesRight,
)
from assistant.query_levers import LeversDone, StepOfPlan
from assistant.readings import Reading, chosen, question_back, read_back
from assistant.turn import Turn, with_count, with_example, with_next
from assistant.wording import worded
from profiles.lathe import Lathe


def _started(query: Query, situation: Situation) -> Sequence | Outcome | None:
    """The sequence that `query` starts; their code is loaded when the first one is."""
    if query.kind != "start":
        return None
    from assistant.alongside.start import begun

    return begun(query, situation)


_ONLY_IN_SEQUENCE = (SequenceWord, NowTrue, GoToStep, AtReading, DialZero)


class Conversation:
    """Answers one Query after another; knows the memory and nothing of sound or screen."""

    def __init__(
        self,
        memory: Memory,
        find_lathe: Callable[[str], Lathe],
        examples: Callable[[], list[str]],
        shelf: JobShelf | None = None,
        clock: Callable[[], float] = time.time,
        example_of: Callable[[str], str] = lambda rule: "",
    ) -> None:
        """Nothing is said yet.

        find_lathe : profile by name
        examples   : sentences that can be said now
        shelf      : where jobs are kept
        clock      : seconds since 1970
        example_of : a sentence that a rule of the grammar reads, '' where none is kept
        """
        self.memory = memory
        self._find_lathe = find_lathe
        self._examples = examples
        self.shelf: JobShelf = shelf if shelf is not None else JobsInMemory()
        self._clock = clock
        self._example_of = example_of

    def turn(self, query: Query | NotUnderstood, heard: str, others: Several[Reading] = ()) -> Turn:
        """What comes back to `query`; `heard` are its words, `others` further readings of the same sound."""
        if isinstance(query, NotUnderstood):
            return Turn(query, heard)
        if isinstance(query, EmergencyWords):
            return Turn(Answer("stop"), heard)
        if isinstance(query, ChooseReading | NotThat | YesRight):
            return self._other_reading(query, heard)
        if not isinstance(query, Repeat | TellMore | ShowWorking | Loudness | Pace):
            self.memory.readings, self.memory.asking = list(others), False
        try:
            return self._steered(query, heard) or self._answered(query, heard)
        except OutOfRange as limit:
            return Turn(refused(limit), heard)

    def ask_back(self, readings: Several[Reading]) -> Turn:
        """Asks which of two close readings was meant, or whether a single one was; all make sense."""
        self.memory.readings, self.memory.asking = list(readings), True
        first = readings[0][1]
        if len(readings) == 1:
            return Turn(read_back(first), first)
        return Turn(question_back(first, readings[1][1]), first)

    @property
    def anything_due(self) -> bool:
        """True where a timer's time is over."""
        timers = self.memory.job.timers
        return bool(timers) and min(each.due for each in timers) <= self._clock()

    def due(self) -> list[Turn]:
        """What must be told now without a question: timers whose time is over."""
        self.memory.job, over = self.memory.job.due(self._clock())
        return [Turn(time_over(each.seconds), "") for each in over]

    def _other_reading(self, query: ChooseReading | NotThat | YesRight, heard: str) -> Turn:
        memory = self.memory
        if not memory.readings:
            if isinstance(query, NotThat):
                return Turn(Answer("say-again"), heard)
            return Turn(Answer("nothing-asked"), heard)
        if isinstance(query, NotThat):
            # While a choice is awaited 'no' means neither.
            left = [] if memory.asking else memory.readings
            meant = left[0] if left else None
        elif isinstance(query, YesRight):
            if not memory.asking:
                return Turn(Answer("nothing-asked"), heard)
            if len(memory.readings) > 1:
                return self.ask_back(memory.readings)
            meant = memory.readings[0]
        else:
            meant = chosen(query, memory.readings)
            if meant is None:
                return self.ask_back(memory.readings)
        if meant is None:
            memory.readings, memory.asking = [], False
            return Turn(Answer("say-again"), heard)
        rest = [each for each in memory.readings if each is not meant]
        return self.turn(*meant, others=[] if memory.asking else rest)

    def _answered(self, query: Query, heard: str) -> Turn:
        memory = self.memory
        if isinstance(query, LeversDone) and memory.job.counting and memory.set_up.plan is None:
            # With no lever to be confirmed 'done' says that a part is.
            query = query if memory.sequence is not None else PartsWord(word="done")
        going = self._in_sequence(query)
        if going is not None:
            return self._goes_on(query, heard, going)
        if isinstance(query, ItMeasures):
            return Turn(Ask(Phrase("which-size-wanted")), heard)
        if isinstance(query, _ONLY_IN_SEQUENCE):
            return Turn(NOTHING_GOES_ON, heard)
        if isinstance(query, FollowUp | StepAlong):
            return self._followed(query, heard)
        if isinstance(query, UseJob):
            self._put_away()
        kept = in_job(query, memory.job, self.shelf, self._clock(), self._last_setting)
        if kept is not None:
            memory.job = kept.job
            if isinstance(query, UseJob):
                self._take_up()
            memory.keep(query, kept.outcome, heard, question=False)
            return Turn(kept.outcome, heard)
        started = _started(query, memory.situation())
        if isinstance(started, Answer | Ask | Refusal):
            memory.keep(query, started, heard, question=False)
            return Turn(started, heard)
        if started is not None:
            memory.keep_named(query)
            memory.begin(started)
            outcome = started.told(memory.situation())
            memory.keep(query, outcome, heard, question=False)
            return Turn(outcome, heard, units=started.units)
        return self._plain(query, heard)

    def _plain(self, query: Query, heard: str, changed: Changed | None = None) -> Turn:
        outcome = answer_to(query, self.memory.situation())
        asked = heard
        if changed is not None:
            last = self.memory.last_question
            asked = f"{last.heard}, {heard}" if last else heard
            if isinstance(outcome, Answer):
                outcome = replace(outcome, assumed=(changed.note, *outcome.assumed))
        self.memory.keep(query, outcome, asked)
        return Turn(outcome, heard)

    def _followed(self, query: FollowUp | StepAlong, heard: str) -> Turn:
        last = self.memory.last_question
        if last is None:
            return Turn(Answer("nothing-yet"), heard)
        found: Changed | Refusal
        if isinstance(query, StepAlong):
            if not isinstance(last.outcome, Answer):
                return Turn(Answer("nothing-yet"), heard)
            found = stepped(query, last.query, last.outcome, self.memory.lathe)
        elif query.units is not None:
            return Turn(last.outcome, last.heard, units=query.units)
        else:
            found = changed(query, last.query)
        if isinstance(found, Refusal):
            return Turn(found, heard)
        return self._plain(found.query, heard, found)

    def _in_sequence(self, query: Query) -> Going | None:
        """What comes of `query` in the sequence that goes on; None where it is said to none."""
        memory = self.memory
        if memory.sequence is None:
            return None
        spoke_last = memory.last is not None and not memory.last.question
        if isinstance(query, StepOfPlan) and (spoke_last or memory.set_up.plan is None):
            word = {"next": "next", "back": "back", "again": "again", "first": "again"}[query.which]
            query = SequenceWord(word=word)
        if isinstance(query, GoBack) and spoke_last:
            query = SequenceWord(word="back")
        if isinstance(query, SequenceWord) and query.word == "back":
            before = memory.trail[-1] if memory.trail else memory.sequence
            return Going(before.again(memory.sequence))
        if isinstance(query, Why) and not spoke_last:
            return None
        if not memory.sequence.takes(query):
            return None
        return memory.sequence.after(query, memory.situation())

    def _goes_on(self, query: Query, heard: str, going: Going) -> Turn:
        memory = self.memory
        units = memory.sequence.units if memory.sequence is not None else None
        back = bool(
            memory.trail
            and memory.sequence is not None
            and going.sequence == memory.trail[-1].again(memory.sequence)
        )
        if going.levers or going.gears_on:
            memory.set_up = stands_at(memory.set_up, going)
        if isinstance(query, ItMeasures):
            memory.note_size(query, self._clock())
        if back:
            memory.trail = memory.trail[:-1]
        elif memory.sequence is not None and going.sequence not in (None, memory.sequence):
            memory.trail = [*memory.trail, memory.sequence][-KEPT_STEPS:]
        memory.sequence = going.sequence
        if going.sequence is None:
            memory.end()
        outcome = (
            with_next(going.outcome, memory.sequence) if going.sequence is None else going.outcome
        )
        if outcome is None:
            assert memory.sequence is not None
            outcome = memory.sequence.told(memory.situation())
        if isinstance(query, SequenceWord) and query.word in ("where", "left"):
            outcome = with_count(outcome)
        if isinstance(outcome, Answer) and "asks" in outcome.texts:
            outcome = with_example(outcome, self._example_of(outcome.texts["asks"]))
        memory.keep(query, outcome, heard, question=False)
        return Turn(outcome, heard, units=units)

    def _last_setting(self) -> KeptSetting | None:
        """The last answer that told a setting."""
        for told in reversed(self.memory.told):
            if (
                told.question
                and isinstance(told.outcome, Answer)
                and told.outcome.settings
                and KNOWN not in told.outcome.settings
            ):
                lathe, units = self.memory.lathe.name, self.memory.units
                headline = worded(told.outcome, told.heard, units).headline
                return KeptSetting(told.query, told.heard, headline, lathe, self._clock())
        return None

    def _put_away(self) -> None:
        """What goes on belongs to the job in hand."""
        memory = self.memory
        memory.job = replace(memory.job, sequence=memory.sequence, material=memory.material)
        if memory.job.number:
            self.shelf.put(memory.job)

    def _take_up(self) -> None:
        """The job in hand brings what went on with it."""
        memory = self.memory
        memory.sequence = memory.job.sequence.standing() if memory.job.sequence else None
        memory.trail = []
        memory.material = memory.job.material
        self.shelf.put(memory.job)

    def _steered(self, query: Query, heard: str) -> Turn | None:
        """The turn for a word that steers; None for a question."""
        memory = self.memory
        last = memory.last
        match query:
            case Repeat():
                if last is None:
                    return Turn(Answer("nothing-yet"), heard)
                return Turn(last.outcome, last.heard, once_slower=query.slower)
            case TellMore():
                if last is None:
                    return Turn(Answer("nothing-yet"), heard)
                return Turn(last.outcome, last.heard, more=True)
            case ShowWorking():
                return self._working(heard)
            case Why() if memory.sequence is None or (last is not None and last.question):
                return self._working(heard)
            case GoBack() if memory.sequence is None or (last is not None and last.question):
                return self._back(heard)
            case Loudness():
                return Turn(Answer(query.change), heard, loudness=query.change)
            case Pace():
                return Turn(Answer(query.change), heard, pace=query.change)
            case UnitsChoice():
                memory.units = query.units
                return Turn(Answer(f"units-{query.units}"), heard)
            case UseLathe():
                return Turn(self._use(query.lathe), heard)
            case WhatCanISay():
                return Turn(self._phrases(), heard)
            case WhatDoYouKnow():
                return Turn(known(memory.situation(), memory.job, memory.sequence), heard)
            case ForgetAll():
                memory.forget()
                return Turn(Answer("forgotten"), heard)
            case TalkBy():
                return Turn(Answer(f"talk-{query.way}"), heard, talk=query.way)
            case ThisIs():
                return self._operator(query.operator, heard)
            case Cancel():
                return self._cancelled(heard)
        return None

    def _operator(self, name: str, heard: str) -> Turn:
        if not name:
            return Turn(Answer("nobody-learned"), heard)
        return Turn(Answer("operator", texts={"operator": name}), heard, operator=name)

    def _working(self, heard: str) -> Turn:
        for told in reversed(self.memory.told):
            if told.question and isinstance(told.outcome, Answer):
                return Turn(told.outcome, told.heard, with_working=True)
        return Turn(Answer("nothing-yet"), heard)

    def _back(self, heard: str) -> Turn:
        """The answer before the last one, which is dropped."""
        questions = [told for told in self.memory.told if told.question]
        if len(questions) < 2:
            return Turn(Answer("nothing-before"), heard)
        self.memory.told.remove(questions[-1])
        before = questions[-2]
        return Turn(before.outcome, before.heard)

    def _cancelled(self, heard: str) -> Turn:
        """The last question and the plan are dropped; what goes on is only ended by its own words."""
        memory = self.memory
        memory.told = []
        memory.set_up = without_plan(memory.set_up)
        kind = "cancelled" if memory.sequence is None else "cancelled-goes-on"
        texts = {"title": memory.sequence.title} if memory.sequence else {}
        return Turn(Answer(kind, texts=texts), heard, silence=True)

    def _use(self, name: str) -> Answer | Refusal:
        try:
            lathe = self._find_lathe(name)
        except ProfileError as fault:
            # The lathe in use is kept: its levers are what the operator stands at.
            return Refusal(
                str(fault), "Mend the profile, or use another lathe", "That profile does not load"
            )
        self.memory.use(lathe, name)
        return Answer(
            f"lathe-{self.memory.units}",
            texts={"lathe": name, "about": lathe.description},
        )

    def _phrases(self) -> Answer:
        texts = {
            f"example{number}": text for number, text in enumerate(self._examples()[:5], start=1)
        }
        return Answer("help", texts=texts)
