"""More ways of playing the eliminations through change how long a sum takes, never what it comes to."""

from pathlib import Path

import pytest

from leakdx.reasoning import unfolding
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.casefile import read_case
from tests import shipped


@pytest.fixture(autouse=True)
def fresh() -> None:
    unfolding.unfold.cache_clear()


@pytest.mark.parametrize("file", shipped.FILES[:3], ids=lambda file: file.stem)
def test_every_way_comes_to_the_same_belief(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    case = read_case(file, shipped.knowledge())
    usual = diagnose(shipped.knowledge(), case).belief.leaking
    unfolding.unfold.cache_clear()
    monkeypatch.setattr(unfolding, "WORTH_A_TRY", 1)
    monkeypatch.setattr(unfolding, "TRIES", 20)
    other = diagnose(shipped.knowledge(), case).belief.leaking
    assert other == pytest.approx(usual, abs=1e-12)


def test_a_wide_structure_is_tried_in_more_ways_and_none_is_dearer(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rings of nodes that share parents: the cheapest step first is not the cheapest way."""
    sizes = (3,) * 24
    shapes = tuple(unfolding.Shape(2, tuple((5 * n + k * k) % 24 for k in range(6)), ()) for n in range(12))
    scopes = tuple((n, (n + 7) % 24) for n in range(24))

    def cells(worth_a_try: int) -> int:
        unfolding.unfold.cache_clear()
        monkeypatch.setattr(unfolding, "WORTH_A_TRY", worth_a_try)
        found = unfolding.unfold(sizes, scopes, shapes)
        assert sorted(found.order) == sorted(set(found.order))
        return unfolded_cells(found)

    assert cells(1) < cells(2**60)


def unfolded_cells(found: unfolding.Unfolded) -> int:
    """Cells of all cliques of the order, found by eliminating on plain sets."""
    tables = [set(recipe.scope) for recipe in found.recipes] + [{n, (n + 7) % 24} for n in range(24)]
    total = 0
    for v in found.order:
        clique = set().union({v}, *(t for t in tables if v in t))
        size = 1
        for u in clique:
            size *= found.sizes[u]
        total += size
        tables = [t for t in tables if v not in t] + [clique - {v}]
    return total
