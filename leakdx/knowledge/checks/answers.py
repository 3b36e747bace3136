"""Answers that are named must be answers of the group, or outcomes of the sign, that they are said to be of."""

from collections.abc import Iterator, Sequence

from leakdx.knowledge.actions import Condition
from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.faults import Code, suggest
from leakdx.knowledge.ids import ID

VERDICTS = ("within", "beyond", "close", "both_sides")
"""What a reading may be said to be by a rule."""
UNSURE = "unsure"
"""Kept for "looked, cannot tell"."""


def check_answers(ground: Ground) -> None:
    """``only_if``, ``fitted``, ``makes``, ``covers``, ``unless_seen``, ``is`` of rules, results of looks; own ids."""
    _check_only_if(ground)
    _check_fitted(ground)
    _check_makes(ground)
    _check_looks(ground)
    _check_unless_seen(ground)
    _check_rules(ground)
    for id, group in ground.history.items():
        _check_own_ids(ground, tuple(group.answers), "history", id, "answers")
        for answer, entry in group.answers.items():
            _check_group_answers(ground, id, entry.covers, "history", id, "answers", answer, "covers")
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
    if group in ground.history and ground.is_sound("history", group):
        _check_known(ground, answers, tuple(ground.history[group].answers), group, kind, id, *path)


def _check_known(
    ground: Ground,
    answers: Sequence[str],
    known: Sequence[str] | None,
    subject: str,
    kind: str,
    id: str,
    *path: str | int,
    what: str = "an answer",
) -> None:
    """Each is one of those that the subject has; where it is not known what it has, another fault says so."""
    for answer in answers:
        if known is not None and answer not in known:
            wrong = f"'{answer}' is not {what} of '{subject}'"
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


def _check_makes(ground: Ground) -> None:
    for id, repair in ground.repairs.items():
        for group, answer in repair.makes.items():
            _check_group_answers(ground, group, (answer,), "repairs", id, "makes", group)


def _check_unless_seen(ground: Ground) -> None:
    for id, sign in ground.signs.items():
        for other, answers in sign.unless_seen.items():
            _check_known(ground, answers, ground.outcomes(other), other, "signs", id, "unless_seen", other)


def _check_looks(ground: Ground) -> None:
    for id, cause in ground.causes.items():
        for sign, results in cause.looks.items():
            for result in results:
                path = ("causes", id, "looks", sign, result)
                _check_known(ground, (result,), ground.outcomes(sign), sign, *path, what="a result")


def _check_rules(ground: Ground) -> None:
    for id, rule in ground.rules.items():
        for number, condition in enumerate(rule.when):
            for subject, known, answer in _asked(ground, condition):
                _check_known(ground, (answer,), known, subject, "rules", id, "when", number, "is")
        for number, conclusion in enumerate(rule.then):
            path = ("rules", id, "then", number, "is")
            if conclusion.is_ is None:
                continue
            if conclusion.sign is not None:
                _check_known(ground, (conclusion.is_,), ground.outcomes(conclusion.sign), conclusion.sign, *path)
            if conclusion.history is not None:
                _check_group_answers(ground, conclusion.history, (conclusion.is_,), *path)


def _asked(ground: Ground, condition: Condition) -> Iterator[tuple[str, Sequence[str], str]]:
    """What a condition speaks of, the answers that it has, and each that the condition asks for; unknown: nothing."""
    for sign in (condition.sign, *condition.any_sign):
        outcomes = ground.outcomes(sign) if sign is not None else None
        if sign is not None and outcomes is not None:
            yield from ((sign, outcomes, answer) for answer in condition.is_)
    if condition.reading is not None:
        yield from ((condition.reading, VERDICTS, answer) for answer in condition.is_)
    group = ground.history.get(condition.history or "")
    if condition.history is not None and group is not None and ground.is_sound("history", condition.history):
        yield from ((condition.history, tuple(group.answers), answer) for answer in condition.is_)
