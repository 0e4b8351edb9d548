"""The steps of the flow, wired: sound -> words -> Query -> Answer -> screen and voice."""

from __future__ import annotations

import gc
import os
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from platformdirs import user_cache_path

from assistant.alongside.procedures.load import landmarks, spoken_names
from assistant.alongside.sequence import CYCLE_PARTS
from assistant.alongside.shelf import JobsInMemory
from assistant.answer import Answer, Phrase, Shown
from assistant.answer_json import outcome_json
from assistant.conversation import Conversation
from assistant.errors import ProfileError, StoreError
from assistant.hearing import operators
from assistant.hearing.dictionary import can_say
from assistant.hearing.recogniser import Recogniser
from assistant.memory import Memory, at_start
from assistant.query import EmergencyWords, NotUnderstood, Query
from assistant.readings import Reading
from assistant.speaking.voice import Voice, faster, louder, quieter, slower
from assistant.turn import IN_SEQUENCE, Turn, not_kept
from assistant.wording import phrase, with_rows_said, with_working, worded
from display.view import View
from grammar.automaton import Acceptor
from grammar.source import GrammarError
from grammar.understanding import Grammar, pronunciations
from grammar.words import LeverSaid, named_words
from profiles import load
from profiles.lathe import Lathe

if TYPE_CHECKING:
    # A single question is answered without a file to keep things in.
    from assistant.alongside.job import Job
    from assistant.alongside.store import Store

USUAL_LATHE = "heron"


def profile_folder() -> Path:
    """The shop's own profiles: SWARFSIDE_PROFILES, else the usual folder of profiles.load."""
    chosen = os.environ.get("SWARFSIDE_PROFILES")
    return Path(chosen) if chosen else load.shop_folder()


@dataclass(frozen=True)
class Reply:
    """One question, all the way."""

    query: Query | NotUnderstood
    turn: Turn
    shown: Shown

    @property
    def answered(self) -> bool:
        """True where there is an answer."""
        return isinstance(self.turn.outcome, Answer)

    @property
    def answer(self) -> Answer | None:
        """The answer behind the words, for pictures."""
        return self.turn.outcome if isinstance(self.turn.outcome, Answer) else None

    def as_json(self) -> dict[str, Any]:
        """The JSON object for this question."""
        query = self.query if isinstance(self.query, Query) else None
        return outcome_json(self.turn.outcome, self.shown, query)


def _operators() -> tuple[str, ...]:
    """Those whose voices were learned, as far as the ear can hear their names."""
    found = operators.names(operators.operator_folder())
    return tuple(name for name in found if can_say(name.replace("-", " ").split()))


@cache
def _grammar(
    lathes: tuple[tuple[str, str], ...],
    levers: tuple[LeverSaid, ...],
    marks: tuple[str, ...],
    speakers: tuple[str, ...],
    folder: Path,
) -> Grammar:
    """One grammar for each lathe's words: compiling it takes longer than all the rest."""
    procedures = spoken_names()
    parts = (*CYCLE_PARTS, *(each for each in landmarks() if each not in CYCLE_PARTS))
    try:
        made = Grammar(named_words(lathes, levers, marks, procedures, parts, speakers), folder)
    except GrammarError:
        # A shop's lever names may be such that no parser tells them apart: all else can still be said.
        made = Grammar(named_words(lathes, (), marks, procedures, parts, speakers), folder)
    # All that is loaded by now stays: to look through it for rubbish would hold up an answer by 0.2 s.
    gc.freeze()
    return made


@cache
def _acceptor(grammar: Grammar, state: str) -> Acceptor:
    return grammar.acceptor(state=state)


