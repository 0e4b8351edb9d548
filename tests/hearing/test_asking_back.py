"""What is done with what was heard: act, ask which was meant, say that it is too loud, or let be."""

from importlib.resources import as_file, files
from itertools import cycle

import numpy as np
import pytest

from assistant.answer import Ask
from assistant.app import Assistant
from assistant.hearing.end_of_speech import FRAME
from assistant.hearing.listening import Utterance, utterances
from assistant.hearing.recogniser import SAMPLE_RATE, Heard, Samples
from assistant.hearing.sphinx import SphinxRecogniser
from assistant.hearing.wav import read_wav
from assistant.live_loop import LiveLoop
from assistant.query import NotUnderstood, Query
from assistant.recognition import reply_to, told_of, verdict
from assistant.speaking.silent import SilentVoice
from assistant.talking import Talking, Way
from grammar.understanding import pronunciations
from tests.live.conftest import Watching


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant("heron")


@pytest.fixture(scope="module")
def ear(assistant: Assistant) -> SphinxRecogniser:
    made = SphinxRecogniser()
    assistant.listen_with(made)
    return made


def noisy(name: str, ratio: float) -> Samples:
    """A shipped question in pink noise that is `ratio` dB weaker, with room before and after."""
    with as_file(files("assistant.demo_sounds").joinpath(name)) as path:
        said = read_wav(path).astype(float)
    whole = np.concatenate([np.zeros(SAMPLE_RATE), said, np.zeros(round(1.5 * SAMPLE_RATE))])
    spectrum = np.fft.rfft(np.random.default_rng(9).normal(size=whole.size))
    spectrum /= np.sqrt(np.maximum(np.fft.rfftfreq(whole.size), 1 / 800))
    bed = np.fft.irfft(spectrum, whole.size)
    loud = said[np.abs(said) > 0.05 * np.abs(said).max()]
    return (whole + bed * (loud.std() / bed.std() / 10 ** (ratio / 20))).astype(np.int16)


def frames(sound: Samples) -> list[Samples]:
    return [sound[at : at + FRAME] for at in range(0, sound.size - FRAME + 1, FRAME)]


CLOSE = Heard("half inch thirteen", 0.9, True, ("half inch thirty",), close=True)


def test_two_close_readings_are_asked_back(assistant: Assistant) -> None:
    assert verdict(CLOSE, assistant).ask
    assert verdict(CLOSE, assistant).choices == ("half inch thirteen", "half inch thirty")
    assert isinstance(reply_to(CLOSE, assistant).turn.outcome, Ask)


def test_two_wordings_of_one_meaning_are_not_asked_back(assistant: Assistant) -> None:
    words = ("feed for facing grey iron", "feed for facing gray iron")
    same = Heard(words[0], 0.9, True, words[1:], close=True)
    assert not verdict(same, assistant).ask
    assert verdict(same, assistant).choices == words[:1]


def test_a_reading_that_is_not_close_waits_for_a_no(assistant: Assistant) -> None:
    heard = Heard("half inch thirteen", 0.9, True, ("half inch thirty",))
    assert not verdict(heard, assistant).ask
    assert reply_to(heard, assistant).shown.headline == "13 per inch"


@pytest.mark.parametrize(
    "heard",
    [
        None,
        Heard("half inch", 0.9, False, ratio=40),
        Heard("half inch thirteen", 0.3, True, ("half inch thirty",), close=True, ratio=40),
    ],
)
def test_what_is_not_sure_is_neither_answered_nor_asked(
    heard: Heard | None, assistant: Assistant
) -> None:
    assert verdict(heard, assistant).choices == ()
    assert isinstance(reply_to(heard, assistant).query, NotUnderstood)


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("metric forty one by two", True),
        ("tap drill for half inch fifteen", True),
        ("feed point oh oh oh five", True),
        ("metric forty by two", False),
        ("speed for stainless one and three quarter inch", False),
        # A figure as it is on the instrument: all are as likely.
        ("measured thirty point five two want thirty h seven", False),
        ("convert thirty point five seven millimetres to inches", False),
    ],
)
def test_what_hardly_anybody_asks_for_is_read_back_first(
    words: str, asked: bool, assistant: Assistant
) -> None:
    what = verdict(Heard(words, 0.95, True, ("half inch thirteen",)), assistant)
    assert what.choices == (words,)
    assert what.ask is asked


def test_said_again_it_is_read_back_no_more() -> None:
    assistant = Assistant("badger")
    odd = Heard("metric forty one by two", 0.95, True, ("metric forty by two",))
    assert isinstance(reply_to(odd, assistant).turn.outcome, Ask)
    assert reply_to(odd, assistant).shown.headline == "2 mm"
    assert isinstance(reply_to(odd, assistant).turn.outcome, Ask), "another time it is asked anew"


