"""How large a monitor is, from what it tells of itself (EDID), so that nobody has to measure it.

Layout of the block: VESA Enhanced EDID, version 1.3 and 1.4, section 3, from memory.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Final

HEADER: Final = bytes((0, 255, 255, 255, 255, 255, 255, 0))
BLOCK: Final = 128
TIMING: Final = 54
"""Where the timing of the panel begins."""
NO_SIZES: Final = ((160, 90), (16, 9), (160, 100), (16, 10), (1600, 900))
"""mm; these tell the shape of the picture and not its size (common practice, no source)."""
ALIKE: Final = 12.0
"""mm by which the size in whole centimetres may differ from the one in millimetres."""
SYSTEM: Final = Path("/sys/class/drm")


def physical_size(edid: bytes) -> tuple[float, float] | None:
    """Width and height of the lit area in mm; None where the block is damaged or does not tell.

    A size in mm of the panel's own timing is taken before the one in whole centimetres; where the
    two do not agree, neither is trusted.
    """
    block = edid[:BLOCK]
    if len(block) < BLOCK or block[:8] != HEADER or sum(block) % 256:
        return None
    rough = (10.0 * block[21], 10.0 * block[22])
    fine = _of_timing(block[TIMING : TIMING + 18])
    if fine is None or fine in NO_SIZES:
        return rough if all(rough) and rough not in NO_SIZES else None
    if all(rough) and rough not in NO_SIZES:
        apart = max(abs(one - other) for one, other in zip(fine, rough, strict=True))
        return fine if apart <= ALIKE else None
    return fine


def _of_timing(timing: bytes) -> tuple[float, float] | None:
    """The size in mm in a detailed timing; None where the descriptor is of another kind."""
    if timing[0] == timing[1] == 0:
        return None
    width = timing[12] | (timing[14] & 0xF0) << 4
    height = timing[13] | (timing[14] & 0x0F) << 8
    return (float(width), float(height)) if width and height else None


def system_diagonal(connectors: Path = SYSTEM) -> float | None:
    """Diagonal in mm of the monitor that is plugged in; None where the system does not tell.

    Of several the smallest is taken: what can be read on it can be read on the others too.
    """
    found = []
    for connector in sorted(connectors.glob("card*-*")):
        try:
            if (connector / "status").read_text(encoding="ascii").strip() != "connected":
                continue
            size = physical_size((connector / "edid").read_bytes())
        except (OSError, UnicodeDecodeError):
            continue
        if size is None:
            return None
        found.append(math.hypot(*size))
    return min(found, default=None)
