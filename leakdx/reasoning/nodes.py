"""Which nodes a case needs, over which epochs, and what each asks of its parents.

Only what bears on the evidence, or may still be asked, becomes a node. A sign whose answers leave only
"nothing asked for" is a plain product over its causes and becomes no node at all.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from msgspec import Struct, structs
from numpy.typing import NDArray

from leakdx.reasoning.asking import Asked, Asks, Epochs, Key, Ranks, case_asking
from leakdx.reasoning.compiled import Array, Model, PlaceLinks
from leakdx.reasoning.evidence import Evidence, Reported
from leakdx.reasoning.maxnode import Value, Values, closure, folded
from leakdx.reasoning.seen import ByEpoch, Seen, seen_signs
from leakdx.reasoning.states import States

REPORTED = np.array([[0.0], [1.0]])


class Entered(Struct, frozen=True):
    """Which evidence has been entered, in each of B cases: [items, B] for history and for signs."""

    history: NDArray[np.bool_]
    signs: NDArray[np.bool_]

    @classmethod
    def all(cls, evidence: Evidence) -> "Entered":
        """One case, with everything entered."""
        return cls(np.ones((len(evidence.history), 1), bool), np.ones((len(evidence.signs), 1), bool))


class Way(Struct, frozen=True):
    """How oil gets from one node to another.

    ``chance``: that it takes this way at all; ``soon``: that it then has by the end of the drive after a wash.
    """

    source: Key
    chance: float
    soon: float


class Node(Struct, frozen=True):
    """A node to be: what ``parents`` ask of it.

    ``end`` [V, 2 for each of ``doubts`` ..., B]: its evidence, with each doubted thing good or bad.
    ``variable``: its value is wanted, so it is not summed out at once.
    """

    key: Key
    epochs: Epochs
    values: Values
    parents: tuple[Asks[int | Key], ...]
    end: Array
    variable: bool
    doubts: tuple[str, ...] = ()


class Tilt(Struct, frozen=True):
    """A product over doubted things and the states of one unit of a cause; without a cause there is one state.

    ``table``: [S, 2 for each of ``doubts`` ..., B].
    """

    cause: int | None
    doubts: tuple[str, ...]
    table: Array


class Draft:
    """The nodes of a case, and what needs no node.

    Attributes:
        states: All states of all causes.
        seen: Sign -> what was seen of it.
        nodes: In an order in which parents come first.
        products: [N, B] multipliers on states by the signs that are plain products.
        tilts: The same of signs that rely on something doubted.
        impossible: Signs whose own answers cannot all be so, whatever the causes.
        soon_after_dry: Epochs in which oil had no more than a drive to spread.
    """

    def __init__(self, model: Model, evidence: Evidence, entered: Entered) -> None:
        self.model = model
        self.evidence = evidence
        self.soon_after_dry = evidence.soon_after_dry
        self.asking = case_asking(model, evidence)
        self.states: States = self.asking.states
        self.seen: dict[str, Seen] = seen_signs(evidence, entered.signs)
        self.nodes: dict[Key, Node] = {}
        self.products: Array = np.ones((len(self.states.owner), 1))
        self.tilts: list[Tilt] = []
        self.impossible: list[str] = []
        needed = self._needed()
        for make, kind in ((self._out, "out"), (self._run, "run"), (self._wet, "wet")):
            for key, epochs in needed.items():
                if key[0] == kind:
                    make(key, tuple(sorted(epochs)))
        for id in model.signs:
            if id in self.seen:
                self._sign(id)

    # -- what is needed ----------------------------------------------------------------------------------

    def _needed(self) -> dict[Key, set[int]]:
        """Place nodes -> epochs, wanted by evidence, by what may be asked, and by the nodes after them."""
        last = self.evidence.last_epoch
        needed: dict[Key, set[int]] = {}
        for reported in self._reported():
            needed.setdefault(("wet", reported.place), set()).add(reported.epoch)
        drawn = {self.model.index[c] for redraw in self.evidence.redraws for c in redraw.causes}
        for zone, causes in self.model.zone_causes.items():
            if any(cause in drawn and strength < 1 for cause, strength in causes):
                # Each draw gets out by a coin of its own, which only a node tells apart.
                needed.setdefault(("out", zone), set())
        asked = [self.place_key(s) for s in self.evidence.askable]
        for id, seen in self.seen.items():
            if key := self.place_key(id):
                needed.setdefault(key, set()).update(seen.epochs)
        for key in asked:
            if key and (key[0] != "wet" or key in needed):
                needed.setdefault(key, set()).add(last)
        wet = [(key[1], epochs) for key, epochs in needed.items() if key[0] == "wet"]
        wet += [(key[1], {last}) for key in asked if key and key not in needed]
        for place, epochs in wet:
            for zone, _ in self.model.into[place]:
                run = ("run", zone, place)
                needed.setdefault(run if run in needed else ("out", zone), set()).update(epochs)
        for key in [k for k in needed if k[0] == "run"]:
            needed.setdefault(("out", key[1]), set()).update(needed[key])
        for key, epochs in needed.items():
            if key[0] == "out":
                epochs.update((self.evidence.first_epoch, last))
        return dict(sorted(needed.items()))

    def _reported(self) -> tuple[Reported, ...]:
        """The complaint, and every time that the truck came back."""
        # What is reported twice of one place in one epoch is one and the same result, as with any sign.
        return tuple(dict.fromkeys((Reported(0, self.evidence.complaint), *self.evidence.comebacks)))

    def place_key(self, sign: str) -> Key | None:
        """The node that a place sign shows; None for a written sign."""
        place = self.model.knowledge.signs[sign].place
        if not place:
            return None
        kind = {"wet": "wet", "origin": "out", "trail": "run"}[place[0]]
        return (kind, *place[1:])

    # -- nodes -------------------------------------------------------------------------------------------

    def _out(self, key: Key, epochs: Epochs) -> None:
        """Oil comes out of a zone: some cause that leaks there."""
        self._place(key, epochs, self.asking.zone(key[1], epochs), variable=True)

    def _run(self, key: Key, epochs: Epochs) -> None:
        """Oil gets from a zone to a place."""
        strength = dict(self.model.into[key[2]])[key[1]]
        way = Way(("out", key[1]), strength, self.model.on_first_drive)
        self._place(key, epochs, self._asked_by_nodes([way], epochs), variable=True)

    def _wet(self, key: Key, epochs: Epochs) -> None:
        """A place is wet: oil comes out there or gets there."""
        wanted = self.evidence.last_epoch in epochs and ".".join(key) in self.evidence.askable
        self._place(key, epochs, self._asked_by_nodes(self.ways_into(key[1]), epochs), variable=wanted)

    def ways_into(self, place: str) -> list[Way]:
        """Nodes from which oil wets a place, with the chance that it does."""
        ways: list[Way] = []
        for zone, strength in self.model.into[place]:
            run = ("run", zone, place)
            soon = 1.0 if zone == place else self.model.on_first_drive
            ways.append(Way(run, 1.0, 1.0) if run in self.nodes else Way(("out", zone), strength, soon))
        return ways

    def _sign(self, id: str) -> None:
        """A written sign: a plain product over its causes if the answers allow, else a node."""
        links = self.model.signs[id]
        seen = self.seen[id]
        wanted = id in self.evidence.askable
        if not wanted and self._is_plain(id, seen):
            return
        epochs = tuple(sorted({*seen.epochs, *((self.evidence.last_epoch,) if wanted else ())}))
        values, parents, whole = self.asking.sign(id, epochs, self._alike(id, epochs, wanted))
        kept = self.strays_kept(id, epochs)
        end = seen.table(lambda case: folded(values, self.likelihoods(id, epochs, case), links.stray, kept))
        if not end.reshape(-1, end.shape[-1]).any(axis=0).all():
            self.impossible.append(id)
        only_none = ~end[1:].any(axis=0)
        all_alike = (end == end[0]).all(axis=0) & whole
        if wanted or not (only_none | all_alike).all():
            self._add(Node(("sign", id), epochs, values, parents, end, wanted, seen.doubts), whole=whole)
            return
        if seen.doubts:
            self.tilts.append(Tilt(None, seen.doubts, end[:1]))
        for cause, table, _ in parents:
            asks_for_none = table[:, 0].reshape(-1, *(1,) * (end.ndim - 1))
            multiplier = np.where(only_none & ~all_alike, asks_for_none, 1.0)
            if seen.doubts:
                self.tilts.append(Tilt(cause, seen.doubts, multiplier))
            else:
                self._multiply(self.states.of(cause), multiplier)

    def _is_plain(self, id: str, seen: Seen) -> bool:
        """Whether a sign was surely normal whenever it was seen, and nothing else; it is then multiplied in."""
        (likelihoods, *more), case = seen.cases[0].values(), seen.cases[0]
        is_normal_possible = all(likelihood[0].all() for likelihood in case.values())
        if seen.doubts or not self.model.signs[id].stray[0] or not is_normal_possible:
            return False
        normal = ~likelihoods[1:].any(axis=0)
        silent = (likelihoods == likelihoods[0]).all(axis=0)
        if (more and not normal.all()) or not (normal | silent).all() or any(other[1:].any() for other in more):
            return False
        asks_for_none = self.asking.silent(id, seen.epochs)
        self._multiply(slice(None), asks_for_none if normal.all() else np.where(normal, asks_for_none, 1.0))
        return True

    def _alike(self, sign: str, epochs: Epochs, wanted: bool) -> Ranks:
        """For each epoch, rank -> the lowest rank that what was seen then takes for the same, -1 where ruled out.

        Whatever the stray: so it holds when more is seen. The last epoch is kept apart where it may be asked.
        """
        found = []
        for epoch in epochs:
            ranks = range(_outcomes(self.model, sign))
            if wanted and epoch == self.evidence.last_epoch:
                found.append(tuple(ranks))
                continue
            if len(ranks) == 2 and all((case[epoch][0] != case[epoch][1]).any() for case in self.seen[sign].cases):
                yes_can_be = any(case[epoch][1].any() for case in self.seen[sign].cases)
                found.append((0, 1 if yes_can_be else -1))
                continue
            seen = np.hstack([self.likelihoods(sign, (epoch,), case)[0] for case in self.seen[sign].cases])
            by_stray = [np.vstack([seen[max(rank, stray)] for stray in ranks]) for rank in ranks]
            lowest = [0]
            for rank in ranks[1:]:
                is_same = np.array_equal(by_stray[rank], by_stray[rank - 1])
                lowest.append(lowest[-1] if is_same else rank)
            found.append(tuple(low if by_stray[rank].any() else -1 for rank, low in enumerate(lowest)))
        return tuple(found)

    def _multiply(self, states: slice, multiplier: Array) -> None:
        if multiplier.shape[1] > self.products.shape[1]:
            self.products = np.repeat(self.products, multiplier.shape[1], axis=1)
        self.products[states] *= multiplier

    def _add(self, node: Node, *, whole: bool = True) -> None:
        """Keep a node, unless nothing can make it differ from "no"; summed out at once, it is kept narrow.

        ``whole``: no value that a parent can ask for was left out as ruled out.
        """
        if len(node.values) > 1 or node.doubts or not whole:
            self.nodes[node.key] = node if node.variable or len(node.values) == 2 else narrowed(node)

    def _asked_by_nodes(self, ways: Sequence[Way], epochs: Epochs) -> Asked[Key]:
        """Of a node by other nodes, each asking for what it is with one chance; a slow way only where it had time."""
        known = [way for way in ways if way.source in self.nodes]
        nodes = [self.nodes[way.source] for way in known]
        in_time = [epoch not in self.soon_after_dry for epoch in epochs]
        seen_as = [[projected(value, node.epochs, epochs) for value in node.values] for node in nodes]
        slow = [
            [v if way.soon == 1 else tuple(map(int.__mul__, v, in_time)) for v in own]
            for way, own in zip(known, seen_as, strict=True)
        ]
        values = closure({(0,) * len(epochs)}.union(*seen_as, *slow))
        where = {v: i for i, v in enumerate(values)}
        parents = []
        for way, own, late in zip(known, seen_as, slow, strict=True):
            table = np.zeros((len(own), len(values)))
            table[:, 0] = 1 - way.chance
            for i, value in enumerate(own):
                soon = way.chance if late[i] == value else way.chance * way.soon
                table[i, where[value]] += soon
                table[i, where[late[i]]] += way.chance - soon
            parents.append(Asks(way.source, table, ()))
        return Asked(values, tuple(parents))

    # -- evidence ----------------------------------------------------------------------------------------

    def likelihoods(self, sign: str, epochs: Epochs, case: ByEpoch) -> list[Array]:
        """Likelihood of each outcome in each epoch; 1 where nothing was seen."""
        return [case.get(epoch, np.ones((_outcomes(self.model, sign), 1))) for epoch in epochs]

    def strays_kept(self, sign: str, epochs: Epochs) -> list[list[int]]:
        """Positions in ``epochs`` that share one stray: a condition's until an act renews the part."""
        links = self.model.signs.get(sign)
        if links is None or links.leaking:
            return [[i] for i in range(len(epochs))]
        groups: dict[int, list[int]] = {}
        for i, epoch in enumerate(epochs):
            renewed = sum(sign in act.renews for act in self.evidence.acts[:epoch])
            groups.setdefault(renewed, []).append(i)
        return list(groups.values())

    def _place(self, key: Key, epochs: Epochs, asked: Asked[int | Key], *, variable: bool) -> None:
        """A node of a zone or place, with what its signs, and the complaint, say of each of its values."""
        values, end = asked.values, np.ones((len(asked.values), 1))
        doubts: tuple[str, ...] = ()
        reported = tuple(r.epoch for r in self._reported() if key == ("wet", r.place))
        if reported:
            end = shown(self.model.places["reported"], values, epochs, reported, [REPORTED] * len(reported))
        kind = {"wet": "wet", "out": "origin", "run": "trail"}[key[0]]
        seen = self.seen.get(".".join((kind, *key[1:])))
        if seen:
            links, own, doubts = self.model.places[kind], seen.epochs, seen.doubts
            told = seen.table(lambda case: shown(links, values, epochs, own, [case[epoch] for epoch in own]))
            end = told * end.reshape(len(values), *(1,) * len(doubts), -1)
        self._add(Node(key, epochs, values, asked.parents, end, variable, doubts))


