"""Base chances from stated shares by a plain damped fixed point on log-odds, slow and without tricks."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from tests.published.reference.network import cause_marginals
from tests.published.reference.reader import NOT_LISTED, Meaning, Story


def solve(meaning: Meaning, tolerance: float = 1e-11, rounds: int = 2000) -> dict[str, float]:
    """Base chances under which each cause, after the complaint alone, leaks with its stated share.

    Raises ValueError, naming the cause that is farthest off, when no base chances do.
    """
    causes = list(meaning.causes)
    wanted = np.array([meaning.causes[c].share for c in causes])
    log_odds = _logit(wanted)
    for _ in range(rounds):
        base = dict(zip(causes, _chance(log_odds).tolist(), strict=True))
        got = after_complaint(meaning, base)
        reached = np.array([got[c] for c in causes])
        if np.abs(reached - wanted).max() < tolerance:
            return base
        log_odds = np.clip(log_odds + 0.9 * (_logit(wanted) - _logit(reached)), -60, 30)
    farthest = causes[int(np.abs(reached - wanted).argmax())]
    raise ValueError(f"the share of {farthest} cannot be met")


def after_complaint(meaning: Meaning, base: Mapping[str, float]) -> dict[str, float]:
    """P(each cause leaks | reported wet at the complaint), nothing else known."""
    given = NOT_LISTED if NOT_LISTED in meaning.causes else None
    found, _ = cause_marginals(meaning, base, Story(meaning.complaint), given=given)
    return {c: leaked_first for c, (_, leaked_first, _, _) in found.items()}


def _logit(chance: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.log(chance) - np.log1p(-chance)


def _chance(log_odds: NDArray[np.float64]) -> NDArray[np.float64]:
    return 1 / (1 + np.exp(-log_odds))
