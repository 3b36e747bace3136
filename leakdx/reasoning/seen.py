"""What was seen of each sign, epoch by epoch, for each way in which doubted things that it relies on may be bad."""

from collections.abc import Callable, Mapping
from itertools import product

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from leakdx.reasoning.compiled import Array
from leakdx.reasoning.evidence import Evidence, SignEvidence

Entering = NDArray[np.bool_]
"""[items, B]: which answers have been entered in each of B cases."""
ByEpoch = Mapping[int, Array]
"""Epoch -> likelihood of each outcome [R, B]."""


class Seen(Struct, frozen=True):
    """One sign. ``cases``: 2 ** len(doubts) of them, from all good to all bad, the last doubt changing first."""

    doubts: tuple[str, ...]
    cases: tuple[ByEpoch, ...]

    @property
    def epochs(self) -> tuple[int, ...]:
        """Epochs in which it was seen, in order."""
        return tuple(sorted(self.cases[0]))

    def table(self, make: Callable[[ByEpoch], Array]) -> Array:
        """[V, B] of each case put together: [V, 2 for each doubt ..., B]."""
        made = [make(case) for case in self.cases]
        if not self.doubts:
            return made[0]
        batch = max(one.shape[-1] for one in made)
        stacked = np.stack([np.broadcast_to(one, (len(one), batch)) for one in made], axis=1)
        return stacked.reshape(len(stacked), *(2,) * len(self.doubts), batch)


def seen_signs(evidence: Evidence, entering: Entering) -> dict[str, Seen]:
    """Sign -> what was seen of it; what says nothing is left out, what is not entered says 1."""
    found: dict[str, list[tuple[SignEvidence, NDArray[np.bool_]]]] = {}
    for item, is_in in zip(evidence.signs, entering, strict=True):
        if item.otherwise or min(item.likelihood) < max(item.likelihood):
            found.setdefault(item.sign, []).append((item, is_in))
    return {sign: _seen(items) for sign, items in found.items()}


def _seen(items: list[tuple[SignEvidence, NDArray[np.bool_]]]) -> Seen:
    doubts = tuple(sorted({id for item, _ in items for id in item.relies}))
    cases = []
    for bad in product((False, True), repeat=len(doubts)):
        are_bad = {id for id, is_bad in zip(doubts, bad, strict=True) if is_bad}
        case: dict[int, Array] = {}
        for item, is_in in items:
            says = (np.array(_says(item, are_bad)) / max(item.likelihood))[:, None]
            if not is_in.all():
                says = np.where(is_in, says, 1.0)
            case[item.epoch] = says * case[item.epoch] if item.epoch in case else says
        cases.append(case)
    return Seen(doubts, tuple(cases))


def _says(item: SignEvidence, are_bad: set[str]) -> tuple[float, ...]:
    """The likelihood of an answer with these things bad."""
    own = tuple(id for id in item.relies if id in are_bad)
    return next((other.likelihood for other in item.otherwise if other.bad == own), item.likelihood)
