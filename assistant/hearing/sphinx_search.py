"""One pocketsphinx decoder: grammars loaded side by side, one in use, and how well a reading fits."""

from __future__ import annotations

import contextlib
import math
import re
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from pocketsphinx import Decoder, get_model_path

from assistant.errors import DeviceError
from assistant.hearing.recogniser import Acceptor, Phones, Samples
from assistant.hearing.transform import Transform

BEAMS = {"beam": 1e-60, "pbeam": 1e-60, "wbeam": 1e-40}
"""With narrower ones (1e-34, 1e-24) whole sentences were lost, for no gain in speed: what costs time
is the number of the grammar's states."""
KEPT = 5
"""Grammars that stay loaded, so that changing between them costs nothing."""
UNUSUAL = 0.1
"""Probability of a step that no usual sentence takes; 1 is that of any other. At 0.01 unusual
sizes were heard as usual ones."""
UNUSUAL_COST = -6.5 * math.log(UNUSUAL)
"""The same as part of a score: the engine gives what a grammar says 6.5 times its weight (its lw)."""
LONGEST_PIECE = 1600
"""Samples handed to the engine at once: longer pieces of an utterance can crash it."""
WORD = re.compile(r"[a-z][a-z'.-]*")
"""What may stand in a grammar: anything else would be markup in the engine's grammar file."""
USUAL_MEAN = "48,1,4,9,-2,0,-1,-6,-2,1,2,1,2"
"""The cepstral mean of loud speech behind this noise reduction."""
NATS = 1024
"""The engine divides its scores by this before it makes probabilities of them."""


@dataclass(frozen=True)
class Reading:
    """The best sentence of one decoder."""

    words: str
    score: float
    """How well the whole utterance fits against the best sound of each moment: a logarithm, never above 0."""
    fit: float
    """The same for each hundredth of a second, over the words alone."""
    frames: int
    """Hundredths of a second that the words last."""


class Search:
    """One decoder with a front end of its own."""

    def __init__(self, own_reduction: bool, all_sounds: bool = True) -> None:
        """own_reduction : True for the engine's own noise reduction on top of what it is given

        all_sounds : True to score all sounds in each moment, so that scores are told against the best of
                     them; False for those in the grammar alone (a quarter of the time)
        """
        self._own_reduction, self._all_sounds = own_reduction, all_sounds
        self._transform: Transform | None = None
        self._decoder = self._searching()
        self._loaded: list[tuple[Acceptor, str]] = []
        # The engine crashes where it is asked for the search in use and there is none.
        self._in_use = ""
        self._words: set[str] = set()
        self._given: dict[str, Sequence[str]] = {}
        self._count = 0

    def adapt(self, transform: Transform | None) -> None:
        """Another decoder (0.3 s) whose model is changed by `transform`, or not at all; between utterances only.

        The grammar in use stays so; the cepstral mean is the engine's own, as in a new Search.
        """
        if transform is self._transform:
            return
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "transform"
            if transform is not None:
                file.write_text(transform.text(), encoding="ascii")
            mllr = {} if transform is None else {"mllr": str(file)}
            self._decoder = self._searching(**mllr)
        self._transform = transform
        # The others are loaded again when they are wanted.
        self._loaded = [each for each in self._loaded if each[1] == self._in_use]
        add_words(self._decoder, self._words, self._given)
        for acceptor, name in self._loaded:
            self._add(name, acceptor)
            self._decoder.activate_search(name)

    def use(self, acceptor: Acceptor, pronunciations: Phones) -> None:
        """Decode sentences of `acceptor` from now on. Raises DeviceError for words without pronunciation."""
        known = next((name for each, name in self._loaded if each is acceptor), None)
        if known is None:
            known = self._load(acceptor, pronunciations)
        self._decoder.activate_search(known)
        self._in_use = known

    def know(self, words: Iterable[str], given: Phones) -> None:
        """Take in `words`, as add_words does: what `best_of` may be asked about without a grammar."""
        wanted = set(words)
        add_words(self._decoder, wanted, given)
        self._words |= wanted
        self._given |= given

    def start(self) -> None:
        """Begin an utterance."""
        self._decoder.start_utt()

    def feed(self, samples: Samples) -> None:
        """The next piece of it, of any length."""
        for start in range(0, samples.size, LONGEST_PIECE):
            self._decoder.process_raw(samples[start : start + LONGEST_PIECE].tobytes())

    def whole(self, samples: Samples, means: tuple[str, str] | None = None) -> Reading | None:
        """A whole utterance at once.

        means : cepstral mean for it and the one to go on with; None for its own, from beginning to end
        """
        if means is None:
            self._decoder.start_utt()
            self._decoder.process_raw(samples.tobytes(), full_utt=True)
            return self.end()
        self.set_mean(means[0])
        self.start()
        self.feed(samples)
        found = self.end()
        self.set_mean(means[1])
        return found

    def partial(self) -> str:
        """The words so far."""
        hypothesis = self._decoder.hyp()
        return hypothesis.hypstr if hypothesis else ""

    def end(self) -> Reading | None:
        """End the utterance."""
        self._decoder.end_utt()
        return self.so_far()

    def so_far(self) -> Reading | None:
        """The best sentence, or beginning of one, until now."""
        best = self._decoder.hyp()
        if best is None or not best.hypstr:
            return None
        parts = [
            (each.word, each.end_frame - each.start_frame + 1, NATS * math.log(each.ascore))
            for each in self._decoder.seg()
            if each.ascore > 0
        ]
        said = [(frames, score) for word, frames, score in parts if word[0].isalpha()]
        frames = max(1, sum(count for count, _ in said))
        whole = sum(score for _, _, score in parts)
        return Reading(best.hypstr, whole, sum(score for _, score in said) / frames, frames)

    def best_of(
        self, sentences: Acceptor, samples: Samples, means: tuple[str, str] | None
    ) -> Reading | None:
        """The best of a few sentences in an utterance; the grammar in use, if any, stays in use.

        sentences : known words only
        means     : cepstral mean for the utterance and the one to go on with; None for its own
        """
        self._add("few", sentences)
        self._decoder.activate_search("few")
        found = self.whole(samples, means)
        if self._in_use:
            self._decoder.activate_search(self._in_use)
        return found

    def mean(self) -> str:
        """The cepstral mean that the next utterance in pieces begins with; it is kept over utterances."""
        return str(self._decoder.get_cmn())

    def set_mean(self, mean: str) -> None:
        """Begin the next utterance in pieces with this cepstral mean."""
        self._decoder.set_cmn(mean)

    def _searching(self, **more: object) -> Decoder:
        return new_decoder(self._own_reduction, compallsen=self._all_sounds, **BEAMS, **more)

    def _load(self, acceptor: Acceptor, pronunciations: Phones) -> str:
        self.know(acceptor.words(), pronunciations)
        self._count += 1
        name = f"grammar {self._count}"
        self._add(name, acceptor)
        if len(self._loaded) >= KEPT:
            # Only once the new one is in use: the engine must not lose the one that it has.
            self._decoder.activate_search(name)
            self._decoder.remove_search(self._loaded.pop(0)[1])
        self._loaded.append((acceptor, name))
        return name

    def _add(self, name: str, acceptor: Acceptor) -> None:
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "grammar.fsg"
            file.write_text(fsg(acceptor), encoding="ascii")
            self._decoder.add_fsg(name, self._decoder.read_fsg(str(file)))


