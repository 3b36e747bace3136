"""The belief against general-purpose Bayesian-network libraries and full enumeration, on random knowledges.

The networks are built from the YAML by ``tests.published.reference``, which shares no code with leakdx.
pyAgrum: lazy propagation; pgmpy: variable elimination. Where 1e-12 is asked for, both sides use the base
chances that leakdx solved; that these are the true ones is a test of its own.
"""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from numpy.typing import NDArray

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.reasoning.belief import Belief, Evidence, Model, compile_model
from leakdx.reasoning.evidence import DoubtEvidence, Otherwise
from tests.published import random_knowledge, tiny
from tests.published.asked import evidence_of, knowledge_of
from tests.published.reference import doubted, enumeration, network, shares
from tests.published.reference.reader import NOT_LISTED, Meaning, Story, load, understand

EXACT = 1e-12
Marginals = Mapping[str, tuple[float, ...]]


def base_of(model: Model) -> dict[str, float]:
    """The base chances that leakdx solved."""
    return dict(zip(model.causes, (1 / (1 + np.exp(-model.log_odds))).tolist(), strict=True))


def believed(belief: Belief) -> Marginals:
    """Cause -> (leaking now, leaking first, present now, present first)."""
    rows = np.stack([belief.leaking, belief.leaking_first, belief.present, belief.present_first], axis=-1)
    return {cause: tuple(row) for cause, row in zip(belief.causes, rows.tolist(), strict=True)}


def assert_same(found: Marginals, expected: Marginals, within: float = EXACT) -> None:
    assert found.keys() == expected.keys()
    for cause, chances in expected.items():
        assert found[cause] == pytest.approx(chances, abs=within), cause


def possible_story(meaning: Meaning, rng: np.random.Generator) -> tuple[Story, dict[str, str]]:
    """A random story that can be so (pits seen, then gone with nothing renewed, cannot)."""
    base = dict.fromkeys(meaning.causes, 0.1)
    while True:
        story, told = random_knowledge.draw_story(meaning, rng)
        with suppress(network.ImpossibleError):
            network.cause_marginals(meaning, base, story)
            return story, told


@pytest.mark.parametrize("seed", range(10))
def test_two_hundred_random_knowledges(seed: int, tmp_path: Path) -> None:
    """20 knowledges a seed: base chances from shares, then the posterior of a random story."""
    rng = np.random.default_rng(seed)
    for number in range(20):
        tree, true_base = random_knowledge.draw(rng)
        folder = tiny.write(tree, tmp_path / str(number))
        meaning, model = load(folder), compile_model(load_knowledge([folder]))
        assert base_of(model) == pytest.approx(true_base, rel=1e-6)
        story, told = possible_story(meaning, rng)
        expected, _ = network.cause_marginals(meaning, base_of(model), story)
        assert_same(believed(Belief(model, evidence_of(meaning, story, told))), expected)


def test_small_ones_by_a_second_library_and_by_enumeration(tmp_path: Path) -> None:
    rng = np.random.default_rng(100)
    for number in range(20):
        tree, _ = random_knowledge.draw(rng, causes=(2, 3))
        folder = tiny.write(tree, tmp_path / str(number))
        meaning, model = load(folder), compile_model(load_knowledge([folder]))
        story, told = possible_story(meaning, rng)
        belief = Belief(model, evidence_of(meaning, story, told))
        plain = enumeration.posterior(meaning, base_of(model), story)
        assert_same(believed(belief), {c: tuple(part[c] for part in plain.by_cause) for c in meaning.causes})
        now, first = belief.zones()
        assert now.tolist() == pytest.approx([plain.zones[z] for z in meaning.zones], abs=EXACT)
        assert first.tolist() == pytest.approx([plain.zones_first[z] for z in meaning.zones], abs=EXACT)
        by_cause = network.Builder(meaning, base_of(model), story)
        nodes = {c: by_cause.states[c][by_cause.last] for c in meaning.causes}
        found = network.marginals_by_elimination(by_cause.net, set(nodes.values()))
        leaking = [found[node][enumeration.LEAKING] for node in nodes.values()]
        assert belief.leaking.tolist() == pytest.approx(leaking, abs=EXACT)


def test_families_and_products_by_enumeration(tmp_path: Path) -> None:
    """P(any of a family leaks) and E[product of multipliers], the two that planning stands on."""
    rng = np.random.default_rng(200)
    for number in range(20):
        tree, _ = random_knowledge.draw(rng, causes=(2, 3))
        folder = tiny.write(tree, tmp_path / str(number))
        meaning, model = load(folder), compile_model(load_knowledge([folder]))
        story, told = possible_story(meaning, rng)
        belief = Belief(model, evidence_of(meaning, story, told))
        rows = enumeration.rows(meaning, base_of(model), story)
        families, _ = belief.families()
        for family, chance in zip(model.families, families.tolist(), strict=True):
            dry = {c.id: (1.0, 1.0, 0.0) for c in meaning.causes.values() if c.family == family}
            assert chance == pytest.approx(1 - enumeration.expect(rows, dry), abs=EXACT)
        multipliers = rng.uniform(0, 1, (3, len(belief.causes), 3))
        found = belief.expect(now=multipliers)
        for row, held in zip(multipliers, found.tolist(), strict=True):
            now = dict(zip(belief.causes, row.tolist(), strict=True))
            assert held == pytest.approx(enumeration.expect(rows, now), abs=EXACT)


