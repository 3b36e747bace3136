"""The single pieces of a knowledge that can be taken out, and a knowledge and a case without one of them."""

from collections.abc import Iterator, Mapping
from typing import Literal, TypeVar

from msgspec import Struct, structs

from leakdx.case import Case, Note, Told
from leakdx.knowledge.actions import Rule
from leakdx.knowledge.model import Axle, Cause, Group, Knowledge

Kind = Literal["rule", "link", "leads_to", "also_zone", "shift", "answer"]
_T = TypeVar("_T")


class Item(Struct, frozen=True, order=True):
    """One piece, standing at ``at``.

    ``where``: rule · cause and sign · cause, cause · cause, zone · group and whom · group, answer. A sign of several
    results is one piece with all of them, and what a question says of a cause with all its answers: one answer alone
    taken out would leave the others out of balance, and they would lift or lower the cause on average.
    """

    kind: Kind
    where: tuple[str, ...]
    at: str = ""

    @property
    def name(self) -> str:
        """As it is printed, and named where a reason to keep it is given."""
        return f"{self.kind} {(': ' if self.kind == 'answer' else ' > ').join(self.where)}"


def items(knowledge: Knowledge) -> Iterator[Item]:
    """Every rule, link, path from cause to cause or to a further zone, shift and history answer."""
    for id, rule in knowledge.rules.items():
        yield Item("rule", (id,), rule.at)
    for id, cause in knowledge.causes.items():
        yield from (Item("link", (id, sign), cause.at) for sign in (*cause.shows, *cause.looks))
        yield from (Item("leads_to", (id, other), cause.at) for other in cause.leads_to)
        yield from (Item("also_zone", (id, zone), cause.at) for zone in cause.also_zones)
    for id, group in knowledge.history.items():
        yield from (Item("answer", (id, name), group.at) for name in group.answers)
        shifted = dict.fromkeys(whom for answer in group.answers.values() for whom in answer.shifts)
        yield from (Item("shift", (id, whom), group.at) for whom in shifted)


def without(knowledge: Knowledge, item: Item) -> Knowledge:
    """The knowledge without the piece; its hash is empty, since it comes from no files."""
    id = item.where[0]
    bare = structs.replace(knowledge, hash="")
    if item.kind == "rule":
        return structs.replace(bare, rules={r: rule for r, rule in knowledge.rules.items() if r != id})
    if item.kind == "shift":
        return structs.replace(bare, history={**knowledge.history, id: _without_shift(knowledge.history[id], item)})
    if item.kind == "answer":
        return _without_answer(bare, id, item.where[1])
    return structs.replace(bare, causes={**knowledge.causes, id: _without_link(knowledge.causes[id], item)})


def _without_link(cause: Cause, item: Item) -> Cause:
    to = item.where[1]
    if item.kind == "leads_to":
        return structs.replace(cause, leads_to=_but(cause.leads_to, to))
    if item.kind == "also_zone":
        return structs.replace(cause, also_zones=_but(cause.also_zones, to))
    return structs.replace(cause, shows=_but(cause.shows, to), looks=_but(cause.looks, to))


def _without_shift(group: Group, item: Item) -> Group:
    whom = item.where[1]
    bare = {name: structs.replace(a, shifts=_but(a.shifts, whom)) for name, a in group.answers.items()}
    return structs.replace(group, answers=bare)


def _without_answer(knowledge: Knowledge, group: str, answer: str) -> Knowledge:
    """Nothing concludes the answer, and no axle family comes with it; ``told_without`` does the same to a case."""
    return structs.replace(
        knowledge,
        rules={id: _not_concluding(rule, group, answer) for id, rule in knowledge.rules.items()},
        axles={id: _not_fitted(axle, group, answer) for id, axle in knowledge.axles.items()},
    )


def _not_concluding(rule: Rule, group: str, answer: str) -> Rule:
    left = tuple(c for c in rule.then if not (c.history == group and c.is_ == answer))
    return rule if len(left) == len(rule.then) else structs.replace(rule, then=left)


def _not_fitted(axle: Axle, group: str, answer: str) -> Axle:
    return structs.replace(axle, fitted=_but(axle.fitted, group)) if axle.fitted.get(group) == answer else axle


def told_without(case: Case, item: Item) -> Case:
    """The case as it would be had nobody been able to give the answer; entries keep their numbers."""
    if item.kind != "answer":
        return case
    log = tuple(
        Note(number=e.number, who=e.who, at=e.at) if isinstance(e, Told) and (e.group, e.answer) == item.where else e
        for e in case.log
    )
    return structs.replace(case, log=log)


def _but(mapping: Mapping[str, _T], key: str) -> dict[str, _T]:
    return {k: value for k, value in mapping.items() if k != key}
