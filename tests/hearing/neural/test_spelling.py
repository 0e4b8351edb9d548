"""The sentences of the grammar in the model's own pieces."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.app import Assistant
from assistant.hearing.neural.model import model_folder
from assistant.hearing.neural.pieces import Pieces
from assistant.hearing.neural.spelled import Spelled
from assistant.hearing.neural.written_forms import written_forms
from grammar.automaton import Acceptor
from grammar.spelling import whole_words


@pytest.fixture(scope="module")
def pieces() -> Pieces:
    folder = model_folder()
    assert folder is not None
    return Pieces((folder / "tokenizer.bin").read_bytes())


@pytest.fixture(scope="module")
def acceptor() -> Acceptor:
    return Assistant("heron", "inch").grammar.acceptor()


def test_every_word_that_can_be_said_can_be_spelled(pieces: Pieces, acceptor: Acceptor) -> None:
    for word in acceptor.words():
        for form in written_forms().of((word,)):
            assert pieces.text(pieces.of(form)) == form


BYTES = 3 + 256
"""The first pieces of the vocabulary: its own marks, then every byte."""


@pytest.mark.parametrize("letter", list("0123456789.,-/?ABC"))
def test_letters_and_figures_are_the_pieces_that_the_model_writes(
    pieces: Pieces, letter: str
) -> None:
    """Each stands in the vocabulary twice: bare bytes are for what has no piece."""
    assert [each for each in pieces.of(letter) if each >= BYTES]


def test_a_vocabulary_that_breaks_off_is_refused() -> None:
    with pytest.raises(ValueError, match="breaks off"):
        Pieces(b"\x05abc")


@given(st.integers(1, 999))
def test_a_number_said_whole_may_be_written_in_figures(number: int) -> None:
    """As the model writes it: ' 42', and '42' after a point."""
    said = tuple(whole_words(number).split())
    assert {f" {number}", str(number)} <= set(written_forms().of(said))


@given(
    st.lists(
        st.sampled_from("one two twenty thirty hundred and point oh feed".split()),
        min_size=2,
        max_size=5,
    )
)
def test_figures_stand_for_one_number_only(said: list[str]) -> None:
    """What is written together is read as the number whose words they are, or not written together."""
    for form in written_forms().of(said):
        words = whole_words(int(form))
        assert words.replace(" and ", " ") == " ".join(said).replace(" and ", " ")


def _walk(spelled: Spelled, acceptor: Acceptor, words: tuple[str, ...]) -> bool:
    """True where pieces lead through `words` to a final state."""
    waiting = [(acceptor.start, 0)]
    while waiting:
        state, count = waiting.pop()
        if count == len(words):
            return state in acceptor.finals
        places = [spelled.after(state)]
        while places:
            place = places.pop()
            places += [
                each
                for each in place.next.values()
                if any(words[count : count + len(said)] == said for said in each.within)
            ]
            waiting += [
                (each.after, count + len(each.said))
                for each in place.whole
                if words[count : count + len(each.said)] == each.said
            ]
    return False


def test_every_sentence_can_be_spelled(pieces: Pieces, acceptor: Acceptor) -> None:
    spelled = Spelled(acceptor, pieces)
    chance = random.Random(3)
    for _ in range(40):
        words = acceptor.sample(chance)
        assert _walk(spelled, acceptor, words), words
