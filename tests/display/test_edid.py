"""How large a monitor says it is: blocks made here, byte by byte, and damaged ones."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from display.edid import HEADER, physical_size, system_diagonal


def block(
    cm: tuple[int, int] = (0, 0), mm: tuple[int, int] | None = None, sound: bool = True
) -> bytes:
    """An EDID block: header, size in cm at 21 and 22, the panel's timing with its mm at 54."""
    data = bytearray(128)
    data[:8] = HEADER
    data[21], data[22] = cm
    if mm is not None:
        data[54:56] = (0x02, 0x3A)
        data[66], data[67] = mm[0] & 0xFF, mm[1] & 0xFF
        data[68] = (mm[0] >> 8) << 4 | mm[1] >> 8
    data[127] = (-sum(data)) % 256 if sound else (1 - sum(data)) % 256
    return bytes(data)


@given(st.integers(100, 4095), st.integers(100, 4095))
def test_the_size_of_the_panel_is_read_to_the_millimetre(width: int, height: int) -> None:
    if (width, height) in ((160, 90), (160, 100), (1600, 900)):
        return
    assert physical_size(block(mm=(width, height))) == (width, height)


def test_the_size_in_millimetres_goes_before_the_one_in_centimetres() -> None:
    assert physical_size(block((71, 40), (708, 398))) == (708, 398)


def test_without_a_timing_the_centimetres_serve() -> None:
    assert physical_size(block((53, 30))) == (530, 300)


@pytest.mark.parametrize(
    ("name", "edid"),
    [
        ("a projector: no size at all", block()),
        ("one side only", block((53, 0))),
        ("the shape of the picture in place of its size", block((16, 9), (160, 90))),
        ("two sizes that do not agree", block((53, 30), (708, 398))),
        ("a wrong sum", block((53, 30), sound=False)),
        ("cut short", block((53, 30))[:100]),
        ("nothing", b""),
        ("another header", b"\x01" + block((53, 30))[1:]),
    ],
)
def test_what_cannot_be_trusted_is_no_size(name: str, edid: bytes) -> None:
    assert physical_size(edid) is None, name


def test_the_shape_in_millimetres_leaves_the_centimetres() -> None:
    assert physical_size(block((71, 40), (160, 90))) == (710, 400)


@given(st.binary(max_size=300))
def test_no_block_ever_fails(data: bytes) -> None:
    physical_size(data)
    physical_size(HEADER + data)


def _plug(folder: Path, name: str, edid: bytes, state: str = "connected") -> None:
    connector = folder / name
    connector.mkdir(parents=True)
    (connector / "status").write_text(f"{state}\n")
    (connector / "edid").write_bytes(edid)


def test_the_monitor_that_is_plugged_in_is_measured(tmp_path: Path) -> None:
    _plug(tmp_path, "card0-HDMI-A-1", block(mm=(708, 398)))
    _plug(tmp_path, "card0-DP-1", b"", "disconnected")
    assert system_diagonal(tmp_path) == pytest.approx(math.hypot(708, 398))


def test_of_several_the_smallest_counts(tmp_path: Path) -> None:
    _plug(tmp_path, "card0-HDMI-A-1", block(mm=(708, 398)))
    _plug(tmp_path, "card0-DP-1", block(mm=(344, 194)))
    assert system_diagonal(tmp_path) == pytest.approx(math.hypot(344, 194))


def test_where_one_does_not_tell_nothing_is_guessed(tmp_path: Path) -> None:
    _plug(tmp_path, "card0-HDMI-A-1", block(mm=(708, 398)))
    _plug(tmp_path, "card0-DP-1", block())
    assert system_diagonal(tmp_path) is None


def test_no_monitor_and_no_system_is_no_size(tmp_path: Path) -> None:
    assert system_diagonal(tmp_path) is None
    assert system_diagonal(tmp_path / "none") is None


def test_a_connector_that_goes_while_it_is_read_is_passed_over(tmp_path: Path) -> None:
    _plug(tmp_path, "card0-HDMI-A-1", block(mm=(708, 398)))
    (tmp_path / "card0-DP-1").mkdir()
    assert system_diagonal(tmp_path) == pytest.approx(math.hypot(708, 398))
