"""On which judged numbers the leader and the chosen repair hang, and how far each may be off before they change.

One chance at a time, all else held. The posterior is then a ratio of two linear functions of it (each coin is
thrown once), so two posteriors tell all others; where a third disagrees, since the chance counts several times,
every step is worked out anew ("by bracketing").
"""

from collections.abc import Callable, Iterator
from functools import cached_property, partial

import numpy as np
from msgspec import Struct, structs
from numpy.typing import NDArray

from leakdx.knowledge.model import Shop
from leakdx.reasoning import ties
from leakdx.reasoning.belief import Belief, Model
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.judged import Judged, judged_chances, moved_chance, times_odds, with_chance
from leakdx.reasoning.network import NATURAL_PER_DECIBAN
from leakdx.reasoning.planning import HARDLY_THERE, Priced, no_new_leak
from leakdx.reasoning.repair import Means, Path

Array = NDArray[np.float64]
Chosen = str | tuple[str, ...]
"""A cause, or the actions of a path."""
FARTHEST = 20.0
"""Factor on the odds, or on an amount, up to which a judgement may be off."""
FINE, COARSE = 12, 6
"""Halvings of the span in which a choice changes: to a thousandth of the odds on a straight line, else a twentieth."""
SAME = 1e-9
"""Greatest difference at which a straight line still counts as one."""
AMOUNTS = ("labour_rate", "downtime_rate", "comeback_cost", "stop_and_ask_price")


class Choice(Struct, frozen=True):
    """The likeliest cause when brought in, and the actions of the path recommended."""

    leader: str
    repair: tuple[str, ...]


class Stands(Struct, frozen=True):
    """Between which values a choice stands, and what it changes to beyond; None: no change within FARTHEST."""

    low: float | None
    high: float | None
    below: Chosen | None
    above: Chosen | None

    def factor(self, value: float, is_chance: bool) -> float:
        """The least factor, on odds or on an amount, by which the number must be off to change the choice."""
        ends = [end for end in (self.low, self.high) if end is not None]
        sizes = [(_odds(end) / _odds(value)) if is_chance else end / value for end in ends]
        return min((max(size, 1 / size) for size in sizes), default=np.inf)


class Hang(Struct, frozen=True):
    """One number, and where leader and repair stand as it moves. ``exact``: by a straight line, not by bracketing.

    ``kind``: of a judged chance, or "amount" (field of the shop) or "hours" (a repair action); ``value`` is a chance,
    money or hours.
    """

    kind: str
    of: tuple[str, ...]
    value: float
    leader: Stands
    repair: Stands
    exact: bool

    @property
    def is_chance(self) -> bool:
        """Whether it moves by its odds, not by itself."""
        return self.kind not in ("amount", "hours")

    @property
    def factor(self) -> float:
        """The least factor that changes either choice."""
        return min(side.factor(self.value, self.is_chance) for side in (self.leader, self.repair))


class Posterior(Struct, frozen=True):
    """What a choice is made of, with the logarithm of how probable the evidence is."""

    log_evidence: float
    first: Array
    leaking: Array
    quiet: Array
    hold: Array
    """[P] without new leaks."""

    def mixed(self, other: "Posterior", part: float) -> "Posterior":
        """On the straight line from here to the other, in the chance that moves."""
        own, others = 1 - part, part * float(np.exp(other.log_evidence - self.log_evidence))
        arrays = ("first", "leaking", "quiet", "hold")
        means = {a: (own * getattr(self, a) + others * getattr(other, a)) / (own + others) for a in arrays}
        return Posterior(self.log_evidence + float(np.log(own + others)), **means)


