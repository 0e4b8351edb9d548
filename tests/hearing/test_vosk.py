"""The seam for Vosk: no model is told in one sentence; its phrases and results are held to the grammar."""

from itertools import pairwise
from pathlib import Path

import pytest

from assistant.app import Assistant
from assistant.errors import DeviceError
from assistant.hearing.vosk_engine import VoskRecogniser, joined, model_folder
from assistant.hearing.vosk_phrases import as_said, covering_sentences, respelt
from grammar.automaton import Acceptor

ACCEPTOR = Acceptor(({"fine": 1}, {"feed": 2}, {}), frozenset({2}))


def test_without_a_model_the_remedy_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("VOSK_MODEL_PATH", str(tmp_path / "nothing"))
    monkeypatch.setenv("HOME", str(tmp_path))
    with pytest.raises(DeviceError, match="no Vosk model was named: give"):
        VoskRecogniser(None)
    with pytest.raises(DeviceError, match="holds no Vosk model"):
        VoskRecogniser(tmp_path)


def test_an_english_model_where_vosk_keeps_them_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("vosk-model-small-ko-0.1", "vosk-model-small-en-us-0.1"):
        (tmp_path / name / "am").mkdir(parents=True)
    monkeypatch.setenv("VOSK_MODEL_PATH", str(tmp_path))
    assert model_folder(None).name == "vosk-model-small-en-us-0.1"


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


def test_the_phrases_are_sentences_and_hold_every_pair_of_words() -> None:
    acceptor = Assistant("heron").grammar.acceptor(["convert", "stop"])
    phrases = [each.split() for each in covering_sentences(acceptor)]
    assert all(acceptor.accepts(words) for words in phrases)
    after: dict[int, list[tuple[str, int]]] = {}
    for state, word, following in acceptor.arcs():
        after.setdefault(state, []).append((word, following))
    pairs = {
        (word, second)
        for steps in after.values()
        for word, following in steps
        for second, _ in after.get(following, ())
    }
    held = {pair for words in phrases for pair in pairwise(words)}
    assert len(pairs) > 100
    assert pairs <= held


def test_a_word_that_the_model_lacks_is_spelt_with_words_that_sound_the_same() -> None:
    given = {"tailstock": ["T EY L S T AA K"], "tpi": ["T IY P IY AY"]}
    known = {"tail", "stock", "t", "p", "i"}
    found = respelt(
        ["tailstock", "tpi", "swarf"],
        given,
        lambda words: [word for word in words if word not in known],
    )
    assert found == {"tailstock": "tail stock", "tpi": "t p i"}
    assert as_said("move the tail stock", found) == "move the tailstock"


def test_results_are_read_with_the_other_spelling_taken_back() -> None:
    acceptor = Acceptor(({"tailstock": 1}, {}), frozenset({1}))
    heard = joined([{"text": "tail stock"}], acceptor, {"tailstock": "tail stock"})
    assert heard is not None
    assert (heard.words, heard.complete) == ("tailstock", True)
