"""Base chances of causes that a new closing of the joint draws afresh."""

import numpy as np
from numpy.typing import NDArray

from leakdx.reasoning.compiled import Array, Model
from leakdx.reasoning.evidence import Redraw
from leakdx.reasoning.states import chances

HALVINGS = 80
FARTHEST = 60.0
"""Shift of log-odds beyond which a chance is as good as 0 or 1."""


def first_chances(model: Model, redraw: Redraw, possible: NDArray[np.bool_]) -> Array:
    """Log-odds [C, B] of being there by this draw, before history speaks; minus infinity for what is not drawn.

    Those of all axles, shifted by one offset, so that any of them leaks with the chance of the redraw. Causes
    that lead to others do not come in: a new closing is no consequence of the old one.

    Args:
        model: Compiled knowledge.
        redraw: The closing.
        possible: [C, B], whether each cause can be there at all, as it was closed now.
    """
    is_drawn = np.array([cause in redraw.causes for cause in model.causes])[:, None]
    base = np.where(is_drawn & possible, model.log_odds[:, None], -np.inf)
    low, high = np.full(base.shape[1], -FARTHEST), np.full(base.shape[1], FARTHEST)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        there, _ = chances(base + middle)
        none = np.prod(1 - there * model.leaks[:, None], axis=0)
        is_high = 1 - none > redraw.chance
        low, high = np.where(is_high, low, middle), np.where(is_high, middle, high)
    return np.asarray(base + (low + high) / 2)
