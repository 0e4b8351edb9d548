"""The model in the open format says what its package's own files say."""

from pathlib import Path

import numpy as np
import onnxruntime
import pytest

from assistant.errors import DeviceError
from assistant.hearing.neural import model as model_room
from assistant.hearing.neural.model import SpeechModel, model_folder, shared_model
from assistant.hearing.neural.pieces import START
from assistant.hearing.wav import read_wav

LAYERS = range(8)


@pytest.fixture(scope="module")
def model() -> SpeechModel:
    return shared_model()


def test_a_package_that_is_not_there_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    assert model_folder() is not None
    monkeypatch.setattr(model_room, "PACKAGE", "no_such_package")
    assert model_folder() is None
    with pytest.raises(DeviceError, match="no_such_package is not installed"):
        shared_model.__wrapped__()


def test_a_broken_model_is_told(tmp_path: Path) -> None:
    (tmp_path / "tokenizer.bin").write_bytes(b"\x01a")
    with pytest.raises(DeviceError, match="cannot be loaded"):
        SpeechModel(tmp_path)


def test_each_piece_scores_as_in_the_packages_own_files(model: SpeechModel) -> None:
    folder = model_folder()
    assert folder is not None
    encoder, decoder = (
        onnxruntime.InferenceSession(str(folder / name), providers=["CPUExecutionProvider"])
        for name in ("encoder_model.ort", "decoder_model_merged.ort")
    )
    samples = read_wav("assistant/demo_sounds/show_the_working.wav")[:20_000]
    given = samples.astype(np.float32)[None] / 32_768
    (heard,) = encoder.run(None, {"input_values": given})
    empty = np.zeros((1, 8, 0, 52), np.float32)
    state = {
        f"past_key_values.{layer}.{side}.{part}": empty
        for layer in LAYERS
        for side in ("decoder", "encoder")
        for part in ("key", "value")
    }
    names = [each.name for each in decoder.get_outputs()]
    sound, past = model.sound(samples), model.before_the_first()
    for place, piece in enumerate((START, *model.pieces.of(" Show the working"))):
        fed = {"input_ids": np.array([[piece]]), "encoder_hidden_states": heard, **state}
        fed["use_cache_branch"] = np.array([place > 0])
        out = dict(zip(names, decoder.run(None, fed), strict=True))
        for name, value in out.items():
            if name != "logits" and (place == 0 or ".decoder." in name):
                state[name.replace("present", "past_key_values")] = value
        logits = out["logits"][0, -1].astype(float)
        theirs = logits - logits.max() - np.log(np.exp(logits - logits.max()).sum())
        ours, past = model.next([piece], past, sound)
        assert np.abs(ours[0] - theirs).max() < 1e-3


def test_rows_are_independent(model: SpeechModel) -> None:
    """A beginning scores the same alone and among others."""
    samples = read_wav("assistant/demo_sounds/which_line.wav")
    sound, start = model.sound(samples), model.before_the_first()
    alone, _ = model.next([START], start, sound)
    together, _ = model.next([START, START], start.rows([0, 0]), sound)
    assert np.abs(together - alone).max() < 1e-3
    assert np.allclose(np.exp(alone).sum(), 1, atol=1e-3)
