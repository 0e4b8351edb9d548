"""What many tests need and is slow to make: once in each process that runs tests."""

from functools import cache
from typing import Any

from pocketsphinx import Decoder, get_model_path

from grammar.understanding import Grammar
from grammar.words import named_words

LATHES = [("heron", "heron"), ("badger", "badger"), ("juniper", "juniper")]


@cache
def whole_grammar() -> Grammar:
    """The grammar with the names of the lathes that come with Swarfside, without the words of any."""
    return Grammar(named_words(LATHES))


def decoder() -> Any:
    """A decoder with the dictionary of the recogniser, which alone says what can be heard."""
    # Without the language model: it takes seconds to load, and no grammar needs it.
    return Decoder(
        hmm=get_model_path("en-us/en-us"),
        dict=get_model_path("en-us/cmudict-en-us.dict"),
        lm=None,
        loglevel="FATAL",
    )
