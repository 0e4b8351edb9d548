"""pocketsphinx with its bundled English model as a Recogniser."""

from __future__ import annotations

import math
import re
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from pathlib import Path
from typing import Any

from pocketsphinx import Decoder, get_model_path

from assistant.errors import DeviceError
from assistant.hearing.end_of_speech import spoken_part
from assistant.hearing.recogniser import Acceptor, Heard, Samples

BEAMS = {"beam": 1e-34, "pbeam": 1e-34, "wbeam": 1e-24}
"""Narrower than the engine's own, and so faster; with still narrower ones whole sentences were lost."""
NATS = 1024
"""The engine divides its scores by this."""
THRESHOLD = -0.2
SCALE = 0.1
NBEST = 30
WORD = re.compile(r"[a-z][a-z'.-]*")
"""What may stand in a grammar: anything else would be markup in the engine's grammar file."""


class SphinxRecogniser:
    """Recogniser for one grammar at a time, with a check against any speech at all."""

    def __init__(self, threshold: float = THRESHOLD) -> None:
        """Load the model (0.2 s).

        threshold : how much worse per frame (natural logarithm) a sentence of the grammar may fit
                    than free phones, before confidence falls below 0.5
        """
        self._threshold = threshold
        # The engine's closing search over its word lattice is wrong on grammars: after it a single
        # word with silence may stand for a whole sentence. Without it the sentence of the search counts.
        self._grammar = _decoder(lm=None, bestpath=False, **BEAMS)
        self._phones = _decoder(
            lm=None, allphone=get_model_path("en-us/en-us-phone.lm.bin"), **BEAMS
        )
        self._acceptor: Acceptor | None = None
        self._listening = False

    def use(self, acceptor: Acceptor, pronunciations: Mapping[str, Sequence[str]]) -> None:
        """Listen for the sentences of `acceptor` from the next utterance on; see Recogniser."""
        if self._listening:
            raise RuntimeError("a grammar cannot change in the middle of an utterance")
        self._add_words(acceptor.words(), pronunciations)
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "grammar.fsg"
            file.write_text(fsg(acceptor), encoding="ascii")
            self._grammar.add_fsg("grammar", self._grammar.read_fsg(str(file)))
        self._grammar.activate_search("grammar")
        self._acceptor = acceptor

    def hear(self, samples: Samples) -> Heard | None:
        """The words of a whole sound, or None; see Recogniser."""
        spoken = spoken_part(samples)
        if spoken is None:
            return None
        self._begin()
        for decoder in (self._grammar, self._phones):
            decoder.process_raw(spoken.tobytes(), full_utt=True)
        return self._finish()

    def start(self) -> None:
        """Begin an utterance that arrives in pieces."""
        self._begin()

    def feed(self, samples: Samples) -> None:
        """The next piece of the utterance."""
        for decoder in (self._grammar, self._phones):
            decoder.process_raw(samples.tobytes())

    def partial(self) -> str:
        """The words so far."""
        hypothesis = self._grammar.hyp()
        return hypothesis.hypstr if hypothesis else ""

    def end(self) -> Heard | None:
        """End the utterance: its words, or None."""
        return self._finish()

    def _begin(self) -> None:
        if self._acceptor is None:
            raise RuntimeError("no grammar: call use() first")
        for decoder in (self._grammar, self._phones):
            decoder.start_utt()
        self._listening = True

    def _finish(self) -> Heard | None:
        for decoder in (self._grammar, self._phones):
            decoder.end_utt()
        self._listening = False
        assert self._acceptor is not None
        best = self._grammar.hyp()
        if best is None or not best.hypstr:
            return None
        confidence = self._confidence(best)
        whole = list(self._whole_sentences(best))
        if not whole:
            return Heard(best.hypstr, confidence, complete=False)
        return Heard(whole[0], confidence, complete=True, alternatives=tuple(whole[1:]))

    def _confidence(self, best: Any) -> float:
        free = self._phones.hyp()
        frames = self._grammar.n_frames()
        if free is None or free.score <= 0 or best.score <= 0 or frames == 0:
            return 0.0
        worse = NATS * (math.log(free.score) - math.log(best.score)) / frames
        return 1 / (1 + math.exp(min((worse - self._threshold) / SCALE, 500)))

    def _whole_sentences(self, best: Any) -> Iterable[str]:
        """The sentences of the grammar among the readings, best first, each once.

        The engine's best reading may break off inside a sentence ('half inch thirteen and'), where
        the next one is whole.
        """
        assert self._acceptor is not None
        seen: set[str] = set()
        for words in [
            best.hypstr,
            *(other.hypstr for other in islice(self._grammar.nbest(), NBEST)),
        ]:
            if words not in seen and self._acceptor.accepts(words.split()):
                seen.add(words)
                yield words

    def _add_words(self, words: Iterable[str], given: Mapping[str, Sequence[str]]) -> None:
        missing = []
        for word in sorted(words):
            if not WORD.fullmatch(word):
                missing.append(word)
            elif word in given:
                for phones in given[word]:
                    self._add_form(word, phones)
            elif self._grammar.lookup_word(word) is None:
                missing.append(word)
        if missing:
            raise DeviceError(
                "recogniser",
                f"no pronunciation for {', '.join(missing)}",
                "add one for each to the grammar's pronunciations",
            )

    def _add_form(self, word: str, phones: str) -> None:
        """One more pronunciation of `word`, beside those that the dictionary has."""
        number, name = 1, word
        while (known := self._grammar.lookup_word(name)) is not None:
            if known == phones:
                return
            number += 1
            name = f"{word}({number})"
        self._grammar.add_word(name, phones, update=False)


def fsg(acceptor: Acceptor) -> str:
    """`acceptor` as a finite-state grammar in the engine's file format.

    The format knows a single final state, so each final state has an empty step to one of its own.
    """
    arcs = sorted(acceptor.arcs())
    last = 1 + max([acceptor.start, *acceptor.finals, *(max(a, b) for a, _, b in arcs)])
    lines = [f"TRANSITION {state} {after} 1.0 {word}" for state, word, after in arcs]
    lines += [f"TRANSITION {state} {last} 1.0" for state in sorted(acceptor.finals)]
    head = ["FSG_BEGIN grammar", f"NUM_STATES {last + 1}"]
    head += [f"START_STATE {acceptor.start}", f"FINAL_STATE {last}"]
    return "\n".join([*head, *lines, "FSG_END", ""])


def _decoder(**settings: Any) -> Any:
    return Decoder(
        hmm=get_model_path("en-us/en-us"),
        dict=get_model_path("en-us/cmudict-en-us.dict"),
        compallsen=True,
        loglevel="FATAL",
        **settings,
    )