def add_words(decoder: Decoder, words: Iterable[str], given: Phones) -> None:
    """`words` with the pronunciations `given` beside those of the dictionary.

    Raises DeviceError for words without pronunciation.
    """
    missing = []
    for word in sorted(words):
        if not WORD.fullmatch(word):
            missing.append(word)
        elif word in given:
            for phones in given[word]:
                _add_form(decoder, word, phones)
        elif decoder.lookup_word(word) is None:
            missing.append(word)
    if missing:
        raise DeviceError(
            "recogniser",
            f"no pronunciation for {', '.join(missing)}",
            "add one for each to the grammar's pronunciations",
        )


def _add_form(decoder: Decoder, word: str, phones: str) -> None:
    """One more pronunciation of `word`, beside those that the dictionary has."""
    number, name = 1, word
    while (known := decoder.lookup_word(name)) is not None:
        if known == phones:
            return
        number += 1
        name = f"{word}({number})"
    decoder.add_word(name, phones, update=False)


def fsg(acceptor: Acceptor) -> str:
    """`acceptor` as a finite-state grammar in the engine's file format.

    The format knows a single final state, so each final state has an empty step to one of its own.
    """
    arcs = sorted(acceptor.arcs())
    last = 1 + max([acceptor.start, *acceptor.finals, *(max(a, b) for a, _, b in arcs)])
    lines = [
        f"TRANSITION {state} {after} {UNUSUAL if (state, word) in acceptor.unusual else 1.0} {word}"
        for state, word, after in arcs
    ]
    lines += [
        f"TRANSITION {state} {last} {UNUSUAL if state in acceptor.unusual_ends else 1.0}"
        for state in sorted(acceptor.finals)
    ]
    head = ["FSG_BEGIN grammar", f"NUM_STATES {last + 1}"]
    head += [f"START_STATE {acceptor.start}", f"FINAL_STATE {last}"]
    return "\n".join([*head, *lines, "FSG_END", ""])


def new_decoder(own_reduction: bool, **more: object) -> Decoder:
    """A decoder of the bundled model without any grammar (0.2 s).

    own_reduction : True for the engine's own noise reduction
    more          : further settings of the engine, by its names
    """
    # The engine's closing search over its word lattice is wrong on grammars: after it a single
    # word with silence may stand for a whole sentence. Without it the sentence of the search counts.
    with _front_end(own_reduction) as settings:
        return Decoder(
            hmm=get_model_path("en-us/en-us"),
            dict=get_model_path("en-us/cmudict-en-us.dict"),
            loglevel="FATAL",
            lm=None,
            bestpath=False,
            **({"featparams": settings} if settings else {}),
            **more,
        )


@contextlib.contextmanager
def _front_end(own_reduction: bool) -> Iterator[str | None]:
    """The model's front end settings as a file: the engine lets its model's file win over arguments."""
    if own_reduction:
        yield None
        return
    text = Path(get_model_path("en-us/en-us"), "feat.params").read_text(encoding="ascii")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "feat.params"
        file.write_text(text.replace("-remove_noise yes", "-remove_noise no"), encoding="ascii")
        yield str(file)
