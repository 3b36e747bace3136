"""The belief of random small cases against full enumeration."""

from dataclasses import dataclass
from itertools import product

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.belief import Belief, ContradictionError, Evidence, compile_model
from tests.reasoning.enumeration import World, posterior, with_answer
from tests.reasoning.random_cases import bases, evidences, knowledges, reclosed

CLOSE = 1e-12
settle = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


@dataclass(frozen=True)
class Drawn:
    """A knowledge, its base chances and a case."""

    knowledge: Knowledge
    base: dict[str, float]
    evidence: Evidence

    def belief(self) -> Belief:
        """The belief under test."""
        try:
            return Belief(compile_model(self.knowledge, self.base), self.evidence)
        except ContradictionError:
            assume(False)
            raise

    def worlds(self) -> list[tuple[float, World]]:
        """The reference."""
        return posterior(self.knowledge, self.base, self.evidence)


@st.composite
def cases(draw: st.DrawFn) -> Drawn:
    """All of it."""
    k = draw(knowledges())
    evidence = draw(evidences(k))
    return Drawn(k, draw(bases(k)), draw(reclosed(k, evidence)) if draw(st.booleans()) else evidence)


@settle
@given(cases())
def test_single_causes_now_and_first(drawn: Drawn) -> None:
    belief, worlds, first = drawn.belief(), drawn.worlds(), drawn.evidence.first_epoch
    for i, c in enumerate(belief.causes):
        assert belief.leaking[i] == pytest.approx(sum(p for p, w in worlds if w.leaks[-1][f"any {c}"]), abs=CLOSE)
        assert belief.leaking_first[i] == pytest.approx(
            sum(p for p, w in worlds if w.leaks[first][f"any {c}"]), abs=CLOSE
        )
        assert belief.present[i] == pytest.approx(sum(p for p, w in worlds if w.there[-1][f"any {c}"]), abs=CLOSE)
        assert belief.present_first[i] == pytest.approx(
            sum(p for p, w in worlds if w.there[first][f"any {c}"]), abs=CLOSE
        )


@settle
@given(cases())
def test_zones_and_families(drawn: Drawn) -> None:
    belief, worlds = drawn.belief(), drawn.worlds()
    for epoch, zones, families in zip((-1, drawn.evidence.first_epoch), belief.zones(), belief.families(), strict=True):
        for i, zone in enumerate(belief.model.zones):
            assert zones[i] == pytest.approx(sum(p for p, w in worlds if w.out[epoch][zone]), abs=CLOSE)
        for i, family in enumerate(belief.model.families):
            own = [belief.causes[c] for c in belief.model.members[family]]
            assert families[i] == pytest.approx(
                sum(p for p, w in worlds if any(w.leaks[epoch][f"any {c}"] for c in own)), abs=CLOSE
            )


@settle
@given(cases(), st.integers(0, 2**32 - 1))
def test_expected_products(drawn: Drawn, seed: int) -> None:
    belief, worlds, at_first = drawn.belief(), drawn.worlds(), drawn.evidence.first_epoch
    now, first = np.random.default_rng(seed).random((2, 3, len(belief.causes), 3))
    found = belief.expect(now, first)
    for b in range(3):
        mean = 0.0
        for p, w in worlds:
            for i, c in enumerate(f"any {c}" for c in belief.causes):
                p *= now[b, i, w.there[-1][c] + w.leaks[-1][c]]
                p *= first[b, i, w.there[at_first][c] + w.leaks[at_first][c]]
            mean += p
        assert found[b] == pytest.approx(mean, abs=CLOSE)


@settle
@given(cases(), st.data())
def test_outlook_is_conditioning_on_each_outcome(drawn: Drawn, data: st.DataObject) -> None:
    belief = drawn.belief()
    k = drawn.knowledge
    may_ask = [s for s in k.signs if s in drawn.evidence.askable or not (k.signs[s].place or _seen(drawn, s))]
    assume(may_ask)
    question = tuple(data.draw(st.lists(st.sampled_from(may_ask), min_size=1, max_size=3, unique=True)))
    paths = np.random.default_rng(data.draw(st.integers(0, 99))).random((2, len(belief.causes), 3))
    (found,) = belief.outlook([question], paths)
    assert found.probability.sum() == pytest.approx(1, abs=1e-10)
    for o, answers in enumerate(product(*(k.signs[s].outcomes for s in question))):
        assert found.answers[o] == answers
        if found.probability[o] < 1e-4:
            continue
        told = drawn.evidence
        for s, answer in zip(question, answers, strict=True):
            outcomes = k.signs[s].outcomes
            told = with_answer(told, s, outcomes.index(answer), len(outcomes))
        after = Belief(belief.model, told)
        np.testing.assert_allclose(found.leaking[o], after.leaking, atol=1e-10)
        np.testing.assert_allclose(found.leaking_first[o], after.leaking_first, atol=1e-10)
        np.testing.assert_allclose(found.hold[o], after.expect(now=paths), atol=1e-10)


def _seen(drawn: Drawn, sign: str) -> bool:
    return any(s.sign == sign for s in drawn.evidence.signs)


@settle
@given(cases())
def test_weights_add_up_to_all_that_was_learned(drawn: Drawn) -> None:
    belief = drawn.belief()
    items, weights = belief.weights()
    assert [i.entry for i in items] == sorted(i.entry for i in items)
    before = Belief(belief.model, replace(drawn.evidence, history=(), signs=()))
    with np.errstate(divide="ignore", invalid="ignore"):
        moved = _decibans(belief.leaking_first) - _decibans(before.leaking_first)
    known = np.isfinite(moved)  # what was cured for sure is settled before anything is seen
    np.testing.assert_allclose(weights.sum(axis=0)[known], moved[known], atol=1e-8)


def _decibans(p: np.ndarray) -> np.ndarray:
    return np.asarray(10 * np.log10(p / (1 - p)))
