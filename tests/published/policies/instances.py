"""Small trucks on which the best possible order of checks can be worked out, and what every answer would make of them.

A handful of causes at one joint, eight checks of one sign each, two openings that are paid for once, a repair action
for each cause and one for several. All is drawn; nothing of it comes from the knowledge. Worlds are enumerated by
plain sums over the three states of every cause: no code of leakdx takes part.
"""

from dataclasses import dataclass
from functools import cached_property
from itertools import product

import numpy as np
from msgspec import structs
from numpy.typing import NDArray

from leakdx.knowledge.model import Knowledge, Shop
from leakdx.reasoning.belief import Model, compile_model
from tests.reasoning import tiny

Array = NDArray[np.float64]
CHECKS = 8
ABSENT, QUIET, LEAKING = range(3)
OPENINGS = ("panel", "carrier")
CLOSED = 0
"""Sets of openings are numbers: bit 0 the panel, bit 1 the carrier."""
OPENED = tuple(range(4))
REPORTED = 0.95
SUM_OF_SHARES = 1.12
EVEN_CHANCE, GESTURE = 0.5, 0.1
"""As in docs/model.md: curing nothing, or hardly anything, is no way out while a leak is likelier than not."""


@dataclass(frozen=True)
class Kind:
    """What instances are drawn like. ``minutes`` of a check, ``opening`` minutes of panel and carrier, ``comeback``."""

    minutes: tuple[float, float]
    opening: tuple[tuple[float, float], tuple[float, float]]
    comeback: tuple[float, float]


CHEAP = Kind((2.0, 30.0), ((10.0, 25.0), (50.0, 100.0)), (900.0, 2100.0))
DEAR = Kind((10.0, 60.0), ((15.0, 40.0), (60.0, 120.0)), (900.0, 2100.0))


@dataclass(frozen=True)
class Instance:
    """One drawn truck. Chances by cause [C], by check and cause [K, C], by repair and cause [R, C]; minutes, money.

    ``needs``: of checks [K] and repairs [R], the set of openings.
    """

    shares: Array
    leaks: Array
    links: Array
    strays: Array
    minutes: Array
    needs: tuple[int, ...]
    cures: Array
    repair_minutes: Array
    repair_parts: Array
    repair_needs: tuple[int, ...]
    opening_minutes: Array
    shop: Shop
    reported_stray: float = 0.001

    @property
    def checks(self) -> int:
        """How many there are."""
        return len(self.minutes)

    @property
    def rate(self) -> float:
        """Money that one minute costs."""
        return (self.shop.labour_rate + self.shop.downtime_rate) / 60

    def opening_cost(self, needed: int, opened: int) -> float:
        """Money that it takes to open what is needed beside what is open."""
        return self.rate * float(sum(m for i, m in enumerate(self.opening_minutes) if needed & ~opened & 1 << i))

    def check_cost(self, check: int, opened: int) -> float:
        """Money that a check takes, its openings included."""
        return self.rate * float(self.minutes[check]) + self.opening_cost(self.needs[check], opened)

    # -- as leakdx is told of it -------------------------------------------------------------------------

    @cached_property
    def knowledge(self) -> Knowledge:
        """The truck's world as a knowledge in memory."""
        causes = {
            f"cause{c}": tiny.cause(
                100 * float(share), leaks=float(self.leaks[c]),
                shows={f"sign{k}": float(link) for k, link in enumerate(self.links[:, c]) if link},
            )
            for c, share in enumerate(self.shares)
        }  # fmt: skip
        signs = {f"sign{k}": tiny.sign(float(stray)) for k, stray in enumerate(self.strays)}
        checks = {
            f"check{k}": tiny.check(f"sign{k}", minutes=float(self.minutes[k]), access=names(self.needs[k]))
            for k in range(self.checks)
        }
        repairs = {
            f"repair{r}": tiny.repair(
                {f"cause{c}": float(cure) for c, cure in enumerate(cures) if cure},
                minutes=float(self.repair_minutes[r]), parts=float(self.repair_parts[r]),
                access=names(self.repair_needs[r]),
            )
            for r, cures in enumerate(self.cures)
        }  # fmt: skip
        openings = {name: tiny.opening(float(m)) for name, m in zip(OPENINGS, self.opening_minutes, strict=True)}
        whole = tiny.knowledge(causes, signs, reported=(REPORTED, self.reported_stray))
        return structs.replace(whole, checks=checks, repairs=repairs, openings=openings)

    @cached_property
    def model(self) -> Model:
        """The same compiled, base chances solved for the shares."""
        return compile_model(self.knowledge)

    # -- every world, enumerated -------------------------------------------------------------------------

    @cached_property
    def paths(self) -> tuple[frozenset[int], ...]:
        """Every set of repair actions."""
        count = len(self.cures)
        return tuple(frozenset(r for r in range(count) if bits & 1 << r) for bits in range(1 << count))

    @cached_property
    def after(self) -> "After":
        """What every set of answers makes of it."""
        worlds = np.array(list(product(range(3), repeat=len(self.shares))))
        base = 1 / (1 + np.exp(-self.model.log_odds))
        states = np.stack([1 - base, base * (1 - self.leaks), base * self.leaks], axis=1)
        weight = np.prod(np.take_along_axis(states, worlds.T, axis=1), axis=0)
        is_leaking = worlds == LEAKING
        stray = self.reported_stray
        weight = weight * np.where(is_leaking.any(axis=1), 1 - (1 - REPORTED) * (1 - stray), stray)
        given = weight[None]
        for stray, links in zip(self.strays, self.links, strict=True):
            no = (1 - stray) * np.prod(np.where(is_leaking, 1 - links, 1.0), axis=1)
            given = np.stack([given, given * no, given * (1 - no)], axis=1).reshape(-1, len(worlds))
        missed = np.stack([np.prod(1 - self.cures[sorted(path)], axis=0) for path in self.paths])
        starts = self.shop.quiet_starts
        dry = np.ones((len(self.paths), len(worlds)))
        for c, state in enumerate(worlds.T):
            chances = np.stack([np.ones(len(missed)), 1 - starts * missed[:, c], 1 - missed[:, c]], axis=1)
            dry *= chances[:, state]
        mass = given.sum(axis=1)
        means = (given @ np.concatenate([dry.T, is_leaking, worlds == QUIET], axis=1)) / mass[:, None]
        count = len(self.paths)
        leaking, quiet = means[:, count : count + len(self.shares)], means[:, count + len(self.shares) :]
        return After(mass, means[:, :count], leaking, quiet, missed)

    @cached_property
    def prices(self) -> Array:
        """[answers, opened, paths] expected cost of stopping with a path."""
        found = self.after
        owed = (found.leaking + self.shop.quiet_starts * found.quiet) @ (found.missed * self._owed).T
        later = (1 - found.hold) * self.shop.comeback_cost + owed
        own = np.array([[self._own(path, opened) for path in self.paths] for opened in OPENED])
        return np.asarray(later[:, None] + own)

    @cached_property
    def costs(self) -> Array:
        """The same, infinite where a path is no way out of a leak that is likelier than not."""
        hold = self.after.hold
        is_out = (hold < EVEN_CHANCE) & (hold < hold[:, :1] + GESTURE)
        is_out[is_out.all(axis=1)] = False
        return np.asarray(np.where(is_out[:, None], np.inf, self.prices))

    def _own(self, path: frozenset[int], opened: int) -> float:
        needed = 0
        for action in path:
            needed |= self.repair_needs[action]
        chosen = sorted(path)
        work = self.rate * float(self.repair_minutes[chosen].sum()) + float(self.repair_parts[chosen].sum())
        return work + self.opening_cost(needed, opened)

    @cached_property
    def _owed(self) -> Array:
        """[C] the cheapest action for each cause alone, on a closed truck."""
        own = np.array([self._own(frozenset([r]), CLOSED) for r in range(len(self.cures))])
        return np.asarray(np.where(self.cures >= 0.6, own[:, None], np.inf).min(axis=0))