def narrowed(node: Node) -> Node:
    """The same node with no more values than its evidence tells apart.

    Where the values are a chain, neighbours that the evidence treats alike are one value, for the greatest
    of two is unchanged by that; and values at the top that the evidence rules out go: who asks for them
    has no chance. "One low" of five results is then a yes or no.
    """
    chain = all(all(map(int.__le__, a, b)) for a, b in pairwise(node.values))
    if not chain:
        return node
    flat = node.end.reshape(len(node.values), -1)
    possible = np.flatnonzero(flat.any(axis=1))
    last = int(possible[-1]) if len(possible) else 0
    starts = [0] + [v for v in range(1, last + 1) if (flat[v] != flat[v - 1]).any()]
    if len(starts) == len(node.values):
        return node
    values = tuple(node.values[v] for v in starts)
    parents = tuple(Asks.of(a.source, np.add.reduceat(a.table[:, : last + 1], starts, axis=1)) for a in node.parents)
    return structs.replace(node, values=values, parents=parents, end=node.end[starts])


def shown(links: PlaceLinks, values: Values, epochs: Epochs, own: Epochs, likelihoods: Sequence[Array]) -> Array:
    """Likelihood [V, B] of a node's values by a sign that shows it: one link coin, a new stray each epoch.

    Args:
        links: Strength of the sign.
        values: Of the node, over ``epochs``.
        epochs: Of the node.
        own: Epochs of the sign, all among ``epochs``.
        likelihoods: For each of ``own``, of each outcome [R, B].
    """
    apart = [[i] for i in range(len(own))]
    told = folded([projected(v, epochs, own) for v in values], likelihoods, links.stray, apart)
    missed = folded([(0,) * len(own)], likelihoods, links.stray, apart)
    return links.link * told + (1 - links.link) * missed


def projected(value: Value, epochs: Epochs, onto: Epochs) -> Value:
    """A value over ``epochs`` as it is seen in some of them."""
    return tuple(value[epochs.index(e)] for e in onto)


def _outcomes(model: Model, sign: str) -> int:
    return len(model.knowledge.signs[sign].outcomes)
