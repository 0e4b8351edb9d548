"""Fitting the ear to a voice: on voices made high by machine, and on one that needs nothing."""

from pathlib import Path

import numpy as np
import pytest

from assistant.app import Assistant
from assistant.errors import DeviceError
from assistant.hearing.look_alikes import Sentences
from assistant.hearing.operators import (
    Operator,
    fitted_to,
    keep,
    known_name,
    load,
    names,
    operator_folder,
)
from assistant.hearing.recogniser import SAMPLE_RATE, Recogniser, Samples
from assistant.hearing.sphinx import SphinxRecogniser
from assistant.hearing.sphinx_search import USUAL_MEAN
from assistant.hearing.transform import Transform
from assistant.hearing.warped import Stretcher, WarpedRecogniser, fitted, stretched
from assistant.learning import SENTENCES, Learned, Score, Tried, learn, report
from assistant.live_loop import LiveLoop
from assistant.recognition import recogniser
from assistant.speaking.espeak import EspeakVoice
from display.view import NoView
from grammar.understanding import pronunciations
from tests.live.conftest import spoken

READ = (
    "half_inch_thirteen",
    "when_do_i_close_the_half_nut",
    "metric_twelve_by_one_point_seven_five",
    "seven_sixteenths_in_millimetres",
)


def read(squeezed: float = 1.0) -> list[tuple[str, Samples]]:
    return [
        (name.replace("_", " "), stretched(spoken(f"{name}.wav"), 1 / squeezed)) for name in READ
    ]


@pytest.fixture(scope="module")
def engine() -> Recogniser:
    """The quick ear alone: the strong one hears these voices as they are."""
    return recogniser("sphinx")


@pytest.fixture(scope="module")
def assistant(engine: Recogniser) -> Assistant:
    made = Assistant("heron")
    made.listen_with(engine)
    return made


def test_a_tone_falls_by_the_warp_in_whole_and_in_pieces() -> None:
    time = np.arange(SAMPLE_RATE) / SAMPLE_RATE
    tone = np.round(8000 * np.sin(2 * np.pi * 1200 * time)).astype(np.int16)
    whole = stretched(tone, 1.2)
    assert whole.size == round(1.2 * tone.size)
    spectrum = np.abs(np.fft.rfft(whole[:SAMPLE_RATE].astype(float)))
    assert int(spectrum.argmax()) == 1000
    stretcher = Stretcher(1.2)
    pieces = np.concatenate([stretcher.feed(tone[at : at + 480]) for at in range(0, 9600, 480)])
    assert np.abs(pieces[:9000].astype(int) - whole[:9000]).max() <= 1


def test_a_warp_of_one_leaves_the_recogniser_as_it_is(engine: Recogniser) -> None:
    assert fitted(engine, 1.0) is engine
    warped = fitted(fitted(engine, 1.1), 0.9)
    assert isinstance(warped, WarpedRecogniser)
    assert warped.inner is engine


