"""The steps of the flow, wired: sound -> words -> Query -> Answer -> screen and voice."""

from __future__ import annotations

import os
import random
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from platformdirs import user_cache_path

from assistant.answer import Answer, Phrase, Shown
from assistant.answer_json import outcome_json
from assistant.conversation import Conversation, Turn, assumed_start
from assistant.errors import ProfileError
from assistant.hearing.recogniser import Recogniser
from assistant.query import EmergencyWords, NotUnderstood, Query
from assistant.speaking.voice import Voice, faster, louder, quieter, slower
from assistant.wording import phrase, with_working, worded
from display.view import View
from grammar.source import GrammarError
from grammar.understanding import Grammar, pronunciations
from grammar.words import LeverSaid, named_words
from profiles import load
from profiles.lathe import Lathe

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


@cache
def _grammar(
    lathes: tuple[tuple[str, str], ...],
    levers: tuple[LeverSaid, ...],
    marks: tuple[str, ...],
    folder: Path,
) -> Grammar:
    """One grammar for each lathe's words: compiling it takes longer than all the rest."""
    try:
        return Grammar(named_words(lathes, levers, marks), folder)
    except GrammarError:
        # A shop's lever names may be such that no parser tells them apart: all else can still be said.
        return Grammar(named_words(lathes, marks=marks), folder)


class Assistant:
    """Grammar, conversation and wording for one operator."""

    def __init__(self, lathe: str | None = None, units: str | None = None) -> None:
        """lathe: profile name or file; units: 'mm', 'inch' or None for the lathe's own. Raises ProfileError."""
        memory = assumed_start(self.find_lathe(lathe or USUAL_LATHE))
        if units:
            memory.units = units
        self.conversation = Conversation(memory, self.find_lathe, self._examples)
        self._chance = random.Random()
        self._listening_for: Grammar | None = None

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
        return _grammar(self._lathe_words, levers, marks, user_cache_path("swarfside"))

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

    def reply(self, words: str) -> Reply:
        """Words -> Query -> Answer -> lines and sentence."""
        memory = self.conversation.memory
        query = self.grammar.read(words, memory.units)
        turn = self.conversation.turn(query, words.strip().lower())
        shown = worded(turn.outcome, turn.heard, memory.units, memory.lathe.name)
        if turn.with_working:
            shown = with_working(shown)
        return Reply(query, turn, shown)

    def is_emergency(self, words: str) -> bool:
        """True for the words that are answered at once, whatever else is going on."""
        return isinstance(self.grammar.read(words, self.conversation.memory.units), EmergencyWords)

    def listen_with(self, recogniser: Recogniser) -> None:
        """Hands the recogniser what can be said. Raises DeviceError for a word without pronunciation."""
        recogniser.use(self.grammar.acceptor(), pronunciations())
        self._listening_for = self.grammar

    def refresh(self, recogniser: Recogniser) -> None:
        """Hands the recogniser the present words, if they changed since it last got them."""
        if self._listening_for is not self.grammar:
            self.listen_with(recogniser)

    def not_understood(self, what: NotUnderstood) -> Reply:
        """The reply to sound that was no question."""
        memory = self.conversation.memory
        turn = self.conversation.turn(what, what.words)
        return Reply(what, turn, worded(what, what.words, memory.units, memory.lathe.name))


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
