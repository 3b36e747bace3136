"""Short logs, and ways to take one fact out of a knowledge, for tests of what the trade knows."""

from collections.abc import Callable
from typing import NamedTuple

from msgspec.structs import replace

from leakdx.case import Case, Done, LogEntry, Observation, PlacesSeen, Reading, Told
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.answer import RepairPath
from leakdx.reasoning.diagnosis import Diagnosis, diagnose

Said = str | tuple[str, ...]
"""An act ("carrier_out"), a sign or history group with its answer, or a reading (sign, value, unit)."""
Ask = Callable[..., Diagnosis]
TakeOut = Callable[[Knowledge], Knowledge]


class TradeFact(NamedTuple):
    """``shown`` is so with the shipped knowledge, and no longer with the fact ``taken_out`` of it."""

    says: str
    shown: Callable[[Ask], bool]
    taken_out: TakeOut


def asker(knowledge: Knowledge) -> Ask:
    """A function from a log to its diagnosis, whose parts are worked out only when asked for."""

    def ask(*said: Said) -> Diagnosis:
        entries = tuple(_entry(knowledge, number, item) for number, item in enumerate(said, start=1))
        return diagnose(knowledge, Case(id="TRADE", complaint=knowledge.complaint, log=entries))

    return ask


def _entry(knowledge: Knowledge, number: int, said: Said) -> LogEntry:
    if isinstance(said, str):
        return Done(number=number, who="AB", act=said)
    head, *rest = said
    if len(rest) == 2:
        return Reading(number=number, who="AB", sign=head, value=rest[0], unit=rest[1])
    if head in knowledge.history:
        return Told(number=number, who="AB", group=head, answer=rest[0])
    if head == "wet":
        return PlacesSeen(number=number, who="AB", wet=(rest[0],))
    return Observation(number=number, who="AB", sign=head, answer=rest[0])


# -- reading an answer -----------------------------------------------------------------------------------


def leaked(told: Diagnosis, cause: str) -> float:
    """The chance that a cause leaked when the truck was brought in."""
    return next(c.leaking_first for c in told.causes if c.id == cause)


def leads(told: Diagnosis, cause: str) -> bool:
    """Whether a cause is the first of all."""
    return told.causes[0].id == cause


def forbids(told: Diagnosis, action: str, scope: str) -> bool:
    """Whether some rule forbids an action in this scope."""
    return any(f.action == action and f.scope == scope for f in told.forbidden)


def needs_beside(told: Diagnosis, action: str, other: str) -> bool:
    """Whether a rule lets an action be done only together with another."""
    return any(f.action == action and f.scope == "unless together with" and other in f.other for f in told.forbidden)


def paths_with(told: Diagnosis, action: str) -> list[RepairPath]:
    """The shown repair paths that an action is part of."""
    return [path for path in told.repairs if action in path.actions]


def always_beside(told: Diagnosis, action: str, other: str) -> bool:
    """Whether an action is in some path, and in none without the other."""
    paths = paths_with(told, action)
    return bool(paths) and all(other in path.actions for path in paths)


def holds_before(told: Diagnosis, action: str, record: str) -> bool:
    """Whether a hold stands before an action until a check is recorded."""
    return any(action in hold.before and record in hold.record for hold in told.holds)


# -- taking a fact out -----------------------------------------------------------------------------------


def without_rule(*rules: str) -> TakeOut:
    """The knowledge without some rules."""

    def take_out(knowledge: Knowledge) -> Knowledge:
        assert set(rules) <= set(knowledge.rules)
        return replace(knowledge, rules={id: rule for id, rule in knowledge.rules.items() if id not in rules})

    return take_out


def without_each(*takes: TakeOut) -> TakeOut:
    """The knowledge without any of several things, where a fact stands on more than one leg."""

    def take_out(knowledge: Knowledge) -> Knowledge:
        for one in takes:
            knowledge = one(knowledge)
        return knowledge

    return take_out


def without_sign(cause: str, *signs: str) -> TakeOut:
    """The knowledge without what ties a cause to some signs."""

    def take_out(knowledge: Knowledge) -> Knowledge:
        entry = knowledge.causes[cause]
        assert set(signs) <= entry.shows.keys() | entry.looks.keys()
        shows = {sign: link for sign, link in entry.shows.items() if sign not in signs}
        looks = {sign: links for sign, links in entry.looks.items() if sign not in signs}
        changed = replace(entry, shows=shows, looks=looks)
        return replace(knowledge, hash="", causes={**knowledge.causes, cause: changed})

    return take_out


def without_shift(group: str, *causes: str) -> TakeOut:
    """The knowledge in which a history group says nothing of some causes."""

    def take_out(knowledge: Knowledge) -> Knowledge:
        entry = knowledge.history[group]
        assert any(cause in answer.shifts for cause in causes for answer in entry.answers.values())
        answers = {
            id: replace(answer, shifts={c: shift for c, shift in answer.shifts.items() if c not in causes})
            for id, answer in entry.answers.items()
        }
        return replace(knowledge, hash="", history={**knowledge.history, group: replace(entry, answers=answers)})

    return take_out


def possible_anyhow(*causes: str) -> TakeOut:
    """The knowledge in which causes do not need the seal that they need."""

    def take_out(knowledge: Knowledge) -> Knowledge:
        assert all(knowledge.causes[cause].only_if for cause in causes)
        freed = {cause: replace(knowledge.causes[cause], only_if={}) for cause in causes}
        return replace(knowledge, hash="", causes={**knowledge.causes, **freed})

    return take_out


def with_limit(sign: str, limit: float) -> TakeOut:
    """The knowledge with another limit for a measured sign."""

    def take_out(knowledge: Knowledge) -> Knowledge:
        entry = knowledge.signs[sign]
        assert entry.measure is not None
        assert entry.measure.limit != limit
        changed = replace(entry, measure=replace(entry.measure, limit=limit))
        return replace(knowledge, hash="", signs={**knowledge.signs, sign: changed})

    return take_out


def not_curing(repair: str, cause: str) -> TakeOut:
    """The knowledge in which a repair does not cure a cause."""

    def take_out(knowledge: Knowledge) -> Knowledge:
        entry = knowledge.repairs[repair]
        assert cause in entry.cures
        cures = {whom: word for whom, word in entry.cures.items() if whom != cause}
        return replace(knowledge, repairs={**knowledge.repairs, repair: replace(entry, cures=cures)})

    return take_out


def standing_alone(repair: str) -> TakeOut:
    """The knowledge in which a repair needs no companion."""

    def take_out(knowledge: Knowledge) -> Knowledge:
        entry = knowledge.repairs[repair]
        assert entry.together_with
        return replace(knowledge, repairs={**knowledge.repairs, repair: replace(entry, together_with=())})

    return take_out


def without_waiting(repair: str) -> TakeOut:
    """The knowledge in which a repair has no waiting time."""

    def take_out(knowledge: Knowledge) -> Knowledge:
        entry = knowledge.repairs[repair]
        assert entry.elapsed_hours != (0.0, 0.0)
        return replace(knowledge, repairs={**knowledge.repairs, repair: replace(entry, elapsed_hours=(0.0, 0.0))})

    return take_out
