"""A random walk through conversations: nothing fails, no sequence is lost, no lever is told too early.

The model is an operator who does what he is told: the spindle turns from the moment a step tells him to
cut or to touch off, until he stops it and says so.
"""

from __future__ import annotations

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from assistant.answer import Answer
from assistant.app import Assistant, Reply
from assistant.core.levers import WhenToShift

STANDING = {WhenToShift.STOPPED, WhenToShift.BY_HAND}
TURNING = {
    "cycle-touch", "cycle-pass", "cycle-spring", "cycle-finish",
    "cut", "cut-corrected", "cut-touch", "part-touch", "part-stop", "drill-touch", "drill-stop",
}  # fmt: skip
AT_REST = {"cycle-gears", "cycle-compound", "cycle-tool", "cycle-taper", "cut-compound"}
STARTS = (
    "start thread half inch thirteen",
    "start thread metric twelve",
    "start internal thread metric twelve straight in",
    "start thread metric twenty lead five pitch two point five",
    "start thread metric twelve left hand",
    "start turning fifty two point four to fifty h seven, eighty long, mild steel",
    "start boring twenty nine to thirty h seven in brass",
    "start parting forty millimetres in brass",
    "start drilling ten millimetres to forty deep in brass",
    "lead me through changing the spindle speed",
    "lead me through facing",
)
QUESTIONS = (
    "speed for mild steel two inches",
    "feed ten thou",
    "thirteen threads per inch",
    "metric twelve by one point five",
    "seven sixteenths in millimetres",
    "what do you know",
    "tell me more",
    "repeat that",
    "and in aluminium",
    "what can I say",
    "tap drill for metric ten",
    "note chatter",
    "louder",
    "answer in millimetres",
)
WORDS = (
    "next step", "next pass", "next please", "skip this step", "lighter passes", "heavier passes",
    "a bit deeper", "where am i", "how many are left", "why", "this step again", "levers done",
    "go to the passes", "go to measuring", "go to the levers", "go to step three", "i'm at twenty",
    "i'm at once round and five", "compound reads twenty at zero", "over wires i read point five two",
    "over wires i read point five one two", "i measure fifty point four eight", "i measure fifty",
    "i measure thirty point oh one", "key is out", "machine isolated", "done",
)  # fmt: skip


class Conversations(RuleBasedStateMachine):
    """One operator at one lathe."""

    @initialize(lathe=st.sampled_from(("heron", "badger", "juniper")))
    def at(self, lathe: str) -> None:
        self.assistant = Assistant(lathe)
        # Nobody has said that the spindle stands still.
        self.at_rest = False
        self.doing: str | None = None
        self.said = ""

    def say(self, words: str) -> Reply:
        self.said = words
        reply = self.assistant.reply(words)
        assert reply.shown.spoken, words
        assert reply.shown.headline, words
        self.follow(reply.answer)
        return reply

    def follow(self, answer: Answer | None) -> None:
        """The operator sees the answer and does it; what needs a standstill must not come before one."""
        if answer is None or answer.place is None:
            return
        for move in answer.moves:
            assert self.at_rest or move.when not in STANDING, (self.said, answer.kind, move)
        assert self.at_rest or answer.kind not in AT_REST, (self.said, answer.kind)
        if answer.kind in TURNING:
            self.at_rest = False
        if answer.kind == "procedure-step":
            self.at_rest = False

    @property
    def going_on(self) -> str | None:
        sequence = self.assistant.conversation.memory.sequence
        return sequence.title if sequence is not None else None

    @rule(words=st.sampled_from(STARTS))
    def start(self, words: str) -> None:
        self.say(words)
        self.doing = self.going_on

    @rule(words=st.sampled_from(QUESTIONS))
    def question(self, words: str) -> None:
        before = self.going_on
        self.say(words)
        assert self.going_on == before, words

    @precondition(lambda self: self.doing is not None)
    @rule(words=st.sampled_from(WORDS))
    def word(self, words: str) -> None:
        self.say(words)
        self.doing = self.going_on

    @precondition(lambda self: self.doing is not None)
    @rule(steps=st.integers(1, 12))
    def some_steps(self, steps: int) -> None:
        for _ in range(steps):
            if self.going_on is not None:
                self.say("next step")
        self.doing = self.going_on

    @precondition(lambda self: self.doing is not None)
    @rule(
        words=st.sampled_from(
            ("feed ten thou", "nine threads per inch", "feed point two millimetres")
        )
    )
    def cut_then_ask_for_another_setting(self, words: str) -> None:
        for said in ("levers done", "go to the passes", words, "next pass", "next pass"):
            if self.going_on is not None:
                self.say(said)
        self.doing = self.going_on

    @precondition(lambda self: self.doing is not None)
    @rule()
    def back_to_the_levers(self) -> None:
        for said in ("go to the passes", "go to the levers"):
            self.say(said)

    @rule()
    def stop_the_spindle_and_say_so(self) -> None:
        self.at_rest = True
        self.say("spindle stopped")

    @rule()
    def back(self) -> None:
        before = self.going_on
        reply = self.say("back")
        assert reply.shown.status == ("answered" if before else "refused")
        assert self.going_on == before

    @rule()
    def cancel(self) -> None:
        before = self.going_on
        assert self.say("cancel").shown.status == "answered"
        assert self.going_on == before

    @rule()
    def emergency(self) -> None:
        before = self.going_on
        assert self.say("emergency stop").shown.status == "alarm"
        assert self.going_on == before

    @invariant()
    def what_is_listened_for_fits(self) -> None:
        if hasattr(self, "assistant"):
            state = self.assistant.listening_state
            assert state == ("sequence" if self.going_on else "idle")


TestConversations = Conversations.TestCase
TestConversations.settings = settings(
    max_examples=40, stateful_step_count=25, deadline=None, derandomize=True
)
