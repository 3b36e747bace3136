"""Holds a diagnosis against what was expected of the truck: one failure for each claim that is not met."""

from collections.abc import Callable, Iterable, Mapping, Sequence

from msgspec import Struct

from leakdx.explain.job import job_cautions
from leakdx.knowledge.faults import Spot
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.training.expectation import CLAIMS, Expect, Expectation

PAIR_ABOVE = 0.5
SAID = (
    "fit_to_drive",
    "permitted",
    "holds_before",
    "looks_before",
    "caution_first",
    "put_right",
    "proved",
    "ruled_out",
)
"""Claims on what rules alone say, which nothing need be weighed for."""
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


def judge(made: Diagnosis, expectation: Expectation, claims: Sequence[str] = CLAIMS) -> tuple[Failure, ...]:
    """Every claim that the diagnosis does not meet, in the order of the claims."""
    failures = []
    for claim in claims:
        if getattr(expectation.expect, claim) is not None:
            missed = _CLAIMS[claim](made, expectation.expect)
            if missed is not None:
                failures.append(Failure(expectation.spots[claim], claim, *missed))
    return tuple(failures)


def heaviest(made: Diagnosis) -> tuple[str, ...]:
    """The observations that moved the leading cause most, in words."""
    if not made.causes:
        return ()
    leader = made.causes[0].id
    moved = sorted(((seen.decibans.get(leader, 0.0), seen) for seen in made.weights), key=lambda m: -abs(m[0]))
    return tuple(
        f"entry {seen.entry}: {seen.name}: {seen.answer_name} ({decibans:+.1f} dB on {leader})"
        for decibans, seen in moved[:HEAVIEST]
    )


_Missed = tuple[str, str] | None
"""(expected, got) in words, or None where the claim is met."""


def _path(made: Diagnosis) -> tuple[str, ...]:
    """The actions of the recommended path."""
    return made.repairs[0].actions if made.repairs else ()


def _either(ids: Sequence[str]) -> str:
    return " or ".join(ids)


def _said(ids: Sequence[str]) -> str:
    return ", ".join(ids) or "nothing"


def _ranking(made: Diagnosis) -> str:
    return ", ".join(f"{c.id} {c.leaking_first:.2f}" for c in made.causes[:CAUSES_SHOWN])


def _likeliest(made: Diagnosis, kind: str) -> tuple[str, str]:
    """(the likeliest when brought in, the first of the ranking in words) of zones or families."""
    ranked = sorted(getattr(made, kind), key=lambda one: -one.leaking_first)
    return ranked[0].id, ", ".join(f"{one.id} {one.leaking_first:.2f}" for one in ranked[:CAUSES_SHOWN])


def _fit_to_drive(made: Diagnosis, expect: Expect) -> _Missed:
    fit, wanted = made.fit_to_drive, expect.fit_to_drive or ()
    return None if fit.answer in wanted else (_either(wanted), f"{fit.answer} ({fit.reason})")


def _where(made: Diagnosis, expect: Expect) -> _Missed:
    top, ranking = _likeliest(made, "zones")
    return None if top in (expect.where or ()) else (_either(expect.where or ()), ranking)


def _family(made: Diagnosis, expect: Expect) -> _Missed:
    top, ranking = _likeliest(made, "families")
    return None if top in (expect.family or ()) else (_either(expect.family or ()), ranking)


def _leader(made: Diagnosis, expect: Expect) -> _Missed:
    wanted = expect.leader or ()
    return None if made.causes[0].id in wanted else (_either(wanted), _ranking(made))


def _not_leading(made: Diagnosis, expect: Expect) -> _Missed:
    barred = expect.not_leading or ()
    return None if made.causes[0].id not in barred else (f"not {_either(barred)}", _ranking(made))


def _pair(made: Diagnosis, expect: Expect) -> _Missed:
    belief = {c.id: max(c.leaking_first, c.present, c.present_first) for c in made.causes}
    low = [f"{cause} {belief.get(cause, 0.0):.2f}" for cause in expect.pair or () if belief.get(cause, 0) <= PAIR_ABOVE]
    return (f"each of {_said(expect.pair or ())} above {PAIR_ABOVE}", ", ".join(low)) if low else None


def _clear_at(made: Diagnosis, expect: Expect) -> _Missed:
    wanted, clear = expect.clear_at or (), made.clear_at
    return None if clear.level in wanted else (_either(wanted), f"{clear.level} {clear.id or ''}".strip())


def _required(made: Diagnosis, expect: Expect) -> _Missed:
    path = _path(made)
    lacking = [_either(group) for group in expect.required or () if not set(group) & set(path)]
    return (", ".join(lacking), f"the path {_said(path)}") if lacking else None


def _at_most_extra(made: Diagnosis, expect: Expect) -> _Missed:
    wanted = {action for group in expect.required or () for action in group}
    extra = [action for action in _path(made) if action not in wanted]
    most = expect.at_most_extra or 0
    return (f"at most {most} beyond what is required", _said(extra)) if len(extra) > most else None