@dataclass(frozen=True)
class After:
    """By set of answers, a number in base 3 with the first check's digit first (not made, no, yes) [E].

    ``mass`` [E] chance of the answers; ``hold`` [E, P] that nothing leaks after a path; ``leaking``, ``quiet`` [E, C];
    ``missed`` [P, C] chance that a path does not cure a cause.
    """

    mass: Array
    hold: Array
    leaking: Array
    quiet: Array
    missed: Array


def names(openings: int) -> tuple[str, ...]:
    """The openings of a set."""
    return tuple(name for i, name in enumerate(OPENINGS) if openings & 1 << i)


def draw(kind: Kind, seed: int) -> Instance:
    """One instance; the same seed draws the same."""
    rng = np.random.default_rng((seed, 8))
    count = int(rng.integers(6, 8))
    weights = np.exp(rng.uniform(np.log(0.15), np.log(1.0), count))
    links = np.zeros((CHECKS, count))
    for row in links:
        own = rng.choice(count, int(rng.integers(1, 4)), replace=False)
        row[own] = rng.uniform(0.5, 0.95, len(own))
        row[rng.random(count) < 0.15] = rng.uniform(0.1, 0.3)
    each = np.diag(rng.uniform(0.85, 0.98, count))
    several = np.zeros(count)
    several[rng.choice(count, 3, replace=False)] = rng.uniform(0.7, 0.9)
    needs = rng.choice([0, 0, 1, 2], CHECKS)
    repair_needs = rng.choice([0, 1, 2, 2], count + 1)
    shop = tiny.shop(labour_rate=120.0, downtime_rate=60.0, comeback_cost=float(rng.uniform(*kind.comeback)))
    return Instance(
        shares=weights * SUM_OF_SHARES / weights.sum(),
        leaks=rng.uniform(0.5, 1.0, count),
        links=links,
        strays=rng.uniform(0.01, 0.1, CHECKS),
        minutes=rng.uniform(*kind.minutes, CHECKS),
        needs=tuple(needs.tolist()),
        cures=np.concatenate([each, several[None]]),
        repair_minutes=np.append(rng.uniform(20.0, 150.0, count), rng.uniform(120.0, 300.0)),
        repair_parts=rng.uniform(0.0, 300.0, count + 1),
        repair_needs=tuple(repair_needs.tolist()),
        opening_minutes=np.array([rng.uniform(*span) for span in kind.opening]),
        shop=shop,
    )
