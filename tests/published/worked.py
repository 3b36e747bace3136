"""One truck of a world: drawn, worked by leakdx, repaired, and what came of it."""

from collections.abc import Callable, Mapping

import msgspec
import numpy as np
from numpy.typing import NDArray

from leakdx.knowledge.model import NOT_LISTED
from leakdx.reasoning import conclude
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.planning import Priced
from leakdx.reasoning.repair import LEAST_CURE, Means
from tests.published.policies.on_trucks import MOST_STEPS, WAYS, WHOLE_LIST, access_of_best, cost_of_looking, work
from tests.published.reference.enumeration import ABSENT, LEAKING, QUIET
from tests.published.trucks import Job, Spent
from tests.published.truth import Truth
from tests.published.worlds import world

Array = NDArray[np.float64]
MOST_AT_RANDOM = 6


class Outcome(msgspec.Struct, frozen=True, tag=True):
    """One truck. Money in the shop's currency; ``said`` is P(hold) of the path taken, 0 where leakdx stops to ask."""

    number: int
    did: str
    said: float
    held: bool
    right: bool
    """Every cause that leaks is cured by the path."""
    leaked: tuple[str, ...]
    """Causes that leaked when it was brought in."""
    ranked: tuple[tuple[str, float], ...]
    """Causes as leakdx knows them, likeliest first, with the chance of having leaked when brought in."""
    warned: bool
    """ "Could be none of these" was said."""
    actions: tuple[str, ...]
    steps: int
    looking: float
    loss: float
    least_loss: float
    demanded: float = 0.0
    """Of ``looking``: what rules want seen before a repair and is worth nothing by itself."""
    used: float = 0.0
    """Of ``looking``: access that the repair needs too."""

    @property
    def known(self) -> bool:
        """The trouble is listed in the knowledge that trucks are drawn from."""
        return NOT_LISTED not in self.leaked

    @property
    def stopped(self) -> bool:
        """No path was taken; the maker is asked, and then what leaks is known."""
        return self.did == "stop_and_ask"

    @property
    def above(self) -> float:
        """Cost of looking and of the path, less what knowing the truth would have cost."""
        return self.looking + self.loss - self.least_loss

    @property
    def leader(self) -> str:
        """The likeliest cause."""
        return self.ranked[0][0]

    @property
    def wrongly_sure(self) -> str | None:
        """A cause that did not leak and yet stands clear."""
        wrong = (c for c, p in self.ranked if p >= conclude.CLEAR and c not in (NOT_LISTED, *self.leaked))
        return next(wrong, None)


class Refused(msgspec.Struct, frozen=True, tag=True):
    """A truck for which leakdx gave no answer, and what it said instead."""

    number: int
    sentence: str


def one_truck(name: str, policy: str, seed: int, number: int) -> Outcome | Refused:
    """Draw, work and repair one truck of the world of this name; the same seed and number give the same truck."""
    try:
        return _one_truck(name, policy, seed, number)
    except Exception as error:  # a crash is a finding too, and must not end the run
        return Refused(number, f"{type(error).__name__}: {error}")


def _one_truck(name: str, policy: str, seed: int, number: int) -> Outcome:
    job = Job(world(name), seed, number)
    job.open_interview()
    way = WAYS.get(policy)
    spent = work(job, way) if way else OWN_WAYS[policy](job)
    diagnosis = job.diagnosis()
    if not way.by_90 if way else policy != "wander":
        return _repaired(job, diagnosis, diagnosis.plan.priced, diagnosis.decision.do, spent)
    return _repaired(job, diagnosis, diagnosis.planner.priced, "repair", spent)


def follow(job: Job) -> Spent:
    """Make the checks that leakdx wants, until it wants no more with everything open that its first path needs.

    What a hold wants written down before the repair is made too, and opening for it shows more: the shop reads
    what it finds and asks again.
    """
    looking, opening, demanded, steps = 0.0, 0.0, 0.0, 0
    while steps < MOST_STEPS:
        diagnosis = job.diagnosis()
        check, do, written = diagnosis.next_check, diagnosis.decision.do, len(job.log)
        if do in ("look_further", "repair") and check is not None:
            demanded += cost_of_looking(diagnosis, check.id) if check.net_value <= 0 else 0.0
            looking += job.make(check.id)
            steps += 1
        elif do == "repair":
            opening += job.open(sorted(access_of_best(diagnosis)))
        if len(job.log) == written:
            break
    return Spent(looking, opening, steps, demanded)


def wander(job: Job) -> Spent:
    """Make up to six checks taken at random from those that may be made: cheap, and no wiser than chance."""
    looking, steps = 0.0, int(job.rng.integers(0, MOST_AT_RANDOM + 1))
    for step in range(steps):
        offered = sorted(job.diagnosis().offer.checks())
        if not offered:
            return Spent(looking, 0.0, step)
        looking += job.make(str(job.rng.choice(offered)))
    return Spent(looking, 0.0, steps)


