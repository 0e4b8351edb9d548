"""WAV files as a source of sound: any rate, width and number of channels."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from math import gcd
from pathlib import Path

import miniaudio
import numpy as np
from numpy.typing import NDArray

from assistant.errors import DeviceError
from assistant.hearing.recogniser import SAMPLE_RATE, Samples

REMEDY = "give a WAV file of one spoken question"
UNKNOWN_LENGTH = (0, 0xFFFFFFFF)
"""What programs that write WAV into a pipe leave as the length."""
RATES = (8_000, 384_000)
"""Lowest and highest rate that is taken, samples per second; below, speech is too dull."""
MARGIN = 1 << 10
"""Zeros at both ends while resampling, so that the end does not ring into the beginning."""


def read_wav(path: str | Path) -> Samples:
    """The sound in WAV file `path` as 16 kHz mono.

    Raises DeviceError, one sentence with the file's name, if the file is missing, empty, no WAV,
    damaged, cut short, or holds no sound. A file that is cut short is refused because the words
    that are left may make another question.
    """
    name = Path(path).name
    try:
        data = Path(path).read_bytes()
    except FileNotFoundError:
        raise _unusable(name, "does not exist") from None
    except OSError as fault:
        raise _unusable(name, f"cannot be read ({fault.strerror})") from fault
    _check_chunks(name, data)
    try:
        info = miniaudio.wav_get_info(data)
        decoded = miniaudio.wav_read_f32(data)
    except (miniaudio.MiniaudioError, ValueError) as fault:
        raise _unusable(name, "is damaged, or in a coding that is not known") from fault
    sound = np.frombuffer(decoded.samples, dtype=np.float32)
    if info.nchannels < 1 or sound.size < info.nchannels:
        raise _unusable(name, "holds no sound")
    if not RATES[0] <= info.sample_rate <= RATES[1]:
        allowed = f"{RATES[0]} to {RATES[1]} can be used"
        raise _unusable(name, f"has {info.sample_rate} samples a second, {allowed}")
    mono = sound.reshape(-1, info.nchannels).mean(axis=1, dtype=np.float64)
    if not np.all(np.isfinite(mono)):
        raise _unusable(name, "is damaged")
    return to_int16(resample(mono, info.sample_rate, SAMPLE_RATE))


def resample(sound: NDArray[np.float64], rate: int, wanted: int) -> NDArray[np.float64]:
    """`sound` of `rate` samples a second at `wanted` samples a second, band limited by Fourier transform.

    sound   : one channel
    Returns : sound of the same duration, rounded to whole samples
    Valid   : whole files held in memory

    >>> resample(np.zeros(44100), 44100, 16000).size
    16000
    """
    if rate == wanted:
        return sound
    step = rate // gcd(rate, wanted)
    padded = sound.size + 2 * MARGIN
    length = -(-padded // step) * step
    spectrum = np.fft.rfft(np.concatenate([np.zeros(MARGIN), sound]), length)
    new_length = length * wanted // rate
    # irfft cuts off or fills up the spectrum to the new length: that is the band limit.
    whole = np.fft.irfft(spectrum[: new_length // 2 + 1], new_length) * (new_length / length)
    first = round(MARGIN * wanted / rate)
    return whole[first : first + round(sound.size * wanted / rate)]


def to_int16(sound: NDArray[np.float64]) -> Samples:
    """`sound` of -1 to 1 as 16 bit; louder is held at the limit.

    >>> to_int16(np.array([0.5, 2.0])).tolist()
    [16384, 32767]
    """
    return np.clip(np.round(sound * 32768), -32768, 32767).astype(np.int16)


def _check_chunks(name: str, data: bytes) -> None:
    if not data:
        raise _unusable(name, "is empty")
    if len(data) < 12 or data[:4] != b"RIFF" or data[8:12] != b"WAVE":
        raise _unusable(name, "is no WAV file")
    for kind, size, available in _chunks(data):
        if kind == b"data":
            if size == 0 == available:
                raise _unusable(name, "holds no sound")
            if size > available and size not in UNKNOWN_LENGTH:
                raise _unusable(name, "is cut short")
            return
    raise _unusable(name, "holds no sound")


def _chunks(data: bytes) -> Iterator[tuple[bytes, int, int]]:
    """Each chunk of a RIFF file: its kind, the length it claims, the bytes that follow."""
    place = 12
    while place + 8 <= len(data):
        kind, size = struct.unpack_from("<4sI", data, place)
        yield kind, size, len(data) - place - 8
        place += 8 + size + (size & 1)


def _unusable(name: str, problem: str) -> DeviceError:
    return DeviceError("sound file", f"{name} {problem}", REMEDY)
