"""The belief against a forward sampler, on the six causes of tests/data/six.

The sampler draws trucks from the meaning of the knowledge alone. Among trucks that would have been
answered for as the case was, the frequency of each cause must agree with its posterior: by no more than
five standard deviations of a binomial, which one comparison in two million exceeds by chance.
"""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.belief import ActEvidence, Belief, Evidence, SignEvidence, compile_model
from tests.reasoning.enumeration import Flat, flatten

SIX = Path(__file__).parents[1] / "data" / "six"
TRUCKS = 400_000
DEVIATIONS = 5
Bits = NDArray[np.bool_]


class Fleet:
    """Trucks drawn together; every array has one place for each truck."""

    def __init__(self, k: Knowledge, base: Mapping[str, float], acts: Sequence[ActEvidence], seed: int) -> None:
        self.k, self.rng = k, np.random.default_rng(seed)
        flat: Flat = flatten(k)
        there: dict[str, Bits] = {}
        for cause in sorted(flat.causes, key=lambda c: any(child == c for _, child in flat.leads)):
            there[cause] = self.coin(base[cause])
            for (parent, child), link in flat.leads.items():
                if child == cause:
                    there[cause] |= there[parent] & self.coin(link)
        leaks = {c: there[c] & self.coin(flat.leaks[c]) for c in flat.causes}
        self.there, self.leaks = [there], [leaks]
        for act in acts:
            failed = {c: ~self.coin(act.cures.get(c, 0.0)) for c in flat.causes}
            self.there.append({c: b & failed[c] for c, b in self.there[-1].items()})
            self.leaks.append({c: b & failed[c] for c, b in self.leaks[-1].items()})
        gets_out = {key: self.coin(strength) for key, strength in flat.zones.items()}
        takes = {(z, p): self.coin(k.words.transfers[w]) for z, e in k.zones.items() for p, w in e.paths.items()}
        self.asks = {key: self.rank(chances) for key, chances in flat.shows.items()}
        self.stray: dict[str, NDArray[np.intp]] = {}
        self.seen_well: dict[str, Bits] = {}
        self.out = [
            {z: any_of(leaks[c] & gets_out[c, z] for c, to in flat.zones if to == z) for z in k.zones}
            for leaks in self.leaks
        ]
        itself = {(z, z): any_of([]) | entry.is_place for z, entry in k.zones.items()}
        self.wet = [
            {
                p: any_of(out[z] & way for (z, to), way in (itself | takes).items() if to == p)
                for p in (*k.zones, *k.places)
            }
            for out in self.out
        ]

    def coin(self, chance: float) -> Bits:
        return np.asarray(self.rng.random(TRUCKS) < chance)

    def rank(self, chances: Sequence[float]) -> NDArray[np.intp]:
        """1, 2, ... with these chances, else 0."""
        drawn = np.searchsorted(np.cumsum(chances), self.rng.random(TRUCKS), side="right")
        return ((drawn + 1) % (len(chances) + 1)).astype(np.intp)

    def outcome(self, sign: str, epoch: int) -> NDArray[np.intp]:
        """What a look at a sign shows in an epoch."""
        entry = self.k.signs[sign]
        if entry.place:
            words = self.k.words.place_signs[entry.place[0]]  # type: ignore[index]
            so = self.wet[epoch][entry.place[1]] if entry.place[0] == "wet" else self.out[epoch][entry.place[1]]
            well = self.seen_well.setdefault(sign, self.coin(self.k.link(words.link)))
            return (so & well | self.coin(self.k.stray(words.stray))).astype(np.intp)
        active = self.there[epoch] if entry.hangs_on == "present" else self.leaks[epoch]
        worst = self.rank(
            [self.k.stray(r.stray) for r in list(entry.results.values())[1:]] or [self.k.stray(entry.stray)]
        )
        if entry.hangs_on == "present":
            worst = self.stray.setdefault(sign, worst)
        for (cause, shown), asks in self.asks.items():
            if shown == sign:
                worst = np.maximum(worst, np.where(active[cause], asks, 0))
        return worst


def any_of(bits: Iterable[Bits]) -> Bits:
    some = np.zeros(TRUCKS, bool)
    for b in bits:
        some |= b
    return some


def hard(sign: str, epoch: int, outcome: int, outcomes: int = 2) -> SignEvidence:
    return SignEvidence(1, sign, epoch, tuple(float(i == outcome) for i in range(outcomes)))


CLEARED = (ActEvidence(1, "clear", {"breather_blocked": 0.8, "old_spill": 1.0}),)
STORIES: dict[str, tuple[tuple[ActEvidence, ...], tuple[SignEvidence, ...]]] = {
    "the complaint alone": ((), ()),
    "neighbours low": ((), (hard("torque_pattern", 0, 2, 3), hard("rust_dust_at_joint", 0, 1))),
    "wet in front, breather free": ((), (hard("wet.pinion_seal", 0, 1), hard("breather_wont_blow", 0, 0))),
    "cleared, and still wet in front": (
        CLEARED,
        (hard("breather_wont_blow", 0, 1), hard("wet.pinion_seal", 0, 1), hard("wet.pinion_seal", 1, 1)),
    ),
    "cleared, and dry": (CLEARED, (hard("wet.carrier_joint", 0, 1), hard("wet.carrier_joint", 1, 0))),
    "torque looked at twice": (CLEARED, (hard("torque_pattern", 0, 1, 3), hard("torque_pattern", 1, 1, 3))),
}


@pytest.mark.parametrize("story", STORIES)
def test_frequencies_agree_with_posteriors(story: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("LEAKDX_CACHE", str(tmp_path))
    acts, signs = STORIES[story]
    k = load_knowledge([SIX])
    model = compile_model(k)
    base = dict(zip(model.causes, 1 / (1 + np.exp(-model.log_odds)), strict=True))
    belief = Belief(model, Evidence(k.complaint, acts=acts, signs=signs))
    fleet = Fleet(k, base, acts, seed=7)
    words = k.words.place_signs["reported"]
    alike = fleet.wet[0][k.complaint] & fleet.coin(k.link(words.link)) | fleet.coin(k.stray(words.stray))
    for item in signs:
        alike &= fleet.outcome(item.sign, item.epoch) == int(np.argmax(item.likelihood))
    count = int(alike.sum())
    assert count > 200
    for i, cause in enumerate(belief.causes):
        for said, leaks in ((belief.leaking_first[i], fleet.leaks[0]), (belief.leaking[i], fleet.leaks[-1])):
            bound = DEVIATIONS * np.sqrt(max(said * (1 - said), 1 / count) / count)
            assert abs(leaks[cause][alike].mean() - said) < bound, cause
