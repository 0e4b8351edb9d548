"""Conversations through the ear: every sentence is a sound, recognised in the state that the talk is in."""

from pathlib import Path
from typing import Any

import pytest

from assistant.app import Assistant
from assistant.hearing.sphinx import SphinxRecogniser
from assistant.hearing.wav import read_wav
from assistant.query import NotUnderstood, Query
from assistant.recognition import reply_to, verdict
from grammar.written import words_of
from tests.spoken_sentences import aloud, file_of
from tests.test_conversations import check_turn

SPOKEN = Path(__file__).parent.parent / "spoken"


@pytest.fixture(scope="module")
def ear() -> SphinxRecogniser:
    return SphinxRecogniser()


def read(assistant: Assistant, words: str) -> Query | NotUnderstood:
    return assistant.grammar.read(words, assistant.conversation.memory.units)


@pytest.mark.parametrize("conversation", [pytest.param(each, id=each["about"]) for each in aloud()])
def test_a_conversation_aloud(conversation: dict[str, Any], ear: SphinxRecogniser) -> None:
    assistant = Assistant(conversation.get("lathe"), conversation.get("units"))
    assistant.listen_with(ear)
    for turn in conversation["turns"]:
        heard = ear.hear(read_wav(SPOKEN / file_of(words_of(turn["say"]))))
        reply = reply_to(heard, assistant)
        if verdict(heard, assistant).ask:
            # Two readings are close: the operator says which. The right one must be among them.
            choices = verdict(heard, assistant).choices
            meant = read(assistant, words_of(turn["say"]))
            [place] = [n for n, words in enumerate(choices) if read(assistant, words) == meant]
            reply = assistant.reply(("the first", "the second")[place])
        check_turn(turn, reply, assistant.listening_state)
        assistant.refresh(ear)
