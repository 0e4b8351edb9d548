"""The live loop itself: listens, answers, begins again after every fault."""

from __future__ import annotations

import logging
import sys
import threading
import time
from collections.abc import Callable, Iterator
from itertools import chain
from pathlib import Path

from assistant.answer import Ask
from assistant.app import Assistant, Reply, tell, welcome_lines
from assistant.errors import AssistantError, DeviceError
from assistant.hearing.cut_in import CutIn
from assistant.hearing.held import held_utterance
from assistant.hearing.keeping import keep
from assistant.hearing.levels import CLIPPED_SHARE, clipped_share
from assistant.hearing.listening import Utterance, utterances
from assistant.hearing.microphone import Microphone
from assistant.hearing.operators import Operator, fitted_to, load, operator_folder
from assistant.hearing.recogniser import Acceptor, Heard, Recogniser, Samples
from assistant.hearing.wake import WakePhrase
from assistant.recognition import acted_on, emergency_search, reply_to, told_of
from assistant.speaking.earcons import Earcons
from assistant.speaking.voice import Voice
from assistant.talking import TAP, Talking, Way
from assistant.telling import Telling
from display.view import View

RETRY = 3.0
"""Seconds between two tries to find a microphone."""
NOTICE = 3.0
"""Seconds for which a fault stands that takes nothing from the answer on the screen."""
AFTER_FAILURE = 2.0
"""Seconds after the recogniser failed in which nothing is heard: what was being said is over then."""
SELDOM = 60.0
"""Seconds in which the same notice is given once."""
OVERDRIVEN = DeviceError(
    "microphone", "the microphone is overdriven", "turn its gain down, or speak from farther away"
)


