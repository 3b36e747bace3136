"""Holds a diagnosis against what was expected of the truck: one failure for each claim that is not met."""

from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct

from leakdx.explain.job import job_cautions
from leakdx.knowledge.faults import Spot
from leakdx.reasoning.answer import Answers
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.training.expectation import CLAIMS, Expect, Expectation

PAIR_ABOVE = 0.5
HEAVIEST = 3
CAUSES_SHOWN = 4


class Failure(Struct, frozen=True):
    """A claim that is not met. ``spot``: where it is written."""

    spot: Spot
    claim: str
    expected: str
    got: str

    def __str__(self) -> str:
        return f"{self.spot.file}:{self.spot.line}: {self.claim}: expected {self.expected}; got {self.got}"


def judge(diagnosis: Diagnosis, expectation: Expectation) -> tuple[Failure, ...]:
    """Every claim that the diagnosis does not meet, in the order of the claims."""
    failures = []
    for claim in CLAIMS:
        if getattr(expectation.expect, claim) is None:
            continue
        if claim == "caution":  # the one claim that looks at the job sheet too
            missed = _caution(diagnosis, expectation.expect.caution or ())
        else:
            missed = _CLAIMS[claim](diagnosis.answers, expectation.expect)
        if missed is not None:
            failures.append(Failure(expectation.spots[claim], claim, *missed))
    return tuple(failures)


def heaviest(answers: Answers) -> tuple[str, ...]:
    """The observations that moved the leading cause most, in words."""
    if not answers.causes:
        return ()
    leader = answers.causes[0].id
    moved = sorted(((seen.decibans.get(leader, 0.0), seen) for seen in answers.observations), key=lambda m: -abs(m[0]))
    return tuple(
        f"entry {seen.entry}: {seen.name}: {seen.answer_name} ({decibans:+.1f} dB on {leader})"
        for decibans, seen in moved[:HEAVIEST]
    )


_Missed = tuple[str, str] | None
"""(expected, got) in words, or None where the claim is met."""


def _path(answers: Answers) -> tuple[str, ...]:
    """The actions of the recommended path."""
    return answers.repairs[0].actions if answers.repairs else ()


def _either(ids: Sequence[str]) -> str:
    return " or ".join(ids)


def _said(ids: Sequence[str]) -> str:
    return ", ".join(ids) or "nothing"


def _ranking(answers: Answers) -> str:
    return ", ".join(f"{c.id} {c.leaking_first:.2f}" for c in answers.causes[:CAUSES_SHOWN])


def _likeliest(answers: Answers, kind: str) -> tuple[str, str]:
    """(the likeliest when brought in, the first of the ranking in words) of zones or families."""
    ranked = sorted(getattr(answers, kind), key=lambda one: -one.leaking_first)
    return ranked[0].id, ", ".join(f"{one.id} {one.leaking_first:.2f}" for one in ranked[:CAUSES_SHOWN])


def _fit_to_drive(answers: Answers, expect: Expect) -> _Missed:
    fit, wanted = answers.fit_to_drive, expect.fit_to_drive or ()
    return None if fit.answer in wanted else (_either(wanted), f"{fit.answer} ({fit.reason})")


def _where(answers: Answers, expect: Expect) -> _Missed:
    top, ranking = _likeliest(answers, "zones")
    return None if top in (expect.where or ()) else (_either(expect.where or ()), ranking)


def _family(answers: Answers, expect: Expect) -> _Missed:
    top, ranking = _likeliest(answers, "families")
    return None if top in (expect.family or ()) else (_either(expect.family or ()), ranking)


def _leader(answers: Answers, expect: Expect) -> _Missed:
    wanted = expect.leader or ()
    return None if answers.causes[0].id in wanted else (_either(wanted), _ranking(answers))


def _not_leading(answers: Answers, expect: Expect) -> _Missed:
    barred = expect.not_leading or ()
    return None if answers.causes[0].id not in barred else (f"not {_either(barred)}", _ranking(answers))


def _pair(answers: Answers, expect: Expect) -> _Missed:
    belief = {c.id: max(c.leaking_first, c.present, c.present_first) for c in answers.causes}
    low = [f"{cause} {belief.get(cause, 0.0):.2f}" for cause in expect.pair or () if belief.get(cause, 0) <= PAIR_ABOVE]
    return (f"each of {_said(expect.pair or ())} above {PAIR_ABOVE}", ", ".join(low)) if low else None