class Assistant:
    """Grammar, conversation and wording for one operator."""

    def __init__(
        self, lathe: str | None = None, units: str | None = None, store: Store | None = None
    ) -> None:
        """What is asked for goes before what is remembered.

        lathe  : profile name or file; None for the one remembered, else the usual one
        units  : 'mm', 'inch' or None for those remembered, else the lathe's own
        store  : where memory and jobs are kept over a restart; None keeps them for the process alone
        Raises : ProfileError
        """
        self._store = store
        memory = self._recalled(lathe)
        self._resuming = memory is not None
        self._job_put: Job | None = None
        if memory is None:
            memory = at_start(self.find_lathe(lathe or USUAL_LATHE), lathe or USUAL_LATHE)
        if units:
            memory.units = units
        self.conversation = Conversation(
            memory,
            self.find_lathe,
            self._examples,
            store,
            example_of=lambda rule: self.grammar.example_of(rule),
        )
        self._chance = random.Random()
        self._listening_for: tuple[Grammar, str] | None = None

    def _recalled(self, lathe: str | None) -> Memory | None:
        """The memory of an earlier session, if it was at the lathe asked for."""
        if self._store is None:
            return None
        from assistant.remembering import memory_of

        kept = self._store.recalled()
        if kept is None or lathe not in (None, kept.lathe):
            return None
        return memory_of(kept, self.find_lathe)

    def _keep(self) -> bool:
        """Writes the memory; False where the disk fails: it is told once, and the work goes on without it."""
        if self._store is None:
            return True
        from assistant.remembering import kept_of

        try:
            self._store.keep(kept_of(self.conversation.memory))
            self._put_job(self._store)
        except StoreError:
            self._store, self.conversation.shelf = None, JobsInMemory()
            return False
        return True

    def _put_job(self, store: Store) -> None:
        """The job in hand stands in the list of jobs as it is now."""
        memory = self.conversation.memory
        job = replace(memory.job, sequence=memory.sequence)
        if job.number and job != self._job_put:
            store.put(job)
            self._job_put = job

    @staticmethod
    def find_lathe(name: str) -> Lathe:
        """The profile of this name, or in this file. Raises ProfileError."""
        if name.endswith((".yaml", ".yml")):
            return load.load(Path(name))
        return load.find(name, profile_folder())

    @property
    def grammar(self) -> Grammar:
        """What can be said at the lathe in use: lathe names, its levers and the marks of its thread dial.

        After 'use the …' it is another one; `refresh` hands it to the recogniser.
        """
        lathe = self.conversation.memory.lathe
        levers = tuple(
            (
                lever.name,
                position,
                lever.spoken or lever.name,
                lever.spoken_positions.get(position, position),
            )
            for lever in lathe.levers
            for position in lever.positions
        )
        dial = lathe.thread_dial
        marks = tuple(mark.label for mark in dial.marks if mark.numbered) if dial else ()
        return _grammar(
            self._lathe_words, levers, marks, _operators(), user_cache_path("swarfside")
        )

    @cached_property
    def _lathe_words(self) -> tuple[tuple[str, str], ...]:
        """(name, phrase) of every lathe; a profile that does not load has no name here."""
        lathes = []
        for name in load.names(profile_folder()):
            try:
                lathe = self.find_lathe(name)
            except ProfileError:
                continue
            lathes += [(name, phrase) for phrase in lathe.spoken]
        return tuple(lathes)

    def _examples(self) -> list[str]:
        examples = list(self.grammar.examples())
        self._chance.shuffle(examples)
        return examples

    def reply(self, words: str, others: Sequence[str] = (), *, close: bool = False) -> Reply:
        """Words -> Query -> Answer -> lines and sentence.

        others : further readings of the same sound, best first
        close  : True where the first of them fits nearly as well: which was meant is asked; without
                 others, whether these words are right
        """
        query = self.grammar.read(words, self.conversation.memory.units)
        heard = words.strip().lower()
        readings = self._others(query, others)
        if close and isinstance(query, Query) and (readings or not others):
            turn = self.conversation.ask_back([(query, heard), *readings[:1]])
        else:
            turn = self.conversation.turn(query, heard, readings)
        kept = self._keep()
        return self._reply(query, turn if kept else not_kept(turn))

    def _others(self, query: Query | NotUnderstood, others: Sequence[str]) -> list[Reading]:
        """The other readings by their meaning, each once."""
        found: list[Reading] = []
        for words in others:
            read = self.grammar.read(words, self.conversation.memory.units)
            if (
                isinstance(read, Query)
                and read != query
                and read not in [each for each, _ in found]
            ):
                found.append((read, words))
        return found

    def _reply(self, query: Query | NotUnderstood, turn: Turn) -> Reply:
        memory = self.conversation.memory
        units = turn.units or memory.units
        shown = worded(turn.outcome, turn.heard, units, memory.lathe.name)
        if turn.with_working:
            shown = with_working(shown)
        if turn.more:
            shown = with_rows_said(shown)
        return Reply(query, turn, shown)

    def resumed(self) -> Reply | None:
        """What goes on from an earlier session; None where nothing does."""
        if not self._resuming:
            return None
        from assistant.remembering import resumed

        going_on = resumed(self.conversation.memory)
        if going_on is None:
            return None
        return self._reply(NotUnderstood("", ""), Turn(going_on, ""))

    def hints(self) -> list[str]:
        """Sentences that fit what goes on now, for somebody who does not know what to say."""
        memory = self.conversation.memory
        if memory.sequence is not None:
            return list(IN_SEQUENCE)
        return self._examples()

    @property
    def anything_due(self) -> bool:
        """True where something must be told without a question; cheap enough to ask all the time."""
        return self.conversation.anything_due

    def due(self) -> list[Reply]:
        """What is told without a question: timers whose time is over."""
        return [self._reply(NotUnderstood("", ""), turn) for turn in self.conversation.due()]

    @property
    def listening_state(self) -> str:
        """What is listened for now: 'idle', 'sequence' or 'asked', see grammar.understanding."""
        memory = self.conversation.memory
        if memory.asking:
            return "asked"
        return "idle" if memory.sequence is None else "sequence"

    def meaning(self, words: str) -> Query | NotUnderstood:
        """What `words` mean in the present units."""
        return self.grammar.read(words, self.conversation.memory.units)

    def is_emergency(self, words: str) -> bool:
        """True for the words that are answered at once, whatever else is going on."""
        return isinstance(self.meaning(words), EmergencyWords)

    def unusual(self, words: str) -> bool:
        """True for a whole question with a size or number that hardly anybody asks for.

        Not where any figure may come, as of a measurement; nor once it was read back and said again.
        """
        said = words.split()
        if not self.acceptor.accepts(said) or not self.acceptor.unusual_steps(said):
            return False
        memory = self.conversation.memory
        query = self.meaning(words)
        again = memory.asking and query in [each for each, _ in memory.readings]
        return isinstance(query, Query) and not query.any_figure and not again

    def listen_with(self, recogniser: Recogniser) -> None:
        """Hands the recogniser what can be said now. Raises DeviceError for a word without pronunciation."""
        recogniser.use(self.acceptor, pronunciations(), self.meaning)
        self._listening_for = self.grammar, self.listening_state

    @property
    def acceptor(self) -> Acceptor:
        """What can be said now; the same object as long as that does not change."""
        return _acceptor(self.grammar, self.listening_state)

    def refresh(self, recogniser: Recogniser) -> None:
        """Hands the recogniser the present words, if they changed since it last got them."""
        if self._listening_for != (self.grammar, self.listening_state):
            self.listen_with(recogniser)

    def not_understood(self, what: NotUnderstood) -> Reply:
        """The reply to sound that was no question."""
        return self._reply(what, self.conversation.turn(what, what.words))


def tell(reply: Reply, view: View, voice: Voice) -> None:
    """Shows the reply, then says it; changes of pace and loudness come first."""
    turn = reply.turn
    if turn.silence:
        voice.stop()
    for change in (turn.pace, turn.loudness):
        if change is not None:
            {"slower": slower, "faster": faster, "louder": louder, "quieter": quieter}[change](
                voice
            )
    view.show(reply.shown, reply.answer)
    if turn.once_slower:
        usual = voice.rate
        slower(voice)
        voice.say(reply.shown.spoken)
        voice.rate = usual
    else:
        voice.say(reply.shown.spoken)


def welcome_lines() -> Iterable[str]:
    """What to read before work starts."""
    return tuple(phrase(Phrase(f"welcome-{number}"), "mm") for number in range(1, 6))
