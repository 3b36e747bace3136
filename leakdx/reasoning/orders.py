"""What the rules tell people to do, taken from a run: fit to drive, holds, prohibitions, cautions and the like.

Everything here comes from a rule and names it; without rules there is nothing to say. What is already done
or written down is not demanded again.
"""

from collections.abc import Iterator, Mapping
from typing import Literal

from leakdx.knowledge.actions import Conclusion
from leakdx.knowledge.model import Knowledge, unmet
from leakdx.reasoning.answer import FitToDrive, Forbidden, Hold, Said
from leakdx.reasoning.facts import DOUBTFUL
from leakdx.reasoning.rules import Firing, RuleRun
from leakdx.reasoning.timeline import Timeline

_STRONGEST_FIRST: tuple[Literal["no", "recheck", "yes"], ...] = ("no", "recheck", "yes")
NOT_JUDGED = "No rule has enough to judge it by yet."


class Orders:
    """The orders of one run, each list in the order of the knowledge's rules and without repetition."""

    def __init__(self, knowledge: Knowledge, timeline: Timeline, run: RuleRun, history: Mapping[str, str]) -> None:
        self._knowledge = knowledge
        self._timeline = timeline
        self._run = run
        self._history = history

    def fit_to_drive(self) -> FitToDrive:
        """The strongest answer of all: no, then recheck, then yes; not judged where no rule speaks."""
        for answer in _STRONGEST_FIRST:
            for firing, said in self._said():
                if said.fit == answer:
                    return FitToDrive(answer, said.say or "", firing.rule)
        return FitToDrive("not_judged", NOT_JUDGED, None)

    def holds(self) -> tuple[Hold, ...]:
        """Holds that still stand.

        A hold falls when each check to record is made or moot, or when all that it holds back is done: the ways to
        close the joint are one thing, done when it is closed by one of them; a drive is never done with, since the
        next one is held as well. A hold that rests on a reading too close to say, or on two that disagree, stands
        until that is clear: the record is in doubt.
        """
        found: dict[Hold, None] = {}
        in_doubt = self._on_doubtful_readings()
        for firing, said in self._said():
            if said.hold is None:
                continue
            before = tuple(action for action in said.before if not self._is_behind(action))
            is_past = bool(said.before) and not before
            is_recorded = bool(said.record) and all(self._is_done(c) or self._is_moot(c) for c in said.record)
            if not is_past and (not is_recorded or firing in in_doubt):
                found[Hold(said.hold, before, said.record, firing.rule)] = None
        return tuple(found)

    def forbidden(self) -> tuple[Forbidden, ...]:
        """Prohibitions with their scope; "not before" falls when all that must come first is done."""
        found: dict[Forbidden, None] = {}
        for firing, said in self._said():
            if said.forbid is None or said.scope is None:
                continue
            is_past = said.scope == "not before" and bool(said.other) and all(map(self._is_done, said.other))
            if not is_past:
                ban = Forbidden(said.forbid, firing.rule, said.scope, said.say or "", said.of, said.other)
                found[ban] = None
        return tuple(found)

    def cautions(self) -> tuple[Said, ...]:
        """Each caution once, in the order of the knowledge's cautions, with the first rule that gives it."""
        cautions = self._knowledge.cautions
        rules = {said.caution: firing.rule for firing, said in reversed(tuple(self._said())) if said.caution}
        return tuple(Said(id, caution.text, rules[id]) for id, caution in cautions.items() if id in rules)

    def put_right(self) -> tuple[Said, ...]:
        """Repairs of what was seen wrong though quiet, unless done: to be put right while it is open."""
        return self._repairs((said.put_right, firing, said) for firing, said in self._said())

    def required(self) -> tuple[Said, ...]:
        """Repairs that belong in every path, unless done."""
        return self._repairs((said.require, firing, said) for firing, said in self._said())

    def established(self) -> Mapping[str, str]:
        """Cause -> the first rule that establishes it."""
        return self._first_rule("established")

    def excluded(self) -> Mapping[str, str]:
        """Cause -> the first rule that excludes it."""
        return self._first_rule("excluded")

    def _repairs(self, wanted: Iterator[tuple[str | None, Firing, Conclusion]]) -> tuple[Said, ...]:
        found: dict[str, Said] = {}
        for repair, firing, said in wanted:
            if repair is not None and repair not in self._timeline.done:
                found.setdefault(repair, Said(repair, said.say or self._knowledge.repairs[repair].name, firing.rule))
        return tuple(found.values())

    def _first_rule(self, kind: Literal["established", "excluded"]) -> dict[str, str]:
        found: dict[str, str] = {}
        for firing in self._firings():
            for fact in firing.facts:
                if fact.kind == kind:
                    found.setdefault(fact.id, firing.rule)
        return found

    def _said(self) -> Iterator[tuple[Firing, Conclusion]]:
        return ((firing, said) for firing in self._firings() for said in firing.says)

    def _firings(self) -> list[Firing]:
        order = {rule: place for place, rule in enumerate(self._knowledge.rules)}
        return sorted(self._run.firings, key=lambda firing: order[firing.rule])

    def _on_doubtful_readings(self) -> set[Firing]:
        """Firings that stand on readings too close to say or at odds, directly or through what others made of it."""
        doubtful = {fact for fact in self._run.given if fact.kind == "reading" and fact.answer in DOUBTFUL}
        found = set()
        # Firings come in the order of conclusion, so one pass reaches everything.
        for firing in self._run.firings:
            if not doubtful.isdisjoint(firing.premises):
                found.add(firing)
                doubtful.update(firing.facts)
        return found

    def _is_behind(self, action: str) -> bool:
        """Whether nothing is held back any more by holding this action."""
        knowledge = self._knowledge
        if action in knowledge.acts and knowledge.acts[action].drives:
            return False
        if action in knowledge.repairs and knowledge.repairs[action].closes:
            access = frozenset(knowledge.repairs[action].access)
            is_open = not access.isdisjoint(self._timeline.open)
            return not is_open and any(r.closes and self._is_done(id) for id, r in knowledge.repairs.items())
        return self._is_done(action)

    def _is_moot(self, check: str) -> bool:
        """Whether this truck's history leaves nothing to ask or look for."""
        return check in self._knowledge.checks and bool(unmet(self._knowledge.checks[check].only_if, self._history))

    def _is_done(self, action: str) -> bool:
        return self._timeline.is_done(self._knowledge, action)
