"""Repair paths: which sets of actions the rules permit, what each cures, and what it costs to do.

Nothing here looks at probabilities. ``Means`` is what this truck, this shop and the rules leave open;
a ``Path`` is one set of actions done together, its access opened once.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import cached_property
from itertools import product

import numpy as np
from msgspec import Struct, structs
from numpy.typing import NDArray

from leakdx.knowledge.entry import (
    Range,
)
from leakdx.knowledge.model import Knowledge, Shop, unmet
from leakdx.reasoning.answer import Forbidden
from leakdx.reasoning.timeline import cures_of

LEAST_CURE = 0.6
"""A path is built for a cause from actions that cure it with at least this chance (the word "often")."""

MOST_ALTERNATIVES = 64
"""Combinations of companions that are followed for one set of actions; real knowledge needs a handful."""


class Path(Struct, frozen=True):
    """Actions done together. ``cure``: chance [C] that a leaking cause is cured, by cause in belief order."""

    actions: tuple[str, ...]
    cure: NDArray[np.float64]
    closes: str | None
    new_leak: float
    access: frozenset[str]

    def hold_multipliers(self, quiet_starts: float) -> NDArray[np.float64]:
        """[C, 3] chance that a cause (absent, quiet, leaking) does not leak afterwards; no new leak counted."""
        return np.stack([np.ones_like(self.cure), 1 - quiet_starts * (1 - self.cure), self.cure], axis=-1)


class Means(Struct, frozen=True, dict=True):
    """What may be done to this truck.

    ``required`` actions stand in every path; ``put_right`` ones join wherever they need no access of their own.
    ``open_now`` openings are paid for already.
    """

    knowledge: Knowledge
    shop: Shop
    causes: tuple[str, ...]
    history: Mapping[str, str]
    forbidden: tuple[Forbidden, ...]
    required: tuple[str, ...]
    put_right: tuple[str, ...]
    open_now: frozenset[str]

    @cached_property
    def barred(self) -> Mapping[str, str]:
        """Action -> the rule that forbids it altogether."""
        return {f.action: f.rule for f in self.forbidden if f.scope == "not at all"}

    @cached_property
    def repairs(self) -> tuple[str, ...]:
        """The permitted repair actions, in the order of the knowledge."""
        return tuple(
            id
            for id, repair in self.knowledge.repairs.items()
            if id not in self.barred and not unmet(repair.only_if, self.history)
        )

    @cached_property
    def cures(self) -> Mapping[str, NDArray[np.float64]]:
        """Permitted action -> cure chances [C], what rules do not let count as the cure taken out."""
        position = {cause: i for i, cause in enumerate(self.causes)}
        table: dict[str, NDArray[np.float64]] = {}
        for id in self.repairs:
            chances = np.zeros(len(self.causes))
            for cause, chance in cures_of(self.knowledge, self.knowledge.repairs[id]).items():
                chances[position[cause]] = chance
            chances[[position[c] for c in self._not_as_the_cure(id)]] = 0.0
            table[id] = chances
        return table

    def _not_as_the_cure(self, action: str) -> set[str]:
        """Causes that a rule does not let this action count against."""
        found: set[str] = set()
        for ban in self.forbidden:
            if ban.action == action and ban.scope == "not as the cure":
                targets = [c for t in ban.of for c in self.knowledge.members(t)] if ban.of else self.causes
                found.update(targets)
        return found

    @cached_property
    def companions(self) -> Mapping[str, tuple[tuple[str, ...], ...]]:
        """Action -> groups of which one each must be in the same path, from the knowledge and from rules."""
        repairs = self.knowledge.repairs
        table: dict[str, tuple[tuple[str, ...], ...]] = {}
        for id in self.repairs:
            groups = list(repairs[id].together_with)
            for ban in self.forbidden:
                others = tuple(o for o in ban.other if o in repairs)
                if ban.action != id or not others:
                    continue
                if ban.scope == "not before":
                    groups += [(other,) for other in others]
                elif ban.scope == "unless together with":
                    groups.append(others)
            table[id] = tuple(groups)
        return table

    @cached_property
    def joint_access(self) -> frozenset[str]:
        """Openings that only a closing action shuts again (the carrier taken out)."""
        closings = [frozenset(r.access) for r in self.knowledge.repairs.values() if r.closes]
        return frozenset.intersection(*closings) if closings else frozenset()

    def closed(self, actions: Iterable[str], opened: frozenset[str]) -> list[frozenset[str]]:
        """Every way to complete the actions with companions, required ones and a closing where the joint is open.

        Empty where the rules leave none.
        """
        start = frozenset(actions) | frozenset(self.required)
        if not start <= set(self.repairs):
            return []
        pending: list[frozenset[str]] = [start]
        done: list[frozenset[str]] = []
        while pending and len(done) < MOST_ALTERNATIVES:
            current = pending.pop()
            missing = self._missing(current, opened)
            if missing is None:
                done.append(current)
            else:
                pending.extend(current | {option} for option in missing if option in self.cures)
        legal = [a for a in done if sum(self.knowledge.repairs[x].closes is not None for x in a) <= 1]
        return _minimal(legal)

    def _missing(self, actions: frozenset[str], opened: frozenset[str]) -> tuple[str, ...] | None:
        """The options for the first companion that is not there yet; None when complete."""
        for action in sorted(actions):
            for group in self.companions[action]:
                if not actions & set(group):
                    return group
        if self.joint_access & opened and not any(self.knowledge.repairs[a].closes for a in actions):
            return tuple(id for id in self.repairs if self.knowledge.repairs[id].closes)
        return None

    def path(self, actions: frozenset[str], opened: frozenset[str]) -> Path:
        """The path of these actions, with what is to be put right at no access of its own."""
        repairs = self.knowledge.repairs
        access = self._access(actions)
        if actions:
            for extra in self.put_right:
                actions |= self._by_the_way(extra, actions, access | opened)
        ordered = tuple(id for id in self.repairs if id in actions)
        missed = np.ones(len(self.causes))
        for action in ordered:
            missed = missed * (1 - self.cures[action])
        closes = next((repairs[a].closes for a in ordered if repairs[a].closes), None)
        return Path(ordered, 1 - missed, closes, self.shop.new_leak[closes] if closes else 0.0, access)

    def _by_the_way(self, extra: str, actions: frozenset[str], opened: frozenset[str]) -> frozenset[str]:
        """What to put right beside the actions, with its companions; empty where it needs an access of its own.

        A way of closing is chosen for a path, never added by the way: there would be two.
        """
        added, pending = frozenset[str](), [extra]
        while pending:
            one = pending.pop()
            if one not in self.cures or self.knowledge.repairs[one].closes or not self._access({one}) <= opened:
                return frozenset()
            added |= {one}
            pending += [group[0] for group in self.companions[one] if not (actions | added) & set(group)]
        return added

    def _access(self, actions: Iterable[str]) -> frozenset[str]:
        """All openings that the actions need, with what those need in turn."""
        return opening_closure(self.knowledge, (o for a in actions for o in self.knowledge.repairs[a].access))

    def for_causes(self, causes: Iterable[str], opened: frozenset[str]) -> list[Path]:
        """Every minimal permitted path that cures each cause with LEAST_CURE or better; none: empty list."""
        options = []
        for cause in causes:
            i = self.causes.index(cause)
            options.append([id for id in self.repairs if self.cures[id][i] >= LEAST_CURE])
        sets = {done for choice in product(*options) for done in self.closed(choice, opened)}
        return [self.path(actions, opened) for actions in _minimal(sets)]

    def nothing(self, opened: frozenset[str]) -> list[Path]:
        """The empty path ("nothing to repair"), as far as required actions and an open joint leave it empty."""
        return [self.path(actions, opened) for actions in self.closed((), opened)]

    def minutes(self, path: Path, opened: frozenset[str]) -> Range:
        """Hands-on minutes (low, high) of the actions and of the access not open yet."""
        parts = [self.knowledge.repairs[a].minutes for a in path.actions]
        parts += [self.knowledge.openings[o].minutes for o in path.access - opened]
        return sum(p[0] for p in parts), sum(p[1] for p in parts)

    def elapsed(self, path: Path, opened: frozenset[str]) -> Range:
        """Hours of waiting (low, high): openings wait one after the other, cures run side by side."""
        waits = sum(self.knowledge.openings[o].elapsed_hours for o in sorted(path.access - opened))
        cures = [self.knowledge.repairs[a].elapsed_hours for a in path.actions] or [(0.0, 0.0)]
        return waits + max(c[0] for c in cures), waits + max(c[1] for c in cures)

    def own_cost(self, path: Path, opened: frozenset[str]) -> float:
        """Labour at mid-range, parts, and the truck's time (hands-on and waiting) at the downtime rate."""
        hours = sum(self.minutes(path, opened)) / 2 / 60
        waiting = sum(self.elapsed(path, opened)) / 2
        parts = sum(self.knowledge.repairs[a].parts for a in path.actions)
        return hours * self.shop.labour_rate + parts + (hours + waiting) * self.shop.downtime_rate

    @cached_property
    def prices(self) -> NDArray[np.float64]:
        """[C] own cost of the cheapest permitted path for each cause alone, from a closed truck.

        Where none is permitted: the price of stopping to ask the maker. What stands in every path anyway, or is put
        right by the way, is paid for by the path at hand and not owed again with each cause that it leaves.
        """
        shut: frozenset[str] = frozenset()
        only = structs.replace(self, required=(), put_right=())
        costs = [[self.own_cost(p, shut) for p in only.for_causes((cause,), shut)] for cause in self.causes]
        owed = [min(c, default=self.shop.stop_and_ask_price) for c in costs]
        asked = self.shop.stop_and_ask_price
        return np.array([o if self.curable(c) else asked for c, o in zip(self.causes, owed, strict=True)])

    @cached_property
    def _alone(self) -> Mapping[str, list[Path]]:
        """Cause -> the permitted paths for it alone, from a closed truck."""
        return {cause: self.for_causes((cause,), frozenset()) for cause in self.causes}

    def curable(self, cause: str) -> bool:
        """Whether some permitted path cures the cause."""
        return bool(self._alone[cause])