def test_a_voice_with_all_frequencies_too_high_is_brought_down(
    assistant: Assistant, engine: Recogniser, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = [
        each for each in assistant.grammar.examples() if assistant.acceptor.accepts(each.split())
    ]
    engine.use(Sentences.of([*SENTENCES, *usual]), pronunciations())
    monkeypatch.setattr("assistant.learning.STEP", 0.15)
    monkeypatch.setattr("assistant.learning.FURTHEST", 0.15)
    high = read(1.2)
    learned = learn("ann", high, assistant, engine)
    assert learned.warp.helps
    assert learned.operator.warp > 1.0
    lines: list[str] = []
    report(learned, high, lines.append)
    assert any("All frequencies are changed by -" in line for line in lines)
    assert not any("Nothing improved" in line for line in lines)


def test_where_nothing_improves_this_is_said_and_nothing_changed(
    assistant: Assistant, monkeypatch: pytest.MonkeyPatch
) -> None:
    few = recogniser("sphinx")
    few.use(Sentences.of(SENTENCES), pronunciations())
    monkeypatch.setattr("assistant.learning.FURTHEST", 0.0)
    usual = read()
    learned = learn("ben", usual, assistant, few)
    assert learned.operator.warp == 1.0
    lines: list[str] = []
    report(learned, usual, lines.append)
    assert lines[-1].startswith("Nothing improved: of 2 sentences held back 2 are understood")


def test_too_few_sentences_teach_nothing(assistant: Assistant, engine: Recogniser) -> None:
    with pytest.raises(DeviceError, match="only 3 sentences were read: read at least 4"):
        learn("ann", read()[:3], assistant, engine)


def test_each_part_is_told_and_kept_only_if_it_does_no_harm() -> None:
    worse, fair, good = Score(1, 0.2), Score(3, 0.5), Score(3, 0.7)

    def told(warp: Tried, mean: Tried | None, transform: Tried | None) -> list[str]:
        lines: list[str] = []
        operator = Operator("ann", 0.8 if warp.kept else 1.0)
        report(Learned(operator, warp, mean, transform, 5), read(), lines.append)
        return lines[-4:]

    harms, same, helps = Tried(fair, worse, False), Tried(fair, fair, True), Tried(fair, good, True)
    assert told(harms, harms, harms)[1:] == [
        "To begin with the mean sound of your voice (cepstral mean) harms: of 5 sentences held back "
        "3 are understood without it, 1 with it. It is not used.",
        "To change the sounds of the quick ear's model to yours (MLLR) does not help: of 5 sentences "
        "held back 3 are understood without it, 1 with it. It is not used.",
        "Nothing improved: of 5 sentences held back 3 are understood, and no change of the ear that "
        "was tried makes it more.",
    ]
    assert told(Tried(worse, good, True), same, helps)[-3:] == [
        "All frequencies are changed by +25 % from now on: of 5 sentences held back 1 are understood "
        "without it, 3 with it.",
        "The ear begins with the mean sound of your voice (cepstral mean); it neither helps nor "
        "harms: of 5 sentences held back 3 are understood without it, 3 with it.",
        "The sounds of the quick ear's model are changed to yours (MLLR): of 5 sentences held back "
        "3 are understood without it, 3 with it, more surely.",
    ]
    assert told(Tried(fair, fair, False), None, None)[-2:-1] == [
        "Of the changes of all frequencies that were tried none is heard better."
    ]


def test_a_recogniser_without_a_quick_ear_is_fitted_by_the_warp_alone(
    assistant: Assistant, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Other:
        """Hears nothing, and knows of no fit."""

        def use(self, *_: object) -> None: ...
        def start(self) -> None: ...
        def feed(self, samples: Samples) -> None: ...
        def pause(self) -> None: ...
        def settled(self) -> bool:
            return False

        def nobody(self) -> bool:
            return False

        def partial(self) -> str:
            return ""

        def end(self) -> None:
            return None

        def hear(self, samples: Samples) -> None:
            return None

    monkeypatch.setattr("assistant.learning.FURTHEST", 0.06)
    learned = learn("ann", read(), assistant, Other())
    assert (learned.mean, learned.transform, learned.operator.warp) == (None, None, 1.0)


def test_what_was_learned_is_kept_by_name(tmp_path: Path) -> None:
    keep(Operator("ann", 1.08, -20.0, -60.0), tmp_path)
    assert names(tmp_path) == ["ann"]
    assert load("Ann", tmp_path) == Operator("ann", 1.08, -20.0, -60.0)
    with pytest.raises(DeviceError, match="the voice of ben is not known: known: ann"):
        load("ben", tmp_path)
    (tmp_path / "ben.json").write_text('{"warp": 9}')
    with pytest.raises(DeviceError, match="is damaged"):
        load("ben", tmp_path)
    with pytest.raises(DeviceError, match="is no name to be said"):
        known_name("../ann")


def test_what_was_learned_before_there_were_means_is_still_known(tmp_path: Path) -> None:
    (tmp_path / "ann.json").write_text('{"name": "ann", "warp": 1.08, "speech": -20.0}')
    assert load("ann", tmp_path) == Operator("ann", 1.08, -20.0)


def test_mean_and_transform_are_kept_beside_and_damage_is_refused(tmp_path: Path) -> None:
    file, other = tmp_path / "ann.json", tmp_path / "ann.mllr"
    keep(Operator("ann", 1.0, mean=USUAL_MEAN, transform=Transform.none()), tmp_path)
    assert names(tmp_path) == ["ann"]
    found = load("ann", tmp_path)
    assert found.mean == USUAL_MEAN
    assert found.transform is not None
    assert (found.transform.figures == Transform.none().figures).all()
    other.write_text(other.read_text()[:-20])
    with pytest.raises(DeviceError, match=r"ann\.mllr is damaged: learn the voice again"):
        load("ann", tmp_path)
    other.unlink()
    with pytest.raises(DeviceError, match=r"ann\.mllr is damaged"):
        load("ann", tmp_path)
    for mean in ('"1,2,3"', '"' + "nan," * 12 + '1"', "12"):
        file.write_text('{"warp": 1.0, "mean": ' + mean + "}")
        with pytest.raises(DeviceError, match=r"ann\.json is damaged"):
            load("ann", tmp_path)
    keep(Operator("ann", 1.0, transform=Transform.none()), tmp_path)
    keep(Operator("ann", 1.0), tmp_path)
    assert not other.exists()
    assert load("ann", tmp_path) == Operator("ann", 1.0)


def test_the_live_loop_hears_who_says_so(
    assistant: Assistant, engine: Recogniser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert isinstance(engine, SphinxRecogniser)
    quiet = "20" + USUAL_MEAN[2:]
    keep(Operator("ann", 1.0, mean=quiet), operator_folder())
    keep(Operator("ben", 1.0), operator_folder())
    loop = LiveLoop(assistant, engine, NoView(), EspeakVoice())
    loop.operator_is("ann")
    assert engine.cepstral_mean.startswith("20")
    with pytest.raises(DeviceError, match="the voice of carl is not known"):
        loop.operator_is("carl")
    assert engine.cepstral_mean.startswith("20")
    loop.operator_is("ben")
    assert engine.cepstral_mean.startswith("48")


def test_another_operator_or_none_brings_back_what_was_before(engine: Recogniser) -> None:
    def mean() -> float:
        assert isinstance(engine, SphinxRecogniser)
        return float(engine.cepstral_mean.split(",")[0])

    usual = mean()
    quiet = "20" + USUAL_MEAN[2:]
    warped = fitted_to(Operator("ann", 1.1, mean=quiet), engine)
    assert isinstance(warped, WarpedRecogniser)
    assert (mean(), usual) == (20, 48)
    assert fitted_to(Operator("ben", 1.0), warped) is engine
    assert mean() == usual
    fitted_to(Operator("ann", 1.0, mean=quiet), engine)
    assert fitted_to(None, engine) is engine
    assert mean() == usual
