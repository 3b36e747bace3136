"""What to do now: look further, repair, release or stop and ask; and which check is next. Prices are the planner's."""

from functools import cached_property

from msgspec import Struct, structs

from leakdx.knowledge.model import Check, Knowledge, Shop
from leakdx.reasoning import ties
from leakdx.reasoning.answer import EVEN_CHANCE, Decision, Forbidden, Hold, NextCheck, RunnerUp
from leakdx.reasoning.belief import Belief
from leakdx.reasoning.next_check import demanded, spoken
from leakdx.reasoning.offer import Offer
from leakdx.reasoning.planning import Asked, Plan, Planner, best_check
from leakdx.reasoning.repair import Means, Path
from leakdx.reasoning.timeline import Timeline

CHECKS_SHOWN, LATER_SHOWN = 5, 2


class Policy(Struct, frozen=True, dict=True):
    """The decision about one case, from what the planner priced and what rules and truck allow."""

    planner: Planner
    plan: Plan
    offer: Offer
    timeline: Timeline
    holds: tuple[Hold, ...]
    forbidden: tuple[Forbidden, ...]
    fit_rule: str | None = None
    """The rule that decided fit to drive. A hold of its own is a look that fit to drive waits on."""

    @property
    def _knowledge(self) -> Knowledge:
        return self.planner.knowledge

    @property
    def _means(self) -> Means:
        return self.planner.means

    @property
    def _belief(self) -> Belief:
        return self.planner.belief

    @property
    def _shop(self) -> Shop:
        return self.planner.means.shop

    @cached_property
    def _worthwhile(self) -> tuple[Asked, ...]:
        """Checks that pay: above the shop's floor, or looks that pay for themselves while the joint stands open.

        Several together count where no single one does. Above nothing at all while a likely cause has no permitted
        path, no path is likelier to hold than not, or what is seen fits no cause.
        """
        best = max(self.plan.checks, key=lambda a: ties.money(a.worth), default=None)
        paying = tuple(a for a in self.plan.checks if a.net_value > 0 or (a is best and a.worth > 0))
        if any(a.worth > self._floor for a in paying):
            return paying
        return tuple(a for a in paying if self._is_at_hand(a))

    @cached_property
    def _for_later(self) -> tuple[Asked, ...]:
        """What would be worth it, were there more time."""
        return tuple(a for a in self.plan.too_long if a.net_value > self._floor)

    @cached_property
    def _floor(self) -> float:
        """Money that a check must save to be asked for."""
        pressing = self.plan.uncurable or self._holds_seldom or self.planner.is_unknown
        return 0.0 if pressing else self.planner.floor

    def _is_at_hand(self, asked: Asked) -> bool:
        """A look into the open joint that opens and spoils nothing: it takes its own minutes and no others."""
        entry = self._knowledge.checks[asked.check]
        into_joint = not self._means.joint_access.isdisjoint(entry.access)
        return into_joint and not asked.opens and not self._spoils_something(entry)

    @cached_property
    def next_check(self) -> NextCheck | None:
        """What fit to drive waits on; else the check worth its minutes, or what a hold or the repair wants first."""
        if self._dead_end is not None:
            return None
        if self._fit_waits is not None:
            return self._fit_waits
        if self._while_open is not None:
            return self._while_open
        chosen = best_check(self._worthwhile, self._knowledge, self.planner.floor)
        if chosen is not None:
            held = self._held(chosen.opens, (chosen.check,))
            return held or structs.replace(spoken(self.planner, chosen), runner_up=self._runner_up(chosen))
        if self._for_later:
            return None
        if not self._best.actions:
            return self._proving
        return (
            self._before_gambling
            or self._confirming
            or self._held(self._best.access - self._means.open_now, self._best.actions)
        )

    def _runner_up(self, chosen: Asked) -> RunnerUp | None:
        """What would come first if not the check that was chosen."""
        others = [a for a in self.plan.checks if a.check != chosen.check and 0 < a.worth <= chosen.worth]
        second = max(others, key=lambda a: a.worth, default=None)
        return None if second is None else RunnerUp(second.check, chosen.worth - second.worth)

    @cached_property
    def _fit_waits(self) -> NextCheck | None:
        """The look that decides whether the truck may be driven, while it can be made."""
        for hold in self.holds:
            if hold.rule == self.fit_rule and self.offer.to_record(hold):
                return self._demanded(self.offer.to_record(hold)[0], hold.text)
        return None

    @cached_property
    def _while_open(self) -> NextCheck | None:
        """What must be written down before the repair anyway, needs what stands open now, and spoils nothing."""
        for hold in self.holds:
            if not set(hold.before) & set(self._best.actions):
                continue
            for check in self.offer.to_record(hold):
                entry = self._knowledge.checks[check]
                if entry.access and not self.planner.opens(entry) and not self._spoils_something(entry):
                    return self._demanded(check, hold.text)
        return None

    def _spoils_something(self, check: Check) -> bool:
        """Whether a sign that can still be seen as found would be lost by it."""
        open_signs = {sign for signs in self.offer.checks().values() for sign in signs}
        return not open_signs.isdisjoint(check.spoils)

    def _held(self, opens: frozenset[str], actions: tuple[str, ...]) -> NextCheck | None:
        """What the first hold before this wants written down."""
        hold = self.offer.first_to_record(opens, actions, self.holds)
        return None if hold is None else self._demanded(self.offer.to_record(hold)[0], hold.text)

    @property
    def _place_waits(self) -> bool:
        """What is held before the repair is where oil comes out: until that is seen, the place to repair is a guess."""
        if self._confirming is not None:
            return False
        held = self._held(self._best.access - self._means.open_now, self._best.actions)
        reveals = () if held is None else self._knowledge.checks[held.id].reveals
        signs = self._knowledge.signs
        return any(s in signs and signs[s].place and signs[s].place[0] == "origin" for s in reveals)

    @cached_property
    def _confirming(self) -> NextCheck | None:
        """A check that the chosen repair stands on and that can be made as the truck is."""
        checks = self.offer.to_confirm(self._best.actions, self._means.joint_access - self._means.open_now)
        if not checks:
            return None
        names = " and ".join(
            self._knowledge.name(a) for a in self._best.actions if checks[0] in self._knowledge.repairs[a].first_hold
        )
        return self._demanded(checks[0], f"This must stand before: {names}.")

    @cached_property
    def _before_gambling(self) -> NextCheck | None:
        """What any hold wants seen, where even the best path is more likely to come back than to hold.

        Its worth was weighed against the repair that would follow it at once; what it leads on to was not.
        """
        if self._is_release or not self._holds_seldom:
            return None
        wanted = ((check, hold.text) for hold in self.holds for check in self.offer.to_record(hold))
        check = next(wanted, None)
        return None if check is None else self._demanded(*check)

    @cached_property
    def _proving(self) -> NextCheck | None:
        """The look after a drive that proves what was repaired, while it can be made."""
        if not self._unproved:
            return None
        names = " and ".join(map(self._knowledge.name, self._unproved))
        again = (id for id in self.offer.checks() if self._knowledge.checks[id].looks_again)
        check = next(again, None)
        return None if check is None else self._demanded(check, f"Dry after a drive is what proves: {names}.")

    @cached_property
    def _unproved(self) -> tuple[str, ...]:
        """Repairs of this log that should cure, after which nobody has driven it yet and looked where it is wet."""
        signs, acts = self._knowledge.signs, self._knowledge.acts
        looked = max((seen.entry for seen in self.timeline.answers if signs[seen.sign].place), default=0)
        drives = (a.entry for a in self.timeline.acts if a.entry < looked and a.act in acts and acts[a.act].drives)
        driven = max(drives, default=0)
        done = (act.act for act in self.timeline.acts if act.entry > driven and act.act in self._knowledge.repairs)
        return tuple(dict.fromkeys(act for act in done if self._knowledge.repairs[act].cures))

    def _demanded(self, check: str, why: str) -> NextCheck:
        weighed = next((a for a in self.plan.checks if a.check == check), None)
        return demanded(self.planner, check, why, weighed)

    def other_checks(self) -> tuple[NextCheck, ...]:
        """Further checks that pay, dearest gain first."""
        chosen = self.next_check.id if self.next_check else None
        others = [a for a in self._worthwhile if a.check != chosen]
        return tuple(spoken(self.planner, a) for a in others[:CHECKS_SHOWN])

    @cached_property
    def decision(self) -> Decision:
        """Look further, repair, release, or stop and ask."""
        if self._dead_end is not None:
            return self._dead_end
        if self._worthwhile:
            return Decision("look_further", "A check is worth more than it costs before anything is repaired.")
        if self._for_later:
            names = " and ".join(self._knowledge.name(asked.check) for asked in self._for_later[:LATER_SHOWN])
            return Decision("look_further", f"What is worth looking at takes longer than the time at hand: {names}.")
        if self._before_gambling is not None:
            return Decision(
                "look_further",
                "Even the best path is more likely to come back than to hold, and not all that holds ask for was seen.",
            )
        if self._best.actions and self._confirming is not None:
            return Decision("look_further", "The repair stands on a check that has not been made yet.")
        if self._is_release:
            days = self._shop.recheck_days
            if self._proving is not None:
                return Decision("look_further", "The repair is done and not proved yet.")
            if self._unproved:
                reason = f"Nobody could see yet whether the repair holds; look at it again in {days} days or sooner."
                return Decision("release_and_recheck", reason)
            if self._held(frozenset(), self._best.actions) is not None:
                return Decision("look_further", "It is not released before what a hold asks for was seen.")
            return Decision("release_and_recheck", f"Nothing to repair now; look again in {days} days.")
        if self._place_waits:
            return Decision("look_further", "A hold wants seen where oil comes out before this repair is begun.")
        if self._holds_seldom:
            return Decision(
                "repair", "No check left pays, and even the best path is more likely to come back than to hold."
            )
        return Decision("repair", "No check left is worth its minutes; this path is the cheapest in expectation.")

    @cached_property
    def _dead_end(self) -> Decision | None:
        """Why neither looking further nor repairing leads on; None when one of them does."""
        if self._worthwhile or self._for_later:
            return None
        if self.planner.is_unknown:
            return Decision("stop_and_ask", "What is seen fits none of the causes that are known here.")
        if self.plan.uncurable:
            return self._stopped()
        idle = self.plan.priced.paths and not self._best.cure.any() and self._holds_seldom
        if idle or not self.plan.priced.paths:
            barred = self._means.barred.items()
            rules = tuple(dict.fromkeys(rule for action, rule in barred if action in self._knowledge.repairs))
            return Decision("stop_and_ask", "The rules leave no repair for the truck as it stands.", rules)
        return None

    @property
    def _holds_seldom(self) -> bool:
        """The recommended path is more likely to come back than to hold."""
        priced = self.plan.priced
        return bool(priced.paths) and priced.hold[priced.best_first()[0]] < EVEN_CHANCE

    @property
    def _is_release(self) -> bool:
        """The recommended path mends nothing: it is empty, or cleans, inspects and looks again."""
        repairs = (self._knowledge.repairs[action] for action in self._best.actions)
        return not self._best.cure.any() or all(repair.releases or not repair.cures for repair in repairs)

    @property
    def _best(self) -> Path:
        """The recommended path."""
        return self.plan.priced.paths[self.plan.priced.best_first()[0]]

    def _stopped(self) -> Decision:
        """No permitted path for a cause that is more likely than not."""
        names = " and ".join(self._knowledge.name(c) for c in self.plan.uncurable)
        cures = {
            r for r, entry in self._knowledge.repairs.items()
            if any(c in self._knowledge.members(t) for t in entry.cures for c in self.plan.uncurable)
        }  # fmt: skip
        rules = tuple(dict.fromkeys(f.rule for f in self.forbidden if f.action in cures))
        if not cures:
            return Decision("stop_and_ask", f"The knowledge has no repair for {names}.")
        return Decision("stop_and_ask", f"The rules leave no repair for {names}.", rules)
