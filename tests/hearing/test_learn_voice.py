"""Fitting the ear to a voice: on voices made high by machine, and on one that needs nothing."""

from pathlib import Path

import numpy as np
import pytest

from assistant.app import Assistant
from assistant.errors import DeviceError
from assistant.hearing.operators import Operator, keep, known_name, load, names
from assistant.hearing.recogniser import SAMPLE_RATE, Recogniser, Samples
from assistant.hearing.warped import Stretcher, WarpedRecogniser, fitted, stretched
from assistant.learning import learn, report
from assistant.recognition import recogniser
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
    assistant: Assistant, engine: Recogniser
) -> None:
    high = read(1.2)
    learned = learn("ann", high, assistant, engine)
    assert learned.after.better_than(learned.before)
    assert learned.operator.warp > 1.0
    lines: list[str] = []
    report(learned, high, lines.append)
    assert "All frequencies are changed by -" in lines[-1]


def test_where_nothing_improves_this_is_said_and_nothing_changed(
    assistant: Assistant, engine: Recogniser, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("assistant.learning.FURTHEST", 0.06)
    usual = read()
    learned = learn("ben", usual, assistant, engine)
    assert learned.operator.warp == 1.0
    lines: list[str] = []
    report(learned, usual, lines.append)
    assert lines[-1].startswith("Nothing improved: of 2 sentences held back 2 are understood")


def test_too_few_sentences_teach_nothing(assistant: Assistant, engine: Recogniser) -> None:
    with pytest.raises(DeviceError, match="only 3 sentences were read: read at least 4"):
        learn("ann", read()[:3], assistant, engine)


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