def _clear_at(answers: Answers, expect: Expect) -> _Missed:
    wanted, clear = expect.clear_at or (), answers.clear_at
    return None if clear.level in wanted else (_either(wanted), f"{clear.level} {clear.id or ''}".strip())


def _required(answers: Answers, expect: Expect) -> _Missed:
    path = _path(answers)
    lacking = [_either(group) for group in expect.required or () if not set(group) & set(path)]
    return (", ".join(lacking), f"the path {_said(path)}") if lacking else None


def _at_most_extra(answers: Answers, expect: Expect) -> _Missed:
    wanted = {action for group in expect.required or () for action in group}
    extra = [action for action in _path(answers) if action not in wanted]
    most = expect.at_most_extra or 0
    return (f"at most {most} beyond what is required", _said(extra)) if len(extra) > most else None


def _none(answers: Answers, expect: Expect) -> _Missed:
    path = _path(answers)
    # While it says to look further, or to release and look again, it recommends no repair.
    if (not path or answers.decision.do in ("look_further", "release_and_recheck")) is expect.none:
        return None
    return ("nothing to repair now" if expect.none else "a repair", f"the path {_said(path)}")


def _forbidden(answers: Answers, expect: Expect) -> _Missed:
    """Forbidden, and recommended only beside an action that lifts the ban."""
    path = set(_path(answers))
    for action in expect.forbidden or ():
        bans = [ban for ban in answers.forbidden if ban.action == action]
        if not bans:
            return f"{action} forbidden", f"forbidden are {_said(sorted({b.action for b in answers.forbidden}))}"
        for ban in bans:
            alone = ban.scope == "unless together with" and not path & set(ban.other)
            if action in path and (ban.scope == "not at all" or alone):
                return f"{action} not recommended", f"{action} in the path though {ban.rule} forbids it"
    return None


def _permitted(answers: Answers, expect: Expect) -> _Missed:
    outright = {ban.action: ban.rule for ban in answers.forbidden if ban.scope == "not at all"}
    barred = [f"{action} (by {outright[action]})" for action in expect.permitted or () if action in outright]
    return (f"{_said(expect.permitted or ())} permitted", f"forbidden: {_said(barred)}") if barred else None


def _holds_before(answers: Answers, expect: Expect) -> _Missed:
    held = {action for hold in answers.holds for action in hold.before}
    free = [action for action in expect.holds_before or () if action not in held]
    return (f"a hold before {_said(free)}", f"holds before {_said(sorted(held))}") if free else None


def _decision(answers: Answers, expect: Expect) -> _Missed:
    wanted, made = expect.decision or (), answers.decision
    return None if made.do in wanted else (_either(wanted), f"{made.do} ({made.reason})")


def _next_check(answers: Answers, expect: Expect) -> _Missed:
    wanted = expect.next_check or ()
    offered = answers.next_check.id if answers.next_check else "no check"
    others = _said([check.id for check in answers.other_checks])
    return None if offered in wanted else (_either(wanted), f"{offered}, then {others}")


def shown_cautions(diagnosis: Diagnosis) -> set[str]:
    """Cautions that a reader meets: of the truck's state, at the checks, and at the steps of the recommended path."""
    answers = diagnosis.answers
    shown = {caution.id for caution in answers.cautions}
    shown.update(id for check in (answers.next_check, *answers.other_checks) if check for id in check.cautions)
    return shown | (job_cautions(diagnosis, answers.repairs[0]) if answers.repairs else set())


def _caution(diagnosis: Diagnosis, wanted: Sequence[str]) -> _Missed:
    shown = shown_cautions(diagnosis)
    lacking = [id for id in wanted if id not in shown]
    return (_said(lacking), f"cautions {_said(sorted(shown))}") if lacking else None


def _could_be_none(answers: Answers, expect: Expect) -> _Missed:
    said = answers.could_be_none_of_these
    if said.warn is expect.could_be_none:
        return None
    return ("said" if expect.could_be_none else "not said"), f"not listed {said.probability:.2f}"


_CLAIMS: Mapping[str, Callable[[Answers, Expect], _Missed]] = {
    "fit_to_drive": _fit_to_drive,
    "where": _where,
    "leader": _leader,
    "not_leading": _not_leading,
    "family": _family,
    "pair": _pair,
    "clear_at": _clear_at,
    "required": _required,
    "at_most_extra": _at_most_extra,
    "none": _none,
    "forbidden": _forbidden,
    "permitted": _permitted,
    "holds_before": _holds_before,
    "decision": _decision,
    "next_check": _next_check,
    "could_be_none": _could_be_none,
}
