"""The mean count of leaking causes once an answer is told, against the belief asked one case at a time."""

import pytest

from leakdx.reasoning.belief import Belief, Evidence, compile_model
from leakdx.reasoning.compiled import Model
from leakdx.reasoning.gather import answer_evidence
from leakdx.reasoning.lint_counts import mean_counts
from tests.shipped import knowledge

Counts = dict[tuple[tuple[str, str], ...], float]


@pytest.fixture(scope="module")
def model() -> Model:
    return compile_model(knowledge())


@pytest.fixture(scope="module")
def counts(model: Model) -> Counts:
    """What was told -> the mean count."""
    return {count.told: count.mean for count in mean_counts(knowledge(), model)}


def test_complaint_alone_is_the_sum_of_shares(counts: Counts) -> None:
    shares = sum(cause.share for cause in knowledge().causes.values()) + knowledge().words.not_listed.share
    assert counts[()] == pytest.approx(shares / 100, abs=1e-8)


def test_each_is_what_the_belief_says_of_that_case(counts: Counts, model: Model) -> None:
    some = [told for told in counts if told][::97]
    assert len(some) > 20
    for told in some:
        history = tuple(answer_evidence(knowledge(), i + 1, *said) for i, said in enumerate(told))
        belief = Belief(model, Evidence(knowledge().complaint, history))
        assert counts[told] == pytest.approx(float(belief.leaking_first.sum()), rel=1e-10), told


def test_answers_to_one_question_are_never_told_together(counts: Counts) -> None:
    assert all(len({group for group, _ in told}) == len(told) for told in counts)
