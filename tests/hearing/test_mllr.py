"""The change of the model's sounds for one voice: on features drawn from the model itself, and in the engine."""

from pathlib import Path

import numpy as np
import pytest

from assistant.errors import DeviceError
from assistant.hearing.acoustic_model import AcousticModel, bundled_model
from assistant.hearing.alignment import Aligned, Aligner
from assistant.hearing.look_alikes import Sentences
from assistant.hearing.mllr import LEAST_FRAMES, transform_for
from assistant.hearing.neural.engine import NeuralRecogniser
from assistant.hearing.noise import reduced
from assistant.hearing.recogniser import Samples
from assistant.hearing.sphinx import SphinxRecogniser
from assistant.hearing.sphinx_search import USUAL_MEAN, Search
from assistant.hearing.transform import LENGTH, STREAMS, Floats, Transform, read_transform
from assistant.hearing.warped import Fittable
from tests.live.conftest import spoken

WORDS = "half inch thirteen"
STATES = 3
"""Of each phone; the senones of the base phones come first in the model, phone by phone."""


@pytest.fixture(scope="module")
def model() -> AcousticModel:
    return bundled_model()


@pytest.fixture(scope="module")
def aligner() -> Aligner:
    return Aligner({})


@pytest.fixture(scope="module")
def search() -> Search:
    made = Search(own_reduction=False)
    made.use(Sentences.of([WORDS, "half inch thirty"]), {})
    return made


@pytest.fixture(scope="module")
def quiet() -> Samples:
    return reduced(spoken("half_inch_thirteen.wav"))[0]


def drawn(model: AcousticModel, means: Floats, count: int) -> Aligned:
    """`count` frames as the model with these means would make them."""
    chance = np.random.default_rng(4)
    phones = chance.choice(model.spoken, count)
    states = phones * STATES + chance.integers(0, STATES, count)
    features = np.empty((count, STREAMS, LENGTH))
    for frame, (phone, state) in enumerate(zip(phones, states, strict=True)):
        for stream in range(STREAMS):
            weights = np.exp(model.log_weights[stream][:, state])
            gaussian = chance.choice(weights.size, p=weights / weights.sum())
            spread = np.sqrt(model.variances[phone, stream, gaussian])
            features[frame, stream] = chance.normal(means[phone, stream, gaussian], spread)
    return Aligned(features, states, phones)


def distance(model: AcousticModel, one: Floats, other: Floats) -> float:
    """How far means of speech lie apart, in standard deviations: root mean square."""
    away = (one - other)[model.spoken] / np.sqrt(model.variances[model.spoken])
    return float(np.sqrt((away**2).mean()))


def test_speech_as_the_model_expects_it_changes_nothing(model: AcousticModel) -> None:
    found = transform_for([drawn(model, model.means, 3000)], model, expected=0)
    assert found is not None
    assert distance(model, found.of(model.means), model.means) < 0.12


def test_a_known_change_of_all_means_is_found_again(model: AcousticModel) -> None:
    chance = np.random.default_rng(5)
    turn = np.eye(LENGTH) + chance.normal(0, 0.06, (STREAMS, LENGTH, LENGTH))
    added = chance.normal(0, 5, (STREAMS, LENGTH)) * np.array([1, 0.2, 0.1])[:, None]
    known = Transform(np.concatenate([added[:, :, None], turn], axis=2))
    there = known.of(model.means)
    found = transform_for([drawn(model, there, 3000)], model, expected=0)
    assert found is not None
    assert distance(model, model.means, there) > 0.4
    assert distance(model, found.of(model.means), there) < 0.14


def test_little_speech_changes_little_and_too_little_nothing(model: AcousticModel) -> None:
    means = model.means + 4
    few, many = drawn(model, means, LEAST_FRAMES), drawn(model, means, 2000)
    moved = [
        distance(model, found.of(model.means), model.means)
        for read in (few, many)
        if (found := transform_for([read], model)) is not None
    ]
    assert len(moved) == 2
    assert moved[0] < 0.8 * moved[1]
    assert transform_for([drawn(model, means, LEAST_FRAMES - 1)], model) is None
    assert transform_for([], model) is None


