"""How often the leader and the chosen repair stand when all judged numbers are uncertain together.

Every chance of the knowledge has its odds times a lognormal factor of its own, the shares are scaled back to their
sum and the base chances solved for them; the minutes of a repair fall anywhere within their range. What the shop
charges is known, and cures are held: they are about repairs, not about what is there.
"""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from leakdx.reasoning.compiled import Model
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.judged import with_all_odds
from leakdx.reasoning.sensitivity import Choice, Judgement
from leakdx.reasoning.shares import near

Array = NDArray[np.float64]
SPREAD = float(np.log(2))
"""Standard deviation of the logarithm of a factor: two in three judgements are right within a factor of two."""
DRAWS = 100
ROUNDS = 6
"""Steps towards shares that are themselves uncertain: to about a tenth of a share in a hundred."""
MIDDLE = (10, 90)
"""Percentiles between which four in five draws fall."""


class Uncertain(Struct, frozen=True):
    """What came of the draws. ``leaders`` and ``repairs``: how often each was chosen, the commonest first.

    ``p_leader`` and ``p_hold``: between which values four in five draws put the chance of today's leader and that
    today's repair holds.
    """

    draws: int
    leader_stands: float
    repair_stands: float
    leaders: tuple[tuple[str, int], ...]
    repairs: tuple[tuple[tuple[str, ...], int], ...]
    p_leader: tuple[float, float]
    p_hold: tuple[float, float]


class _Drawn(Struct, frozen=True):
    choice: Choice
    p_leader: float
    p_hold: float


def all_together(diagnosis: Diagnosis, draws: int = DRAWS, seed: int = 1, spread: float = SPREAD) -> Uncertain | None:
    """Judge the case under ``draws`` other sets of numbers; None where nothing is permitted at all.

    The same seed draws the same numbers.
    """
    if not diagnosis.plan.priced.paths:
        return None
    judgement = Judgement(diagnosis)
    rng = np.random.default_rng(seed)
    found = [_drawn(judgement, rng, spread) for _ in range(draws)]
    now = judgement.choice
    return Uncertain(
        draws=draws,
        leader_stands=float(np.mean([one.choice.leader == now.leader for one in found])),
        repair_stands=float(np.mean([one.choice.repair == now.repair for one in found])),
        leaders=_counted([one.choice.leader for one in found]),
        repairs=_counted([one.choice.repair for one in found]),
        p_leader=_middle([one.p_leader for one in found]),
        p_hold=_middle([one.p_hold for one in found]),
    )


def _drawn(judgement: Judgement, rng: np.random.Generator, spread: float) -> _Drawn:
    """One set of numbers."""
    found = judgement.posterior(_other_numbers(judgement.model, rng, spread))
    leader = judgement.causes.index(judgement.choice.leader)
    best = next(i for i, path in enumerate(judgement.paths) if path.actions == judgement.choice.repair)
    held = float(found.hold[best]) * (1 - judgement.paths[best].new_leak)
    choice = judgement.choose(found, _own_costs(judgement, rng))
    return _Drawn(choice, float(found.first[leader]), held)


def _other_numbers(model: Model, rng: np.random.Generator, spread: float) -> Model:
    """The model as somebody else might have judged it."""
    other = with_all_odds(model, lambda: float(np.exp(spread * rng.standard_normal())))
    nearby = model.log_odds + _log_odds(other.shares) - _log_odds(model.shares)
    return other.with_log_odds(near(other, nearby, ROUNDS))


def _own_costs(judgement: Judgement, rng: np.random.Generator) -> Array:
    """[P] what the paths cost, each action's minutes anywhere within its range."""
    means = judgement.means
    rate = (means.shop.labour_rate + means.shop.downtime_rate) / 60
    off = {id: (high - low) * float(rng.uniform(-0.5, 0.5)) for id in means.repairs
           for low, high in [means.knowledge.repairs[id].minutes]}  # fmt: skip
    more = [rate * sum(off[action] for action in path.actions) for path in judgement.paths]
    return np.asarray(judgement.own_costs(means) + np.array(more), np.float64)


def _counted(chosen: list[str] | list[tuple[str, ...]]) -> tuple:  # type: ignore[type-arg]
    counts = {one: chosen.count(one) for one in dict.fromkeys(chosen)}  # type: ignore[arg-type]
    return tuple(sorted(counts.items(), key=lambda item: (-item[1], item[0])))


def _middle(values: list[float]) -> tuple[float, float]:
    if not values:
        return float("nan"), float("nan")
    low, high = np.percentile(values, MIDDLE)
    return float(low), float(high)


def _log_odds(chances: Array) -> Array:
    return np.asarray(np.log(chances) - np.log1p(-chances))
