"""ALSA's own messages, kept off the terminal: what matters of them is said in our words."""

from __future__ import annotations

import contextlib
import ctypes

_HANDLER = ctypes.CFUNCTYPE(
    None, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p
)
# Kept here: the library holds only its address.
_SAY_NOTHING = _HANDLER(lambda file, line, function, fault, text: None)


def silence() -> None:
    """From now on the library prints nothing; without the library there is nothing to silence."""
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL("libasound.so.2").snd_lib_error_set_handler(_SAY_NOTHING)