def test_a_sentence_is_aligned_with_the_sounds_that_are_in_it(
    model: AcousticModel, aligner: Aligner, quiet: Samples
) -> None:
    found = aligner.aligned(WORDS, quiet, USUAL_MEAN)
    assert found is not None
    order = [
        phone for n, phone in enumerate(found.phones) if n == 0 or phone != found.phones[n - 1]
    ]
    said = "SIL HH AE F IH N CH TH ER T IY N SIL"
    assert " ".join(model.phones[phone] for phone in order) == said
    # Features, Gaussians and weights belong together only if the model finds the phones by itself.
    speech = np.isin(found.phones, model.spoken)
    fits = np.zeros((int(speech.sum()), len(model.phones) * STATES))
    for state in range(fits.shape[1]):
        phone = state // STATES
        for stream in range(STREAMS):
            away = found.features[speech, stream][:, None] - model.means[phone, stream]
            variances = model.variances[phone, stream]
            logs = -0.5 * (away**2 / variances + np.log(variances)).sum(axis=2)
            fits[:, state] += np.logaddexp.reduce(
                logs + model.log_weights[stream][:, state], axis=1
            )
    alike = fits.argmax(axis=1) // STATES == found.phones[speech]
    assert alike.mean() > 0.3


def test_words_that_are_not_said_are_not_aligned(aligner: Aligner, quiet: Samples) -> None:
    assert aligner.aligned("number seven drill", np.zeros(16_000, np.int16), USUAL_MEAN) is None
    with pytest.raises(DeviceError, match="no pronunciation for xqzt"):
        aligner.aligned("xqzt", quiet, USUAL_MEAN)


def test_the_mean_of_the_sounds_is_what_the_engine_comes_to(
    aligner: Aligner, search: Search, quiet: Samples
) -> None:
    def after(mean: str) -> Floats:
        search.set_mean(mean)
        search.start()
        search.feed(quiet)
        search.end()
        return np.array(search.mean().split(","), dtype=float)

    mean = aligner.mean([quiet, quiet])
    assert mean is not None
    settled = np.array(mean.split(","), dtype=float)
    usual = np.array(USUAL_MEAN.split(","), dtype=float)
    assert np.abs(after(mean) - settled).max() < 0.02
    assert np.abs(after(USUAL_MEAN) - usual).max() > 1
    assert aligner.mean([]) is None


def test_the_engine_takes_the_transform_and_its_scores_change(
    search: Search, quiet: Samples
) -> None:
    def fit() -> float:
        search.set_mean(USUAL_MEAN)
        search.start()
        search.feed(quiet)
        found = search.end()
        assert found is not None
        assert found.words == WORDS
        return found.fit

    usual = fit()
    search.adapt(Transform.none())
    assert fit() == pytest.approx(usual, abs=0.01)
    louder = Transform.none().figures
    louder[0, 0, 0] += 25
    search.adapt(Transform(louder))
    assert fit() < usual - 0.2
    search.adapt(None)
    assert fit() == pytest.approx(usual, abs=0.01)


def test_a_transform_is_read_as_it_was_written(tmp_path: Path) -> None:
    chance = np.random.default_rng(6)
    made = Transform(chance.normal(0, 3, (STREAMS, LENGTH, LENGTH + 1)))
    file = tmp_path / "ann.mllr"
    file.write_text(made.text())
    assert np.allclose(read_transform(file).figures, made.figures, rtol=1e-6)


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: "",
        lambda text: text[: len(text) // 2],
        lambda text: text.replace("\n13\n", "\n12\n", 1),
        lambda text: "2" + text[1:],
        lambda text: text.replace("1\n3\n13\n1 ", "1\n3\n13\nnan ", 1),
        lambda text: text.replace("1\n3\n13\n1 ", "1\n3\n13\n1e9 ", 1),
        lambda text: text.replace("1\n3\n13\n1 ", "1\n3\n13\none ", 1),
        lambda text: text[: text.rindex("1")] + "2\n",
        lambda text: text + " 0",
    ],
)
def test_a_damaged_transform_is_refused(damage, tmp_path: Path) -> None:
    whole = Transform.none().text()
    file = tmp_path / "ann.mllr"
    file.write_text(damage(whole))
    assert damage(whole) != whole
    with pytest.raises(DeviceError, match=r"ann\.mllr is damaged: learn the voice again"):
        read_transform(file)


def test_both_recognisers_begin_with_the_mean_of_who_speaks() -> None:
    def nothing():  # the strong ear is not asked
        raise DeviceError("recogniser", "no model", "none is needed here")

    def mean(ear: SphinxRecogniser | NeuralRecogniser) -> list[float]:
        return [float(each) for each in ear.cepstral_mean.split(",")]

    usual = [float(each) for each in USUAL_MEAN.split(",")]
    mine = [40.0, *usual[1:]]
    told = ",".join(f"{each:g}" for each in mine)
    for ear in (SphinxRecogniser(), NeuralRecogniser(nothing)):
        assert isinstance(ear, Fittable)
        assert mean(ear) == usual
        ear.fit(told, None)
        assert mean(ear) == mine
        ear.fit(told, Transform.none())
        assert mean(ear) == mine
        ear.fit(None, None)
        assert mean(ear) == usual
