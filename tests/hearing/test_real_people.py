"""Real people, from Debian's pocketsphinx-testdata: five spoken card hands, three read sentences."""

from collections.abc import Callable
from itertools import product
from pathlib import Path

import pytest

from assistant.app import Assistant
from assistant.hearing.look_alikes import Sentences
from assistant.hearing.neural.engine import NeuralRecogniser
from assistant.hearing.neural.model import shared_model
from assistant.hearing.recogniser import Recogniser
from assistant.hearing.sphinx import SphinxRecogniser
from assistant.hearing.wav import read_wav
from assistant.recognition import verdict
from grammar.automaton import Acceptor, Builder, Nodes

DATA = Path("/usr/share/pocketsphinx/test/data")
RANKS = "ace two three four five six seven eight nine ten jack queen king lady".split()
SUITS = "clubs hearts diamonds spades".split()
CARDS = (
    "ten of clubs",
    "four queen of clubs",
    "seven of clubs",
    "five five",
    "eight of spades four of clubs seven of hearts",
)
"""What is said in cards/001.wav to 005.wav, by the package's own transcription."""
READ = ("0870", "0880", "0930")
"""Sentences of a novel, read aloud: nothing for the lathe."""


def new_neural() -> Recogniser:
    return NeuralRecogniser(shared_model)


@pytest.fixture(scope="module", params=[SphinxRecogniser, new_neural])
def ear(request: pytest.FixtureRequest) -> Recogniser:
    made: Callable[[], Recogniser] = request.param
    return made()


def card_grammar() -> Acceptor:
    """One to three cards, with ranks that stand for cards of the next one's suit."""
    card = [[(rank, True), ("of", True), (suit, True)] for rank, suit in product(RANKS, SUITS)]
    rules = {
        "card": card,
        "rank": [[(rank, True)] for rank in RANKS],
        "hand": [
            [("card", False)],
            [("card", False)] * 2,
            [("card", False)] * 3,
            [("rank", False), ("card", False)],
            [("rank", False)] * 2,
        ],
    }
    nodes = Nodes()
    return Acceptor.from_node(nodes, Builder(rules, nodes).rule("hand"))


@pytest.mark.parametrize(("number", "words"), list(enumerate(CARDS, start=1)))
def test_a_hand_of_cards(number: int, words: str, ear: Recogniser) -> None:
    ear.use(card_grammar(), {})
    heard = ear.hear(read_wav(DATA / f"cards/00{number}.wav"))
    assert heard is not None
    assert words in (heard.words, *heard.alternatives[:1])
    assert heard.words == words or heard.close


def test_read_sentences_are_no_questions(ear: Recogniser) -> None:
    assistant = Assistant("heron", "inch")
    assistant.listen_with(ear)
    for number in READ:
        name = f"librivox/sense_and_sensibility_01_austen_64kb-{number}.wav"
        assert not verdict(ear.hear(read_wav(DATA / name)), assistant).choices


def test_one_of_two_sentences_is_told_from_the_other(ear: Recogniser) -> None:
    ear.use(Sentences.of(["ten of clubs", "seven of hearts"]), {})
    heard = ear.hear(read_wav(DATA / "cards/001.wav"))
    assert heard is not None
    assert heard.words == "ten of clubs"
