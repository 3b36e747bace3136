"""Nodes that take the greatest of what their parents ask for: whole tables, and what they unfold to."""

from collections.abc import Sequence
from itertools import product
from math import prod

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.reasoning.assembly import Assembly
from leakdx.reasoning.maxnode import Array, MaxNode, Parent, Value, Values, closure, folded, joined
from leakdx.reasoning.queries import Queries
from leakdx.reasoning.unfolding import Shape, unfold

settle = settings(max_examples=80, deadline=None)
TWO: Values = ((0,), (1,))
VALUES: tuple[Values, ...] = (
    TWO,
    ((0,), (1,), (2,)),
    ((0, 0), (1, 0), (1, 1)),
    ((0, 0), (1, 0), (1, 1), (2, 0), (2, 1), (2, 2)),
)


def test_noisy_or_table_of_three_parents() -> None:
    """Inhibitors .6, .2 and .1, no stray; Russell and Norvig's fever table, from memory."""
    spread = np.eye(1, 2)
    for inhibitor in (0.6, 0.2, 0.1):
        spread = joined(spread, np.array([[1.0, 0.0], [inhibitor, 1 - inhibitor]]), TWO)
    np.testing.assert_allclose(spread[:, 1], [0, 0.9, 0.8, 0.98, 0.4, 0.94, 0.88, 0.988], atol=1e-15)


def test_closure_adds_the_maxima() -> None:
    assert closure({(0, 0), (2, 0), (1, 1)}) == ((0, 0), (1, 1), (2, 0), (2, 1))
    assert closure({(0,)}) == ((0,),)


@given(st.sets(st.tuples(st.integers(0, 2), st.integers(0, 2)), min_size=1, max_size=5))
def test_closure_is_closed(reached: set[Value]) -> None:
    values = closure(reached)
    assert reached <= set(values)
    assert {tuple(map(max, a, b)) for a in values for b in values} == set(values)


@pytest.mark.parametrize(("together", "expected"), [([[0, 1]], 0.9 * 0.1 + 0.1 * 0.4), ([[0], [1]], 0.13 * 0.76)])
def test_strays_kept_and_strays_drawn_anew(together: list[list[int]], expected: float) -> None:
    """Nothing asked for; likelihoods (.1, .4) and then (.1, .4) or (1, 1) and a stray of .1."""
    likelihoods = [np.array([[0.1], [0.4]]), np.array([[1.0], [1.0]])]
    if len(together) == 2:
        likelihoods = [np.array([[0.1], [0.4]]), np.array([[0.8], [0.4]])]
    found = folded([(0, 0)], likelihoods, np.array([0.9, 0.1]), together)
    assert found[0, 0] == pytest.approx(expected, abs=1e-15)


Drawn = tuple[Assembly, list[MaxNode], list[tuple[tuple[int, ...], Array]]]


@st.composite
def assemblies(draw: st.DrawFn) -> Drawn:
    """Up to nine variables, a few plain tables, and nodes over random parents, some of them with a variable."""
    assembly = Assembly()
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    for _ in range(draw(st.integers(1, 6))):
        assembly.variable(draw(st.integers(2, 3)), shared=draw(st.booleans()))
    roots = list(range(len(assembly.sizes)))
    plain = []
    for _ in range(draw(st.integers(0, 2))):
        scope = tuple(draw(st.lists(st.sampled_from(roots), min_size=1, max_size=2, unique=True)))
        plain.append((scope, rng.random((*(assembly.sizes[v] for v in scope), 1))))
        assembly.add(*plain[-1])
    nodes = []
    parents = list(roots)
    for _ in range(draw(st.integers(1, 3))):
        values = draw(st.sampled_from(VALUES))
        own = draw(st.lists(st.sampled_from(parents), min_size=1, max_size=6, unique=True))
        asked = tuple(Parent(v, rng.dirichlet(np.ones(len(values)), assembly.sizes[v])) for v in own)
        kind = draw(st.sampled_from(["falling", "any", "variable"]))
        if kind == "variable":
            variable = assembly.variable(len(values))
            nodes.append(MaxNode(values, asked, np.eye(len(values))[..., None], (variable,)))
            parents.append(variable)
        else:
            end = rng.random((len(values), draw(st.sampled_from([1, 2]))))
            nodes.append(MaxNode(values, asked, np.sort(end, axis=0)[::-1] if kind == "falling" else end))
    return assembly, nodes, plain


