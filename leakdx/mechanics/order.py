"""In which order fasteners are tightened, and in how many passes.

One rule gives the order of any count (own derivation; it agrees with the trade's crosswise orders of 4, 8, 12, 16 and
20): an even count is two halves, each step of the half's order taken with its opposite; an odd count goes on by nearly
half the way round each time. Dowel places come first: a dowel that is drawn in late drags the carrier over.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.mechanics.given import MeasureError, between, positive
from leakdx.mechanics.outline import FEWEST, MOST


@dataclass(frozen=True)
class Pass:
    """Once through all fasteners: the torque (N m), and whether in order or once round."""

    torque: float
    share: float
    round_about: bool


def crosswise(count: int, first: int = 1) -> list[int]:
    """Numbers 1 to ``count``, clockwise places, in the order of tightening, beginning with ``first``."""
    between("the count of fasteners", count, FEWEST, MOST, "count those of the joint")
    _on_the_joint("the first fastener", first, count)
    return [(number + first - 2) % count + 1 for number in _steps(count)]


def tightening(count: int, dowels: Sequence[int] = (), first: int = 1) -> list[int]:
    """The order with the dowel places before all others, both crosswise; begins with a dowel where there are any."""
    for number in dowels:
        _on_the_joint("a dowel's place", number, count)
        if list(dowels).count(number) > 1:
            raise MeasureError(f"dowel place {number} is given twice; name each once")
    order = crosswise(count, dowels[0] if dowels else first)
    return [n for n in order if n in dowels] + [n for n in order if n not in dowels]


def groups(order: Sequence[int], count: int, dowels: int = 0) -> list[list[int]]:
    """The order in the groups that balance: the dowels, then fours, or pairs where fours do not come out even."""
    size = 4 if count % 4 == 0 and dowels % 4 == 0 else 2 if count % 2 == 0 and dowels % 2 == 0 else 1
    start = [list(order[:dowels])] if dowels else []
    return start + [list(order[at : at + size]) for at in range(dowels, len(order), size)]


def balance(numbers: Sequence[int], count: int) -> float:
    """How far off the middle of a ring the pull of some fasteners lies: 0 balanced, 1 all on one place."""
    turns = [math.tau * number / count for number in numbers]
    return math.hypot(sum(map(math.cos, turns)), sum(map(math.sin, turns))) / len(turns) if turns else 0.0


def passes(torque: float, shares: Sequence[float]) -> list[Pass]:
    """The passes to a torque (N m) by growing shares of it, and one once round at all of it."""
    positive("the torque", torque, "give a torque such as 225 lb-ft")
    if not shares or list(shares) != sorted(set(shares)) or shares[-1] != 1 or shares[0] <= 0:
        raise MeasureError("passes grow from more than nothing to the whole torque; give shares such as 0.3, 0.7, 1")
    return [*(Pass(torque * share, share, False) for share in shares), Pass(torque, 1.0, True)]


def _steps(count: int) -> list[int]:
    """Crosswise from number 1."""
    if count % 2:
        by = max(1, count // 2)
        return [step * by % count + 1 for step in range(count)]
    return [number for half in _steps(count // 2) for number in (half, half + count // 2)]


def _on_the_joint(name: str, number: int, count: int) -> None:
    between(name, number, 1, count, f"fasteners run from 1 to {count}")