def opening_closure(knowledge: Knowledge, openings: Iterable[str]) -> frozenset[str]:
    """The openings with all that they need in turn."""
    found: set[str] = set()
    pending = list(openings)
    while pending:
        opening = pending.pop()
        if opening not in found:
            found.add(opening)
            pending.extend(knowledge.openings[opening].needs)
    return frozenset(found)


def still_to_open(knowledge: Knowledge, access: Iterable[str], open_now: Collection[str]) -> frozenset[str]:
    """Access that has to be opened for this: what is not open, and what opening it shuts again.

    A truck that was driven and is then washed has to be driven once more.
    """
    needed = opening_closure(knowledge, access)
    missing = needed - set(open_now)
    acts = (knowledge.openings[o].act for o in missing)
    shut = {o for act in acts if act is not None for o in knowledge.acts[act].closes}
    return missing | (needed & shut)


def _minimal(sets: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """The sets that contain no other of them, smallest first, in one fixed order."""
    kept: list[frozenset[str]] = []
    for candidate in sorted(set(sets), key=lambda s: (len(s), sorted(s))):
        if not any(smaller <= candidate for smaller in kept):
            kept.append(candidate)
    return kept


def expected_costs(
    means: Means,
    paths: Sequence[Path],
    own: NDArray[np.float64],
    hold: NDArray[np.float64],
    leaking: NDArray[np.float64],
    quiet: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Expected cost of each path: own + comeback + what is still owed for causes that leak afterwards.

    ``own`` [P]; ``hold`` [..., P] chance that nothing leaks (new leaks counted); ``leaking`` and ``quiet``
    [..., C] before it. Returns [..., P] in money. A new leak of a closing counts in ``hold`` only.
    """
    owed = np.array([(1 - p.cure) * means.prices for p in paths])
    leaks = leaking + means.shop.quiet_starts * quiet
    costs: NDArray[np.float64] = own + (1 - hold) * means.shop.comeback_cost + leaks @ owed.T
    return costs