@settle
@given(assemblies(), st.integers(1, 2), st.integers(0, 2**32 - 1), st.sampled_from([1.0, 1e-250]))
def test_swept_and_unfolded_sum_to_the_same(drawn: Drawn, batch: int, seed: int, faint: float) -> None:
    """Against going through all values of all variables, and all that parents can ask for; with all marginals."""
    assembly, nodes, plain = drawn
    sizes = list(assembly.sizes)
    rng = np.random.default_rng(seed)
    unaries = [rng.random((size, rng.integers(1, batch + 1))) for size in sizes]
    unaries[0] = unaries[0] * faint
    spreads = [_spreads(node, sizes) for node in nodes]
    weights = {x: _weight(x, nodes, spreads, plain) * prod(u[i] for u, i in zip(unaries, x, strict=True))
               for x in product(*map(range, sizes))}  # fmt: skip
    for node in nodes:
        assembly.add_node(node)
    line = assembly.line()
    tied = any(sum(v not in assembly.shared for v in scope) > 1 for scope, _ in plain)
    assert (line is None) == tied
    ways: list[Queries] = [] if line is None else [assembly.swept(line)]
    for way in [*ways, assembly.unfolded()]:
        found = way.marginals(unaries)
        np.testing.assert_allclose(
            found.totals.mantissa * np.exp(found.totals.exponent), sum(weights.values()), rtol=1e-12
        )
        for v, size in enumerate(sizes):
            own = [sum(w for x, w in weights.items() if x[v] == value) for value in range(size)]
            expected = np.stack(np.broadcast_arrays(*own)) / sum(weights.values())
            np.testing.assert_allclose(np.broadcast_to(found.single[v], expected.shape), expected, atol=1e-12)


Spreads = dict[tuple[int, ...], Array]


def _spreads(node: MaxNode, sizes: Sequence[int]) -> Spreads:
    """Values of a node's parents -> the chance of each greatest value that they ask for."""
    where = {v: i for i, v in enumerate(node.values)}
    start = np.zeros(len(node.values))
    start[0] = 1.0
    found: Spreads = {(): start}
    for parent in node.parents:
        grown: Spreads = {}
        for (so_far, spread), x in product(found.items(), range(sizes[parent.variable])):
            then = np.zeros_like(spread)
            for (i, a), (j, b) in product(enumerate(node.values), repeat=2):
                then[where[tuple(map(max, a, b))]] += spread[i] * parent.table[x, j]
            grown[*so_far, x] = then
        found = grown
    return found


def _weight(
    x: tuple[int, ...],
    nodes: Sequence[MaxNode],
    spreads: Sequence[Spreads],
    plain: Sequence[tuple[tuple[int, ...], Array]],
) -> Array:
    weight = np.asarray(prod(float(table[(*(x[v] for v in scope), 0)]) for scope, table in plain))
    for node, asked in zip(nodes, spreads, strict=True):
        end = node.end[:, x[node.hangs[0]]] if node.hangs else node.end
        weight = weight * (asked[tuple(x[parent.variable] for parent in node.parents)] @ end)
    return np.asarray(weight)


def test_a_wide_node_stays_narrow() -> None:
    """Thirty parents of one node: no table with more than a few of them."""
    unfolded = unfold((2,) * 30, ((0, 1), (1, 2)), (Shape(2, tuple(range(30)), ()),))
    assert max(len(recipe.scope) for recipe in unfolded.recipes) <= 6


def test_the_same_structure_unfolds_the_same_way() -> None:
    structure = ((2, 3, 2), ((0, 1),), (Shape(2, (0, 1, 2), ()), Shape(3, (1, 2), ())))
    first = unfold(*structure)
    unfold.cache_clear()
    assert unfold(*structure) == first
