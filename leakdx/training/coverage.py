"""What a body of cases reaches: causes by what a case is for them, rules that fire or just miss, repairs.

Rules are followed along the log of each case: what they say at the start (look before you wash) is past at the end.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence

from msgspec import Struct, structs

from leakdx.knowledge.actions import Condition
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.facts import ANYWHERE, TIMES, Fact, concluded, meets, subject
from leakdx.reasoning.rules import in_order
from leakdx.training.body import Truck
from leakdx.training.expectation import ROLES, Role

Cases = tuple[str, ...]


class RuleCoverage(Struct, frozen=True):
    """Cases in which a rule fires, and in which exactly one of its premises is missing. ``always``: none can be."""

    fires: Cases
    just_missed: Cases
    always: bool = False


class RepairCoverage(Struct, frozen=True):
    """Cases whose recommended path holds a repair, that require it, and in which a rule forbids it."""

    recommended: Cases
    required: Cases
    forbidden: Cases


class Coverage(Struct, frozen=True):
    """By id, in the order of the knowledge. ``causes``: role -> cases that say they serve it."""

    cases: int
    causes: Mapping[str, Mapping[Role, Cases]]
    rules: Mapping[str, RuleCoverage]
    repairs: Mapping[str, RepairCoverage]

    def gaps(self) -> tuple[str, ...]:
        """What is not reached, one sentence each."""
        return (
            *(
                f"cause '{id}' has no case that serves it as {role}"
                for id, roles in self.causes.items()
                for role in ROLES
                if not roles[role]
            ),
            *(f"rule '{id}' fires in no case" for id, rule in self.rules.items() if not rule.fires),
            *(
                f"rule '{id}' has no case that just misses it"
                for id, rule in self.rules.items()
                if not (rule.just_missed or rule.always)
            ),
            *(
                f"repair '{id}' is neither recommended nor required nor forbidden in any case"
                for id, repair in self.repairs.items()
                if not (repair.recommended or repair.required or repair.forbidden)
            ),
        )

    def reached(self) -> Mapping[str, tuple[int, int]]:
        """What is counted -> (reached, of how many)."""
        causes, rules, repairs = self.causes.values(), self.rules.values(), self.repairs.values()
        found = {f"causes, {role}": sum(bool(roles[role]) for roles in causes) for role in ROLES}
        of = dict.fromkeys(found, len(self.causes))
        found["rules that fire"] = sum(bool(rule.fires) for rule in rules)
        found["rules just missed"] = sum(bool(rule.just_missed or rule.always) for rule in rules)
        found["repairs"] = sum(bool(r.recommended or r.required or r.forbidden) for r in repairs)
        of |= {"rules that fire": len(self.rules), "rules just missed": len(self.rules), "repairs": len(self.repairs)}
        return {what: (found[what], of[what]) for what in found}


def coverage(knowledge: Knowledge, trucks: Sequence[Truck]) -> Coverage:
    """What the trucks reach. Raises CaseError where one cannot be diagnosed."""
    fires: dict[str, dict[str, None]] = {rule: {} for rule in knowledge.rules}
    missed: dict[str, dict[str, None]] = {rule: {} for rule in knowledge.rules}
    for truck in trucks:
        for state in states(truck):
            fired = {firing.rule for firing in state.run.firings}
            for rule in fired:
                fires[rule][truck.case.id] = None
            for rule in just_missed(knowledge, state.run.facts, fired):
                missed[rule][truck.case.id] = None
    return Coverage(
        cases=len(trucks),
        causes={cause: {role: _serving(trucks, cause, role) for role in ROLES} for cause in knowledge.causes},
        rules={
            id: RuleCoverage(tuple(fires[id]), tuple(missed[id]), all(c.complaint == ANYWHERE for c in rule.when))
            for id, rule in knowledge.rules.items()
        },
        repairs={repair: _of_repair(trucks, repair) for repair in knowledge.repairs},
    )


def states(truck: Truck) -> Iterator[Diagnosis]:
    """The truck as it ended, then before each entry of its log; only what rules need is worked out."""
    yield truck.diagnosis
    for length in range(len(truck.case.log)):
        yield diagnose(truck.knowledge, structs.replace(truck.case, log=truck.case.log[:length]))


def just_missed(knowledge: Knowledge, facts: Sequence[Fact], fired: Collection[str]) -> Iterator[str]:
    """Rules of which exactly one premise does not hold.

    A truck of which nobody asked does not just miss a rule: something else was answered in the place of what is
    missing, or a rule that would have brought it about was itself just missed, or what should be absent is there, or
    another premise speaks of what was seen, told or done. What was not done or opened is missing for certain, and so is
    the return of a truck that was repaired in its log.
    """
    answered = {(fact.kind, fact.id) for fact in facts}
    repaired = any(fact.kind == "act" and fact.id in knowledge.repairs for fact in facts)
    missed: dict[tuple[str, str], None] = {("returned", time): None for time in TIMES if repaired}
    for id, rule in in_order(knowledge.rules).items():
        if id in fired:
            continue
        failing = [condition for condition in rule.when if not _holds(condition, facts)]
        if len(failing) == 1 and (_is_near(failing[0], answered, missed) or _speaks(rule.when, failing[0])):
            would = (concluded(conclusion, sure=True) for conclusion in rule.then)
            missed.update(((fact.kind, fact.id), None) for fact in would if fact is not None)
            yield id


def _holds(condition: Condition, facts: Sequence[Fact]) -> bool:
    return any(meets(fact, condition) for fact in facts) is not condition.absent


def _is_near(condition: Condition, answered: Collection[tuple[str, str]], missed: Collection[tuple[str, str]]) -> bool:
    kind, ids = subject(condition)
    return (
        condition.absent or kind in ("act", "open") or any((kind, id) in answered or (kind, id) in missed for id in ids)
    )


def _speaks(premises: Sequence[Condition], but: Condition) -> bool:
    """Whether another premise asks for something to be there, beyond a complaint, which always is."""
    return any(not c.absent and c.complaint is None for c in premises if c is not but)


def _serving(trucks: Sequence[Truck], cause: str, role: Role) -> Cases:
    return tuple(
        truck.case.id
        for truck in trucks
        if truck.expectation is not None and cause in truck.expectation.expect.serves.get(role, ())
    )


def _of_repair(trucks: Sequence[Truck], repair: str) -> RepairCoverage:
    recommended, required, forbidden = [], [], []
    for truck in trucks:
        paths = truck.diagnosis.repairs
        if paths and repair in paths[0].actions:
            recommended.append(truck.case.id)
        if truck.expectation is not None and any(repair in g for g in truck.expectation.expect.required or ()):
            required.append(truck.case.id)
        if any(ban.action == repair for ban in truck.diagnosis.forbidden):
            forbidden.append(truck.case.id)
    return RepairCoverage(tuple(recommended), tuple(required), tuple(forbidden))
