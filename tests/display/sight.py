"""Contrast and colour as eyes see them, worked out here and not in the product."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

EYES: dict[str, list[list[float]]] = {
    "usual": [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    "protanopia": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritanopia": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}
"""What an eye keeps of linear red, green and blue. G. Machado, M. Oliveira, L. Fernandes, 'A
physiologically-based model for simulation of color vision deficiency', IEEE Transactions on
Visualization and Computer Graphics 15 (2009), table for severity 1.0; figures from memory."""

TO_XYZ = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
"""Linear sRGB to CIE XYZ with white D65 (IEC 61966-2-1, figures from memory)."""
WHITE = TO_XYZ.sum(axis=1)


def linear(colour: str) -> NDArray[np.float64]:
    """Linear red, green and blue of '#RRGGBB' (IEC 61966-2-1)."""
    parts = np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """Contrast of two colours: (L1 + 0.05) / (L2 + 0.05) with relative luminance L (WCAG 2.1)."""
    light = sorted(
        float(linear(colour) @ np.array([0.2126, 0.7152, 0.0722])) for colour in (one, other)
    )
    return (light[1] + 0.05) / (light[0] + 0.05)


def lab(seen: NDArray[np.float64]) -> NDArray[np.float64]:
    """CIE 1976 L*, a*, b* of linear red, green and blue."""
    ratio = TO_XYZ @ seen / WHITE
    f = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def difference(one: str, other: str, eye: str) -> float:
    """How far apart two colours look to an eye: distance in CIE 1976 L*a*b*."""
    keeps = np.array(EYES[eye])
    seen = [lab(np.clip(keeps @ linear(colour), 0, 1)) for colour in (one, other)]
    return float(np.linalg.norm(seen[0] - seen[1]))
