"""The seam for Vosk: no model is told in one sentence; results are held to the grammar."""

from pathlib import Path

import pytest

from assistant.errors import DeviceError
from assistant.hearing.vosk_engine import VoskRecogniser, joined
from grammar.automaton import Acceptor

ACCEPTOR = Acceptor(({"fine": 1}, {"feed": 2}, {}), frozenset({2}))


def test_without_a_model_the_remedy_is_told(tmp_path: Path) -> None:
    with pytest.raises(DeviceError, match="no Vosk model was named: give the folder"):
        VoskRecogniser(None)
    with pytest.raises(DeviceError, match="holds no Vosk model"):
        VoskRecogniser(tmp_path)


def test_a_folder_that_only_looks_like_a_model_is_refused(tmp_path: Path) -> None:
    (tmp_path / "am").mkdir()
    with pytest.raises(DeviceError, match="does not load"):
        VoskRecogniser(tmp_path)


def test_parts_of_one_utterance_are_one_sentence() -> None:
    parts = [
        {"text": "fine", "result": [{"word": "fine", "conf": 0.9}]},
        {"text": "feed", "result": [{"word": "feed", "conf": 0.6}]},
    ]
    heard = joined(parts, ACCEPTOR)
    assert heard is not None
    assert (heard.words, heard.complete, heard.confidence) == ("fine feed", True, 0.6)


@pytest.mark.parametrize("words", ["feed fine", "fine", "[unk] feed"])
def test_what_is_no_sentence_of_the_grammar_is_not_complete(words: str) -> None:
    heard = joined([{"text": words}], ACCEPTOR)
    assert heard is not None
    assert not heard.complete


def test_no_words_are_nothing_heard() -> None:
    assert joined([{"text": ""}, {}], ACCEPTOR) is None
