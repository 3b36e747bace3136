"""The one front of the reasoning: ``diagnose(knowledge, case)``.

A ``Diagnosis`` is immutable and a pure function of its two inputs: the same on one machine to the bit,
whatever the hash seed or the order of answers to different questions (the weights apart, which follow
the order of entry).
"""

from collections.abc import Collection
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

import numpy as np
from msgspec import structs
from numpy.typing import NDArray

from leakdx import __version__
from leakdx.case import Case
from leakdx.errors import CaseError
from leakdx.knowledge.model import Knowledge, Shop
from leakdx.reasoning import conclude, ties
from leakdx.reasoning.answer import (
    Answers,
    CauseBelief,
    ClearAt,
    Decision,
    Doubted,
    Likelihood,
    LikelySet,
    NextCheck,
    NoneOfThese,
    ObservationWeight,
    RepairPath,
    Returned,
    WorkedOut,
)
from leakdx.reasoning.belief import Belief, Model, compile_model
from leakdx.reasoning.doubted import expected_answers
from leakdx.reasoning.evidence import Evidence, HistoryEvidence
from leakdx.reasoning.facts import DOUBTFUL, given_facts
from leakdx.reasoning.further import BUDGET, further
from leakdx.reasoning.gather import Overruled, gather, known_history, overruled
from leakdx.reasoning.justification import Node, justification_graph
from leakdx.reasoning.offer import Offer
from leakdx.reasoning.orders import Orders
from leakdx.reasoning.planning import Plan, Planner
from leakdx.reasoning.policy import Policy
from leakdx.reasoning.repair import Means
from leakdx.reasoning.rules import RuleRun, run_rules
from leakdx.reasoning.timeline import Timeline, timeline
from leakdx.reasoning.worked_out import Worked

if TYPE_CHECKING:
    from networkx import DiGraph

PATHS_SHOWN = 3
LEFT_SHOWN = 0.05


@lru_cache(maxsize=8)
def _model(knowledge: "_ByHash") -> Model:
    return compile_model(knowledge.value)


class _ByHash:
    """A knowledge as a key: the hash of its files, and its identity for one made in memory."""

    def __init__(self, value: Knowledge) -> None:
        self.value = value

    def __hash__(self) -> int:
        return hash(self.value.hash)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ByHash) and (
            self.value is other.value or (bool(self.value.hash) and self.value == other.value)
        )


def diagnose(
    knowledge: Knowledge,
    case: Case,
    model: Model | None = None,
    passed_over: Collection[str] = (),
    at_hand: float | None = None,
    budget: int = BUDGET,
) -> "Diagnosis":
    """Diagnose one case.

    Args:
        knowledge: That it is diagnosed by.
        case: As it stands.
        model: The knowledge, compiled already.
        passed_over: Checks that are not weighed.
        at_hand: Minutes that there are for looking; None: as many as it takes.
        budget: States that are weighed for checks that may follow one another; 0: one check ahead.

    Raises:
        CaseError: The case names something that the knowledge does not have, or its answers exclude one another.
        TooWideError: An exact answer would not fit in memory.
    """
    return Diagnosis(knowledge, case, model, passed_over, at_hand, budget)