def all_seen(job: Job) -> Spent:
    """Every look at the truck as found, for nothing, and then as leakdx wants: what no choice among them can better."""
    for _ in range(WHOLE_LIST):
        now = job.diagnosis()
        as_found = [c for c in now.offer.checks() if not now.planner.opens(job.knowledge.checks[c])]
        if not as_found:
            break
        job.make(as_found[0])
    return follow(job)


OWN_WAYS: Mapping[str, Callable[[Job], Spent]] = {"follow": follow, "wander": wander, "all_seen": all_seen}


def _repaired(job: Job, diagnosis: Diagnosis, plan: Priced, did: str, spent: Spent) -> Outcome:
    """Take the first path, draw whether it holds, and price it against the path that knowing would take."""
    causes = tuple(job.meaning.causes)
    states = np.array([job.truck.state(c) for c in causes])
    # As brought in: what a look washed away is not counted as known and mended for nothing.
    least = least_loss(job.truth, np.array([job.truck.state(c, 0) for c in causes]))
    actions: tuple[str, ...] = ()
    said, held, right, used, loss = 0.0, False, False, 0.0, spent.opening + loss_of_asking(job.truth, states)
    did = did if plan.paths else "stop_and_ask"
    if did != "stop_and_ask":
        best = plan.best_first()[0]
        path = plan.paths[best]
        actions, said = path.actions, float(plan.hold[best])
        told = dict(zip(diagnosis.belief.causes, path.cure.tolist(), strict=True))
        cures = {c: told[c] if c in told else _cure(job.truth, actions, c) for c in causes}
        held = job.truck.holds(cures, diagnosis.shop.quiet_starts, [path.new_leak])
        right = all(cures[c] >= LEAST_CURE for c in job.truck.leaking())
        prices = _prices(job.truth, diagnosis.means)
        cure = np.array([cures[c] for c in causes])
        own = spent.opening + float(plan.own[best])
        used = max(0.0, diagnosis.means.own_cost(path, frozenset()) - own)
        loss = _loss(diagnosis.means, prices, states, cure, path.new_leak, own)
    ranked = sorted(zip(diagnosis.belief.causes, diagnosis.belief.leaking_first.tolist(), strict=True), key=_by_chance)
    warned = conclude.none_of_these(dict(ranked)).warn
    leaked = tuple(job.truck.leaking(0))
    return Outcome(
        job.number,
        did,
        said,
        held,
        right,
        leaked,
        tuple(ranked),
        warned,
        actions,
        spent.steps,
        spent.looking,
        loss,
        least,
        spent.demanded,
        used,
    )


def _by_chance(item: tuple[str, float]) -> float:
    return -item[1]


def _cure(truth: Truth, actions: tuple[str, ...], cause: str) -> float:
    """Chance that the actions cure a cause that leakdx was not told of: it may be cured without being known."""
    return 1 - float(np.prod([1 - truth.meaning.acts[action].get(cause, 0.0) for action in actions]))


def _prices(truth: Truth, means: Means) -> Array:
    """What each cause costs that leaks on: as leakdx prices it, and by the truth where it was not told of it."""
    told = dict(zip(means.causes, means.prices.tolist(), strict=True))
    true = dict(zip(truth.free.causes, truth.free.prices.tolist(), strict=True))
    return np.array([told.get(cause, true[cause]) for cause in truth.free.causes])


def _loss(means: Means, prices: Array, states: NDArray[np.int_], cure: Array, new_leak: float, own: float) -> float:
    """Expected cost of a path when it is known what leaks and what is quiet; arrays [C]."""
    stays = np.where(states == LEAKING, 1 - cure, np.where(states == QUIET, (1 - cure) * means.shop.quiet_starts, 0.0))
    held = float(np.prod(1 - stays)) * (1 - new_leak)
    return own + (1 - held) * means.shop.comeback_cost + float((stays * prices).sum())


def least_loss(truth: Truth, states: NDArray[np.int_]) -> float:
    """The least expected cost when it is known what is there: of a path, or of asking about what is not listed."""
    least = _least_of_paths(truth, states)
    return (
        min(least, loss_of_asking(truth, states)) if states[truth.free.causes.index(NOT_LISTED)] == LEAKING else least
    )


def loss_of_asking(truth: Truth, states: NDArray[np.int_]) -> float:
    """Cost of stopping to ask: it pays for what is not listed here, and then the rest is known and repaired."""
    listed = np.where(np.array(truth.free.causes) == NOT_LISTED, ABSENT, states)
    return truth.free.shop.stop_and_ask_price + _least_of_paths(truth, listed)


def _least_of_paths(truth: Truth, states: NDArray[np.int_]) -> float:
    """The least expected cost over paths when it is known what is there: from a shut truck, nothing forbidden."""
    free = truth.free
    there = [c for c, state in zip(free.causes, states.tolist(), strict=True) if state != ABSENT and free.curable(c)]
    leaking = [c for c in there if states[free.causes.index(c)] == LEAKING]
    shut: frozenset[str] = frozenset()
    paths = [*free.nothing(shut), *free.for_causes(leaking, shut), *free.for_causes(there, shut)]
    return min(_loss(free, free.prices, states, p.cure, p.new_leak, free.own_cost(p, shut)) for p in paths)
