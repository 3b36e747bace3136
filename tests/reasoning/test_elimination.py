"""The plain core: sums of products of tables."""

from itertools import product
from math import prod
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.errors import TooWideError
from leakdx.reasoning import queries
from leakdx.reasoning.elimination import Elimination
from leakdx.reasoning.factors import find_order, make_plan
from leakdx.reasoning.queries import Array

settle = settings(max_examples=60, deadline=None)


@st.composite
def products(draw: st.DrawFn) -> tuple[list[int], list[tuple[int, ...]], list[Array], list[Array]]:
    """Up to seven variables, up to nine tables over up to three of them, some tables and columns for 3 cases."""
    sizes = draw(st.lists(st.integers(1, 3), min_size=1, max_size=7))
    scope = st.lists(st.integers(0, len(sizes) - 1), max_size=3, unique=True).map(tuple)
    scopes = draw(st.lists(scope, max_size=9))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    batch = st.sampled_from([1, 3])
    tables = [rng.random((*(sizes[v] for v in s), draw(batch))) * (rng.random() > 0.05) for s in scopes]
    return sizes, scopes, tables, [rng.random((n, draw(batch))) for n in sizes]


def by_loops(
    sizes: list[int], scopes: list[tuple[int, ...]], tables: list[Array], unaries: list[Array], case: int
) -> tuple[float, list[Array]]:
    """Total and unnormalised marginals by going through all joint values."""
    single = [np.zeros(n) for n in sizes]
    total = 0.0
    for values in product(*(range(n) for n in sizes)):
        weight = prod(float(u[x, min(case, u.shape[1] - 1)]) for u, x in zip(unaries, values, strict=True))
        for scope, table in zip(scopes, tables, strict=True):
            weight *= float(table[(*(values[v] for v in scope), min(case, table.shape[-1] - 1))])
        total += weight
        for v, x in enumerate(values):
            single[v][x] += weight
    return total, single


@settle
@given(products())
def test_totals_and_marginals_are_those_of_plain_loops(
    drawn: tuple[list[int], list[tuple[int, ...]], list[Array], list[Array]],
) -> None:
    sizes, scopes, tables, unaries = drawn
    found = Elimination(sizes, scopes, tables).marginals(unaries)
    for case in range(found.totals.mantissa.shape[0]):
        total, single = by_loops(sizes, scopes, tables, unaries, case)
        assert found.totals.mantissa[case] * np.exp(found.totals.exponent[case]) == pytest.approx(total, rel=1e-12)
        for v, column in enumerate(single if total else []):
            np.testing.assert_allclose(found.single[v][:, case], column / total, atol=1e-13)


@settle
@given(products())
def test_a_batch_is_a_loop_over_its_cases(
    drawn: tuple[list[int], list[tuple[int, ...]], list[Array], list[Array]],
) -> None:
    sizes, scopes, tables, unaries = drawn
    together = Elimination(sizes, scopes, tables).marginals(unaries)
    for case in range(together.totals.mantissa.shape[0]):
        own = [t[..., [min(case, t.shape[-1] - 1)]] for t in tables]
        alone = Elimination(sizes, scopes, own).marginals([u[:, [min(case, u.shape[1] - 1)]] for u in unaries])
        for v, column in alone.single.items():
            np.testing.assert_allclose(together.single[v][:, case], column[:, 0], atol=1e-14)


def test_chunks_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(1)
    tables = [rng.random((2, 3, 1)), rng.random((3, 2, 11)), rng.random((2, 1))]
    scopes = [(0, 1), (1, 2), (3,)]
    unaries = [rng.random((n, b)) for n, b in ((2, 11), (3, 1), (2, 11), (2, 1))]
    whole = Elimination((2, 3, 2, 2), scopes, tables).marginals(unaries)
    monkeypatch.setattr(queries, "CHUNK_CELLS", 1)
    monkeypatch.setattr(queries, "CHUNK_CASES", 2)
    cut = Elimination((2, 3, 2, 2), scopes, tables).marginals(unaries)
    for v, column in whole.single.items():
        np.testing.assert_allclose(cut.single[v], column, rtol=1e-13)
    np.testing.assert_allclose(whole.totals.mantissa, cut.totals.mantissa, rtol=1e-13)


@settle
@given(products())
def test_cells_are_predicted(drawn: tuple[list[int], list[tuple[int, ...]], list[Array], list[Array]]) -> None:
    """The plan's count is that of the tables that are really made."""
    sizes, scopes, tables, _ = drawn
    bound = Elimination(sizes, scopes, [t[..., :1] for t in tables])
    made: list[int] = []
    original = bound._backward

    def spy(cliques: list[Array], *others: Any) -> Any:
        made[:] = [clique.size for clique in cliques]
        return original(cliques, *others)

    bound._backward = spy  # type: ignore[method-assign, assignment]
    bound.marginals([np.ones((n, 1)) for n in sizes])
    assert sum(made) == bound.plan.cells
    assert max(made) == bound.plan.largest


def test_a_product_that_is_too_wide_is_refused_before_running() -> None:
    count = 26
    sizes = (2,) * count
    scopes = tuple((a, b) for a in range(count) for b in range(a))
    with pytest.raises(TooWideError, match="exact answer would need tables of 67,108,864 numbers"):
        make_plan(sizes, scopes, find_order(sizes, scopes))


def test_underflow_is_met_with_scaling() -> None:
    """A chain of 400 variables with weights of 1e-3: the plain total is 1e-1200 and smaller."""
    count = 400
    table = np.array([[1e-3, 2e-3], [3e-3, 1e-3]])[..., None]
    scopes = [(i, i + 1) for i in range(count - 1)]
    chain = Elimination((2,) * count, scopes, [table] * (count - 1))
    found = chain.marginals([np.full((2, 1), 1.0)] * count)
    log_total = np.log(found.totals.mantissa[0]) + found.totals.exponent[0]
    largest = np.linalg.eigvals(table[..., 0]).max().real
    assert log_total / (count - 1) == pytest.approx(np.log(largest), abs=0.01)
    left = np.array([1.0, 1.0])
    for _ in range(count - 1):
        left = left @ table[..., 0]
        left /= left.sum()
    np.testing.assert_allclose(found.single[count - 1][:, 0], left, atol=1e-12)


def test_orders_are_those_of_the_structure() -> None:
    sizes, scopes = (2, 2, 3, 2), ((0, 1), (1, 2), (2, 3), (3, 0))
    assert find_order(sizes, scopes) is find_order(sizes, scopes)