def _none(made: Diagnosis, expect: Expect) -> _Missed:
    path = _path(made)
    # While it says to look further, or to release and look again, it recommends no repair.
    if (not path or made.decision.do in ("look_further", "release_and_recheck")) is expect.none:
        return None
    return ("nothing to repair now" if expect.none else "a repair", f"the path {_said(path)}")


def _forbidden(made: Diagnosis, expect: Expect) -> _Missed:
    """Forbidden, and recommended only beside an action that lifts the ban."""
    path = set(_path(made))
    for action in expect.forbidden or ():
        bans = [ban for ban in made.forbidden if ban.action == action]
        if not bans:
            return f"{action} forbidden", f"forbidden are {_said(sorted({b.action for b in made.forbidden}))}"
        for ban in bans:
            alone = ban.scope == "unless together with" and not path & set(ban.other)
            if action in path and (ban.scope == "not at all" or alone):
                return f"{action} not recommended", f"{action} in the path though {ban.rule} forbids it"
    return None


def _permitted(made: Diagnosis, expect: Expect) -> _Missed:
    outright = {ban.action: ban.rule for ban in made.forbidden if ban.scope == "not at all"}
    barred = [f"{action} (by {outright[action]})" for action in expect.permitted or () if action in outright]
    return (f"{_said(expect.permitted or ())} permitted", f"forbidden: {_said(barred)}") if barred else None


def _holds_before(made: Diagnosis, expect: Expect) -> _Missed:
    held = {action for hold in made.holds for action in hold.before}
    free = [action for action in expect.holds_before or () if action not in held]
    return (f"a hold before {_said(free)}", f"holds before {_said(sorted(held))}") if free else None


def _decision(made: Diagnosis, expect: Expect) -> _Missed:
    wanted, decision = expect.decision or (), made.decision
    return None if decision.do in wanted else (_either(wanted), f"{decision.do} ({decision.reason})")


def _next_check(made: Diagnosis, expect: Expect) -> _Missed:
    wanted = expect.next_check or ()
    offered = made.next_check.id if made.next_check else "no check"
    others = _said([check.id for check in made.policy.other_checks()])
    return None if offered in wanted else (_either(wanted), f"{offered}, then {others}")


def _looks_before(made: Diagnosis, expect: Expect) -> _Missed:
    asked = {(action, check) for hold in made.holds for action in hold.before for check in hold.record}
    wanted = [(action, check) for action, checks in (expect.looks_before or {}).items() for check in checks]
    lacking = [f"{check} before {action}" for action, check in wanted if (action, check) not in asked]
    of = {action for action, _ in wanted}
    got = sorted(f"{check} before {action}" for action, check in asked if action in of)
    return (_said(lacking), f"holds ask for {_said(got)}") if lacking else None


def shown_cautions(made: Diagnosis) -> set[str]:
    """Cautions that a reader meets: of the truck's state, at the checks, and at the steps of the recommended path."""
    shown = _first_cautions(made)
    offered = (made.next_check, *made.policy.other_checks())
    shown.update(id for check in offered if check for id in check.cautions)
    return shown | (job_cautions(made, made.repairs[0]) if made.repairs else set())


def _first_cautions(made: Diagnosis) -> set[str]:
    return {caution.id for caution in made.orders.cautions()}


def _lacking(wanted: Sequence[str] | None, got: Iterable[str], what: str) -> _Missed:
    """Every one that is wanted and not got."""
    lacking = [id for id in wanted or () if id not in set(got)]
    return (_said(lacking), f"{what} {_said(sorted(got))}") if lacking else None


def _caution(made: Diagnosis, expect: Expect) -> _Missed:
    return _lacking(expect.caution, shown_cautions(made), "cautions")


def _caution_first(made: Diagnosis, expect: Expect) -> _Missed:
    return _lacking(expect.caution_first, _first_cautions(made), "cautions at the head")


def _put_right(made: Diagnosis, expect: Expect) -> _Missed:
    return _lacking(expect.put_right, [said.id for said in made.orders.put_right()], "to be put right are")


def _proved(made: Diagnosis, expect: Expect) -> _Missed:
    return _lacking(expect.proved, made.orders.established(), "proved are")


def _ruled_out(made: Diagnosis, expect: Expect) -> _Missed:
    return _lacking(expect.ruled_out, made.orders.excluded(), "ruled out are")


def _could_be_none(made: Diagnosis, expect: Expect) -> _Missed:
    said = made.could_be_none_of_these
    if said.warn is expect.could_be_none:
        return None
    return ("said" if expect.could_be_none else "not said"), f"not listed {said.probability:.2f}"


_CLAIMS: Mapping[str, Callable[[Diagnosis, Expect], _Missed]] = {
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
    "looks_before": _looks_before,
    "decision": _decision,
    "next_check": _next_check,
    "caution": _caution,
    "caution_first": _caution_first,
    "put_right": _put_right,
    "proved": _proved,
    "ruled_out": _ruled_out,
    "could_be_none": _could_be_none,
}
