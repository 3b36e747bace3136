"""On which numbers a case hangs: the spans against the case worked anew, and the draws against their own seed."""

from pathlib import Path

import numpy as np
import pytest
from msgspec import structs

from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.judged import Judged, judged_chances, moved_chance, with_all_odds, with_chance
from leakdx.reasoning.sensitivity import FARTHEST, Judgement, Posterior, hanging
from leakdx.reasoning.shares import near
from leakdx.reasoning.uncertain import all_together
from leakdx.store.casefile import read_case
from tests.reasoning.shipped_case import KNOWLEDGE

CASE = Path(__file__).parents[2] / "docs" / "cases" / "05-two-leaks-oiled-brakes.yaml"


@pytest.fixture(scope="module")
def diagnosis() -> Diagnosis:
    return diagnose(KNOWLEDGE, read_case(CASE, KNOWLEDGE))


@pytest.fixture(scope="module")
def judgement(diagnosis: Diagnosis) -> Judgement:
    return Judgement(diagnosis)


def test_as_the_numbers_are_the_choice_is_the_one_that_is_shown(diagnosis: Diagnosis, judgement: Judgement) -> None:
    assert judgement.choice.leader == diagnosis.answers.causes[0].id
    assert judgement.choice.repair == diagnosis.repairs[0].actions


def test_each_choice_stands_inside_its_span_and_not_beyond(diagnosis: Diagnosis, judgement: Judgement) -> None:
    hangs = hanging(diagnosis)
    factors = [hang.factor for hang in hangs]
    assert factors == sorted(factors)
    assert 1 < factors[0] <= factors[-1] <= FARTHEST * 1.01
    chances = [hang for hang in hangs if hang.is_chance and hang.exact][:8]
    assert chances
    for hang in chances:
        judged = Judged(hang.kind, hang.of, hang.value)  # type: ignore[arg-type]
        for what, stands in (("leader", hang.leader), ("repair", hang.repair)):
            for end, beyond in ((stands.low, 0.97), (stands.high, 1.03)):
                if end is not None:
                    inside = with_chance(judgement.model, judged, _odds_times(end, 1 / beyond))
                    outside = with_chance(judgement.model, judged, _odds_times(end, beyond))
                    now, then = (judgement.choose(judgement.posterior(m)) for m in (inside, outside))
                    assert getattr(now, what) == getattr(judgement.choice, what), hang
                    assert getattr(then, what) != getattr(judgement.choice, what), hang


def _odds_times(chance: float, factor: float) -> float:
    return chance * factor / (1 - chance + chance * factor)


def test_a_straight_line_is_the_case_worked_anew(diagnosis: Diagnosis, judgement: Judgement) -> None:
    causes = judgement.causes[:6]
    for judged in list(judged_chances(judgement.model, diagnosis.evidence, causes))[::9]:
        if judged.kind in ("word", "base"):
            continue
        ends = [moved_chance(judgement.model, judged, factor) for factor in (1 / FARTHEST, FARTHEST)]
        low, high = (judgement.posterior(with_chance(judgement.model, judged, end)) for end in ends)
        middle = 0.3 * ends[0] + 0.7 * ends[1]
        anew = judgement.posterior(with_chance(judgement.model, judged, middle))
        line = low.mixed(high, 0.7)
        for name in ("first", "leaking", "quiet", "hold"):
            assert getattr(line, name) == pytest.approx(getattr(anew, name), abs=1e-10), judged
        assert line.log_evidence == pytest.approx(anew.log_evidence, abs=1e-10)


def test_a_mixture_of_nothing_is_the_thing_itself() -> None:
    one = Posterior(-3.0, *(np.array([0.2]) for _ in range(4)))
    other = Posterior(-5.0, *(np.array([0.9]) for _ in range(4)))
    assert one.mixed(other, 0.0).hold == pytest.approx(one.hold)
    assert one.mixed(other, 1.0).hold == pytest.approx(other.hold)
    assert one.mixed(other, 1.0).log_evidence == pytest.approx(-5.0)


def test_the_results_of_a_look_never_take_more_than_there_is(judgement: Judgement, diagnosis: Diagnosis) -> None:
    for judged in judged_chances(judgement.model, diagnosis.evidence, judgement.causes):
        if judged.kind == "link":
            moved = with_chance(judgement.model, judged, moved_chance(judgement.model, judged, FARTHEST))
            asks = dict(moved.signs[judged.of[1]].parents)[moved.index[judged.of[0]]]
            assert asks.min() >= 0
            assert asks.sum() == pytest.approx(1)


# -- all numbers together --------------------------------------------------------------------------------


def test_without_any_doubt_every_draw_is_today(diagnosis: Diagnosis) -> None:
    found = all_together(diagnosis, draws=2, spread=0.0)
    assert found is not None
    assert (found.leader_stands, found.leaders) == (1.0, ((diagnosis.answers.causes[0].id, 2),))
    chance = diagnosis.answers.causes[0].leaking_first
    assert found.p_leader == pytest.approx((chance, chance), abs=1e-6)
    assert found.p_hold == pytest.approx((diagnosis.repairs[0].p_hold,) * 2, abs=1e-6)


def test_a_seed_draws_the_same_and_doubt_widens_what_is_said(diagnosis: Diagnosis) -> None:
    once, again, other = (all_together(diagnosis, draws=6, seed=seed) for seed in (3, 3, 4))
    assert once == again != other
    assert once is not None
    assert once.p_hold[0] < once.p_hold[1]
    assert sum(count for _, count in once.repairs) == sum(count for _, count in once.leaders) == 6


def test_shares_keep_their_sum_and_are_met_again(judgement: Judgement) -> None:
    rng = np.random.default_rng(2)
    moved = with_all_odds(judgement.model, lambda: float(np.exp(0.1 * rng.standard_normal())))
    assert moved.shares.sum() == pytest.approx(judgement.model.shares.sum())
    assert np.abs(moved.shares / judgement.model.shares - 1).max() > 0.05
    solved = near(moved, moved.log_odds, 12)
    assert structs.replace(moved, log_odds=solved).log_odds.shape == moved.shares.shape
    for links in moved.signs.values():
        assert all(asks.min() >= 0 and asks.sum() == pytest.approx(1) for _, asks in links.parents)