def test_stop_is_done_and_never_asked_back(assistant: Assistant) -> None:
    stop = Heard("stop", 0.2, True, ("done",), close=True)
    assert verdict(stop, assistant).choices == ("stop",)
    assert not verdict(stop, assistant).ask


def test_a_scrap_of_noise_is_no_emergency(assistant: Assistant) -> None:
    assert verdict(Heard("stop", 0.1, True), assistant).choices == ()


def test_below_what_it_can_hear_it_says_so(assistant: Assistant) -> None:
    told = reply_to(Heard("half inch", 0.1, False, ratio=6.0), assistant).query
    assert isinstance(told, NotUnderstood)
    assert told.problem == "it is too loud here: come nearer, or use a headset"


@pytest.mark.parametrize(
    ("ratio", "problem"), [(3.0, "it is too loud here"), (40.0, "no speech was heard")]
)
def test_where_it_is_not_even_heard_that_somebody_spoke_the_din_is_told(
    ratio: float, problem: str, assistant: Assistant
) -> None:
    sound = noisy("half_inch_thirteen.wav", ratio)
    told = reply_to(told_of(Utterance(None, sound, nobody=True)), assistant).query
    assert isinstance(told, NotUnderstood)
    assert told.problem.startswith(problem)


def test_of_what_was_heard_and_is_not_acted_on_the_words_are_known(assistant: Assistant) -> None:
    unsure = Heard("half inch", 0.1, False, ratio=40.0)
    assert told_of(Utterance(unsure, noisy("half_inch_thirteen.wav", 40))) == unsure


class Emptied:
    """A microphone of which only what came too late is thrown away."""

    def drain(self) -> None: ...


@pytest.mark.parametrize("called", [True, False])
def test_whoever_called_is_told_that_it_is_too_loud_and_nobody_else(
    called: bool, ear: SphinxRecogniser
) -> None:
    view, talking = Watching(), Talking(Way.PEDAL)
    loop = LiveLoop(Assistant("heron"), ear, view, SilentVoice(), talking)
    if called:
        loop.key("touch")
        loop.key_released("touch")
    assert talking.was_called is called
    sound = noisy("half_inch_thirteen.wav", 40)
    unsure = Utterance(Heard("half inch", 0.1, False, ratio=6.0), sound)
    loop._answer(unsure, None, cycle(frames(sound)), Emptied())  # type: ignore[arg-type]
    told = [shown.headline for shown in view.shown]
    assert told == ["it is too loud here: come nearer, or use a headset"] * called


@pytest.mark.parametrize("name", ["half_inch_thirteen.wav", "seven_sixteenths_in_millimetres.wav"])
def test_in_a_shop_s_noise_the_question_is_heard_or_asked_back(
    name: str, assistant: Assistant, ear: SphinxRecogniser
) -> None:
    [spoken] = utterances(
        frames(noisy(name, 18)), ear, lambda: assistant.acceptor, lambda state: None
    )
    wanted = assistant.grammar.read(name.removesuffix(".wav").replace("_", " "), "inch")
    assert isinstance(wanted, Query)
    choices = verdict(spoken.heard, assistant).choices
    assert wanted in [assistant.grammar.read(words, "inch") for words in choices]
    assert spoken.heard is not None
    assert spoken.heard.ratio == pytest.approx(20, abs=5)


def test_the_cepstral_mean_is_kept_from_one_utterance_to_the_next(
    assistant: Assistant, ear: SphinxRecogniser
) -> None:
    sound = noisy("which_line.wav", 40)
    before = ear.cepstral_mean
    list(utterances(frames(sound), ear, lambda: assistant.acceptor, lambda state: None))
    after = ear.cepstral_mean
    assert after != before
    ear.start()
    assert ear.cepstral_mean == after
    ear.end()


def test_sound_that_breaks_off_in_a_sentence_leaves_the_ear_free(
    assistant: Assistant, ear: SphinxRecogniser
) -> None:
    sound = noisy("show_the_working.wav", 40)[: round(1.8 * SAMPLE_RATE)]
    assert (
        list(utterances(frames(sound), ear, lambda: assistant.acceptor, lambda state: None)) == []
    )
    assistant.listen_with(ear)


def test_grammars_are_changed_between_utterances_and_the_first_still_works(
    assistant: Assistant, ear: SphinxRecogniser
) -> None:
    sound = noisy("which_line.wav", 40)
    first = assistant.grammar.acceptor()
    for start in ("repeat", "cancel", "loudness", "pace", "show_working", "reengage_for"):
        ear.use(assistant.grammar.acceptor_of(start), pronunciations())
    ear.use(first, pronunciations())
    heard = ear.hear(sound)
    assert heard is not None
    assert heard.words == "which line"
