"""Which checks may be made now, and which of their signs are still open.

A check is offered only while the truck's state allows it and nothing forbids it. What was answered in this
epoch is not asked again, what nobody could tell neither; what an act may have changed since is.
"""

from collections.abc import Collection, Mapping
from functools import cached_property

from leakdx.knowledge.model import Check, Knowledge, Sign, unmet
from leakdx.reasoning.answer import Forbidden, Hold
from leakdx.reasoning.repair import still_to_open
from leakdx.reasoning.timeline import Timeline


class Offer:
    """What may be asked of one truck. ``derived``: signs that rules answered already; ``findings``: what rules state.

    ``doubtful``: measured signs whose readings stand too close to the limit, or on both sides of it, to say.
    """

    def __init__(
        self,
        knowledge: Knowledge,
        timeline: Timeline,
        history: Mapping[str, str],
        forbidden: Collection[Forbidden],
        fit: str,
        derived: Collection[str],
        findings: Collection[str],
        doubtful: Collection[str] = (),
    ) -> None:
        self.knowledge = knowledge
        self.timeline = timeline
        self.history = history
        self.derived = derived
        self.findings = frozenset(findings)
        self.doubtful = frozenset(doubtful)
        self.may_drive = fit != "no"
        self.barred = {f.action for f in forbidden if f.scope == "not at all" or self._is_waiting(f)}
        self._last_seen = {answer.sign: answer.epoch for answer in timeline.answers}
        self._last_seen.update({reading.sign: reading.epoch for reading in timeline.readings})
        self._answers = {answer.sign: answer.answer for answer in timeline.answers}

    def _is_waiting(self, ban: Forbidden) -> bool:
        """ "Not before" something that has not been done."""
        return ban.scope == "not before" and not all(self.timeline.is_done(self.knowledge, o) for o in ban.other)

    def checks(self) -> dict[str, tuple[str, ...]]:
        """Check -> its signs that may be asked now; only checks with at least one."""
        open_signs = {id: self._signs(check) for id, check in self.knowledge.checks.items() if self.allows(id)}
        return {id: signs for id, signs in open_signs.items() if signs}

    def allows(self, check: str) -> bool:
        """Whether the truck's state, its build and the rules let this check be made."""
        entry = self.knowledge.checks[check]
        return (
            check not in self.barred
            and not unmet(entry.only_if, self.history)
            and all(self.history.get(group) in answers for group, answers in entry.once_told.items())
            and (not entry.once_found or not self.findings.isdisjoint(entry.once_found))
            and self.findings.isdisjoint(entry.unless_found)
            and all(self._may_open(opening) for opening in self._opens(entry))
        )

    def _opens(self, check: Check) -> frozenset[str]:
        return still_to_open(self.knowledge, check.access, self.timeline.open)

    def _may_open(self, opening: str) -> bool:
        act = self.knowledge.openings[opening].act
        drives = act is not None and self.knowledge.acts[act].drives
        return opening not in self.barred and act not in self.barred and (self.may_drive or not drives)

    def _signs(self, check: Check) -> tuple[str, ...]:
        will_drive = any(self._drives(o) for o in self._opens(check))
        return tuple(s for s in check.reveals if s in self.knowledge.signs and self._may_ask(s, will_drive))

    def _drives(self, opening: str) -> bool:
        act = self.knowledge.openings[opening].act
        return act is not None and self.knowledge.acts[act].drives

    @cached_property
    def _places_without_a_part(self) -> frozenset[str]:
        """Zones from which nothing can leak on this truck, since what would leak there is not fitted."""
        known = self.knowledge
        own = {z: [c for c in known.causes.values() if c.zone == z] for z in known.zones}
        return frozenset(z for z, all_ in own.items() if all_ and all(unmet(c.only_if, self.history) for c in all_))

    def _may_ask(self, id: str, will_drive: bool) -> bool:
        now, sign = self.timeline, self.knowledge.signs[id]
        if id in self.doubtful and id not in now.unsure:
            return True  # a further reading of the same true value
        if id in now.answered or id in now.unsure or id in now.out_of_reach or id in now.not_fitted:
            return False
        if sign.place and sign.place[1] in self._places_without_a_part:
            return False
        if any(self._answers.get(other) in moot for other, moot in sign.unless_seen.items()):
            return False
        if id in self.derived or (id in now.spoiled and not (sign.place and will_drive)):
            return False
        if (id in now.hidden or (sign.place and now.must_drive_first)) and not will_drive:
            return False
        return id not in self._last_seen or id in now.look_again or self._may_have_changed(id, sign)

    def _may_have_changed(self, id: str, sign: Sign) -> bool:
        """Whether an act since the sign was last seen may have changed what it hangs on."""
        since = [act for act in self.timeline.acts if act.starts is not None and act.starts > self._last_seen[id]]
        if sign.place:
            return True
        shown_by = self.knowledge.shown_by.get(id, frozenset())
        return any(id in act.renews or shown_by & act.cures.keys() for act in since)

    def askable(self) -> tuple[str, ...]:
        """Signs that some offered check may ask now, in the order of the knowledge."""
        offered = {sign for signs in self.checks().values() for sign in signs}
        return tuple(s for s in self.knowledge.signs if s in offered)

    def first_to_record(self, opens: Collection[str], actions: Collection[str], holds: Collection[Hold]) -> Hold | None:
        """The first hold that stands before opening any of this or doing any of that, with something left to record."""
        acts = {self.knowledge.openings[o].act for o in opens}
        for hold in holds:
            if set(hold.before) & {*opens, *acts, *actions} and self.to_record(hold):
                return hold
        return None

    def to_confirm(self, actions: Collection[str], joint_access: Collection[str]) -> tuple[str, ...]:
        """Checks that must stand before these repairs, not made yet, and to be made without opening the joint."""
        wanted = dict.fromkeys(c for a in actions for c in self.knowledge.repairs[a].first_hold)
        return tuple(
            c for c in wanted if self._is_to_do(c) and not self._opens(self.knowledge.checks[c]) & set(joint_access)
        )

    def to_record(self, hold: Hold) -> tuple[str, ...]:
        """Checks of a hold still to be made, or made again, that can be; one out of reach keeps nobody waiting."""
        return tuple(c for c in hold.record if self._is_to_do(c))

    def _is_to_do(self, check: str) -> bool:
        again = not self.doubtful.isdisjoint(self.knowledge.checks[check].reveals)
        if (self.timeline.made(self.knowledge, check) and not again) or not self.allows(check):
            return False
        entry = self.knowledge.checks[check]
        groups = [g for g in entry.reveals if g in self.knowledge.history]
        return bool(self._signs(entry)) or any(g not in self.history for g in groups)
