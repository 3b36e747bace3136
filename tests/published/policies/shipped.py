"""Trucks drawn from the shipped knowledge worked in every way: what each costs above knowing the truth."""

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.published.policies.on_trucks import WAYS
from tests.published.simulation import runner
from tests.published.worked import Outcome

FOLLOW = "follow"
LESS_THAN = {"checklist_our_stop": 0.20, "checklist_90": 0.40}
"""By which part leakdx has to cost less above knowing than each of these."""
Above = Mapping[str, NDArray[np.float64]]


def above(world: str, seed: int, numbers: Sequence[int], jobs: int, keep: Path | None, ways: Sequence[str]) -> Above:
    """Way -> cost above knowing the truth [trucks], each way on the same trucks; one that was refused is in none."""
    worked = {}
    for way in ways:
        with runner(jobs, way, (world,), keep) as working:
            worked[way] = working.run(world, seed, numbers)
    whole = [n for n in range(len(numbers)) if all(isinstance(trucks[n], Outcome) for trucks in worked.values())]
    return {
        way: np.array([truck.above for n in whole if isinstance(truck := trucks[n], Outcome)])
        for way, trucks in worked.items()
    }


def table(found: Above) -> str:
    """A row for each way: mean with its error, and how much less leakdx costs, truck by truck."""
    ours = found[FOLLOW]
    rows = ["| way to choose | above knowing | leakdx costs less by | that is |", "|---|---|---|---|"]
    for way, costs in found.items():
        more, error = costs - ours, np.sqrt(len(costs))
        rows.append(
            f"| {way} | {costs.mean():.0f} ± {costs.std() / error:.0f} "
            f"| {more.mean():.0f} ± {more.std() / error:.0f} | {more.mean() / costs.mean():.0%} |"
        )
    return "\n".join(rows)


ALL_WAYS = (FOLLOW, *WAYS)
