"""How much an answer that is told could move the chances, before it is asked: a first measure, cheap to work out."""

from collections.abc import Mapping

from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.gather import answer_evidence


def expected_move(knowledge: Knowledge, group: str, chances: Mapping[str, float]) -> float:
    """By how much the chances of all causes together move, on average over the group's answers.

    Args:
        chances: Cause -> chance that it leaked, as the case stands.

    Each answer counts as often as it is common, and shifts the odds of each cause as it would alone; what it
    rules out loses all of its chance. Own derivation: the mean absolute change, summed over causes.
    """
    answers = knowledge.history[group].answers
    total = sum(answer.common for answer in answers.values())
    return sum(
        entry.common / total * _move(knowledge, group, answer, chances) for answer, entry in answers.items() if total
    )


def _move(knowledge: Knowledge, group: str, answer: str, chances: Mapping[str, float]) -> float:
    told = answer_evidence(knowledge, 0, group, answer)
    shifted = {cause: _shifted(chances.get(cause, 0.0), db) for cause, db in told.decibans.items()}
    shifted |= dict.fromkeys(told.impossible, 0.0)
    return sum(abs(chance - chances.get(cause, 0.0)) for cause, chance in shifted.items())


def _shifted(chance: float, decibans: float) -> float:
    raised = chance * 10 ** (decibans / 10)
    return raised / (1 - chance + raised) if raised else 0.0
