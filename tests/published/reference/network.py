"""The model as a Bayesian network of plain tables, to be run by general-purpose libraries.

Every table is written out here (axes: the node, then its parents), so that no library's convention for
noisy-OR comes in: a link's strength excludes the stray. Wide signs are chains of a maximum over one
parent at a time; a sure "no" is a product over the parents and enters as soft evidence on each.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.published.reference.enumeration import ABSENT, LEAKING, QUIET, base_chance, fresh_strays
from tests.published.reference.reader import Meaning, Story

Array = NDArray[np.float64]
ACTIVE = {"present": (QUIET, LEAKING), "leaking": (LEAKING,)}


class ImpossibleError(ValueError):
    """The evidence has no chance at all."""


@dataclass
class Net:
    """Nodes with their tables, and soft evidence (a likelihood per state)."""

    parents: dict[str, tuple[str, ...]] = field(default_factory=dict)
    tables: dict[str, Array] = field(default_factory=dict)
    soft: dict[str, Array] = field(default_factory=dict)
    constant: float = 1.0

    def add(self, node: str, parents: Sequence[str], table: Array) -> str:
        """A node with P(node | parents), axes (node, *parents). Returns its name."""
        self.parents[node], self.tables[node] = tuple(parents), np.asarray(table, float)
        return node

    def note(self, node: str, likelihood: Iterable[float]) -> None:
        """Soft evidence on a node; several multiply."""
        self.soft[node] = self.soft.get(node, np.ones(len(self.tables[node]))) * np.array(list(likelihood))


@dataclass(frozen=True)
class Source:
    """What may ask a sign for a rank: its node in each epoch, the states in which it does, the kept chances."""

    nodes: Mapping[int, str]
    active: tuple[int, ...]
    chances: Mapping[int, float]

    def asks(self, states: int, ranks: int) -> Array:
        """P(rank asked | state), [states, ranks]."""
        table = np.zeros((states, ranks))
        table[:, 0] = 1.0
        for state in self.active:
            for rank, chance in self.chances.items():
                table[state, rank] += chance
            table[state, 0] = 1.0 - sum(self.chances.values())
        return table


class Builder:
    """Builds the network of one story, in the order causes, zones, paths, wet places, signs."""

    def __init__(self, meaning: Meaning, base: Mapping[str, float], story: Story, *, every_zone: bool = False) -> None:
        self.meaning, self.base, self.story = meaning, base, story
        self.net = Net()
        self.last = story.epochs - 1
        self.states = {c: self._cause(c) for c in meaning.elders_first}
        self.seen: dict[str, dict[int, Array]] = {f"reported.{story.complaint}": {0: np.array([0.0, 1.0])}}
        for sign, epoch, likelihood in story.seen:
            by_epoch = self.seen.setdefault(sign, {})
            by_epoch[epoch] = by_epoch.get(epoch, 1.0) * np.array(likelihood)
        self.zone_nodes: dict[str, dict[int, str]] = {}
        self._places({0, self.last} if every_zone else set())
        for sign in (s for s in self.seen if s in meaning.signs):
            self._written_sign(sign)

    def _cause(self, cause: str) -> dict[int, str]:
        """The first state from its parents' first states, then one cure coin per act that can cure it."""
        stated = self.meaning.causes[cause]
        parents = self.meaning.parents(cause)
        absent = np.full([3] * len(parents), 1 - base_chance(self.base, self.story, cause))
        for axis, strength in enumerate(parents.values()):
            factor = np.array([1.0, 1 - strength, 1 - strength])
            absent *= factor.reshape([3 if a == axis else 1 for a in range(len(parents))])
        if cause in self.story.impossible:
            absent[...] = 1.0
        table = np.stack([absent, (1 - absent) * (1 - stated.leaks), (1 - absent) * stated.leaks])
        node = self.net.add(f"{cause}@0", [f"{p}@0" for p in parents], table)
        nodes = {0: node}
        for epoch, (cures, _) in enumerate(self.story.acts, start=1):
            if cures.get(cause, 0.0) > 0:
                cured = np.eye(3) * (1 - cures[cause])
                cured[ABSENT] += [cures[cause]] * 3
                node = self.net.add(f"{cause}@{epoch}", [node], cured)
            nodes[epoch] = node
        return nodes

    def _places(self, every: set[int]) -> None:
        """Zones, paths and wet places, in the epochs in which something hangs on them; then their signs."""
        zones, runs, wets = self._wanted(every)
        outs = {z: self._highest(f"out.{z}", self._leaks_at(z), epochs, 2) for z, epochs in zones.items()}
        self.zone_nodes = outs
        running = {
            (z, y): self._kept(f"run.{z}.{y}", Source(outs[z], (1,), {1: self.meaning.zones[z].paths[y]}), epochs, 2)
            for (z, y), epochs in runs.items()
        }
        wet = {}
        for place, epochs in wets.items():
            own = self.meaning.zones.get(place)
            sources = [Source(outs[place], (1,), {1: 1.0})] if own and own.is_place else []
            for zone in self.meaning.zones.values():
                if (zone.id, place) in running:
                    sources.append(Source(running[zone.id, place], (1,), {1: 1.0}))
                elif place in zone.paths:
                    sources.append(Source(outs[zone.id], (1,), {1: zone.paths[place]}))
            wet[place] = self._highest(f"wet.{place}", sources, epochs, 2)
        for sign in (s for s in self.seen if s not in self.meaning.signs):
            kind, *where = sign.split(".")
            nodes = (
                outs[where[0]]
                if kind == "origin"
                else running[where[0], where[1]]
                if kind == "trail"
                else wet[where[0]]
            )
            link, stray = self.meaning.place_signs[kind]
            self._observe(sign, [Source(nodes, (1,), {1: link})], np.array([1 - stray, stray]))

    def _wanted(
        self, every: set[int]
    ) -> tuple[dict[str, set[int]], dict[tuple[str, str], set[int]], dict[str, set[int]]]:
        """Epochs in which each zone, each path with a trail sign of its own, and each wet place is needed."""
        zones: dict[str, set[int]] = {z: set(every) for z in self.meaning.zones} if every else {}
        runs: dict[tuple[str, str], set[int]] = {}
        wets: dict[str, set[int]] = {}
        for sign, by_epoch in self.seen.items():
            kind, *where = sign.split(".") if sign not in self.meaning.signs else (sign,)
            if kind == "origin":
                zones.setdefault(where[0], set()).update(by_epoch)
            elif kind == "trail":
                runs.setdefault((where[0], where[1]), set()).update(by_epoch)
            elif where:
                wets.setdefault(where[0], set()).update(by_epoch)
        for place, epochs in wets.items():
            for zone in self.meaning.zones.values():
                if (zone.id, place) in runs:
                    runs[zone.id, place].update(epochs)
                elif place in zone.paths or (place == zone.id and zone.is_place):
                    zones.setdefault(zone.id, set()).update(epochs)
            if place in self.meaning.zones and self.meaning.zones[place].is_place:
                zones.setdefault(place, set()).update(epochs)
        for (zone_id, _), epochs in runs.items():
            zones.setdefault(zone_id, set()).update(epochs)
        return zones, runs, wets

    def _leaks_at(self, zone: str) -> list[Source]:
        return [
            Source(self.states[c.id], ACTIVE["leaking"], {1: c.lets_out[zone]})
            for c in reversed(list(self.meaning.causes.values()))
            if zone in c.lets_out
        ]

    def _written_sign(self, sign: str) -> None:
        stated = self.meaning.signs[sign]
        sources = [
            Source(self.states[c.id], ACTIVE[stated.hangs_on], c.shows[sign])
            for c in reversed(list(self.meaning.causes.values()))
            if sign in c.shows
        ]
        self._observe(sign, sources, np.array(stated.strays))

    def _observe(self, sign: str, sources: list[Source], strays: Array) -> None:
        """Everything seen of one sign, in all epochs: as products where it is a sure "no" throughout."""
        seen, ranks = self.seen[sign], len(strays)
        segments = self._segments(sign)
        if all(not likelihood[1:].any() for likelihood in seen.values()):
            first = min(seen)
            self.net.constant *= strays[0] ** len({segments[e] for e in seen})
            self.net.constant *= float(np.prod([likelihood[0] for likelihood in seen.values()]))
            for source in sources:
                node = source.nodes[first]
                self.net.note(node, source.asks(len(self.net.tables[node]), ranks)[:, 0])
            return
        kept = {s: [e for e in seen if segments[e] == s] for s in {segments[e] for e in seen}}
        shared = {s: self.net.add(f"stray.{sign}@{s}", [], strays) for s, epochs in kept.items() if len(epochs) > 1}
        strayed = {e: shared[segments[e]] for e in seen if segments[e] in shared}
        nodes = self._highest(f"sign.{sign}", sources, set(seen), ranks, strayed)
        top = np.maximum.outer(np.arange(ranks), np.arange(ranks))
        for epoch, likelihood in seen.items():
            self.net.note(nodes[epoch], likelihood if epoch in strayed else likelihood[top] @ strays)

    def _segments(self, sign: str) -> list[int]:
        """Which draw of the stray each epoch sees."""
        return list(np.cumsum(fresh_strays(self.meaning, self.story, sign)))

    def _highest(
        self, name: str, sources: Sequence[Source], epochs: set[int], ranks: int, also: Mapping[int, str] | None = None
    ) -> dict[int, str]:
        """The maximum of what the sources ask for, in each epoch; ``also``: a further node per epoch."""
        inputs: dict[int, list[tuple[str, Array]]] = {e: [] for e in epochs}
        for i, source in enumerate(sources):
            if len(epochs) == 1:
                (epoch,) = epochs
                node = source.nodes[epoch]
                inputs[epoch].append((node, source.asks(len(self.net.tables[node]), ranks)))
            else:
                for epoch, node in self._kept(f"{name}.{i}", source, epochs, ranks).items():
                    inputs[epoch].append((node, np.eye(ranks)))
        for epoch, node in (also or {}).items():
            inputs[epoch].append((node, np.eye(ranks)))
        return {e: self._chain(f"{name}@{e}", inputs[e], ranks) for e in epochs}

    def _kept(self, name: str, source: Source, epochs: set[int], ranks: int) -> dict[int, str]:
        """What one source asks for in each epoch: one coin, drawn when first wanted (nothing starts later)."""
        first, *later = sorted(epochs)
        start = source.nodes[first]
        asked = self.net.add(f"kept.{name}@{first}", [start], source.asks(len(self.net.tables[start]), ranks).T)
        nodes = {first: asked}
        for epoch in later:
            if source.nodes[epoch] == start:
                nodes[epoch] = asked
                continue
            states = len(self.net.tables[source.nodes[epoch]])
            table = np.zeros((ranks, ranks, states))
            table[0, :, :] = 1.0
            for state in source.active:
                table[:, :, state] = np.eye(ranks)
            nodes[epoch] = self.net.add(f"kept.{name}@{epoch}", [asked, source.nodes[epoch]], table)
        return nodes

    def _chain(self, name: str, inputs: Sequence[tuple[str, Array]], ranks: int) -> str:
        """A maximum over the inputs, one at a time; with none, always rank 0."""
        node = None
        for i, (parent, asks) in enumerate(inputs):
            if node is None:
                node = self.net.add(f"{name}.{i}", [parent], asks.T)
                continue
            table = np.zeros((ranks, ranks, len(asks)))
            for so_far in range(ranks):
                for rank in range(ranks):
                    table[max(so_far, rank), so_far] += asks[:, rank]
            node = self.net.add(f"{name}.{i}", [node, parent], table)
        return node or self.net.add(f"{name}.none", [], np.eye(ranks)[0])


