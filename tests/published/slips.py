"""How what is written down differs from what is there: answers that are wrong, looks that somebody never gets right."""

from collections.abc import Iterable, Mapping

import numpy as np

from leakdx.knowledge.model import Knowledge


class Slips:
    """One technician with one truck.

    ``wrong``: chance that an answer, told or looked for, is written as another one, each by its own coin.
    ``blind``: chance that he has a blind spot: one coin for the truck, and then BLIND_TO of all signs are
    overlooked together, found normal whatever is there.
    """

    BLIND_TO = 0.25

    def __init__(self, knowledge: Knowledge, wrong: float, blind: float, seed: Iterable[int]) -> None:
        self._rng = np.random.default_rng(list(seed))
        self._wrong = wrong
        signs = sorted(knowledge.signs)
        has_blind_spot = self._rng.random() < blind
        overlooked = self._rng.permutation(signs)[: round(self.BLIND_TO * len(signs))] if has_blind_spot else ()
        self.overlooked = frozenset(str(sign) for sign in overlooked)

    def look(self, sign: str, rank: int, outcomes: int) -> int:
        """The rank that is written for a sign of so many outcomes."""
        if sign in self.overlooked:
            return 0
        return int(self._rng.choice([r for r in range(outcomes) if r != rank])) if self._slips() else rank

    def told(self, answer: str, answers: Mapping[str, object]) -> str:
        """The answer that is written for a history fact."""
        return str(self._rng.choice([a for a in answers if a != answer])) if self._slips() else answer

    def _slips(self) -> bool:
        return self._wrong > 0 and bool(self._rng.random() < self._wrong)
