"""Lint that thinks: every look at the knowledge that needs rules run, beliefs worked out, or a body of cases."""

from collections.abc import Iterator, Sequence

from msgspec import structs

from leakdx.errors import CaseError, TooWideError
from leakdx.knowledge.faults import Fault, in_order
from leakdx.knowledge.hints import Hint, hint
from leakdx.knowledge.lint_evidence import told_by_checks, votes_twice
from leakdx.knowledge.lint_reasons import thin_reasons
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.belief import compile_model
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.lint_counts import lifts_the_count
from leakdx.reasoning.lint_repairs import never_best
from leakdx.reasoning.lint_rules import contradictions, never_fires
from leakdx.reasoning.lint_width import too_wide
from leakdx.training.body import Truck


def deep_lint(knowledge: Knowledge, trucks: Sequence[Truck]) -> tuple[Fault, ...]:
    """All deep hints, in the order of the files. A minute or two for a hundred trucks.

    Raises:
        ShareError: No base chances meet the shares.
    """
    model = compile_model(knowledge)
    return in_order(
        (
            *never_fires(knowledge),
            *contradictions(knowledge),
            *told_by_checks(knowledge),
            *votes_twice(knowledge),
            *thin_reasons(knowledge),
            *lifts_the_count(knowledge, model),
            *too_wide(model),
            *never_best(knowledge, _recommended(trucks)),
            *never_chosen(knowledge, trucks),
        )
    )


def _recommended(trucks: Sequence[Truck]) -> set[str]:
    """Repairs in the path that is recommended for some truck."""
    paths = (truck.diagnosis.repairs[0].actions for truck in trucks if truck.diagnosis.repairs)
    return {action for path in paths for action in path}


def never_chosen(knowledge: Knowledge, trucks: Sequence[Truck]) -> Iterator[Fault]:
    """Checks that no truck is ever offered, that do not open the interview, and that no rule or repair names.

    A truck is looked at as it ended and, for checks still not seen, halfway through its log.
    """
    left = set(knowledge.checks) - _named_checks(knowledge) - _only_told(knowledge)
    for truck in trucks:
        left -= _offered(truck.diagnosis)
    for truck in trucks if left else ():
        left -= _offered_halfway(truck)
    for id, check in knowledge.checks.items():
        if id in left:
            wrong = f"no case is offered '{id}', and no rule, hold or repair names it"
            right = "write the case that needs it, make it cheaper or sharper, or take it out"
            yield hint(check.at, Hint.CHECK_NOT_CHOSEN, wrong, right)


def _named_checks(knowledge: Knowledge) -> set[str]:
    """Checks that open the interview, settle a hold, stand before a repair, or that a rule wants first."""
    named = {id for id, check in knowledge.checks.items() if check.ask_order is not None}
    for repair in knowledge.repairs.values():
        named.update(repair.first_hold)
    for rule in knowledge.rules.values():
        for said in rule.then:
            named.update((*said.record, *said.other))
    return named


def _only_told(knowledge: Knowledge) -> set[str]:
    """Questions of history alone: they are asked by the way, and weighed by nobody."""
    return {id for id, check in knowledge.checks.items() if all(s in knowledge.history for s in check.reveals)}


def _offered(diagnosis: Diagnosis) -> set[str]:
    answers = diagnosis.answers
    return {check.id for check in (answers.next_check, *answers.other_checks) if check is not None}


def _offered_halfway(truck: Truck) -> set[str]:
    """Checks that the truck was offered after half of its entries; answers that exclude one another offer none."""
    log = truck.case.log
    try:
        return _offered(diagnose(truck.knowledge, structs.replace(truck.case, log=log[: len(log) // 2])))
    except (CaseError, TooWideError):
        return set()