def marginals(
    net: Net, targets: Iterable[str], given: str | None = None, built: Any = None
) -> tuple[dict[str, Array], float]:
    """Posterior of each target and the weight of the evidence, by lazy propagation in pyAgrum.

    ``given``: a node to condition on, state by state, so that the cliques stay small. ``built``: see ``ready``.
    """
    targets = list(targets)
    pyagrum: Any = import_module("pyagrum")
    bn = built or ready(net)
    sums = {t: np.zeros(len(net.tables[t])) for t in targets}
    total = 0.0
    for soft in _cases(net, given):
        # A likelihood with one state left is taken for hard evidence there, so its height is kept apart.
        heights = {node: likelihood.max() for node, likelihood in soft.items()}
        engine = pyagrum.LazyPropagation(bn)
        engine.setEvidence({node: list(likelihood / heights[node]) for node, likelihood in soft.items()})
        engine.setTargets(set(targets))
        try:
            weight = engine.evidenceProbability() * np.prod(list(heights.values()))
        except pyagrum.IncompatibleEvidence:
            continue
        total += weight
        for target in targets:
            sums[target] += weight * engine.posterior(target).toarray()
    if total == 0:
        raise ImpossibleError("what was seen cannot all be so")
    return {t: s / total for t, s in sums.items()}, total * net.constant


