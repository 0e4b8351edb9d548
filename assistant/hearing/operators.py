"""What was learned of each operator's voice: a small file for each name."""

from __future__ import annotations

import json
import math
import re
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from platformdirs import user_data_path

from assistant.errors import DeviceError
from assistant.hearing.recogniser import Recogniser
from assistant.hearing.transform import LENGTH, Transform, read_transform
from assistant.hearing.warped import fitted

NAME = re.compile(r"[a-z][a-z -]{0,30}")
WARPS = (0.8, 1.25)
"""Least and greatest warp that is taken from a file."""


@dataclass(frozen=True)
class Operator:
    """One who works here, as the microphone hears him or her."""

    name: str
    """Lower case, as it is said."""
    warp: float
    """By which the sound is stretched in time before it is recognised; above 1 all frequencies fall. 1: as it is."""
    speech: float | None = None
    """Level of the speech when it was learned, dB of full scale."""
    noise: float | None = None
    """Level of the noise then, dB of full scale."""
    mean: str | None = None
    """Cepstral mean that the ear begins with, 13 numbers with commas between; None for the usual one."""
    transform: Transform | None = None
    """Change of the sounds of the quick ear's model; None for none. It has a file of its own."""


def fitted_to(operator: Operator | None, ear: Recogniser) -> Recogniser:
    """`ear` for the voice of `operator`, or for anybody's; what it was fitted to before is forgotten."""
    if operator is None:
        return fitted(ear)
    return fitted(ear, operator.warp, operator.mean, operator.transform)


def operator_folder() -> Path:
    """Where what was learned is kept."""
    return user_data_path("swarfside") / "operators"


def known_name(name: str) -> str:
    """`name` in lower case. Raises DeviceError where it cannot be said or kept."""
    plain = name.strip().lower()
    if not NAME.fullmatch(plain):
        raise DeviceError("operator", f"{name!r} is no name to be said", "use letters only")
    return plain


def names(folder: Path) -> list[str]:
    """Everybody whose voice was learned."""
    return sorted(file.stem for file in folder.glob("*.json"))


def keep(operator: Operator, folder: Path) -> Path:
    """Writes what was learned. Raises DeviceError where it cannot."""
    file = folder / f"{operator.name}.json"
    changed = operator.transform is not None
    told = asdict(replace(operator, transform=None)) | {"transform": changed}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if operator.transform is not None:
            _transform_file(file).write_text(operator.transform.text(), encoding="ascii")
        file.write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")
        if not changed:
            _transform_file(file).unlink(missing_ok=True)
    except OSError as fault:
        problem = f"{file} cannot be written ({fault.strerror})"
        raise DeviceError("operator", problem, "choose another folder") from fault
    return file


def load(name: str, folder: Path) -> Operator:
    """What was learned of `name`. Raises DeviceError where nothing was, or a file is damaged."""
    plain = known_name(name)
    file = folder / f"{plain}.json"
    damaged = DeviceError("operator", f"{file} is damaged", "learn the voice again")
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
        operator = Operator(
            plain,
            float(found["warp"]),
            found.get("speech"),
            found.get("noise"),
            _mean(found.get("mean")),
        )
        changed = bool(found.get("transform"))
    except FileNotFoundError:
        known = ", ".join(names(folder)) or "nobody"
        raise DeviceError(
            "operator", f"the voice of {plain} is not known", f"known: {known}; use learn-voice"
        ) from None
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as fault:
        raise damaged from fault
    if not WARPS[0] <= operator.warp <= WARPS[1]:
        raise damaged
    return (
        replace(operator, transform=read_transform(_transform_file(file))) if changed else operator
    )


def _transform_file(file: Path) -> Path:
    return file.with_suffix(".mllr")


def _mean(found: str | None) -> str | None:
    """`found`, if the engine can begin with it. Raises ValueError for anything else."""
    if found is None:
        return None
    numbers = [float(each) for each in found.split(",")]
    if len(numbers) != LENGTH or not all(math.isfinite(each) for each in numbers):
        raise ValueError(found)
    return found
