"""Numbers as they count in an order: what sums differ by in their last digits decides between no equals.

Equals then stand in the order of the knowledge, whichever way and on whichever machine they were summed.
"""

import numpy as np
from numpy.typing import NDArray

CHANCE_DIGITS = 12
MONEY_DIGITS = 9


def chance(exact: float) -> float:
    """A chance, or what is made of chances."""
    return round(exact, CHANCE_DIGITS)


def money(exact: float) -> float:
    """An amount of money."""
    return round(exact, MONEY_DIGITS)


def likeliest_first(chances: NDArray[np.float64]) -> NDArray[np.intp]:
    """Positions of chances [N], the greatest first."""
    return np.argsort(-np.round(chances, CHANCE_DIGITS), kind="stable")


def likeliest(chances: NDArray[np.float64]) -> int:
    """Position of the greatest of chances [N]."""
    return int(np.round(chances, CHANCE_DIGITS).argmax())


def is_less(costs: NDArray[np.float64], others: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Where costs are truly less than others."""
    return np.asarray(np.round(costs, MONEY_DIGITS) < np.round(others, MONEY_DIGITS))


def cheapest(costs: NDArray[np.float64]) -> NDArray[np.intp]:
    """Positions of the least costs along the last axis."""
    return np.asarray(np.round(costs, MONEY_DIGITS).argmin(axis=-1), np.intp)