def _cases(net: Net, given: str | None) -> Iterable[dict[str, Array]]:
    """The soft evidence, once for each possible state of ``given``."""
    if given is None:
        yield dict(net.soft)
        return
    for only in np.eye(len(net.tables[given])):
        likelihood = net.soft.get(given, np.ones(len(only))) * only
        if likelihood.any():
            yield {**net.soft, given: likelihood}


def ready(net: Net) -> Any:
    """The network as pyAgrum wants it, for whoever asks more than once."""
    pyagrum: Any = import_module("pyagrum")
    bn = pyagrum.BayesNet()
    for node, table in net.tables.items():
        bn.add(pyagrum.RangeVariable(node, "", 0, len(table) - 1))
    for node, parents in net.parents.items():
        for parent in parents:
            bn.addArc(parent, node)
    for node, table in net.tables.items():
        axes = {name: axis for axis, name in enumerate((node, *net.parents[node]))}
        cpt = bn.cpt(node)
        cpt[:] = np.ascontiguousarray(table.transpose([axes[name] for name in reversed(cpt.names)]))
    return bn


def marginals_by_elimination(net: Net, targets: Iterable[str]) -> dict[str, Array]:
    """Posterior of each target by variable elimination in pgmpy; soft evidence as an observed child."""
    query = elimination(net)
    return {t: query(t) for t in targets}