class Judgement:
    """How a case is judged under other numbers: leader and repair, the paths held."""

    def __init__(self, diagnosis: Diagnosis) -> None:
        self.diagnosis = diagnosis
        self.model: Model = diagnosis.belief.model
        self.causes = diagnosis.belief.causes
        self.means: Means = diagnosis.means
        self.paths: tuple[Path, ...] = diagnosis.planner.possible_paths()
        self._no_new_leak = no_new_leak(self.paths)

    @cached_property
    def now(self) -> Posterior:
        """As the numbers are."""
        return self.posterior(self.model)

    @cached_property
    def choice(self) -> Choice:
        """As the numbers are."""
        return self.choose(self.now)

    def posterior(self, model: Model) -> Posterior:
        """The case under another model."""
        belief = Belief(model, structs.replace(self.diagnosis.evidence, askable=()))
        hold = belief.expect(now=self._multipliers)
        return Posterior(belief.log_evidence, belief.leaking_first, belief.leaking, belief.quiet, hold)

    @cached_property
    def _multipliers(self) -> Array:
        return np.stack([path.hold_multipliers(self.means.shop.quiet_starts) for path in self.paths])

    def choose(self, found: Posterior, own: Array | None = None) -> Choice:
        """The choice under a posterior; ``own`` [P]: what the paths themselves cost, where that is something else."""
        return self._choice(found, self._own if own is None else own, self._owed, self.means.shop.comeback_cost)

    def choose_by(self, found: Posterior, means: Means) -> Choice:
        """The choice under a posterior, at other prices."""
        return self._choice(found, self.own_costs(means), self.owed(means), means.shop.comeback_cost)

    def _choice(self, found: Posterior, own: Array, owed: Array, comeback: float) -> Choice:
        hold = found.hold * self._no_new_leak
        leaks = found.leaking + self.means.shop.quiet_starts * found.quiet
        priced = Priced(self.paths, own, hold, own + (1 - hold) * comeback + owed @ leaks)
        return Choice(self.causes[ties.likeliest(found.first)], self.paths[priced.best_first()[0]].actions)

    def own_costs(self, means: Means) -> Array:
        """[P] what the paths themselves cost."""
        return np.array([means.own_cost(path, means.open_now) for path in self.paths])

    def owed(self, means: Means) -> Array:
        """[P, C] what a cause that leaks before a path costs after it."""
        return np.array([(1 - path.cure) * means.prices for path in self.paths])

    @cached_property
    def _own(self) -> Array:
        return self.own_costs(self.means)

    @cached_property
    def _owed(self) -> Array:
        return self.owed(self.means)


def hanging(diagnosis: Diagnosis) -> tuple[Hang, ...]:
    """The numbers that leader or repair hang on, the weightiest first; none where nothing is permitted at all."""
    if not diagnosis.plan.priced.paths:
        return ()
    judgement = Judgement(diagnosis)
    likely = {c for c, p in zip(judgement.causes, diagnosis.belief.present_first, strict=True) if p > HARDLY_THERE}
    every = judged_chances(judgement.model, diagnosis.evidence, [c for c in judgement.causes if c in likely])
    found = [*(_of_chance(judgement, judged) for judged in every), *_of_amounts(judgement)]
    return tuple(sorted((h for h in found if np.isfinite(h.factor)), key=lambda h: h.factor))


def _of_chance(judgement: Judgement, judged: Judged) -> Hang:
    """One judged chance, from FARTHEST below to FARTHEST above."""
    model = judgement.model

    def value(factor: float) -> float:
        return moved_chance(model, judged, factor)

    def anew(factor: float) -> Posterior:
        return judgement.posterior(with_chance(model, judged, value(factor)))

    low, high = anew(1 / FARTHEST), anew(FARTHEST)
    place = _coordinate(judgement, judged)

    def between(factor: float) -> Posterior:
        part = (place(factor) - place(1 / FARTHEST)) / (place(FARTHEST) - place(1 / FARTHEST))
        return low.mixed(high, part)

    exact = judged.kind != "word" and _is_same(between(1.0), judgement.now)
    posterior = between if exact else anew
    sides = _stands(judgement.choice, lambda f: judgement.choose(posterior(f)), FINE if exact else COARSE)
    leader, repair = (_at_values(side, value) for side in sides)
    return Hang(judged.kind, judged.of, judged.chance, leader, repair, exact)


def _coordinate(judgement: Judgement, judged: Judged) -> Callable[[float], float]:
    """The chance that the evidence is linear in, by the factor on its odds: of a base chance the one after history."""
    if judged.kind != "base":
        return lambda factor: moved_chance(judgement.model, judged, factor)
    told = judgement.diagnosis.evidence.history
    cause = judgement.model.index[judged.of[0]]
    decibans = sum(d for item in told for id, d in item.decibans.items() if cause in judgement.model.causes_of(id))
    after_history = times_odds(judged.chance, float(np.exp(decibans * NATURAL_PER_DECIBAN)))
    return lambda factor: times_odds(after_history, factor)


