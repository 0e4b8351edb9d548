"""The shipped questions through Vosk with an English model; collected only where one is installed."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.app import Assistant
from assistant.demo import sounds
from assistant.hearing.vosk_engine import VoskRecogniser
from assistant.hearing.wav import read_wav
from assistant.query import NotUnderstood
from assistant.recognition import reply_to
from tests.hearing.test_recognition import TALK, shipped


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant("heron")


@pytest.fixture(scope="module")
def ear(assistant: Assistant) -> Iterator[VoskRecogniser]:
    made = VoskRecogniser(None)
    assistant.listen_with(made)
    yield made
    made.close()


@pytest.mark.parametrize("name", sounds())
def test_a_shipped_question_is_heard_with_the_right_meaning(
    name: str, assistant: Assistant, ear: VoskRecogniser
) -> None:
    heard = ear.hear(shipped(name))
    assert heard is not None
    wanted = assistant.grammar.read(name.removesuffix(".wav").replace("_", " "), "inch")
    assert heard.complete
    assert assistant.grammar.read(heard.words, "inch") == wanted


@pytest.mark.parametrize("file", sorted(TALK.glob("*.wav")), ids=lambda file: file.stem)
def test_other_talk_is_no_question(file: Path, assistant: Assistant, ear: VoskRecogniser) -> None:
    assert isinstance(reply_to(ear.hear(read_wav(file)), assistant).query, NotUnderstood)