def elimination(net: Net) -> Callable[[str], Array]:
    """The posterior of any one node, by variable elimination in pgmpy."""
    factors: Any = import_module("pgmpy.factors.discrete")
    models: Any = import_module("pgmpy.models")
    inference: Any = import_module("pgmpy.inference")
    seen = {f"seen.{node}": (node, np.stack([1 - (v := s / s.max()), v])) for node, s in net.soft.items()}
    tables = {**net.tables, **{name: table for name, (_, table) in seen.items()}}
    parents = {**net.parents, **{name: (node,) for name, (node, _) in seen.items()}}
    model = models.DiscreteBayesianNetwork()
    model.add_nodes_from(tables)
    model.add_edges_from([(p, node) for node, all_parents in parents.items() for p in all_parents])
    for node, table in tables.items():
        cards = [len(tables[p]) for p in parents[node]]
        model.add_cpds(
            factors.TabularCPD(node, len(table), table.reshape(len(table), -1), parents[node] or None, cards or None)
        )
    query = inference.VariableElimination(model).query
    evidence = dict.fromkeys(seen, 1)
    return lambda node: np.asarray(query([node], evidence=evidence, show_progress=False).values)


Chances = tuple[float, float, float, float]
"""P(leaks now), P(leaked first), P(present now), P(present first)."""


def cause_marginals(
    meaning: Meaning, base: Mapping[str, float], story: Story, *, given: str | None = None
) -> tuple[dict[str, Chances], float]:
    """The chances of every cause, and the weight of the evidence; ``given``: a cause to condition on."""
    builder = Builder(meaning, base, story)
    nodes = {c: (builder.states[c][builder.last], builder.states[c][0]) for c in meaning.causes}
    found, weight = marginals(builder.net, {n for both in nodes.values() for n in both}, given and f"{given}@0")
    chances = {}
    for cause, (now, first) in nodes.items():
        leaks, there = ([float(found[n][state]) for n in (now, first)] for state in (LEAKING, ABSENT))
        chances[cause] = (leaks[0], leaks[1], 1 - there[0], 1 - there[1])
    return chances, weight
