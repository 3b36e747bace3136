"""Answers that are named must be answers of the group, or outcomes of the sign, that they are said to be of."""

from collections.abc import Sequence

from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.faults import Code, suggest
from leakdx.knowledge.ids import ID
from leakdx.knowledge.model import Condition

VERDICTS = ("within", "beyond", "close", "both_sides")
"""What a reading may be said to be by a rule."""
UNSURE = "unsure"
"""Kept for "looked, cannot tell"."""


def check_answers(ground: Ground) -> None:
    """``only_if``, ``fitted``, ``is`` of rules, results of looks; and the answers' own ids."""
    _check_only_if(ground)
    _check_fitted(ground)
    _check_looks(ground)
    _check_rules(ground)
    for id, group in ground.history.items():
        _check_own_ids(ground, tuple(group.answers), "history", id, "answers")
    for id, sign in ground.signs.items():
        _check_own_ids(ground, tuple(sign.results), "signs", id, "results")


def _check_own_ids(ground: Ground, answers: Sequence[str], kind: str, id: str, field: str) -> None:
    for answer in answers:
        if not ID.fullmatch(answer):
            right = "use small letters, digits and _ only, beginning with a letter"
            ground.fault(Code.BAD_ID, f"'{answer}' cannot be an answer", right, kind, id, field, answer)
        elif answer == UNSURE:
            right = "leave it out, every question can be answered so"
            ground.fault(Code.MADE_BY_LOADER, f"'{UNSURE}' is kept for the program", right, kind, id, field, answer)


def _check_only_if(ground: Ground) -> None:
    for kind, entries in ground.only_if.items():
        for id, entry in entries.items():
            for group, answers in entry.only_if.items():
                _check_group_answers(ground, group, answers, kind, id, "only_if", group)


def _check_group_answers(
    ground: Ground, group: str, answers: Sequence[str], kind: str, id: str, *path: str | int
) -> None:
    if group not in ground.history or not ground.is_sound("history", group):
        return
    known = ground.history[group].answers
    for answer in answers:
        if answer not in known:
            wrong = f"'{answer}' is not an answer of '{group}'"
            ground.fault(Code.UNKNOWN_ANSWER, wrong, suggest(answer, known), kind, id, *path)


def _check_fitted(ground: Ground) -> None:
    for id, axle in ground.axles.items():
        for group, answer in axle.fitted.items():
            _check_group_answers(ground, group, (answer,), "axles", id, "fitted", group)
            if group in ground.history and not ground.history[group].fitted and ground.is_sound("history", group):
                wrong = f"'{group}' is not a fact of how an axle is built"
                ground.fault(
                    Code.NOT_ALLOWED, wrong, "say 'fitted: true' there or leave it out", "axles", id, "fitted", group
                )


def _check_looks(ground: Ground) -> None:
    for id, cause in ground.causes.items():
        for sign, results in cause.looks.items():
            outcomes = ground.outcomes(sign)
            for result in results:
                if outcomes is not None and result not in outcomes:
                    wrong = f"'{result}' is not a result of '{sign}'"
                    right = suggest(result, outcomes)
                    ground.fault(Code.UNKNOWN_ANSWER, wrong, right, "causes", id, "looks", sign, result)


def _check_rules(ground: Ground) -> None:
    for id, rule in ground.rules.items():
        for number, condition in enumerate(rule.when):
            known = _known_answers(ground, condition)
            for answer in condition.is_:
                if known is not None and answer not in known:
                    subject = condition.sign or condition.reading or condition.history
                    wrong = f"'{answer}' is not an answer of '{subject}'"
                    right = suggest(answer, known)
                    ground.fault(Code.UNKNOWN_ANSWER, wrong, right, "rules", id, "when", number, "is")
        for number, conclusion in enumerate(rule.then):
            path = ("rules", id, "then", number, "is")
            if conclusion.is_ is None:
                continue
            outcomes = ground.outcomes(conclusion.sign) if conclusion.sign is not None else None
            if outcomes is not None and conclusion.is_ not in outcomes:
                wrong = f"'{conclusion.is_}' is not an answer of '{conclusion.sign}'"
                ground.fault(Code.UNKNOWN_ANSWER, wrong, suggest(conclusion.is_, outcomes), *path)
            if conclusion.history is not None:
                _check_group_answers(ground, conclusion.history, (conclusion.is_,), *path)


def _known_answers(ground: Ground, condition: Condition) -> Sequence[str] | None:
    """The answers that a condition may ask for; None where they are not known."""
    if condition.sign is not None:
        return ground.outcomes(condition.sign)
    if condition.reading is not None:
        return VERDICTS
    group = ground.history.get(condition.history or "")
    if group is not None and ground.is_sound("history", condition.history or ""):
        return tuple(group.answers)
    return None