class Diagnosis:
    """Everything that follows from a case. Parts are worked out when first asked for, and then kept."""

    def __init__(
        self,
        knowledge: Knowledge,
        case: Case,
        model: Model | None = None,
        passed_over: Collection[str] = (),
        at_hand: float | None = None,
        budget: int = BUDGET,
    ) -> None:
        self.knowledge = knowledge
        self.case = case
        self._compiled = model
        self._passed_over = frozenset(passed_over)
        self.at_hand = at_hand
        self._budget = budget
        self.shop = _shop(knowledge, case)
        self.timeline: Timeline = timeline(knowledge, case)
        self.run: RuleRun = run_rules(knowledge, given_facts(knowledge, self.timeline))
        self.history = known_history(knowledge, self.timeline, self.run)
        self.orders = Orders(knowledge, self.timeline, self.run, self.history)
        self.fit_to_drive = self.orders.fit_to_drive()
        self.holds = self.orders.holds()
        self.forbidden = self.orders.forbidden()

    # -- what the parts stand on -------------------------------------------------------------------------

    @cached_property
    def justification(self) -> "DiGraph[Node]":
        """Facts, rules and what stood on what."""
        return justification_graph(self.run)

    @cached_property
    def overruled(self) -> tuple[Overruled, ...]:
        """What was told and seen to be otherwise."""
        return overruled(self.knowledge, self.timeline, self.run)

    @cached_property
    def offer(self) -> Offer:
        """What may be asked now."""
        derived = {fact.id for fact in self.run.derived if fact.kind == "sign"}
        findings = {fact.id for fact in self.run.derived if fact.kind == "finding"}
        doubtful = {fact.id for fact in self.run.given if fact.kind == "reading" and fact.answer in DOUBTFUL}
        fit = self.fit_to_drive.answer
        return Offer(self.knowledge, self.timeline, self.history, self.forbidden, fit, derived, findings, doubtful)

    @cached_property
    def evidence(self) -> Evidence:
        """What the case says to the belief."""
        askable, new_leak = self.offer.askable(), {str(way): p for way, p in self.shop.new_leak.items()}
        return gather(self.knowledge, self.timeline, self.run, askable, self._expected, new_leak)

    def _expected(self, sign: str) -> tuple[float, ...]:
        """How often a sign's answers would come by the complaint alone."""
        return expected_answers(_model(_ByHash(self.knowledge)), self.case.complaint, sign)

    @cached_property
    def belief(self) -> Belief:
        """The exact posterior. What may still be asked makes it wide, and only the look-ahead needs that."""
        model = self._compiled or _model(_ByHash(self.knowledge))
        return Belief(model, structs.replace(self.evidence, askable=()))

    @cached_property
    def means(self) -> Means:
        """What may be done."""
        return Means(
            knowledge=self.knowledge,
            shop=self.shop,
            causes=self.belief.causes,
            history=self.history,
            forbidden=self.forbidden,
            required=tuple(r.id for r in self.orders.required()),
            put_right=tuple(r.id for r in self.orders.put_right()),
            open_now=frozenset(self.timeline.open),
        )

    @cached_property
    def planner(self) -> Planner:
        """The planner of this case."""
        open_signs = {c: signs for c, signs in self.offer.checks().items() if c not in self._passed_over}
        return Planner(self.knowledge, self.means, self.belief, open_signs, self.at_hand)

    @cached_property
    def plan(self) -> Plan:
        """Priced paths and weighed checks."""
        return further(self.planner, self.planner.plan(), self._budget)

    @cached_property
    def policy(self) -> Policy:
        """Look further or repair, and what to look at."""
        fit_rule = self.fit_to_drive.by
        return Policy(self.planner, self.plan, self.offer, self.timeline, self.holds, self.forbidden, fit_rule)

    @property
    def decision(self) -> Decision:
        """Look further, repair, release, or stop and ask."""
        return self.policy.decision

    @property
    def next_check(self) -> NextCheck | None:
        """The check to make now; None when none is."""
        return self.policy.next_check

    # -- what is said ------------------------------------------------------------------------------------

    @cached_property
    def answers(self) -> Answers:
        """The whole answer."""
        return Answers(
            case=self.case.id,
            version=__version__,
            knowledge=self.knowledge.hash,
            fit_to_drive=self.fit_to_drive,
            holds=self.holds,
            zones=self.zones,
            families=self.families,
            causes=self.causes,
            clear_at=self.clear_at,
            undecided_between=conclude.undecided_between([(c.id, c.leaking_first) for c in self.causes]),
            sets=self._sets(),
            observations=self.weights,
            worked_out=self._worked_out(),
            could_be_none_of_these=self.could_be_none_of_these,
            at_hand=self.at_hand,
            decision=self.decision,
            next_check=self.next_check,
            other_checks=self.policy.other_checks(),
            repairs=self.repairs,
            forbidden=self.forbidden,
            put_right=self.orders.put_right(),
            required=self.orders.required(),
            cautions=self.orders.cautions(),
            established=self.orders.established(),
            excluded=self.orders.excluded(),
            doubts=self._doubts(),
            comebacks=tuple(Returned(r.entry, r.place, self.knowledge.name(r.place)) for r in self.timeline.returns),
        )

    def _worked_out(self) -> tuple[WorkedOut, ...]:
        """What raw readings came to, in order of entry."""
        now = self.timeline
        rows = [*(seen.worked for seen in now.answers), *(read.worked for read in now.readings)]
        worked = sorted((row for row in rows if row is not None), key=lambda row: row.entry)
        return tuple(map(self._shown_work, worked))

    def _shown_work(self, row: Worked) -> WorkedOut:
        outcomes, whole = self.knowledge.signs[row.sign].outcomes, sum(row.says)
        chances = {outcome: share / whole for outcome, share in zip(outcomes, row.says, strict=True)}
        name, answer = self.knowledge.name(row.sign), self._outcome_name(row.sign, row.answer)
        return WorkedOut(row.entry, row.sign, name, row.answer, answer, row.said, chances)

    def _doubts(self) -> tuple[Doubted, ...]:
        bad = self.belief.bad() if self.timeline.doubts else {}
        name = self.knowledge.name
        return tuple(
            Doubted(d.entry, d.of, name(d.of) + (f" ({d.tool})" if d.tool else ""), d.chance, bad[d.id], d.entries)
            for d in self.timeline.doubts
        )

    @cached_property
    def causes(self) -> tuple[CauseBelief, ...]:
        """All causes, by their chance of having leaked when brought in."""
        belief = self.belief
        present = dict(zip(belief.causes, (float(p) for p in belief.present), strict=True))
        raised = {h.group: h.decibans for h in self.evidence.history}
        rows = [
            CauseBelief(
                id=cause,
                name=self.knowledge.name(cause),
                leaking=float(belief.leaking[i]),
                leaking_first=float(belief.leaking_first[i]),
                present=present[cause],
                present_first=float(belief.present_first[i]),
                contributors=conclude.contributors(self.knowledge, cause, present, raised),
            )
            for i, cause in enumerate(belief.causes)
        ]
        return tuple(sorted(rows, key=lambda r: -ties.chance(r.leaking_first)))

    @cached_property
    def zones(self) -> tuple[Likelihood, ...]:
        """All zones, the likeliest first."""
        return self._likelihoods(self.belief.model.zones, *self.belief.zones())

    @cached_property
    def families(self) -> tuple[Likelihood, ...]:
        """All families, the likeliest first."""
        return self._likelihoods(self.belief.model.families, *self.belief.families())

    def _likelihoods(
        self, ids: tuple[str, ...], now: NDArray[np.float64], first: NDArray[np.float64]
    ) -> tuple[Likelihood, ...]:
        rows = [
            Likelihood(id, self.knowledge.name(id), float(n), float(f))
            for id, n, f in zip(ids, now, first, strict=True)
        ]
        return tuple(sorted(rows, key=lambda r: -ties.chance(r.leaking_first)))

    @cached_property
    def _first(self) -> dict[str, float]:
        """Cause -> its chance of having leaked when brought in."""
        return dict(zip(self.belief.causes, (float(p) for p in self.belief.leaking_first), strict=True))

    @cached_property
    def could_be_none_of_these(self) -> NoneOfThese:
        """Whether it could be something that is not listed."""
        return conclude.none_of_these(self._first)

    @cached_property
    def clear_at(self) -> ClearAt:
        """The finest level at which the answer is clear."""
        causes = self._first
        if max(causes.values()) >= conclude.CLEAR:
            # The finest level already: what families and zones were before need not be worked out.
            return conclude.clear_at(self.knowledge, causes, {}, {})
        before = self.belief.baseline()
        zones = dict(zip(self.belief.model.zones, before.zones, strict=True))
        families = dict(zip(self.belief.model.families, before.families, strict=True))
        return conclude.clear_at(
            self.knowledge,
            causes,
            {f.id: (f.leaking_first, float(families[f.id])) for f in self.families},
            {z.id: (z.leaking_first, float(zones[z.id])) for z in self.zones},
        )

    def _sets(self) -> tuple[LikelySet, ...]:
        sets, masks = conclude.set_masks(self.belief.leaking_first)
        return conclude.likely_sets(self.belief.causes, sets, self.belief.expect(first=masks))

    @cached_property
    def weights(self) -> tuple[ObservationWeight, ...]:
        """Every answer with what it did to each cause, in order of entry."""
        knowledge = self.knowledge
        rows = []
        for item, row in zip(*self.belief.weights(), strict=True):
            moved = {c: float(d) for c, d in zip(self.belief.causes, row, strict=True) if np.isfinite(d)}
            id, epoch = (item.group, 0) if isinstance(item, HistoryEvidence) else (item.sign, item.epoch)
            answer, name, sure = self._answer_of(item.entry, id)
            rows.append(ObservationWeight(item.entry, id, knowledge.name(id), answer, name, sure, epoch, moved))
        return tuple(rows)

    def _answer_of(self, entry: int, id: str) -> tuple[str, str, str]:
        """(answer, its name, how sure) of a sign or history group at an entry."""
        if id in self.knowledge.history:
            answer = self.history[id]
            is_told = any(told.group == id and told.answer == answer for told in self.timeline.history)
            return answer, self.knowledge.history[id].answers[answer].name, "sure" if is_told else "by rule"
        for reading in self.timeline.readings:
            if reading.sign == id and reading.entry == entry:
                typed = f"{reading.value} {reading.unit}"
                return typed, typed, "worked out" if reading.worked else "sure"
        for seen in self.timeline.answers:
            if seen.sign == id and seen.entry == entry:
                how = "worked out" if seen.worked else seen.sure
                return seen.answer, self._outcome_name(id, seen.answer), how
        derived = next(fact for fact in self.run.derived if fact.kind == "sign" and fact.id == id)
        return derived.answer, self._outcome_name(id, derived.answer), "by rule"

    def _outcome_name(self, sign: str, answer: str) -> str:
        result = self.knowledge.signs[sign].results.get(answer)
        return result.name if result else answer

    @cached_property
    def repairs(self) -> tuple[RepairPath, ...]:
        """The best paths, cheapest in expectation first."""
        plan = self.plan.priced
        return tuple(self._shown_path(i) for i in plan.best_first()[:PATHS_SHOWN])

    def _shown_path(self, index: int) -> RepairPath:
        plan, means = self.plan.priced, self.means
        path = plan.paths[index]
        after = self.belief.leaking * (1 - path.cure)
        # What a rule has ruled out keeps its chance, but is not named as work that is left undone.
        ruled_out, causes = self.orders.excluded(), self.belief.causes
        shown = (i for i in range(len(after)) if after[i] > LEFT_SHOWN and causes[i] not in ruled_out)
        left = sorted(shown, key=lambda i: -ties.chance(float(after[i])))
        return RepairPath(
            actions=path.actions,
            p_hold=float(plan.hold[index]),
            expected_cost=float(plan.cost[index]),
            own_cost=float(plan.own[index]),
            minutes=means.minutes(path, means.open_now),
            elapsed=means.elapsed(path, means.open_now),
            leaves={causes[i]: float(after[i]) for i in left},
        )


def _shop(knowledge: Knowledge, case: Case) -> Shop:
    """The shop that the case names, or the first of the knowledge."""
    if case.shop is None:
        return next(iter(knowledge.shops.values()))
    if case.shop not in knowledge.shops:
        raise CaseError(f"There is no shop {case.shop!r}; known are {', '.join(knowledge.shops)}.")
    return knowledge.shops[case.shop]