@pytest.fixture(scope="module")
def shipped() -> tuple[Meaning, Model]:
    """The shipped knowledge, read twice."""
    return load(shipped_folder()), compile_model(load_knowledge([shipped_folder()]))


def test_shipped_shares_by_a_plain_fixed_point(shipped: tuple[Meaning, Model]) -> None:
    meaning, model = shipped
    expected = {c: cause.share for c, cause in meaning.causes.items()}
    assert shares.after_complaint(meaning, base_of(model)) == pytest.approx(expected, abs=1e-9)
    assert base_of(model) == pytest.approx(shares.solve(meaning), rel=1e-6)


@pytest.mark.parametrize("seed", range(24))
def test_shipped_knowledge_with_random_evidence(shipped: tuple[Meaning, Model], seed: int) -> None:
    """Up to ten "yes" and ten "no", some fairly sure, history told, in every third an act in the middle."""
    meaning, model = shipped
    story, told = _shipped_story(meaning, np.random.default_rng(seed), yes=seed % 11, acts=int(seed % 3 == 2))
    given = NOT_LISTED if NOT_LISTED in meaning.causes else None
    expected, _ = network.cause_marginals(meaning, base_of(model), story, given=given)
    assert_same(believed(Belief(model, evidence_of(meaning, story, told))), expected)


def _shipped_story(meaning: Meaning, rng: np.random.Generator, yes: int, acts: int) -> tuple[Story, dict[str, str]]:
    told = {g: str(rng.choice(list(a))) for g, a in meaning.history.items() if rng.random() < 0.3}
    decibans, impossible = meaning.told(told)
    curing = [a for a, cures in meaning.acts.items() if cures and a not in meaning.renews]
    curing = curing or [a for a, cures in meaning.acts.items() if cures]
    done = tuple((meaning.acts[a], meaning.renews[a]) for a in rng.choice(curing, acts))
    places = [f"{kind}.{z.id}" for z in meaning.zones.values() if z.active for kind in ("wet", "origin")]
    askable = [
        s for s in (*meaning.signs, *places) if s.split(".")[-1] in (*meaning.places, *meaning.zones, *meaning.signs)
    ]
    picked: Sequence[str] = [str(s) for s in rng.permutation(askable)[: yes + 10]]
    seen = []
    for number, sign in enumerate(picked):
        ranks = len(meaning.signs[sign].outcomes) if sign in meaning.signs else 2
        rank = int(rng.integers(1, ranks)) if number < yes else 0
        seen.append((sign, int(rng.integers(acts + 1)), _answer(ranks, rank, rng.random() < 0.2)))
    return Story(meaning.complaint, decibans, impossible, done, tuple(seen)), told


def _answer(ranks: int, rank: int, fairly_sure: bool) -> tuple[float, ...]:
    likelihood: NDArray[np.float64] = np.full(ranks, 0.15 if fairly_sure else 0.0)
    likelihood[rank] = 1.0
    return tuple(likelihood.tolist())


def doubted_evidence(
    evidence: Evidence, doubts: Mapping[str, float], relies: list[set[str]], by: list[float]
) -> Evidence:
    """The same evidence with its answers relying on doubted things; ``by``: of each answer, its chance by itself."""
    signs = []
    for sign, needs, chance in zip(evidence.signs, relies, by, strict=True):
        ways = [way for n in range(1, len(needs) + 1) for way in combinations(sorted(needs), n)]
        unheard = (chance,) * len(sign.likelihood)
        signs.append(replace(sign, otherwise=tuple(Otherwise(way, unheard) for way in ways)))
    stated = tuple(DoubtEvidence(100 + i, thing, chance) for i, (thing, chance) in enumerate(doubts.items()))
    return replace(evidence, signs=tuple(signs), doubts=stated)


@given(seed=st.integers(0, 2**32 - 1), chances=st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0)))
@settings(max_examples=15, deadline=None)
def test_doubt_by_enumeration(seed: int, chances: tuple[float, float]) -> None:
    """Two doubted things; each answer needs neither, one or both of them."""
    rng = np.random.default_rng(seed)
    tree, _ = random_knowledge.draw(rng, causes=(2, 3))
    meaning, model = understand(tree), compile_model(knowledge_of(tree))
    story, told = possible_story(meaning, rng)
    doubts = dict(zip(("wash", "wrench"), chances, strict=True))
    relies = [{thing for thing in doubts if rng.random() < 0.5} for _ in story.seen]
    base = base_of(model)
    by = [doubted.by_chance(meaning, base, story, seen) for seen in story.seen]
    plain = doubted.posterior(meaning, base, story, doubts, relies)
    evidence = doubted_evidence(evidence_of(meaning, story, told), doubts, relies, by)
    expected = {c: tuple(part[c] for part in plain.by_cause) for c in meaning.causes}
    assert_same(believed(Belief(model, evidence)), expected)