class LiveLoop:
    """Listens, answers, and begins again after every fault."""

    def __init__(
        self,
        assistant: Assistant,
        ear: Recogniser,
        view: View,
        voice: Voice,
        talking: Talking | None = None,
        keep_audio: Path | None = None,
        device: str | None = None,
        earcons: Earcons | None = None,
        new_ear: Callable[[], Recogniser] | None = None,
    ) -> None:
        """talking : way to talk, and its key; None for an open ear

        device  : part of a microphone's name, or None for the usual one
        earcons : None for none
        new_ear : makes another recogniser after one that failed; None to go on with the same
        """
        self._assistant, self._ear, self._view, self._voice = assistant, ear, view, voice
        self._talking = talking or Talking()
        self._keep_audio = keep_audio
        self._device = device
        self._earcons = earcons or Earcons(on=False)
        self._asleep = emergency_search(assistant, lambda: self._ear)
        self._telling = Telling(voice, CutIn(self._asleep.stop_words))
        self._new_ear = new_ear
        self._operator: Operator | None = None
        self._wake: WakePhrase | None = None
        self._stopped = threading.Event()
        self._in_speech = False
        """True while somebody speaks."""
        self._coming: Iterator[Utterance] | None = None
        """What is said as long as nobody calls: it goes on from one to the next and knows the noise."""
        self._last: Reply | None = None
        self._resumed = False
        """True once it was told what goes on from an earlier session."""
        self._noticed: dict[str, float] = {}
        self.heard_a_microphone = False
        self.fault: DeviceError | None = None
        """What ended the listening last; None while it goes on."""

    def key(self, name: str) -> None:
        """A key or pedal goes down, or a touch: silences the voice and opens the ear."""
        if self._talking.press(name):
            self._voice.stop()

    def key_released(self, name: str) -> None:
        """It goes up: the end of the question where it was held."""
        self._talking.release(name)

    def talk_by(self, way: str) -> None:
        """Another way to talk from now on: 'open', 'pedal' or 'wake'; ValueError for any other."""
        wanted = Way(way)
        if wanted is Way.WAKE and self._wake is None:
            self._wake = WakePhrase()
        self._talking.talk_by(wanted)

    def operator_is(self, name: str) -> Operator:
        """From the next question on it is the voice of `name`, learned before.

        Raises DeviceError where it was not. Call it on the loop's thread, or before the loop runs.
        """
        operator = load(name, operator_folder())
        self._operator = operator
        self._ear = fitted_to(operator, self._ear)
        self._coming = None
        return operator

    def stop(self) -> None:
        """End the loop."""
        self._stopped.set()
        self._voice.stop()

    def run(self) -> None:
        """Until stopped; what fails is told once, tried again, and taken back when it works."""
        self.talk_by(self._talking.way)
        while not self._stopped.is_set():
            try:
                with Microphone(self._device) as microphone:
                    self.heard_a_microphone = True
                    self._listen(microphone)
            except DeviceError as fault:
                self._view.set_ear("no microphone")
                if str(self.fault) != str(fault):
                    self._view.fault(fault.problem, fault.remedy)
                self.fault = fault
                if not self.heard_a_microphone and _nobody_there():
                    self._view.close()
                    return
                self._stopped.wait(RETRY)

    def _listen(self, microphone: Microphone) -> None:
        frames = microphone.frames()
        # Being open proves nothing: the first sound does.
        first = next(frames)
        if self.fault is not None:
            self.fault = None
            self._show_again()
        frames = chain([first], frames)
        self._coming = None
        going_on, self._resumed = (None if self._resumed else self._assistant.resumed()), True
        if going_on is not None:
            self._announce(going_on, frames, microphone)
        self._hint()
        while not self._stopped.is_set():
            try:
                utterance = self._next(frames, microphone)
                heard = None
                if utterance is not None:
                    heard = acted_on(utterance, self._assistant, self._asleep)
            except Exception as fault:
                if isinstance(fault, DeviceError) and fault.device != "recogniser":
                    raise
                # Whatever a recogniser raises: the session goes on.
                logging.getLogger(__name__).exception("the recogniser failed")
                self._replace_ear()
                # What is left of the sentence that was being said would make another question.
                self._stopped.wait(AFTER_FAILURE)
                microphone.drain()
                continue
            if utterance is not None and not self._stopped.is_set():
                self._answer(utterance, heard, frames, microphone)
            for reply in self._assistant.due():
                self._announce(reply, frames, microphone)

    def _replace_ear(self) -> None:
        """Another recogniser. Raises DeviceError where none starts."""
        self._view.fault("the recogniser failed", "say it again")
        self._coming = None
        if self._new_ear is not None:
            self._ear = fitted_to(self._operator, self._new_ear())
        self._assistant.listen_with(self._ear)

    def _next(self, frames: Iterator[Samples], microphone: Microphone) -> Utterance | None:
        """The next utterance; None where a key, the wake phrase or the time makes the ear begin anew."""
        talking = self._talking
        pressed = talking.take_press()
        if pressed is not None:
            return self._asked_by_key(pressed, frames, microphone)
        awake = talking.way is Way.OPEN or talking.was_called
        self._view.set_ear("listening" if awake else "asleep")
        called = talking.was_called
        if self._coming is None or called:
            self._coming = self._utterances(frames, microphone)
        utterance = next(self._coming, None)
        if utterance is None or called:
            self._coming = None
        if utterance is not None:
            return utterance
        if talking.was_called and not talking.called and not talking.pressed:
            talking.close()
            self._earcons.play("not understood")
            microphone.drain()
        return None

    def _utterances(self, frames: Iterator[Samples], microphone: Microphone) -> Iterator[Utterance]:
        awake = self._talking.way is Way.OPEN or self._talking.was_called
        # Nothing but an emergency is for an ear that sleeps.
        ear: Recogniser = self._ear if awake else self._asleep
        self._in_speech = False

        def acceptor() -> Acceptor:
            return self._assistant.acceptor

        stream = self._until_called(frames, microphone)
        return utterances(stream, ear, acceptor, self._state)

    def _until_called(self, frames: Iterator[Samples], microphone: Microphone) -> Iterator[Samples]:
        """Frames until a key goes down, the wake phrase is heard, or nobody speaks after a call."""
        talking, way, called = self._talking, self._talking.way, self._talking.was_called
        wake = self._wake if way is Way.WAKE and not called else None
        if wake is not None:
            wake.reset()
        for frame in frames:
            if self._stopped.is_set() or talking.pressed or talking.way is not way:
                return
            if not self._in_speech and self._assistant.anything_due:
                return
            if called and not self._in_speech and not talking.called:
                return
            yield frame
            if wake is not None and wake.feed(frame):
                self._called(microphone)
                return

    def _called(self, microphone: Microphone) -> None:
        """The ear opens for one question."""
        self._earcons.play("listening")
        microphone.drain()
        self._talking.wake()

    def _asked_by_key(
        self, pressed: float, frames: Iterator[Samples], microphone: Microphone
    ) -> Utterance | None:
        """What is said while the key is held; None where it was only tapped: the ear stays open."""
        self._earcons.play("listening")
        microphone.drain()
        self._view.set_ear("listening")
        first: list[Samples] = []
        while self._talking.down and time.monotonic() < pressed + TAP:
            first.append(next(frames))
        if not self._talking.down:
            return None
        return held_utterance(first, frames, self._ear, lambda: self._talking.down, self._state)

    def _state(self, state: str) -> None:
        """What the ear does, told by the recognition; one that sleeps goes on looking asleep."""
        self._in_speech = state == "listening"
        if state == "noise":
            return
        called = self._talking.was_called
        if called or self._talking.way is Way.OPEN:
            self._view.set_ear(state)
        if called and state == "thinking":
            self._earcons.start("heard")

    def _answer(
        self,
        utterance: Utterance,
        heard: Heard | None,
        frames: Iterator[Samples],
        microphone: Microphone,
    ) -> None:
        """One utterance, in which `heard` is acted on; no fault in answering ends the session."""
        if self._keep_audio is not None:
            keep(utterance, self._keep_audio)
        called = self._talking.was_called
        self._talking.close()
        if heard is None and clipped_share(utterance.samples) > CLIPPED_SHARE:
            self._notice(OVERDRIVEN, microphone)
        if not called and (heard is None or not self._meant(heard)):
            # In an open shop most speech is not for us: it is passed over in silence.
            return
        self._earcons.wait()
        if heard is None:
            self._earcons.play("not understood")
        told = told_of(utterance) if heard is None else heard
        reply: Reply | None = None

        def act() -> None:
            nonlocal reply
            reply = self._last = reply_to(told, self._assistant)
            self._view.set_ear("speaking")
            tell(reply, self._view, self._voice)

        fault = self._telling.tell(act, frames)
        self._telling.settle(microphone)
        if fault is not None:
            self._failed(fault, microphone)
        if reply is not None:
            self.follow(reply, microphone)

    def _announce(self, reply: Reply, frames: Iterator[Samples], microphone: Microphone) -> None:
        """Tells what nobody asked for just now: a timer, or what goes on from an earlier session."""
        self._last = reply
        self._view.set_ear("speaking")
        fault = self._telling.tell(lambda: tell(reply, self._view, self._voice), frames)
        self._telling.settle(microphone)
        self._coming = None
        if fault is not None:
            self._failed(fault, microphone)

    def _hint(self) -> None:
        """What could be said next, for a screen that nobody asks."""
        memory = self._assistant.conversation.memory
        self._view.suggest(self._assistant.hints(), f"{memory.lathe.name} · {memory.units}")

    def _meant(self, heard: Heard) -> bool:
        """True for words that count although nobody opened the ear for them."""
        return self._talking.way is Way.OPEN or self._assistant.is_emergency(heard.words)

    def follow(self, reply: Reply, microphone: Microphone) -> None:
        """What the answer changes in the ear itself."""
        if reply.turn.talk is not None:
            self.talk_by(reply.turn.talk)
        if reply.turn.operator is not None:
            try:
                self.operator_is(reply.turn.operator)
            except DeviceError as fault:
                self._notice(fault, microphone)
        self._assistant.refresh(self._ear)
        self._hint()
        asked = isinstance(reply.turn.outcome, Ask)
        if asked and self._talking.way is not Way.OPEN and not self._talking.pressed:
            # A question back is answered without a second call.
            self._called(microphone)

    def _failed(self, fault: Exception, microphone: Microphone) -> None:
        """The answer could not be made or spoken."""
        if isinstance(fault, DeviceError):
            self._notice(fault, microphone)
        elif isinstance(fault, AssistantError):
            self._view.fault(str(fault), "ask again")
        else:
            logging.getLogger(__name__).error("no answer", exc_info=fault)
            self._view.fault("that question could not be answered", "ask in other words")

    def _notice(self, fault: DeviceError, microphone: Microphone) -> None:
        """A fault that leaves the answer worth reading: shown a while and seldom, then the answer again."""
        now = time.monotonic()
        if now - self._noticed.get(fault.problem, -SELDOM) < SELDOM:
            return
        self._noticed[fault.problem] = now
        self._view.fault(fault.problem, fault.remedy)
        while time.monotonic() < now + NOTICE and not self._talking.pressed:
            self._stopped.wait(0.05)
        self._show_again()
        microphone.drain()

    def _show_again(self) -> None:
        if self._last is None:
            self._view.welcome(list(welcome_lines()))
        else:
            self._view.show(self._last.shown, self._last.answer)


def _nobody_there() -> bool:
    """True where neither a window nor a person at a terminal could ever mend the fault."""
    return not sys.stdout.isatty()
