"""Trucks drawn from the shipped knowledge worked in every way: what each costs above knowing the truth."""

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.published.simulation import runner
from tests.published.worked import Outcome

FOLLOW = "follow"
LESS_THAN = {"checklist_our_stop": 0.20, "checklist_90_fixed": 0.40}
"""By which part leakdx has to cost less above knowing than each of these."""
BESIDE = ("checklist_90_held", "checklist_90", "all_seen")
"""Printed beside them: a checklist that goes by what is open already and ends after 30 checks; the same one leaving out
what rules want seen before a repair; then leakdx with every look as found for nothing, which no choice of looks can
better by much."""
Worked = Mapping[str, Sequence[Outcome]]


def worked(world: str, seed: int, numbers: Sequence[int], jobs: int, keep: Path | None, ways: Sequence[str]) -> Worked:
    """Way -> trucks, each way on the same ones; a truck that was refused in one way is left out of all."""
    found = {}
    for way in ways:
        with runner(jobs, way, (world,), keep) as working:
            found[way] = working.run(world, seed, numbers)
    whole = [n for n in range(len(numbers)) if all(isinstance(trucks[n], Outcome) for trucks in found.values())]
    return {way: [t for n in whole if isinstance(t := trucks[n], Outcome)] for way, trucks in found.items()}


def above(trucks: Sequence[Outcome]) -> NDArray[np.float64]:
    """Cost above knowing the truth [trucks]."""
    return np.array([truck.above for truck in trucks])


def saved(found: Worked, way: str) -> tuple[float, float]:
    """By which part leakdx costs less above knowing than the way, truck by truck, and its standard error."""
    costs = above(found[way])
    less = costs - above(found[FOLLOW])
    return float(less.mean() / costs.mean()), float(less.std() / np.sqrt(len(less)) / costs.mean())


def where_it_goes(trucks: Sequence[Outcome]) -> str:
    """What is above knowing, on average: looks that were chosen, looks that rules want, and the rest at the repair."""
    demanded = np.mean([t.demanded for t in trucks])
    chosen = np.mean([t.looking - t.used for t in trucks]) - demanded
    repair = above(trucks).mean() - demanded - chosen
    return f"{chosen:.0f} chosen looks, {demanded:.0f} looks that rules want, {repair:.0f} at the repair"
