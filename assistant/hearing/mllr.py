"""A change of the bundled model's sounds for one voice: maximum likelihood linear regression.

Every mean m of a stream becomes A m + b, with one A and b for all phones; variances stay. A and b
make what was read most likely (C. J. Leggetter and P. C. Woodland, "Maximum likelihood linear
regression for speaker adaptation of continuous density hidden Markov models", Computer Speech and
Language 9, 1995). A few sentences do not settle so many figures, so frames as the unchanged model
expects them are added: where little was read, little changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np

from assistant.hearing.acoustic_model import AcousticModel
from assistant.hearing.alignment import Aligned
from assistant.hearing.transform import LENGTH, STREAMS, Floats, Transform

EXPECTED = 100.0
"""Frames (hundredths of a second of speech) that are added as the unchanged model expects them. Of
100, 400 and 1500 the fewest were heard best with, by voices of the tuning split."""
ROUNDS = 2
"""Times that the Gaussians are weighed anew, with the means as changed so far."""
LEAST_FRAMES = 200
"""Frames of speech without which nothing is estimated."""
NEGLIGIBLE = 1e-3
"""Share in a frame below which a Gaussian is left out of the sums."""


def transform_for(
    read: Sequence[Aligned], model: AcousticModel, expected: float = EXPECTED
) -> Transform | None:
    """The transform under which `read` is most likely; None where there is too little speech.

    expected : frames that are added as the unchanged model expects them; 0 for none
    """
    speech = _Speech(read, model)
    if speech.frames < LEAST_FRAMES:
        return None
    found = Transform.none()
    for _ in range(ROUNDS):
        found = speech.likeliest(found, expected)
    return found


class _Speech:
    """The frames of speech, phone by phone, and the sums that the transform is solved from."""

    def __init__(self, read: Sequence[Aligned], model: AcousticModel) -> None:
        self._model = model
        phones = np.concatenate([each.phones for each in read]) if read else np.zeros(0, int)
        if read:
            features = np.concatenate([each.features for each in read])
            states = np.concatenate([each.states for each in read])
        self._of_phone = [
            (phone, features[here], states[here])
            for phone in model.spoken
            if (here := phones == phone).any()
        ]
        self.frames = sum(len(states) for _, _, states in self._of_phone)

    def likeliest(self, before: Transform, expected: float) -> Transform:
        """The next transform, with the Gaussians weighed as `before` has their means."""
        left, right = self._sums(before)
        more = expected * self._usual
        same = Transform.none().figures
        left, right = left + more, right + np.einsum("sipq,siq->sip", more, same)
        return Transform(np.linalg.solve(left, right[..., None])[..., 0])

    def _sums(self, before: Transform) -> tuple[Floats, Floats]:
        """Both sides of the equations for each stream and term: products of means, and with the features."""
        model, means = self._model, before.of(self._model.means)
        left = np.zeros((STREAMS, LENGTH, LENGTH + 1, LENGTH + 1))
        right = np.zeros((STREAMS, LENGTH, LENGTH + 1))
        for phone, features, states in self._of_phone:
            for stream in range(STREAMS):
                seen, variances = features[:, stream], model.variances[phone, stream]
                weights = model.log_weights[stream][:, states].T
                share = _shares(seen, means[phone, stream], variances, weights)
                extended = _extended(model.means[phone, stream])
                count, total = share.sum(axis=0), share.T @ seen
                products = np.einsum("gp,gq->gpq", extended, extended)
                left[stream] += np.einsum("gi,gpq->ipq", count[:, None] / variances, products)
                right[stream] += np.einsum("gi,gp->ip", total / variances, extended)
        return left, right

    @cached_property
    def _usual(self) -> Floats:
        """The left side for one frame as the model expects it: all Gaussians of all phones alike."""
        model = self._model
        means, variances = model.means[model.spoken], model.variances[model.spoken]
        extended = _extended(means)
        made = np.einsum("csgi,csgp,csgq->sipq", 1 / variances, extended, extended, optimize=True)
        return np.asarray(made / (means.shape[0] * means.shape[2]))


def _shares(seen: Floats, means: Floats, variances: Floats, log_weights: Floats) -> Floats:
    """Share of each Gaussian in each frame; rows add up to 1, but for what is negligible."""
    away = seen[:, None, :] - means[None]
    logs = log_weights - 0.5 * (away**2 / variances + np.log(variances)).sum(axis=2)
    share = np.exp(logs - logs.max(axis=1, keepdims=True))
    share /= share.sum(axis=1, keepdims=True)
    return np.where(share > NEGLIGIBLE, share, 0.0)


def _extended(means: Floats) -> Floats:
    """Each mean with a 1 before it, for b."""
    return np.concatenate([np.ones((*means.shape[:-1], 1)), means], axis=-1)
