"""The mean count of leaking causes once an answer is told, against the belief asked one case at a time."""

import pytest

from leakdx.knowledge.files import shipped_folder
from leakdx.knowledge.loader import load_knowledge
from leakdx.reasoning.belief import Belief, Evidence, compile_model
from leakdx.reasoning.gather import answer_evidence
from leakdx.reasoning.lint_counts import mean_counts

KNOWLEDGE = load_knowledge([shipped_folder()])
MODEL = compile_model(KNOWLEDGE)
COUNTS = {count.told: count.mean for count in mean_counts(KNOWLEDGE, MODEL)}


def test_complaint_alone_is_the_sum_of_shares() -> None:
    shares = sum(cause.share for cause in KNOWLEDGE.causes.values()) + KNOWLEDGE.words.not_listed.share
    assert COUNTS[()] == pytest.approx(shares / 100, abs=1e-8)


@pytest.mark.parametrize("told", [told for told in COUNTS if told][::97])
def test_each_is_what_the_belief_says_of_that_case(told: tuple[tuple[str, str], ...]) -> None:
    history = tuple(answer_evidence(KNOWLEDGE, i + 1, *said) for i, said in enumerate(told))
    belief = Belief(MODEL, Evidence(KNOWLEDGE.complaint, history))
    assert COUNTS[told] == pytest.approx(float(belief.leaking_first.sum()), rel=1e-10)


def test_answers_to_one_question_are_never_told_together() -> None:
    assert all(len({group for group, _ in told}) == len(told) for told in COUNTS)