def _is_same(one: Posterior, other: Posterior) -> bool:
    pairs = ((one.first, other.first), (one.leaking, other.leaking), (one.quiet, other.quiet), (one.hold, other.hold))
    return all(float(np.abs(a - b).max()) < SAME for a, b in pairs)


def _stands(now: Choice, choose: Callable[[float], Choice], steps: int) -> tuple[Stands, Stands]:
    """Where leader and repair stand, by factor. What has not changed FARTHEST out has not changed on the way.

    Costs and chances of a path are straight lines against one another, so the values at which one of them is the
    best lie side by side.
    """
    low, high = choose(1 / FARTHEST), choose(FARTHEST)
    leader = _side(now.leader, low.leader, high.leader, lambda f: choose(f).leader, steps)
    return leader, _side(now.repair, low.repair, high.repair, lambda f: choose(f).repair, steps)


def _side(now: Chosen, below: Chosen, above: Chosen, choose: Callable[[float], Chosen], steps: int) -> Stands:
    """Where one choice stands, by factor, from what it is at both far ends."""
    low = None if below == now else _turn(lambda factor: choose(factor) == now, 1 / FARTHEST, steps)
    high = None if above == now else _turn(lambda factor: choose(factor) == now, FARTHEST, steps)
    return Stands(low, high, None if low is None else below, None if high is None else above)


def _turn(is_same: Callable[[float], bool], outward: float, steps: int) -> float:
    """The factor at which something stops being the same, between 1 and ``outward``; halved on a scale of logs."""
    inside, outside = 0.0, float(np.log(outward))
    for _ in range(steps):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if is_same(float(np.exp(middle))) else (inside, middle)
    return float(np.exp((inside + outside) / 2))


def _at_values(stands: Stands, value: Callable[[float], float]) -> Stands:
    """Factors as values of the number itself."""
    low, high = (None if end is None else value(end) for end in (stands.low, stands.high))
    return structs.replace(stands, low=low, high=high)


def _of_amounts(judgement: Judgement) -> Iterator[Hang]:
    """What the shop charges and pays, and the hours of the actions of the two best paths."""
    means = judgement.means
    for field in AMOUNTS:
        value = float(getattr(means.shop, field))
        if value > 0:
            yield _of_amount(judgement, "amount", field, value, partial(_with_amount, judgement, field, value))
    for action in dict.fromkeys(a for path in _two_best(judgement) for a in path.actions):
        hours = sum(means.knowledge.repairs[action].minutes) / 2 / 60
        if hours > 0:
            yield _of_amount(judgement, "hours", action, hours, partial(_with_hours, judgement, action))


def _two_best(judgement: Judgement) -> list[Path]:
    """The two cheapest paths as the case stands."""
    priced = judgement.diagnosis.plan.priced
    return [priced.paths[i] for i in priced.best_first()[:2]]


def _of_amount(judgement: Judgement, kind: str, of: str, value: float, choose: Callable[[float], Choice]) -> Hang:
    leader, repair = (
        _at_values(side, lambda factor: value * factor) for side in _stands(judgement.choice, choose, FINE)
    )
    return Hang(kind, (of,), value, leader, repair, True)


def _with_amount(judgement: Judgement, field: str, value: float, factor: float) -> Choice:
    """The choice where one setting of the shop is so many times as large."""
    shop: Shop = structs.replace(judgement.means.shop, **{field: value * factor})
    return judgement.choose_by(judgement.now, structs.replace(judgement.means, shop=shop))


def _with_hours(judgement: Judgement, action: str, factor: float) -> Choice:
    """The choice where an action takes so many times its hours; what it would cost later is held."""
    means = judgement.means
    shop = means.shop
    hours = sum(means.knowledge.repairs[action].minutes) / 2 / 60
    more = hours * (factor - 1) * (shop.labour_rate + shop.downtime_rate)
    own = judgement.own_costs(means) + more * np.array([action in path.actions for path in judgement.paths])
    return judgement.choose(judgement.now, own)


def _odds(chance: float) -> float:
    return chance / (1 - chance)
