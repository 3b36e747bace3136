"""The single pieces of a knowledge that can be taken out, and a knowledge and a case without one of them."""

from collections.abc import Iterator, Mapping
from typing import Literal, TypeVar

from msgspec import Struct, structs

from leakdx.case import Case, Note, Told
from leakdx.knowledge.model import Axle, Cause, Group, Knowledge, Rule

Kind = Literal["rule", "link", "leads_to", "also_zone", "shift", "answer"]
_T = TypeVar("_T")


class Item(Struct, frozen=True, order=True):
    """One piece, standing at ``at``.

    ``where``: rule · cause, sign and result ("" without) · cause, cause · cause, zone · group, answer and whom · group,
    answer.
    """

    kind: Kind
    where: tuple[str, ...]
    at: str = ""

    @property
    def name(self) -> str:
        """As it is printed, and named where a reason to keep it is given."""
        if self.kind == "link":
            cause, sign, result = self.where
            return f"link {cause} > {sign}" + (f": {result}" if result else "")
        if self.kind == "shift":
            group, answer, whom = self.where
            return f"shift {group}: {answer} > {whom}"
        return f"{self.kind} {(': ' if self.kind == 'answer' else ' > ').join(self.where)}"


def items(knowledge: Knowledge) -> Iterator[Item]:
    """Every rule, link, path from cause to cause or to a further zone, shift and history answer."""
    for id, rule in knowledge.rules.items():
        yield Item("rule", (id,), rule.at)
    for id, cause in knowledge.causes.items():
        yield from (Item("link", (id, sign, ""), cause.at) for sign in cause.shows)
        yield from (Item("link", (id, sign, r), cause.at) for sign, words in cause.looks.items() for r in words)
        yield from (Item("leads_to", (id, other), cause.at) for other in cause.leads_to)
        yield from (Item("also_zone", (id, zone), cause.at) for zone in cause.also_zones)
    for id, group in knowledge.history.items():
        for name, answer in group.answers.items():
            yield Item("answer", (id, name), group.at)
            yield from (Item("shift", (id, name, whom), group.at) for whom in answer.shifts)


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
    if not item.where[2]:
        return structs.replace(cause, shows=_but(cause.shows, to))
    words = _but(cause.looks[to], item.where[2])
    return structs.replace(cause, looks={**cause.looks, to: words} if words else _but(cause.looks, to))


def _without_shift(group: Group, item: Item) -> Group:
    _, name, whom = item.where
    answer = group.answers[name]
    changed = structs.replace(answer, shifts=_but(answer.shifts, whom))
    return structs.replace(group, answers={**group.answers, name: changed})


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
