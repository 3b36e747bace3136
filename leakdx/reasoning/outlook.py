"""What the answers to a question would change, for many questions and repair paths in one elimination.

The chance of an outcome no worse than r is a product over the causes of a sign, so it costs one
multiplier a cause, and the tables and the plan of the case stay as they are. Single outcomes are
differences of such products.
"""

from collections.abc import Hashable, Mapping, Sequence
from itertools import product
from typing import TypeVar

import numpy as np
from msgspec import Struct

from leakdx.reasoning.asking import Key
from leakdx.reasoning.compiled import Array
from leakdx.reasoning.maxnode import folded
from leakdx.reasoning.network import Network
from leakdx.reasoning.nodes import projected, shown
from leakdx.reasoning.queries import Totals
from leakdx.reasoning.seen import Seen
from leakdx.reasoning.states import LEAKING, QUIET

K = TypeVar("K", bound=Hashable)
NO_CHANCE = 1e-13
"""An outcome less likely than this is lost in the rounding of the difference that it is."""


class Outlook(Struct, frozen=True):
    """Joint results of the signs of a question, and what would be so after each.

    ``answers`` [O]: an outcome for each sign. ``probability`` [O]. ``leaking``, ``leaking_first`` and
    ``quiet`` (there and quiet now) [O, C]. ``hold`` [O, P]: mean of each path's multipliers.
    """

    answers: tuple[tuple[str, ...], ...]
    probability: Array
    leaking: Array
    leaking_first: Array
    quiet: Array
    hold: Array


class Term(Struct, frozen=True):
    """A product of multipliers: on states of units of causes [S] and on values of nodes [V]."""

    causes: Mapping[int, Array] = {}
    nodes: Mapping[Key, Array] = {}

    def times(self, other: "Term") -> "Term":
        """Both together."""
        return Term(_product(self.causes, other.causes), _product(self.nodes, other.nodes))


class Asked(Struct, frozen=True):
    """A sign asked: probabilities of its outcomes [R] as ``mix`` [R, T] of the means of ``terms``."""

    terms: tuple[Term, ...]
    mix: Array


def outlooks(network: Network, given: Totals, questions: Sequence[tuple[str, ...]], paths: Array) -> list[Outlook]:
    """Look ahead at every question, as if asked in the last epoch.

    Args:
        network: Of the case.
        given: Its total, without any question.
        questions: Each the signs that are asked together.
        paths: [P, C, 3] multipliers on (absent, quiet, leaking) now.

    Raises:
        ValueError: A place sign, or a sign answered before, was not listed as askable in the evidence.
    """
    asked = {sign: _asked(network, sign) for question in questions for sign in question}
    columns: dict[tuple[tuple[str, int], ...], int] = {(): 0}
    uses = []
    for question in questions:
        choices = product(*(range(len(asked[s].terms)) for s in question))
        keys = [tuple((s, t) for s, t in zip(question, choice, strict=True) if t) for choice in choices]
        mix: Array = np.ones((1, 1))
        for sign in question:
            mix = np.asarray(np.kron(mix, asked[sign].mix), np.float64)
        uses.append((question, mix, [columns.setdefault(key, len(columns)) for key in keys]))
    weight, leaking, first, quiet, hold = _means(network, given, [_term(asked, key) for key in columns], paths)
    return [
        Outlook(
            tuple(product(*(network.model.knowledge.signs[s].outcomes for s in question))),
            np.clip(mix @ weight[used], 0, 1),
            *(_conditional(mix, used, weight, means) for means in (leaking, first, quiet, hold)),
        )
        for question, mix, used in uses
    ]


def _term(asked: Mapping[str, Asked], key: tuple[tuple[str, int], ...]) -> Term:
    term = Term()
    for sign, number in key:
        term = term.times(asked[sign].terms[number])
    return term


def _means(network: Network, given: Totals, terms: Sequence[Term], paths: Array) -> tuple[Array, ...]:
    """Posterior means of each term alone [T], with each cause leaking now, first, quiet now [T, C], by path [T, P]."""
    states = np.ones((len(network.states.owner), len(terms)))
    sizes = {key: len(values) for term in terms for key, values in term.nodes.items()}
    nodes = {key: np.ones((sizes[key], len(terms))) for key in sorted(sizes)}
    for column, term in enumerate(terms):
        for cause, multiplier in term.causes.items():
            states[network.states.of(cause), column] = multiplier
        for key, multiplier in term.nodes.items():
            nodes[key][:, column] = multiplier
    found = network.posterior(states, nodes)
    weight = found.totals.ratio(given)
    now, quiet = ((network.sums(found, [kind]) * weight).T for kind in (LEAKING, QUIET))
    first = (network.sums(found, [LEAKING], first=True) * weight).T
    by_path, any_by_path = network.by_kind(now=paths)
    held = (states[:, :, None] * by_path[:, None, :]).reshape(len(states), -1)
    repeated = {key: np.repeat(multiplier, len(paths), axis=1) for key, multiplier in nodes.items()}
    repeated |= {key: np.tile(multiplier, len(terms)) for key, multiplier in any_by_path.items()}
    hold = network.totals(held, repeated).ratio(given).reshape(len(terms), len(paths))
    return weight, now, first, quiet, hold


def _conditional(mix: Array, used: Sequence[int], weight: Array, means: Array) -> Array:
    """Means [O, ...] given each outcome; the means before asking where an outcome has no chance."""
    chance = (mix @ weight[used])[:, None]
    possible = chance > NO_CHANCE
    after = (mix @ means[used]) / np.where(possible, chance, 1.0)
    return np.clip(np.where(possible, after, means[0]), 0, 1)


def _asked(network: Network, sign: str) -> Asked:
    """The products that the outcomes of a sign are made of."""
    draft = network.draft
    key = draft.place_key(sign)
    if (key or sign in draft.seen) and sign not in draft.evidence.askable:
        raise ValueError(f"sign {sign} must be listed as askable before its outlook is asked for")
    outcomes = len(network.model.knowledge.signs[sign].outcomes)
    if key is None and sign not in draft.seen:
        return _never_seen(network, sign)
    if key and key[0] == "wet" and key not in draft.nodes:
        return _wet_unseen(network, key)
    own_key = key or ("sign", sign)
    chances = _no_worse(network, sign, own_key)
    if own_key not in draft.nodes:
        return _combined([(float(c), Term()) for (c,) in chances], outcomes)
    told = ("told", *own_key) if draft.nodes[own_key].doubts else own_key
    return _combined([(1.0, Term(nodes={told: c})) for c in chances], outcomes)


def _never_seen(network: Network, sign: str) -> Asked:
    """A written sign without an answer so far: its causes' coins are all still free."""
    links = network.model.signs[sign]
    least = LEAKING if links.leaking else QUIET
    units = [(unit, chance) for cause, chance in links.parents for unit in network.states.units_of(cause)]
    active = {unit: network.states.kind_now[network.states.of(unit)] >= least for unit, _ in units}
    no_worse = []
    for rank, stray in enumerate(np.cumsum(links.stray)[:-1]):
        multipliers = {unit: np.where(active[unit], chance[: rank + 1].sum(), 1.0) for unit, chance in units}
        no_worse.append((float(stray), Term(causes=multipliers)))
    return _combined(no_worse, len(links.stray))


def _wet_unseen(network: Network, key: Key) -> Asked:
    """Wet at a place of which nothing is known so far: dry when no way into it carries oil."""
    draft = network.draft
    links = network.model.places["wet"]
    last = draft.evidence.last_epoch
    dry = {}
    is_soon = last in draft.soon_after_dry
    for way in draft.ways_into(key[1]):
        if way.source in draft.nodes:
            node = draft.nodes[way.source]
            on = np.array([projected(v, node.epochs, (last,))[0] for v in node.values])
            dry[way.source] = 1 - (way.chance * way.soon if is_soon else way.chance) * on
    no_stray = float(links.stray[0])
    mix = np.array([[no_stray * (1 - links.link), no_stray * links.link]])
    return Asked((Term(), Term(nodes=dry)), np.concatenate([mix, [[1.0, 0.0]] - mix]))


def _no_worse(network: Network, sign: str, key: Key) -> list[Array]:
    """For each outcome but the worst, the chance of none worse now, given what was seen.

    By value of the node [V], or by value and by what is bad where that tells them apart.
    """
    draft = network.draft
    last = draft.evidence.last_epoch
    seen = draft.seen.get(sign, Seen((), ({},)))
    own = tuple(sorted({*seen.epochs, last}))
    node = draft.nodes.get(key)
    epochs, values = (node.epochs, node.values) if node else (own, ((0,) * len(own),))

    def chance(likelihoods: Sequence[Array]) -> Array:
        if key[0] == "sign":
            stray = network.model.signs[sign].stray
            return folded(values, likelihoods, stray, draft.strays_kept(sign, own))[:, 0]
        links = network.model.places[draft.model.knowledge.signs[sign].place[0]]
        return shown(links, values, epochs, own, likelihoods)[:, 0]

    by_case = []
    for case in seen.cases:
        likelihoods = draft.likelihoods(sign, own, case)
        whole = chance(likelihoods)
        ranks = np.arange(len(likelihoods[-1]))[:, None]
        upto = [chance([*likelihoods[:-1], likelihoods[-1] * (ranks <= rank)]) for rank in range(len(ranks) - 1)]
        by_case.append(np.array(upto) / np.where(whole == 0, 1.0, whole))
    return list(np.stack(by_case, axis=-1).reshape(len(by_case[0]), -1))


def _combined(no_worse: Sequence[tuple[float, Term]], outcomes: int) -> Asked:
    """From (factor, product) for each "no worse than r" to single outcomes."""
    upto = np.zeros((outcomes, outcomes))
    for rank, (factor, _) in enumerate(no_worse):
        upto[rank, rank + 1] = factor
    upto[-1, 0] = 1.0
    mix = np.diff(upto, axis=0, prepend=0.0)
    return Asked((Term(), *(term for _, term in no_worse)), mix)


def _product(one: Mapping[K, Array], other: Mapping[K, Array]) -> dict[K, Array]:
    return {**one, **other, **{key: one[key] * other[key] for key in one.keys() & other.keys()}}
